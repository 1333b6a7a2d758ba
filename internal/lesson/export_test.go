package lesson

import (
	"strings"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/roadnet"
)

// PlanIn is Plan with no place to practise but in roads whose names begin with
// some words.
func PlanIn(n *roadnet.Network, p *country.Profile, a *assess.Assessor, r Request, words string) (*circuit.Circuit, error) {
	pl, err := newPlanner(n, p, a, r)
	if err != nil {
		return nil, err
	}
	pl.gather(pl.budgetMs)
	pl.pose()
	for i := range pl.places {
		if !strings.HasPrefix(n.Name(n.NameOf(pl.places[i].Position.Segment.Stretch())), words) {
			pl.problem.backup[i] = false
		}
	}
	f := pl.best()
	if f == nil {
		return nil, pl.unmet()
	}
	return pl.circuit(f)
}
