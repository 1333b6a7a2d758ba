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
	told    float64 // of it, what an instructor's yes or no is expected to take away
	// byWidth is the part of it that a width explains that is fully known, 0
	// where the map or a note says the width.
	byWidth float64
	place   assess.Place // the more doubtful kerb's
}

// doubts assesses the area for an exercise; roads in no doubt are left out. right
// is how often an instructor is right who says whether a road would do.
func (a *Area) doubts(assessor *assess.Assessor, ex *assess.Exercise, right float64) []doubt {
	var out []doubt
	for _, s := range a.Stretches {
		d := doubt{stretch: s, alike: assessor.Likeness(s)}
		most := 0.0
		for _, p := range assessor.Scan(ex, s) {
			v := p.Chance * (1 - p.Chance)
			if p.Verdict == assess.VerdictUnknown || v < leastDoubt {
				continue
			}
			d.own += v
			d.told += settled(p.Chance, right) + spare*resolved(p.Chance, right)
			if v > most {
				most, d.place = v, p
			}
			d.byWidth += assess.ToldByWidth(assessor.At(ex, p.Position, p.Side).Findings, ex, d.alike.Spread)
		}
		if d.own > 0 {
			out = append(out, d)
		}
	}
	return out
}

// settled is the fall of the Brier score that is to be expected of a chance p once
// an instructor says yes or no who is right so often, with the chances that the
// assessor gives then (notes.yaml): as often as they are right after a yes, however
// little the map thought of the place, and next to none after a no. Where the map
// is surer than they are it is 0.
func settled(p, right float64) float64 {
	wrong := 1 - right
	yes, no := max(p, right), p*wrong
	after := p*(right*(1-yes)*(1-yes)+wrong*(1-no)*(1-no)) + (1-p)*(right*no*no+wrong*yes*yes)
	return max(p*(1-p)-after, 0)
}

// resolved is the fall if the answer were weighed against what the map thought, by
// Bayes' rule: above 0 for every road that is not certain.
func resolved(p, right float64) float64 {
	yes := right*p + (1-right)*(1-p)
	between := (2*right - 1) * p * (1 - p) // the covariance of what is true and what is said
	return between * between / (yes * (1 - yes))
}

// spare is the share of that which counts: our choice, so little that roads of
// which the map is surer than an eye only fill time that is left.
const spare = 0.1

// leastDoubt is a variance that nobody need look at: a chance of 2 in 100.
const leastDoubt = 0.02 * 0.98
