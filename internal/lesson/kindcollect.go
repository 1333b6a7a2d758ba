package lesson

import (
	"slices"

	"loopwright/internal/geo"
	"loopwright/internal/orienteer"
	"loopwright/internal/route"
)

// searches is how often the solver is asked anew for one quest. Our choice.
const searches = 12

// bestTour is the best tour of a lesson with no roads to judge: what is sought is
// collected by the tour solver, and the tour is driven.
//
//  1. Passings are the ways through junctions and along roads, within reach,
//     that teach what is sought.
//  2. The solver collects as many as fit, the next of one topic worth less than
//     the one before, with time to talk between. It goes by ways that are easily
//     told; only where no such tour will do, by the quickest.
//  3. The tour is driven, its stops are set, and all that it comes by is counted
//     on the real drive.
//  4. Where a wish is short, its topic is worth more and 2 begins again; where
//     the drive turns out too long, it is given less time.
//  5. Where all the same too much is to be told, it is driven in rounds, if those
//     come by as much.
func (pl *planner) bestTour() (best *tour, places []int) {
	m := pl.manner()
	quests := pl.quests()
	pl.keepAway()
	for _, w := range []way{pl.plainWay(), {pl, 1}} {
		for _, q := range quests {
			all, found := pl.passings(q)
			if places == nil {
				places = found
			}
			if t := pl.collect(w, q, all, m); t != nil && (best == nil || t.score > best.score) {
				best = t
			}
			if best != nil && pl.meets(best) && pl.tooMuchTold(best) {
				if t := pl.inRounds(w, q, all, m); t != nil && pl.table.Telling.Rounds*len(t.events) >= len(best.events) {
					best = t
				}
			}
			if pl.stopped() {
				return nil, places
			}
			if best != nil && pl.meets(best) {
				return best, places
			}
		}
	}
	return best, places
}

// way is how the car gets from one item to the next: a planner that searches
// so, and how much longer a tour takes by its reckoning.
type way struct {
	*planner
	longer float64
}

// plainWay goes where few turns are to be told: its searches reckon a turn longer
// than it takes. How long a tour really takes is known when it is driven.
func (pl *planner) plainWay() way {
	t := pl.table.Telling
	by := func(pl *planner) *planner {
		out := *pl
		w := pl.forward.Weights().Plain(geo.Radians(t.TurnDeg)*geo.Degree, geo.Seconds(t.TurnS))
		out.forward, out.backward = route.NewFinder(w), route.NewFinder(w)
		return &out
	}
	out := by(pl)
	if pl.last != nil {
		out.last = by(pl.last)
	}
	return way{out, 1 + t.TurnS/t.AboutS}
}

// collect is the best tour of one quest that was found, nil where none was.
func (pl *planner) collect(w way, q *quest, all []passing, m *manner) (best *tour) {
	all = slices.DeleteFunc(slices.Clone(all), func(p passing) bool { return w.through(&p.item) == orienteer.Never })
	pr := w.poseTour(q, all)
	worth := slices.Repeat([]float64{1}, len(pl.sought.topics))
	budget := int64(w.longer*float64(pl.drivingIn(q.driveMs-q.goesMs, m))) + q.goesMs
	for try := range searches {
		if pl.stopped() {
			return nil
		}
		for i := range all {
			pr.Stops[i].Reward = all[i].Chance * worth[all[i].wish]
		}
		pr.Budget = budget
		solved, err := orienteer.Solve(pr, orienteer.Options{Seed: pl.wish.Seed + uint64(try), Iterations: pl.table.Events.Iterations})
		if err != nil || len(solved.Order) == 0 {
			break
		}
		t, ok := w.tour(itemsIn(q, all, solved.Order), m)
		if !ok || !pl.counts(t, q, m) {
			budget -= budget / 16 // stops, and what restrictions cost, took more than was thought
			continue
		}
		if best == nil || t.score > best.score {
			best = t
		}
		short := false
		for wish, n := range tally(t.events, len(worth)) {
			if n < q.atLeast[wish] {
				worth[wish] *= 2
				short = true
			}
		}
		if !short {
			break
		}
	}
	return best
}

// drivingIn is what stops on the way leave of some milliseconds for driving.
func (pl *planner) drivingIn(ms int64, m *manner) int64 {
	const twoStops = 2 * stopS * 1000
	for rests := int64(0); ; rests++ {
		left := ms - twoStops - rests*int64(60000*m.betweenM+stopS*1000)
		if left <= (rests+1)*int64(1000*evenS*pl.table.PullUps.AboutS) {
			return max(left, 0)
		}
	}
}

// itemsIn are what the solver chose.
func itemsIn(q *quest, all []passing, order []int) []item {
	items := make([]item, 0, len(order))
	for _, i := range order {
		if i < len(all) {
			items = append(items, all[i].item)
		} else {
			items = append(items, q.item())
		}
	}
	return items
}
