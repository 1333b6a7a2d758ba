package geo

import "math"

// Polyline is a line on a plane through its points in order. Points may
// repeat; a line of fewer than two points has length 0.
type Polyline []XY

// Length is the sum of the straight parts.
func (l Polyline) Length() Metres {
	var sum Metres
	for i := 1; i < len(l); i++ {
		sum += l[i].Sub(l[i-1]).Norm()
	}
	return sum
}

// At gives the point a distance along the line and the heading there; before
// the start and past the end it stops at the end point. The heading at a
// vertex is that of the part that follows it.
func (l Polyline) At(along Metres) (XY, Radians) {
	if len(l) == 0 {
		return XY{}, 0
	}
	rest := along
	last := Radians(0)
	for i := 1; i < len(l); i++ {
		d := l[i].Sub(l[i-1])
		n := d.Norm()
		if n == 0 {
			continue
		}
		last = d.Heading()
		if rest < n {
			if rest < 0 {
				rest = 0
			}
			return l[i-1].Add(d.Scale(float64(rest / n))), last
		}
		rest -= n
	}
	return l[len(l)-1], last
}

// Slice is the part of the line between two distances along it, ends included;
// empty where to ≤ from. Distances are held to the line.
func (l Polyline) Slice(from, to Metres) Polyline {
	from, to = max(from, 0), min(to, l.Length())
	if to <= from || len(l) < 2 {
		return nil
	}
	start, _ := l.At(from)
	out := Polyline{start}
	var s Metres
	for i := 1; i < len(l); i++ {
		s += l[i].Sub(l[i-1]).Norm()
		if s <= from {
			continue
		}
		if s >= to {
			break
		}
		out = append(out, l[i])
	}
	end, _ := l.At(to)
	return append(out, end)
}

// Nearest finds the point of the line nearest to p: how far along it is, its
// distance from p, and whether p lies to the left of the line there.
func (l Polyline) Nearest(p XY) (along, away Metres, left bool) {
	best := math.Inf(1)
	var s Metres
	for i := 1; i < len(l); i++ {
		d := l[i].Sub(l[i-1])
		n := d.Norm()
		if n == 0 {
			continue
		}
		t := p.Sub(l[i-1]).Dot(d) / float64(n*n)
		t = math.Max(0, math.Min(1, t))
		q := l[i-1].Add(d.Scale(t))
		off := p.Sub(q)
		if a := off.Dot(off); a < best { // squares are compared: roots are dear
			best = a
			along, away, left = s+Metres(t)*n, off.Norm(), d.Cross(p.Sub(l[i-1])) > 0
		}
		s += n
	}
	if math.IsInf(best, 1) && len(l) > 0 {
		away = p.Sub(l[0]).Norm()
	}
	return along, away, left
}

// Resample gives points at equal steps along the line, both ends included: the
// step is the greatest that divides the length and is at most the one asked.
func (l Polyline) Resample(step Metres) Polyline {
	total := l.Length()
	if total == 0 || step <= 0 {
		return l
	}
	n := int(math.Ceil(float64(total / step)))
	out := make(Polyline, 0, n+1)
	i, before := 1, Metres(0)
	for k := 0; k <= n; k++ {
		s := total * Metres(k) / Metres(n)
		for i < len(l)-1 && before+l[i].Sub(l[i-1]).Norm() < s {
			before += l[i].Sub(l[i-1]).Norm()
			i++
		}
		d := l[i].Sub(l[i-1])
		t := 1.0
		if m := d.Norm(); m > 0 {
			t = math.Min(1, float64((s-before)/m))
		}
		out = append(out, l[i-1].Add(d.Scale(t)))
	}
	return out
}

// Reversed is the same line from its other end.
func (l Polyline) Reversed() Polyline {
	out := make(Polyline, len(l))
	for i, p := range l {
		out[len(l)-1-i] = p
	}
	return out
}
