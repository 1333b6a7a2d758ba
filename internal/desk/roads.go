package desk

import (
	"slices"

	"loopwright/internal/assess"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// Road is the places of one road, the best of each of its kerbs.
type Road struct {
	Name    string
	Minutes float64 // to the nearest
	Verdict assess.Verdict
	Places  []Place // at most one for each way that a car may face, best first
}

// sameRoad is how near to a road's best place another of the same name is taken
// to be in the same road: our choice, for many a village has its Church Street.
const sameRoad geo.Metres = 500

// ByRoad puts places that stand best first into roads, in the order of each
// road's best; a road whose places differ in verdict stands under each. Roads
// without a name are told by their stretch.
func ByRoad(places []Place) []Road {
	type key struct {
		name    string
		verdict assess.Verdict
		stretch roadnet.StretchID
	}
	var out []Road
	at := make(map[key][]int)
	for _, p := range places {
		k := key{p.Road, p.Verdict, 0}
		if p.unnamed {
			k.stretch = p.stretch + 1
		}
		same := slices.IndexFunc(at[k], func(i int) bool {
			return geo.PlaneAt(p.Line[0]).To(out[i].Places[0].Line[0]).Norm() < sameRoad
		})
		if same < 0 {
			same = len(at[k])
			at[k] = append(at[k], len(out))
			out = append(out, Road{Name: p.Road, Minutes: p.Minutes, Verdict: p.Verdict})
		}
		r := &out[at[k][same]]
		r.Minutes = min(r.Minutes, p.Minutes)
		if !slices.ContainsFunc(r.Places, func(q Place) bool { return q.Facing == p.Facing }) {
			r.Places = append(r.Places, p)
		}
	}
	return out
}

// compass are the eight winds from north by east.
var compass = [...]string{"north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"}

// facing is the wind towards which a car faces.
func (d *Desk) facing(p roadnet.Position) string {
	_, heading := d.net.At(p)
	return compass[int(heading.Normal()/(45*geo.Degree)+0.5)%len(compass)]
}
