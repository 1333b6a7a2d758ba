package desk

import (
	"loopwright/internal/country"
	"loopwright/internal/gazetteer"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// mostWithin bounds a search: our choice, two hours reach the end of any lesson.
const mostWithin = 120

// weightsAt are a network's driving times at the pace of a learner's stage.
func weightsAt(net *roadnet.Network, p *country.Profile, stage string) (*route.Weights, error) {
	paces, err := route.Paces()
	if err != nil {
		return nil, err
	}
	return route.NewWeights(net, p, paces[stage]), nil
}

// drivesFrom finds a PLACE and the driving times from there, as far as within
// minutes reach.
func (d *Desk) drivesFrom(place string, within float64) (gazetteer.Result, *route.Tree, error) {
	if !(within > 0 && within <= mostWithin) {
		return gazetteer.Result{}, nil, fault(WrongUse, "", "%g minutes: give more than 0 and at most %d", within, mostWithin)
	}
	from, err := d.find(place)
	if err != nil {
		return gazetteer.Result{}, nil, err
	}
	weights, err := weightsAt(d.net, d.profile, route.DefaultStage)
	if err != nil {
		return gazetteer.Result{}, nil, err
	}
	return from, route.NewFinder(weights).From(from.Position, geo.Seconds(within*60), route.Options{}), nil
}

// reached says whether either segment of a stretch may have been reached.
func (d *Desk) reached(t *route.Tree, s roadnet.StretchID) bool {
	for _, forward := range [2]bool{true, false} {
		if _, ok := t.Ms(middle(d.net, s, forward)); ok {
			return true
		}
	}
	return false
}

// middle is half way along a stretch, driven one way or the other.
func middle(net *roadnet.Network, s roadnet.StretchID, forward bool) roadnet.Position {
	return roadnet.Position{Segment: s.Segment(forward), Along: net.Length(s) / 2}
}
