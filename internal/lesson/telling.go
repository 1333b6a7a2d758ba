package lesson

import (
	"loopwright/internal/circuit"
	"loopwright/internal/directions"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// telling is what the learner is told on some legs, those that the instructor drives
// left out.
type telling struct {
	legs  []leg
	steps []directions.Step
}

func (pl *planner) telling(legs []leg) *telling {
	t := &telling{}
	var chain []directions.Drive
	for _, l := range legs {
		if l.driver == circuit.Instructor {
			continue
		}
		t.legs = append(t.legs, l)
		chain = append(chain, directions.Drive{Path: l.d.part(l.a, l.b), PullUp: drivingSide(pl.p)})
	}
	t.steps = directions.Write(pl.n, pl.p, chain, pl.options())
	return t
}

// options are how the learner is told.
func (pl *planner) options() directions.Options {
	return optionsFor(pl.w, pl.learner.pace.Stage, pl.wish.MySide || needs(pl.wish.Learner, mySide))
}

// awkward is what directions cost that can't be said plainly, in points.
func (pl *planner) awkward(t *telling) float64 {
	return pl.table.Weights.Awkward * directions.Cost(t.steps)
}

// dear is what the turns cost that take long to mend when they are missed, in
// points.
func (pl *planner) dear(t *telling) float64 {
	w := pl.table.Weights.Missed
	cost := 0.0
	for _, s := range t.steps {
		if s.Missed != roadnet.SegmentID(roadnet.None) {
			cost += w.Minute * max(pl.lostBy(t.legs[s.Done.Drive], s)-w.FromS, 0) / 60
		}
	}
	return cost
}

// lostBy is the time in seconds that is lost when the turn of a step is missed:
// on the way from the road that is then driven along back to a later point of the
// leg, the best of those that a narrow search finds, else a wider one.
func (pl *planner) lostBy(l leg, s directions.Step) float64 {
	done := l.d.at(spot{l.a.index + s.Done.Index, s.Done.Along})
	for _, bound := range []geo.Seconds{mostBack / 4, mostBack / 2, mostBack} {
		tree := pl.forward.From(startOf(s.Missed), bound, route.Options{})
		least, found := int64(0), false
		for _, r := range rejoins(l, s, l.b, tree) {
			if !found || r.lost < least {
				least, found = r.lost, true
			}
		}
		if found {
			return max(float64(least+done)/1000, 0)
		}
	}
	return float64(mostBack)
}
