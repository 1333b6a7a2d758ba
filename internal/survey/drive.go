package survey

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/lesson"
	"loopwright/internal/orienteer"
)

// Request is what a survey drive is for.
type Request struct {
	From     string // as asked
	Exercise *assess.Exercise
	Minutes  float64
	When     time.Time
	Seed     uint64
	Done     <-chan struct{}
}

// ErrNothing says that no drive is worth making.
var ErrNothing = errors.New("no road in doubt lies near that a car may stop in and come home from in the time")

// Drive plans the survey drive of an area. It is ErrNothing where there is none,
// and any other error a fault of the network or the program.
func Drive(a *Area, p *country.Profile, assessor *assess.Assessor, r Request) (*circuit.Circuit, error) {
	t := standard()
	v := newWorth(a.doubts(assessor, r.Exercise, t.RightByEye))
	all := a.candidates(p, v, t.Candidates)
	if len(all) == 0 {
		return nil, ErrNothing
	}
	times := a.problem(all, r.Minutes, t)
	order, err := choose(v, all, times, r, t)
	if err != nil {
		return nil, err
	}
	return a.fitting(p, assessor, v, all, times, order, r)
}

// fitting drives past roads in an order, and leaves out those that add least for
// their time until it is home in time.
func (a *Area) fitting(p *country.Profile, assessor *assess.Assessor, v *worth, all []candidate, times *orienteer.Problem, order []int, r Request) (*circuit.Circuit, error) {
	for len(order) > 0 {
		c, err := a.past(p, assessor, v, all, order, r)
		switch {
		case err == nil && c.Finish.AtS <= r.Minutes*60:
			return c, nil
		case err != nil && !errors.Is(err, lesson.ErrNoWay):
			return nil, err
		}
		k := v.knowing(doubtsOf(all, order))
		least, cheapest := 0, math.Inf(1)
		for h := range order {
			if price := k.losing(h) / float64(saved(times, order, h)+1); price < cheapest {
				least, cheapest = h, price
			}
		}
		order = slices.Delete(slices.Clone(order), least, least+1)
	}
	return nil, ErrNothing
}

// saved is the time that leaving out the h-th of an order saves.
func saved(p *orienteer.Problem, order []int, h int) int64 {
	n := len(p.Stops)
	before, after := n, n+1
	if h > 0 {
		before = order[h-1]
	}
	if h+1 < len(order) {
		after = order[h+1]
	}
	between := int64(0) // home to home
	if before != n || after != n+1 {
		between = p.Times[before][after]
	}
	i := order[h]
	return max(p.Times[before][i]+p.Stops[i].Service+p.Times[i][after]-between, 0)
}

// choose gives roads in their order along the drive, as many as were found when
// it is told to stop.
func choose(v *worth, all []candidate, p *orienteer.Problem, r Request, t table) ([]int, error) {
	p.Overlap = make([][]float64, len(all))
	for i := range p.Overlap {
		p.Overlap[i] = make([]float64, len(all))
	}
	var best []int
	most := 0.0
	for round := range t.Rounds {
		rewards(v, all, best, p)
		tour, err := orienteer.Solve(p, orienteer.Options{Seed: r.Seed + uint64(round), Iterations: t.Iterations, Stop: func() bool { return stopped(r.Done) }})
		if err != nil {
			return nil, err
		}
		if w := v.knowing(doubtsOf(all, tour.Order)).sum(); w > most {
			best, most = tour.Order, w
		}
	}
	return best, nil
}

// doubtsOf are the roads of a tour, each once.
func doubtsOf(all []candidate, order []int) []int {
	out := make([]int, len(order))
	for i, c := range order {
		out[i] = all[c].doubt
	}
	return out
}

// rewards sets what each road adds to the others of a tour, and takes it off
// again for the second direction of one road.
func rewards(v *worth, all []candidate, tour []int, p *orienteer.Problem) {
	k := v.knowing(doubtsOf(all, tour))
	adds := map[int]float64{}
	for h, i := range k.set {
		adds[i] = k.losing(h)
	}
	for i, c := range all {
		if _, ok := adds[c.doubt]; !ok {
			adds[c.doubt] = k.adding(c.doubt)
		}
		p.Stops[i].Reward = adds[c.doubt]
	}
	for i, c := range all {
		for j, d := range all {
			if i != j && c.doubt == d.doubt {
				p.Overlap[i][j] = p.Stops[i].Reward
			}
		}
	}
}

// stops says at which roads of a tour the car stands: at the last kerb before
// more roads have been seen than one remembers.
func stops(all []candidate, order []int, remembered int) []bool {
	out := make([]bool, len(order))
	for from := 0; from+1 < len(order); {
		at := -1
		for i := from; i < len(order) && (i < from+remembered || at < 0); i++ {
			if all[order[i]].standing {
				at = i
			}
		}
		if at < 0 {
			break
		}
		out[at], from = true, at+1
	}
	return out
}

// paced says at which stops the width is paced: where none was paced yet on the
// drive that tells as much of it.
func paced(v *worth, all []candidate, order []int, standing []bool, told float64) []bool {
	out := make([]bool, len(order))
	for i, stands := range standing {
		if !stands {
			continue
		}
		here := v.doubts[all[order[i]].doubt].alike
		out[i] = true
		for h, o := range order[:i] {
			out[i] = out[i] && !(out[h] && here.With(v.doubts[all[o].doubt].alike) >= told)
		}
	}
	return out
}

// past is the drive past roads, in their order.
func (a *Area) past(p *country.Profile, assessor *assess.Assessor, v *worth, all []candidate, order []int, r Request) (*circuit.Circuit, error) {
	t := standard()
	about := a.Net.About()
	at, _ := a.Net.At(a.From)
	zone, err := p.ZoneAt(at)
	if err != nil {
		return nil, err
	}
	when := r.When.In(zone).Truncate(time.Second)
	c := &circuit.Circuit{
		MadeFrom: circuit.MadeFrom{Extract: about.Extract, SHA256: fmt.Sprintf("%x", about.SHA256), Timestamp: about.Timestamp},
		Request: circuit.Request{
			From: r.From, To: r.From, Kind: circuit.SurveyDrive, Exercise: r.Exercise.Name, Minutes: r.Minutes,
			When: when.Format(time.RFC3339), Seed: r.Seed, Country: p.Code,
		},
		StartsAt: when, Zone: zone.String(), Attribution: lesson.Attribution, Cautions: cautions,
	}
	drive := lesson.Past{From: a.From, To: a.From, What: writing}
	standing := stops(all, order, t.RoadsAStop)
	pace := paced(v, all, order, standing, t.PacedTells)
	unwritten := 0.0
	for i, o := range order {
		road := lesson.Seen{Segment: all[o].segment}
		unwritten++
		if standing[i] {
			road.Stop = &lesson.Standing{Along: all[o].stop.Along, Minutes: (t.PullUp + unwritten*t.Write) / 60, What: writing}
			if pace[i] {
				road.Stop.Minutes, road.Stop.What = road.Stop.Minutes+t.Pace/60, pacing
			}
			unwritten = 0
		}
		place := v.doubts[all[o].doubt].place
		road.Place = assessor.At(r.Exercise, place.Position, place.Side)
		drive.Roads = append(drive.Roads, road)
	}
	if err := lesson.DrivePast(a.Net, p, a.Weights, c, drive); err != nil {
		return nil, err
	}
	for i, n := range v.alike(doubtsOf(all, order)) {
		c.Examples[i].Alike = n
	}
	return c, nil
}

// What is done at a stop, as the timeline says it.
const (
	writing = "write down"
	pacing  = "pace the width and write down"
)

var cautions = []string{
	"The map may be old or wrong. Signs and local rules come first.",
	"Read and write only when parked. Stop only where it is allowed and safe, and look before you step into the road.",
}

func stopped(done <-chan struct{}) bool {
	select {
	case <-done:
		return true
	default:
		return false
	}
}
