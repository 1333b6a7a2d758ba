package lesson

import (
	"errors"
	"math"
	"slices"
	"strings"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// PlanIn is Plan with no place to practise but in roads whose names begin with
// some words.
func PlanIn(n *roadnet.Network, p *country.Profile, a *assess.Assessor, r Request, words string) (*circuit.Circuit, error) {
	pl, err := newPlanner(n, p, a, r)
	if err != nil {
		return nil, err
	}
	pl.gather()
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

// FittingPlaces is at how many places, well away from one another, a request
// could practise: each has a backup, and the car is home from it in time, were
// there no roads to judge.
func FittingPlaces(n *roadnet.Network, p *country.Profile, a *assess.Assessor, r Request) (int, error) {
	pl, err := newPlanner(n, p, a, r)
	if err != nil {
		return 0, err
	}
	pl.gather()
	var apart []int
	for i := range pl.places {
		q := &pl.places[i]
		if len(q.backups) > 0 && int64(q.out)+int64(min(q.home[0], q.home[1])) <= pl.budgetMs &&
			!slices.ContainsFunc(apart, func(j int) bool { return pl.close(i, j) }) {
			apart = append(apart, i)
		}
	}
	return len(apart), nil
}

// NoneAsGood says whether the bound proves of a request, for which fewer
// alternatives were found, that so many there are not.
func NoneAsGood(n *roadnet.Network, p *country.Profile, a *assess.Assessor, r Request) (bool, error) {
	pl, err := newPlanner(n, p, a, r)
	if err != nil {
		return false, err
	}
	by, f, err := pl.bestLesson()
	if err != nil {
		return false, err
	}
	least := nearlyAsGood * f.score
	for taken := []int(nil); f != nil; f = by.elsewhere(taken, least) {
		taken = append(taken, f.place)
	}
	f = by.atLeast(least)
	return f == nil || f.most < least, nil
}

// LegTo is the quickest leg that the learner of a request may drive from a place
// to practise, after its goes, to a stop.
func LegTo(n *roadnet.Network, p *country.Profile, a *assess.Assessor, r Request, from circuit.Practice, to circuit.Stop) (circuit.Leg, error) {
	pl, err := newPlanner(n, p, a, r)
	if err != nil {
		return circuit.Leg{}, err
	}
	stand := func(kerb string, facesDeg float64) (roadnet.Position, error) {
		k, err := roadnet.ParseKerb(kerb)
		if err != nil {
			return roadnet.Position{}, err
		}
		at, _, err := n.LocateKerb(k)
		if err != nil {
			return roadnet.Position{}, err
		}
		if _, heading := pointAt(n, at); math.Abs(geo.Turned(heading, geo.Radians(facesDeg)*geo.Degree).Degrees()) > 90 {
			at = n.Opposite(at)
		}
		return at, nil
	}
	begin, err := stand(from.Kerb, from.FacesAfterDeg)
	if err != nil {
		return circuit.Leg{}, err
	}
	end, err := stand(to.Kerb, to.FacesDeg)
	if err != nil {
		return circuit.Leg{}, err
	}
	path, ok := pl.forward.From(begin, geo.Seconds(60*r.Minutes), pl.turning()).Path(end)
	if !ok {
		return circuit.Leg{}, errors.New("no way leads there")
	}
	d, _, ok := join(pl.w, pl.turning(), []route.Path{path})
	if !ok {
		return circuit.Leg{}, errors.New("the way is no drive")
	}
	line, ways := d.drawn(d.start(), d.end())
	return circuit.Leg{Line: line, Ways: ways, LengthM: float64(path.Length), DriveS: float64(path.Ms+pl.w.StopMs(end)) / 1000}, nil
}

// Seed is that of the random tests.
var Seed = seedFlag
