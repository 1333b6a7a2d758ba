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

// ByRoad puts places that stand best first into roads, in the order of each
// road's best; a road whose places differ in verdict stands under each.
func ByRoad(places []Place) []Road {
	type key struct {
		name    string
		verdict assess.Verdict
	}
	var out []Road
	at := make(map[key]int)
	for _, p := range places {
		k := key{p.Road, p.Verdict}
		i, ok := at[k]
		if !ok {
			i = len(out)
			at[k] = i
			out = append(out, Road{Name: p.Road, Minutes: p.Minutes, Verdict: p.Verdict})
		}
		r := &out[i]
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
