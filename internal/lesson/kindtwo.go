package lesson

import (
	"cmp"
	"slices"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// noRoads is owned up to where no road to judge fits beside two exercises.
const noRoads = "There was no time for a road to judge."

// How many of the best roads to judge, places and pairs are tried. Our choice:
// all pairs of so many are looked at in a blink.
const (
	twoExamples = 14
	twoPlaces   = 12
	twoDriven   = 24
)

// pair is a choice for two exercises: for each a road to judge, -1 for none, a
// place and the parity of its goes.
type pair struct {
	example, place, parity [2]int
	score                  float64
}

// bestPair is the best lesson of two exercises: every pair of the best places is
// tried, with the best road to judge before each, and of those that can be driven
// in time the best is taken. Where no road to judge fits there is none.
func (pl *planner) bestPair() (*tour, error) {
	g := pl.table.Goes
	pl.budgetMs = max(pl.budgetMs-int64(2*float64(g.Least)*g.LeastMinutes*60000), 0)
	for _, name := range []string{pl.wish.Exercise, pl.wish.Second} {
		ex, err := assess.Named(name)
		if err != nil {
			return nil, err
		}
		sub := *pl
		sub.ex = ex
		sub.gather()
		pl.parts = append(pl.parts, &sub)
	}
	pl.reached = pl.parts[0].reached
	m := pl.manner()
	var best *tour
	for i, p := range pl.pairs() {
		if pl.stopped() || i >= twoDriven && best != nil || i >= 4*twoDriven {
			break
		}
		t, ok := pl.try(&quest{atLeast: pl.least(), diminish: pl.table.Events.Diminish}, pl.itemsOf(p), m)
		if !ok {
			continue
		}
		t.score += p.score
		if best == nil || t.score > best.score {
			best = t
		}
	}
	return best, nil
}

// least are the numbers that were asked for, 0 for what is sought for variety.
func (pl *planner) least() []int {
	out := make([]int, len(pl.sought.topics))
	for i, s := range pl.wish.Seek {
		out[i] = s.AtLeast
	}
	return out
}

// itemsOf are the parts of a lesson of two exercises in order.
func (pl *planner) itemsOf(p pair) []item {
	var out []item
	for k, sub := range pl.parts {
		if p.example[k] >= 0 {
			out = append(out, roadItem(&sub.examples[p.example[k]], sub.ex))
		}
		out = append(out, placeItem(&sub.places[p.place[k]], sub.ex, p.parity[k]))
	}
	return out
}

// pairs are all choices that may fit, best first.
func (pl *planner) pairs() []pair {
	a, b := pl.parts[0], pl.parts[1]
	placesA, placesB := backedUp(a), backedUp(b)
	examplesA, examplesB := clearest(a), clearest(b)
	if len(placesA) == 0 || len(placesB) == 0 {
		return nil
	}
	at := func(sub *planner, all []int) []roadnet.Position {
		out := make([]roadnet.Position, len(all))
		for i, k := range all {
			out[i] = sub.places[k].Position
		}
		return out
	}
	begins := func(sub *planner, all []int) []roadnet.Position {
		out := make([]roadnet.Position, len(all))
		for i, k := range all {
			out[i] = sub.examples[k].begin()
		}
		return out
	}
	between := geo.Seconds(pl.table.Search.BetweenS)
	times := func(from, to []roadnet.Position) [][]uint32 {
		return pl.forward.Matrix(from, to, between, pl.turning())
	}
	toA := times(begins(a, examplesA), at(a, placesA))
	toB := times(begins(b, examplesB), at(b, placesB))
	var on [2][][]uint32 // by the parity at the first place: to the roads to judge and the places of the second
	for parity := range 2 {
		from := make([]roadnet.Position, len(placesA))
		for i, k := range placesA {
			from[i] = a.places[k].leaves(2 + parity)
		}
		on[parity] = times(from, append(begins(b, examplesB), at(b, placesB)...))
	}
	var out []pair
	for i, pa := range placesA {
		for j, pb := range placesB {
			if a.places[pa].Position.Segment.Stretch() == b.places[pb].Position.Segment.Stretch() {
				continue
			}
			for parity := range parities(a.ex) {
				first, okA := bestBefore(a, examplesA, pa, a.places[pa].out, func(e int) uint32 { return toA[e][i] }, func(e int) uint32 { return a.examples[examplesA[e]].out })
				second, okB := bestBefore(b, examplesB, pb, on[parity][i][len(examplesB)+j], func(e int) uint32 { return toB[e][j] }, func(e int) uint32 { return on[parity][i][e] })
				if !okA || !okB {
					continue
				}
				for last := range parities(b.ex) {
					home := b.places[pb].home[last]
					if home == never {
						continue
					}
					for _, f := range first {
						for _, s := range second {
							drive := f.ms + s.ms + int64(home)
							p := pair{example: [2]int{f.example, s.example}, place: [2]int{pa, pb}, parity: [2]int{parity, last}}
							p.score = f.worth + s.worth + pl.table.Weights.Place*(placeWorth(&a.places[pa].Place)+placeWorth(&b.places[pb].Place)) -
								pl.table.Weights.DriveMinute*float64(drive)/60000 - pl.alike(p)
							if drive <= pl.budgetMs {
								out = append(out, p)
							}
						}
					}
				}
			}
		}
	}
	slices.SortStableFunc(out, func(x, y pair) int { return cmp.Compare(y.score, x.score) })
	return out
}

// alike is what a pair loses whose roads to judge show the same, or are one road.
func (pl *planner) alike(p pair) float64 {
	if p.example[0] < 0 || p.example[1] < 0 {
		return 0
	}
	a, b := &pl.parts[0].examples[p.example[0]], &pl.parts[1].examples[p.example[1]]
	lost := 0.0
	if a.Reason == b.Reason {
		lost += (1 - pl.table.Weights.ReasonAgain) * b.Clarity
	}
	if name := pl.n.NameOf(a.Segment.Stretch()); name != 0 && name == pl.n.NameOf(b.Segment.Stretch()) {
		lost += pl.table.Weights.SameRoad
	}
	return lost
}

// before is a way to a place, by a road to judge or none.
type before struct {
	example int
	ms      int64
	worth   float64
}

// bestBefore are the way to a place by its best road to judge, and the one with
// none; not ok where neither leads there.
func bestBefore(sub *planner, examples []int, place int, straight uint32, on, to func(e int) uint32) ([]before, bool) {
	var out []before
	best := before{example: -1}
	for e, k := range examples {
		ex := &sub.examples[k]
		if on(e) == never || to(e) == never || ex.Segment.Stretch() == sub.places[place].Position.Segment.Stretch() {
			continue
		}
		ms := int64(on(e)) + int64(to(e))
		worth := roadWorth + ex.Clarity - sub.table.Weights.DriveMinute*float64(ms)/60000
		if best.example < 0 || worth > best.worth {
			best = before{k, ms, worth}
		}
	}
	if best.example >= 0 {
		best.worth += sub.table.Weights.DriveMinute * float64(best.ms) / 60000
		out = append(out, best)
	}
	if straight != never {
		out = append(out, before{-1, int64(straight), 0})
	}
	return out, len(out) > 0
}

// roadWorth is what any road to judge is worth beside its clarity. Our choice: it
// outweighs a place that is a little better.
const roadWorth = 1

func parities(ex *assess.Exercise) int {
	if turnsRound(ex) {
		return 2
	}
	return 1
}

// backedUp are the best places that have a backup.
func backedUp(sub *planner) []int {
	var out []int
	for i := range sub.places {
		if len(sub.places[i].backups) > 0 && len(out) < twoPlaces {
			out = append(out, i)
		}
	}
	return out
}

// clearest are the clearest roads to judge near by.
func clearest(sub *planner) []int {
	out := make([]int, len(sub.examples))
	for i := range out {
		out[i] = i
	}
	rank := func(i int) float64 {
		e := &sub.examples[i]
		return e.Clarity - sub.table.Weights.DriveMinute*float64(e.out+e.back)/60000
	}
	slices.SortStableFunc(out, func(i, j int) int { return cmp.Compare(rank(j), rank(i)) })
	return out[:min(len(out), twoExamples)]
}

// countExamples fills in how many roads to judge a lesson of two exercises has.
func (pl *planner) countExamples(t *tour) {
	for _, it := range t.items {
		switch {
		case it.shown == nil || pl.wish.Kind != circuit.TwoExercises:
		case it.shown.suits():
			pl.wish.suitable++
		default:
			pl.wish.unsuitable++
		}
	}
}
