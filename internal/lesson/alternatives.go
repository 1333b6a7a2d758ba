package lesson

import (
	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/roadnet"
)

// nearlyAsGood is the share of the best score that an alternative must have. Our
// choice: what is a tenth worse is not offered as another way to do the same.
const nearlyAsGood = 0.9

// Alternatives is Plan with up to so many lessons more that are nearly as good,
// each practising in a road where no earlier one does; the best comes first.
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
	for least := nearlyAsGood * f.score; ; {
		c, err := by.circuit(by.withSecondRoad(f))
		if err != nil {
			return nil, err
		}
		if out = append(out, c); len(out) > most {
			break
		}
		by.strikeOut(f.place)
		if f = by.best(); f == nil || f.score < least {
			break
		}
	}
	if pl.stopped() {
		return nil, ErrStopped
	}
	return out, nil
}

// strikeOut leaves a place and the others in its road to be backups alone.
func (pl *planner) strikeOut(place int) {
	road := map[roadnet.StretchID]bool{}
	leaveOut(pl.n, pl.places[place].Position.Segment.Stretch(), road)
	for i := range pl.places {
		if road[pl.places[i].Position.Segment.Stretch()] {
			pl.problem.backup[i] = false
		}
	}
}
