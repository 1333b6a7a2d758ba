package lesson

import (
	"cmp"
	"slices"

	"loopwright/internal/circuit"
	"loopwright/internal/directions"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// teller writes down what is said on a circuit's drive, and when.
type teller struct {
	*planner
	c    *circuit.Circuit
	legs []leg
	busy []directions.Span // from the saying of each direction until it is done
}

func (pl *planner) options() directions.Options { return directions.Options{Pace: pl.w} }

// chain is a finalist's legs as directions are written for them.
func (pl *planner) chain(f *finalist, legs []leg) []directions.Drive {
	chain := make([]directions.Drive, len(legs))
	for i, l := range legs {
		side := drivingSide(pl.p)
		if i < len(f.halts) && f.halts[i].what == practising {
			side = pl.places[f.place].Side
		}
		chain[i] = directions.Drive{Path: l.d.part(l.a, l.b), PullUp: side}
	}
	return chain
}

// awkward is what the directions of a finalist cost, in points.
func (pl *planner) awkward(f *finalist) float64 {
	return pl.table.Weights.Awkward * directions.Cost(directions.Write(pl.n, pl.p, pl.chain(f, f.legs()), pl.options()))
}

// direct writes what is said on the drive, with the time of each, and puts the
// questions about the roads to judge between.
func (pl *planner) direct(c *circuit.Circuit, f *finalist, legs []leg) {
	t := &teller{planner: pl, c: c, legs: legs}
	for _, s := range directions.Write(pl.n, pl.p, pl.chain(f, legs), pl.options()) {
		t.add(s, pl.position(legs, s.Said), t.clock(s.Said))
		t.busy = append(t.busy, directions.Span{From: t.clock(s.Said), To: t.clock(s.Done)})
	}
	t.ask(f)
	slices.SortStableFunc(c.Steps, func(a, b circuit.Step) int { return cmp.Compare(a.AtS, b.AtS) })
	for i := range c.Steps {
		c.Steps[i].Order = i + 1
	}
}

// position is a spot of the chain in the network.
func (pl *planner) position(legs []leg, s directions.Spot) roadnet.Position {
	l := legs[s.Drive]
	return l.d.position(spot{l.a.index + s.Index, s.Along})
}

// clock is when the car is at a spot of the chain, from the lesson's start.
func (t *teller) clock(s directions.Spot) geo.Seconds {
	l := t.legs[s.Drive]
	ms := l.d.at(spot{l.a.index + s.Index, s.Along}) - l.d.at(l.a)
	return geo.Seconds(t.c.Legs[s.Drive].AtS + float64(ms)/1000)
}

func (t *teller) add(s directions.Step, at roadnet.Position, said geo.Seconds) {
	t.c.Steps = append(t.c.Steps, circuit.Step{
		At: t.pointOf(at), AtS: float64(said), Say: s.Say, Alert: s.Alert, Direction: s.Direction, Where: s.Where,
		DistanceM: s.Distance, Kind: s.Kind.String(),
	})
}

// ask puts a question about each road to judge.
func (t *teller) ask(f *finalist) {
	var stops []directions.Span
	for i := 1; i < len(t.c.Legs); i++ {
		before := t.c.Legs[i-1].AtS + t.c.Legs[i-1].DriveS
		stops = append(stops, directions.Span{From: geo.Seconds(before), To: geo.Seconds(t.c.Legs[i].AtS)})
	}
	for i, e := range t.c.Examples {
		j := &t.examples[f.order[i]]
		seen := float64(t.w.At(j.finish())-t.w.At(j.begin())) / 1000
		name := e.Road
		if name == noName {
			name = ""
		}
		s, at, ok := directions.Ask(t.p, directions.Asking{
			Road: name, Exercise: t.ex.Name, Along: directions.Span{From: geo.Seconds(e.AtS), To: geo.Seconds(e.AtS + seen)},
			Busy: t.busy, Stops: stops, Clear: geo.Seconds(t.table.Question.ClearOfDirectionS),
		})
		if ok {
			t.add(s, t.whereAt(float64(at)), at)
		}
	}
}

// whereAt is where the car is at a moment of the lesson, in seconds: on the
// leg that is then driven, or at the end of the last one before.
func (t *teller) whereAt(at float64) roadnet.Position {
	i := 0
	for i+1 < len(t.legs) && t.c.Legs[i+1].AtS <= at {
		i++
	}
	l := t.legs[i]
	return l.d.position(l.d.after(l.a, l.b, int64((at-t.c.Legs[i].AtS)*1000)))
}
