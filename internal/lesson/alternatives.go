package lesson

import (
	"slices"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// nearlyAsGood is the share of the best score that an alternative must have. Our
// choice: what is a tenth worse is not offered as another way to do the same.
const nearlyAsGood = 0.9

// Alternatives is Plan with up to so many lessons more that are nearly as good,
// the best first. Each practises in a road where no earlier one does or, where no
// such lesson is nearly as good, at a place a good way along one of those roads.
// There are none for the kinds of lesson without roads to judge.
func Alternatives(n *roadnet.Network, p *country.Profile, a *assess.Assessor, r Request, most int) ([]*circuit.Circuit, error) {
	if r.Kind != circuit.RoadsToJudge || len(r.Seek) > 0 {
		c, err := Plan(n, p, a, r)
		if err != nil {
			return nil, err
		}
		return []*circuit.Circuit{c}, nil
	}
	pl, err := newPlanner(n, p, a, r)
	if err != nil {
		return nil, err
	}
	by, f, err := pl.bestLesson()
	if err != nil {
		return nil, err
	}
	var out []*circuit.Circuit
	least := nearlyAsGood * f.score
	for taken := []int(nil); f != nil; f = by.elsewhere(taken, least) {
		c, err := by.circuit(by.withSecondRoad(f))
		if err != nil {
			return nil, err
		}
		if out = append(out, c); len(out) > most {
			break
		}
		taken = append(taken, f.place)
	}
	if pl.stopped() {
		return nil, ErrStopped
	}
	return out, nil
}

// elsewhere is the best finalist at none of the places that are taken, if it
// scores enough: in another road or else well away from them.
func (pl *planner) elsewhere(taken []int, least float64) *finalist {
	for _, near := range []func(a, b int) bool{pl.oneRoad, pl.close} {
		for i := range pl.places {
			pl.problem.backup[i] = len(pl.places[i].backups) > 0 && !slices.ContainsFunc(taken, func(j int) bool { return near(i, j) })
		}
		if f := pl.atLeast(least); f != nil && f.score >= least {
			return f
		}
	}
	return nil
}

// oneRoad says whether two places lie in one road.
func (pl *planner) oneRoad(i, j int) bool {
	road := map[roadnet.StretchID]bool{}
	leaveOut(pl.n, pl.places[j].Position.Segment.Stretch(), road)
	return road[pl.places[i].Position.Segment.Stretch()]
}

// close says whether two places are too near to each other for the second to be
// another one.
func (pl *planner) close(i, j int) bool {
	return geo.Distance(pl.pointOf(pl.places[i].Position), pl.pointOf(pl.places[j].Position)) < anotherPlace
}
