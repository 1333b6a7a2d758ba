package lesson

import (
	"loopwright/internal/assess"
	"loopwright/internal/country"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// suits is the reason of a road to judge that will do.
const suits = "suits"

// turning allows turning round at a turning head to those who have been taught
// to turn.
func (pl *planner) turning() route.Options { return route.Options{UTurns: pl.learner.turns} }

// coming is turning for a car that comes from a drive, nil where that binds no
// more.
func (pl *planner) coming(after *route.Path) route.Options {
	return route.Options{UTurns: pl.learner.turns, After: after}
}

// drivingSide is the kerb that traffic keeps to.
func drivingSide(p *country.Profile) roadnet.Side {
	if p.DrivesLeft {
		return roadnet.Left
	}
	return roadnet.Right
}

// sideFor is the kerb that an exercise is done at, as the driver sits on
// arrival.
func sideFor(ex *assess.Exercise, p *country.Profile) roadnet.Side {
	if ex.FarKerb {
		return drivingSide(p).Opposite()
	}
	return drivingSide(p)
}

// turnsRound says whether one go leaves the car facing the other way, at the
// kerb across the road.
func turnsRound(ex *assess.Exercise) bool { return ex.FacesBack }
