package geo

import "math"

// The scale on which a bend is judged. A vertex of a mapped road is off by a
// metre or so, and by a vertex's own angle a straight road with such vertices
// turns on a radius of about a hundred metres; so the line is smoothed first.
const (
	BendStep   Metres = 2  // resampling; our choice: a quarter of the smoothing
	BendSigma  Metres = 8  // Gaussian smoothing; our choice: two car lengths
	BendWindow Metres = 30 // heading change is taken over this much of road
)

// Smoothed is the line resampled at steps and smoothed by a Gaussian with the
// given standard deviation along the line, cut at three of them. Both ends stay
// where they are: beyond an end the line goes on as its own point reflection,
// so that a straight line stays straight.
func (l Polyline) Smoothed(step, sigma Metres) Polyline {
	p := l.Resample(step)
	actual := l.Length() / Metres(max(len(p)-1, 1))
	if len(p) < 3 || sigma <= 0 || actual == 0 {
		return p
	}
	half := int(math.Ceil(3 * float64(sigma/actual)))
	kernel := make([]float64, half+1)
	sum := 0.0
	for k := range kernel {
		x := float64(Metres(k) * actual / sigma)
		kernel[k] = math.Exp(-x * x / 2)
		if sum += kernel[k]; k > 0 {
			sum += kernel[k]
		}
	}
	at := func(i int) XY {
		last := len(p) - 1
		switch {
		case i < 0:
			return p[0].Scale(2).Sub(p[min(-i, last)])
		case i > last:
			return p[last].Scale(2).Sub(p[max(2*last-i, 0)])
		}
		return p[i]
	}
	out := make(Polyline, len(p))
	for i := range p {
		s := p[i].Scale(kernel[0])
		for k := 1; k <= half; k++ {
			s = s.Add(at(i - k).Add(at(i + k)).Scale(kernel[k]))
		}
		out[i] = s.Scale(1 / sum)
	}
	return out
}

// Bend is how much a road turns over BendWindow.
type Bend struct {
	Along  Metres  // the middle of the window, along the line
	Change Radians // of heading; positive bends to the right
}

// SharpestBend finds the greatest change of heading over BendWindow of the
// line, smoothed by BendSigma; over the whole line where it is shorter. A
// circle of radius R changes heading by BendWindow / R.
func (l Polyline) SharpestBend() Bend {
	return l.SharpestBendWithin(0, l.Length())
}

// SharpestBendWithin is the same for the windows whose middle lies in a part
// of the line; the line around the part steadies the smoothing.
func (l Polyline) SharpestBendWithin(from, to Metres) Bend {
	p := l.Smoothed(BendStep, BendSigma)
	step := l.Length() / Metres(max(len(p)-1, 1))
	if len(p) < 3 || step == 0 {
		return Bend{}
	}
	turned := make([]float64, len(p)-1) // heading of part i, unwrapped
	for i := range turned {
		h := p[i+1].Sub(p[i]).Heading()
		if i > 0 {
			h = Radians(turned[i-1]) + Turned(Radians(turned[i-1]).Normal(), h)
		}
		turned[i] = float64(h)
	}
	w := min(int(math.Round(float64(BendWindow/step))), len(turned)-1)
	var best Bend
	for i := 0; i+w < len(turned); i++ {
		middle := (Metres(i) + Metres(w+1)/2) * step
		if middle < from || middle > to {
			continue
		}
		c := Radians(turned[i+w] - turned[i])
		if math.Abs(float64(c)) > math.Abs(float64(best.Change)) {
			best = Bend{middle, c}
		}
	}
	return best
}
