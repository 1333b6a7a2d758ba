package lesson

import (
	"errors"
	"math"
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
// Of a tour they are those that practise in other roads; one that practises
// nowhere has none.
func Alternatives(n *roadnet.Network, p *country.Profile, a *assess.Assessor, r Request, most int) ([]*circuit.Circuit, error) {
	if r.Kind != circuit.RoadsToJudge || len(r.Seek) > 0 {
		return otherTours(n, p, a, r, most)
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

// otherTours plans a tour, and others without the roads that were practised in.
func otherTours(n *roadnet.Network, p *country.Profile, a *assess.Assessor, r Request, most int) ([]*circuit.Circuit, error) {
	var out []*circuit.Circuit
	least := math.Inf(-1)
	for {
		pl, err := newPlanner(n, p, a, r)
		var by *planner
		var t *tour
		if err == nil {
			by, t, err = pl.tourOfKind()
		}
		switch unmet := (*Unmet)(nil); {
		case errors.As(err, &unmet) && len(out) > 0:
			return out, nil
		case err != nil:
			return nil, err
		case t.score < least:
			return out, nil
		}
		c, err := by.finished(t)
		if err != nil {
			return nil, err
		}
		r.Without = slices.Clone(r.Without)
		for _, it := range t.items {
			if it.place != nil {
				r.Without = append(r.Without, it.place.Position.Segment.Stretch())
			}
		}
		if out = append(out, c); len(out) > most || !c.Practises() {
			return out, nil
		}
		if len(out) == 1 {
			least = t.score - (1-nearlyAsGood)*math.Abs(t.score)
		}
	}
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
