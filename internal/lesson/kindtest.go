package lesson

import (
	"fmt"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// varied says whether a kind of lesson seeks every topic that is taught.
func varied(k circuit.Kind) bool { return k == circuit.MockTest || k == circuit.TestDay }

// manner is how the kind of lesson that is planned goes about its stops.
func (pl *planner) manner() *manner {
	g := pl.table.Goes
	switch pl.wish.Kind {
	case circuit.MockTest:
		return &manner{between: examined, betweenM: pl.table.Mock.StopMinutes, least: 1, most: 1, each: g.LeastMinutes}
	case circuit.TestDay:
		return &manner{briefed: pl.change.handsOver(), between: rest, betweenM: pl.table.PullUps.Minutes, least: 1, most: 2, each: g.MostMinutes, parked: func(p roadnet.Position) bool { return pl.off[p.Segment.Stretch()] }}
	}
	return &manner{briefed: true, between: rest, betweenM: pl.table.PullUps.Minutes, least: g.Least, most: g.Most, each: g.MostMinutes}
}

// quests are what tours may be for, the likeliest first: each of the best places
// for the exercise, where there is one.
func (pl *planner) quests() []*quest {
	q := quest{atLeast: pl.least(), diminish: pl.table.Events.Diminish, driveMs: pl.budgetMs}
	if varied(pl.wish.Kind) {
		q.diminish = pl.table.Events.Varied
	}
	switch pl.wish.Kind {
	case circuit.MockTest:
		q.driveMs = min(q.driveMs, int64(60000*pl.table.Mock.MostMinutes))
	case circuit.TestDay:
		q.nearMs = uint32(1000 * pl.table.TestDay.NearS)
	}
	names := pl.exercises()
	if len(names) == 0 {
		return []*quest{&q}
	}
	var out []*quest
	for _, name := range names {
		ex, err := assess.Named(name)
		if err != nil {
			panic("lesson: bug in data/lesson.yaml: " + err.Error())
		}
		sub := *pl
		sub.ex = ex
		sub.gather()
		pl.parts = append(pl.parts, &sub)
		for i := range sub.places {
			p := &sub.places[i]
			near := pl.wish.Kind == circuit.TestDay && geo.Distance(pl.pointOf(p.Position), pl.pointOf(pl.wish.To)) < geo.Metres(pl.table.TestDay.AwayM)
			if len(p.backups) == 0 || near || len(out) == placesTried {
				continue
			}
			one := q
			one.place, one.ex, one.goesMs = p, ex, int64(60000*pl.table.Goes.LeastMinutes)
			if turnsRound(ex) {
				one.parity = 1
			}
			out = append(out, &one)
		}
		if len(out) > 0 {
			break
		}
	}
	return out
}

// placesTried is for how many places a tour is sought. Our choice.
const placesTried = 4

// exercises are those of which one is practised: the one asked for, or of a mock
// test the first of its table that is taught and has a place.
func (pl *planner) exercises() []string {
	if pl.wish.Exercise != "" {
		return []string{pl.wish.Exercise}
	}
	var out []string
	if pl.wish.Kind == circuit.MockTest {
		for _, name := range pl.table.Mock.Exercises {
			if !pl.learner.unready[name] {
				out = append(out, name)
			}
		}
	}
	return out
}

// keepAway keeps a warm-up off the road of the test centre, but for the way in
// at the end; not where the drive begins there.
func (pl *planner) keepAway() {
	if pl.wish.Kind != circuit.TestDay {
		return
	}
	last := *pl
	pl.last = &last
	if pl.off[pl.wish.From.Segment.Stretch()] {
		return
	}
	var bar []roadnet.StretchID
	for s := range roadnet.StretchID(pl.n.NumStretches()) {
		if pl.off[s] {
			bar = append(bar, s)
		}
	}
	w := pl.w.Bar(bar...)
	pl.forward, pl.backward = route.NewFinder(w), route.NewFinder(w)
}

// ownRoadWithin is how far off a road of the same name is still the same one.
// Our choice.
const ownRoadWithin geo.Metres = 1000

// ownRoad is the road of a place: the stretches that share its name near by.
func ownRoad(n *roadnet.Network, at roadnet.Position) map[roadnet.StretchID]bool {
	out := map[roadnet.StretchID]bool{}
	stretch := at.Segment.Stretch()
	leaveOut(n, stretch, out)
	name := n.NameOf(stretch)
	point, _ := pointAt(n, at)
	n.Within(grown(point.Bound(), ownRoadWithin), func(s roadnet.StretchID) bool {
		if name != 0 && n.NameOf(s) == name {
			out[s] = true
		}
		return true
	})
	return out
}

// beforeRoad keeps of a tour's events those before the drive comes to the road
// of the test centre for good.
func (pl *planner) beforeRoad(t *tour) {
	if pl.wish.Kind != circuit.TestDay {
		return
	}
	last := t.drives[len(t.drives)-1]
	first := len(last.Segments) // of the way in, after the last item
	from := 0
	if n := len(t.at); n > 0 && t.at[n-1].drive == len(t.drives)-1 {
		from = t.at[n-1].end.index
	}
	for i := from; i < len(last.Segments); i++ {
		if pl.off[last.Segments[i].Stretch()] {
			first = i
			break
		}
	}
	kept := t.events[:0]
	for _, e := range t.events {
		if t.rows[e.leg].d != last || e.at.index+1 < first {
			kept = append(kept, e)
		}
	}
	t.events = kept
}

// testMinutes is how long a tour takes from setting out to the debrief.
func (t *tour) testMinutes() float64 {
	for i, h := range t.halts {
		if h.what == debrief {
			return (t.rows[i].atS + t.rows[i].seconds - t.rows[0].atS) / 60
		}
	}
	return 0
}

// tooLong says whether a mock test takes longer than one.
func (pl *planner) tooLong(t *tour) bool {
	return pl.wish.Kind == circuit.MockTest && t.testMinutes() > pl.table.Mock.MostMinutes
}

// lacks says what a tour has not got that lessons of its kind must have; "" where
// it has all.
func (pl *planner) lacks(t *tour) string {
	m := pl.table.Mock
	switch topics := len(pl.counted(t)); {
	case pl.wish.Kind != circuit.MockTest:
	case t.testMinutes() < m.LeastMinutes:
		return fmt.Sprintf("the best drive that was found takes %.0f minutes, and a mock test %g to %g", t.testMinutes(), m.LeastMinutes, m.MostMinutes)
	case topics < m.LeastTopics:
		return fmt.Sprintf("what is within reach teaches %d topics, and a mock test should have %d", topics, m.LeastTopics)
	}
	return ""
}
