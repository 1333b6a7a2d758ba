package lesson

import (
	"cmp"
	"slices"

	"github.com/paulmach/orb"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/directions"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// teller writes down what is said on the legs of a circuit, and when.
type teller struct {
	n     *roadnet.Network
	p     *country.Profile
	w     *route.Weights
	table *Table
	c     *circuit.Circuit
	legs  []leg // as c has them

	choices func(leg, spot) []circuit.Choosable // the roads of a leg from a spot on; nil where none are asked for
}

// direct writes what is said on a finalist's drive.
func (pl *planner) direct(c *circuit.Circuit, f *finalist, legs []leg) {
	shown := make([]directions.Span, len(c.Examples))
	for j := range c.Examples {
		e := &pl.examples[f.order[j]]
		from := geo.Seconds(c.Examples[j].AtS)
		shown[j] = directions.Span{From: from, To: from + geo.Seconds(pl.w.At(e.finish())-pl.w.At(e.begin()))/1000}
	}
	(&teller{pl.n, pl.p, pl.w, pl.table, c, legs, pl.choosable()}).tell(shown)
}

// tell sets the circuit's steps and ways back; shown is when each road to judge
// is driven along.
func (t *teller) tell(shown []directions.Span) {
	said := t.said()
	q := directions.Asking{
		Parked: t.c.Request.Parked || needs(t.c.Learner, onlyParked), Clear: geo.Seconds(t.table.Question.ClearOfDirectionS), Waits: t.waits(), Stops: t.stops(),
	}
	var all []circuit.Step
	for _, s := range said {
		at := t.clock(s.Said)
		q.Busy = append(q.Busy, directions.Span{From: at, To: t.clock(s.Done)})
		all = append(all, step(s, t.point(s.Said), at))
	}
	for j, e := range t.c.Examples {
		q.Exercise, q.Road, q.Along, q.CarPark = t.c.ExerciseOf(e), e.Road, shown[j], assess.InCarPark(t.c.ExerciseOf(e))
		if q.Road == noName {
			q.Road = ""
		}
		if s, at, ok := directions.Ask(t.p, q); ok {
			q.Busy = append(q.Busy, directions.Span{From: at, To: at})
			all = append(all, step(s, t.carAt(float64(at)), at))
		}
	}
	choosing := len(all)
	if s, ok := t.choose(q, shown); ok {
		all = append(all, s)
	}
	order := make([]int, len(all)) // of what is said, in time
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(all[a].AtS, all[b].AtS) })
	finder := route.NewFinder(t.w)
	for i, k := range order {
		s := all[k]
		s.Order = i + 1
		t.c.Steps = append(t.c.Steps, s)
		if k == choosing {
			t.c.Choice.Step = s.Order
		}
		if k >= len(said) {
			continue
		}
		if back, ok := t.wayBack(said[k], finder); ok {
			back.Step = s.Order
			t.c.WaysBack = append(t.c.WaysBack, back)
		}
	}
}

func step(s directions.Step, at orb.Point, said geo.Seconds) circuit.Step {
	return circuit.Step{
		At: at, AtS: float64(said), Say: s.Say, Alert: s.Alert, Direction: s.Direction, Where: s.Where, DistanceM: s.Distance, Kind: s.Kind.String(), Moves: s.Moves,
	}
}

// said is what is said on all legs, for each driver at their own pace. To
// oneself one says no more than the way.
func (t *teller) said() []directions.Step {
	chain := t.chain()
	var all []directions.Step
	for from, to := 0, 0; from < len(chain); from = to {
		for to = from; to < len(chain) && t.legs[to].driver == t.legs[from].driver; {
			to++
		}
		opts := t.options()
		own := t.legs[from].driver == circuit.Instructor
		if own {
			opts = directions.Options{Pace: t.legs[from].d.w}
		}
		for _, s := range directions.Write(t.n, t.p, chain[from:to], opts) {
			s.Said.Drive, s.Done.Drive = s.Said.Drive+from, s.Done.Drive+from
			if own {
				s.Alert, s.Say = youDrive, youDrive+" "+s.Brief+"."
			}
			all = append(all, s)
		}
	}
	return all
}

// youDrive stands before the way that the instructor drives.
const youDrive = "You drive:"

// options are those of the learner whom the lesson is for.
func (t *teller) options() directions.Options {
	return optionsFor(t.w, t.c.Request.Pace, t.c.Request.MySide || needs(t.c.Learner, mySide))
}

func optionsFor(w *route.Weights, pace string, sides bool) directions.Options {
	return directions.Options{
		Pace: w, Beginner: pace == beginner, Signs: pace == nearTest, MySide: sides,
	}
}

// chain is the drive as directions take it: each leg ends with a stop, but
// where an excerpt ends on the way.
func (t *teller) chain() []directions.Drive {
	chain := make([]directions.Drive, len(t.legs))
	for i, l := range t.legs {
		side, park := drivingSide(t.p), false
		switch end := t.c.Legs[i].AtS + t.c.Legs[i].DriveS; {
		case near(end, t.c.Practice.AtS) && t.c.Practises():
			side, park = sideNamed(t.c.Practice.Side), assess.InCarPark(t.c.Practice.Exercise)
		case t.c.Second != nil && near(end, t.c.Second.AtS):
			side, park = sideNamed(t.c.Second.Side), assess.InCarPark(t.c.Second.Exercise)
		case i == len(t.legs)-1 && t.c.Sent == circuit.ForAnyone:
			side = roadnet.SideUnknown
		}
		chain[i] = directions.Drive{Path: l.d.part(l.a, l.b), PullUp: side, CarPark: park}
	}
	return chain
}

// near says whether two times of a circuit are one, but for the rounding.
func near(a, b float64) bool { return a-b < rounding && b-a < rounding }

// waits are when the car gives way at a junction.
func (t *teller) waits() []directions.Span {
	var out []directions.Span
	for i, l := range t.legs {
		begin := t.c.Legs[i].AtS - float64(l.d.at(l.a))/1000
		for k := l.a.index + 1; k <= l.b.index; k++ {
			_, end := l.d.extent(k-1, l.a, l.b)
			if from, to := l.d.at(spot{k - 1, end}), l.d.at(spot{k, 0}); from < to {
				out = append(out, directions.Span{From: geo.Seconds(begin + float64(from)/1000), To: geo.Seconds(begin + float64(to)/1000)})
			}
		}
	}
	return out
}

// stops are when the car stands between two legs.
func (t *teller) stops() []directions.Span {
	var out []directions.Span
	for i := 1; i < len(t.c.Legs); i++ {
		before := t.c.Legs[i-1]
		out = append(out, directions.Span{From: geo.Seconds(before.AtS + before.DriveS), To: geo.Seconds(t.c.Legs[i].AtS)})
	}
	return out
}

// clock is when the car is at a spot of the chain, from the lesson's start.
func (t *teller) clock(s directions.Spot) geo.Seconds {
	l := t.legs[s.Drive]
	ms := l.d.at(spot{l.a.index + s.Index, s.Along}) - l.d.at(l.a)
	return geo.Seconds(t.c.Legs[s.Drive].AtS + float64(ms)/1000)
}

func (t *teller) point(s directions.Spot) orb.Point {
	l := t.legs[s.Drive]
	at, _ := pointAt(t.n, l.d.position(spot{l.a.index + s.Index, s.Along}))
	return at
}

// carAt is where the car is at a second of the lesson: on the leg that is then
// driven, or at the end of the last one before.
func (t *teller) carAt(atS float64) orb.Point {
	i := 0
	for i+1 < len(t.legs) && t.c.Legs[i+1].AtS <= atS {
		i++
	}
	l := t.legs[i]
	at, _ := pointAt(t.n, l.d.position(l.d.after(l.a, l.b, int64((atS-t.c.Legs[i].AtS)*1000))))
	return at
}
