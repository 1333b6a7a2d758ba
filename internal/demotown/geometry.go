package demotown

import (
	"math"
	"sort"

	"loopwright/internal/geo"
)

// spline is a centripetal Catmull-Rom curve through the control points
// (Catmull and Rom, "A class of local interpolating splines", 1974), sampled
// about every step metres. The control points themselves are always kept.
func spline(control []geo.XY, step float64) []geo.XY {
	if len(control) < 3 {
		return divide(control, step)
	}
	first := control[0].Scale(2).Sub(control[1])
	last := control[len(control)-1].Scale(2).Sub(control[len(control)-2])
	p := append(append([]geo.XY{first}, control...), last)
	out := []geo.XY{control[0]}
	for i := 1; i+2 < len(p); i++ {
		n := max(1, int(math.Round(distance(p[i], p[i+1])/step)))
		for k := 1; k < n; k++ {
			out = append(out, catmullRom(p[i-1], p[i], p[i+1], p[i+2], float64(k)/float64(n)))
		}
		out = append(out, p[i+1])
	}
	return out
}

// catmullRom is the point at u in [0, 1] between b and c, by the pyramid of
// Barry and Goldman, "A recursive evaluation algorithm for a class of
// Catmull-Rom splines", 1988, with the centripetal exponent of a half.
func catmullRom(a, b, c, d geo.XY, u float64) geo.XY {
	t1 := math.Sqrt(distance(a, b))
	t2 := t1 + math.Sqrt(distance(b, c))
	t3 := t2 + math.Sqrt(distance(c, d))
	t := t1 + u*(t2-t1)
	mix := func(p, q geo.XY, tp, tq float64) geo.XY {
		return p.Scale((tq - t) / (tq - tp)).Add(q.Scale((t - tp) / (tq - tp)))
	}
	a1, a2, a3 := mix(a, b, 0, t1), mix(b, c, t1, t2), mix(c, d, t2, t3)
	return mix(mix(a1, a2, 0, t2), mix(a2, a3, t1, t3), t1, t2)
}

// divide puts points at equal steps along straight parts and keeps the ends.
func divide(line []geo.XY, step float64) []geo.XY {
	out := line[:1:1]
	for i := 1; i < len(line); i++ {
		n := max(1, int(math.Round(distance(line[i-1], line[i])/step)))
		for k := 1; k <= n; k++ {
			out = append(out, between(line[i-1], line[i], float64(k)/float64(n)))
		}
	}
	return out
}

func distance(a, b geo.XY) float64 { return math.Hypot(a.X-b.X, a.Y-b.Y) }

func between(a, b geo.XY, t float64) geo.XY { return a.Add(b.Sub(a).Scale(t)) }

// angle is the direction of v, anticlockwise from east.
func angle(v geo.XY) float64 { return math.Atan2(v.Y, v.X) }

// toward is the unit vector at an angle anticlockwise from east.
func toward(a float64) geo.XY { return geo.XY{X: math.Cos(a), Y: math.Sin(a)} }

// leftOf is v turned a quarter to the left.
func leftOf(v geo.XY) geo.XY { return geo.XY{X: -v.Y, Y: v.X} }

func unit(v geo.XY) geo.XY {
	n := math.Hypot(v.X, v.Y)
	if n == 0 {
		return geo.XY{X: 1}
	}
	return v.Scale(1 / n)
}

// bend is the turn from angle a to angle b in (−π, π].
func bend(a, b float64) float64 {
	d := math.Mod(b-a, 2*math.Pi)
	switch {
	case d > math.Pi:
		return d - 2*math.Pi
	case d <= -math.Pi:
		return d + 2*math.Pi
	}
	return d
}

// skew is the angle between two undirected lines, in [0, π/2].
func skew(a, b float64) float64 {
	d := math.Abs(bend(a, b))
	return math.Min(d, math.Pi-d)
}

// crossing gives where a–b meets c–d: t along a–b and u along c–d, in [0, 1].
func crossing(a, b, c, d geo.XY) (t, u float64, ok bool) {
	r, s := b.Sub(a), d.Sub(c)
	k := r.Cross(s)
	if k == 0 {
		return 0, 0, false
	}
	t, u = c.Sub(a).Cross(s)/k, c.Sub(a).Cross(r)/k
	return t, u, t >= 0 && t <= 1 && u >= 0 && u <= 1
}

// toSegment is the distance from p to the segment a–b and where it is nearest.
func toSegment(p, a, b geo.XY) (away, t float64) {
	d := b.Sub(a)
	n := d.Dot(d)
	if n > 0 {
		t = math.Max(0, math.Min(1, p.Sub(a).Dot(d)/n))
	}
	return distance(p, between(a, b, t)), t
}

// inside says whether p lies in the ring, by the even-odd rule.
func inside(p geo.XY, ring []geo.XY) bool {
	in := false
	for i, j := 0, len(ring)-1; i < len(ring); j, i = i, i+1 {
		a, b := ring[i], ring[j]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < (b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y)+a.X {
			in = !in
		}
	}
	return in
}

// toRing is the distance from p to a ring's edge, 0 inside it.
func toRing(p geo.XY, ring []geo.XY) float64 {
	if inside(p, ring) {
		return 0
	}
	return toLine(p, append(ring[:len(ring):len(ring)], ring[0]))
}

func toLine(p geo.XY, line []geo.XY) float64 {
	best := math.Inf(1)
	for i := 1; i < len(line); i++ {
		away, _ := toSegment(p, line[i-1], line[i])
		best = math.Min(best, away)
	}
	return best
}

// simplified drops points that lie within tolerance of the line through the
// kept ones (Douglas and Peucker, "Algorithms for the reduction of the number
// of points required to represent a digitized line", 1973). The ends stay.
func simplified(line []geo.XY, tolerance float64) []geo.XY {
	if len(line) < 3 {
		return line
	}
	far, at := 0.0, 0
	for i := 1; i < len(line)-1; i++ {
		if away, _ := toSegment(line[i], line[0], line[len(line)-1]); away > far {
			far, at = away, i
		}
	}
	if far <= tolerance {
		return []geo.XY{line[0], line[len(line)-1]}
	}
	head := simplified(line[:at+1], tolerance)
	return append(head[:len(head)-1:len(head)-1], simplified(line[at:], tolerance)...)
}

// offset shifts a line to its left by metres (right where negative), with
// mitred corners held to twice the shift.
func offset(line []geo.XY, left float64) []geo.XY {
	out := make([]geo.XY, len(line))
	for i := range line {
		a, b := line[max(i-1, 0)], line[min(i+1, len(line)-1)]
		along := unit(b.Sub(a))
		k := 1.0
		if i > 0 && i < len(line)-1 {
			k = math.Min(2, 1/math.Max(0.1, unit(line[i].Sub(a)).Dot(along)))
		}
		out[i] = line[i].Add(leftOf(along).Scale(left * k))
	}
	return out
}

// box is a rectangle by its middle, the direction of its first side and its
// two lengths, corners anticlockwise.
func box(middle, along geo.XY, length, depth float64) []geo.XY {
	u, v := along.Scale(length/2), leftOf(along).Scale(depth/2)
	return []geo.XY{middle.Sub(u).Sub(v), middle.Add(u).Sub(v), middle.Add(u).Add(v), middle.Sub(u).Add(v)}
}

// sortBy orders whole numbers by a key, ties by themselves.
func sortBy(ids []int, key func(int) float64) {
	sort.Slice(ids, func(i, j int) bool {
		if a, b := key(ids[i]), key(ids[j]); a != b {
			return a < b
		}
		return ids[i] < ids[j]
	})
}
