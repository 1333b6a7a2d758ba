package survey

import (
	"loopwright/internal/assess"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// Area is the roads around a place.
type Area struct {
	Net       *roadnet.Network
	Weights   *route.Weights
	From      roadnet.Position
	Within    geo.Seconds
	Stretches []roadnet.StretchID // in order
	Ms        []uint32            // from the place to each of them
}

// Around gives the stretches that can be driven to within a time.
func Around(n *roadnet.Network, w *route.Weights, from roadnet.Position, within geo.Seconds) *Area {
	a := &Area{Net: n, Weights: w, From: from, Within: within}
	tree := route.NewFinder(w).From(from, within, route.Options{})
	for s := range roadnet.StretchID(n.NumStretches()) {
		least, found := uint32(0), false
		for _, forward := range [2]bool{true, false} {
			if ms, ok := tree.Ms(roadnet.Position{Segment: s.Segment(forward), Along: n.Length(s) / 2}); ok && (!found || ms < least) {
				least, found = ms, true
			}
		}
		if found {
			a.Stretches, a.Ms = append(a.Stretches, s), append(a.Ms, least)
		}
	}
	return a
}

// doubt is what is not known of one stretch for an exercise.
type doubt struct {
	stretch roadnet.StretchID
	alike   assess.Likeness
	own     float64 // the sum over its kerbs of p (1 − p): what their Brier scores are expected to be
	// byWidth is the part of it that a width explains that is fully known, 0
	// where the map or a note says the width.
	byWidth float64
	place   assess.Place // the more doubtful kerb's
}

// doubts assesses the area for an exercise; roads in no doubt are left out.
func (a *Area) doubts(assessor *assess.Assessor, ex *assess.Exercise) []doubt {
	var out []doubt
	for _, s := range a.Stretches {
		d := doubt{stretch: s}
		most := 0.0
		for _, p := range assessor.Scan(ex, s) {
			v := p.Chance * (1 - p.Chance)
			if p.Verdict == assess.VerdictUnknown || v < leastDoubt {
				continue
			}
			d.own += v
			if v > most {
				most, d.place = v, p
			}
			d.byWidth += widthShare(assessor.At(ex, p.Position, p.Side))
		}
		if d.own > 0 {
			d.alike = assessor.Likeness(s)
			out = append(out, d)
		}
	}
	return out
}

// leastDoubt is a variance that nobody need look at: a chance of 2 in 100.
const leastDoubt = 0.02 * 0.98

// widthShare is the variance of a verdict's chance p = q r that knowing the width
// explains, with q the chance that the width will do and r of all else: r² q (1 − q).
func widthShare(p assess.Place) float64 {
	for _, f := range p.Findings {
		if f.Criterion == "clear-width" && (f.Evidence == assess.Assumed || f.Evidence == assess.Inferred) && f.Chance > 0 {
			r := min(p.Chance/f.Chance, 1)
			return r * r * f.Chance * (1 - f.Chance)
		}
	}
	return 0
}
