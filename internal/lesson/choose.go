package lesson

import (
	"slices"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/directions"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// beforePlace is how long before the practice place a learner who is to choose a
// road is asked to, at the latest. Our choice: a road takes some ten seconds to
// see, and the direction to pull up comes ten seconds before the place.
const beforePlace geo.Seconds = 40

// choose is the request to choose a road, at the end of roads to judge in mixed
// order: among those from the last of them to the place. False where there is
// none to be made.
func (t *teller) choose(q directions.Asking, shown []directions.Span) (circuit.Step, bool) {
	if t.choices == nil || len(shown) == 0 {
		return circuit.Step{}, false
	}
	to := -1 // the leg that ends at the place
	for i, l := range t.c.Legs {
		if near(l.AtS+l.DriveS, t.c.Practice.AtS) {
			to = i
		}
	}
	if to < 0 {
		return circuit.Step{}, false
	}
	place := geo.Seconds(t.c.Practice.AtS)
	begin := max(shown[len(shown)-1].To, geo.Seconds(t.c.Legs[to].AtS))
	for _, b := range q.Busy { // the question about the last road comes first
		if b.From == b.To && b.From < place {
			begin = max(begin, b.To)
		}
	}
	q.CarPark, q.Road, q.Exercise, q.Along = false, "", t.c.Practice.Exercise, directions.Span{From: begin, To: place - beforePlace}
	q.Along.To = max(q.Along.To, q.Along.From)
	s, at, ok := directions.AskToChoose(t.p, q)
	if !ok || at > place {
		return circuit.Step{}, false
	}
	l, from := t.legs[to], at
	if at == place { // it is about the roads just passed
		from = begin
	}
	roads := t.choices(l, l.d.after(l.a, l.b, int64((from-geo.Seconds(t.c.Legs[to].AtS))*1000)))
	t.c.Choice = &circuit.Choice{Roads: slices.DeleteFunc(roads, func(r circuit.Choosable) bool {
		judged := slices.ContainsFunc(t.c.Examples, func(e circuit.Example) bool { return e.Road == r.Road })
		return judged && r.Road != t.c.Practice.Road // and the answer was told
	})}
	return step(s, t.carAt(float64(at)), at), true
}

// choosable gives the roads of a leg from a spot on, in order, those that are seen
// long enough to be judged, with the best verdict of what is driven of each; the
// last is that of the place. Nil where no road is to be chosen.
func (pl *planner) choosable() func(leg, spot) []circuit.Choosable {
	if !pl.wish.Mixed || pl.wish.Kind != circuit.RoadsToJudge || pl.ex.CarPark {
		return nil
	}
	return func(l leg, from spot) []circuit.Choosable {
		var out []circuit.Choosable
		for i := from.index; i <= l.b.index; i++ {
			s := l.d.Segments[i]
			lo, hi := l.d.extent(i, from, l.b)
			v := pl.verdictOn(s)
			if i == l.b.index { // where one practises
				v = pl.assessor.At(pl.ex, l.d.position(l.b), sideFor(pl.ex, pl.p)).Verdict
			} else if float64(hi-lo) < pl.table.Examples.LeastM {
				continue
			}
			road := roadOf(pl.n, s)
			if k := len(out) - 1; k >= 0 && out[k].Road == road {
				out[k].Verdict = better(out[k].Verdict, v)
				continue
			}
			out = append(out, circuit.Choosable{Road: road, Verdict: v})
		}
		return out
	}
}

// verdictOn is what a driver along a segment makes of its best place.
func (pl *planner) verdictOn(s roadnet.SegmentID) assess.Verdict {
	for _, p := range pl.assessor.Scan(pl.ex, s.Stretch()) {
		if p.Position.Segment == s {
			return p.Verdict
		}
	}
	return assess.VerdictUnknown
}

// better is the verdict of the two for which one would sooner stop; what is not
// known may still turn out well.
func better(a, b assess.Verdict) assess.Verdict {
	order := []assess.Verdict{assess.Unsuitable, assess.VerdictUnknown, assess.Possible, assess.Likely, assess.Suitable}
	return order[max(slices.Index(order, a), slices.Index(order, b))]
}
