package lesson

import (
	"slices"

	"loopwright/internal/geo"
	"loopwright/internal/orienteer"
)

// bestWished is the best lesson past roads to judge that is also to come by what
// is wished: each of the best choices is driven, and what it does not come by is
// put in where that costs the least time, at the cost of goes.
func (pl *planner) bestWished() (best *tour, places []int) {
	pl.budgetMs = max(pl.drivingMs(pl.wish.Minutes)-pl.changeMs(), 0)
	pl.gather()
	pl.pose()
	m := pl.manner()
	q := &quest{atLeast: pl.least(), diminish: pl.table.Events.Diminish}
	all, places := pl.passings(q)
	all = slices.DeleteFunc(all, func(p passing) bool { return pl.through(&p.item) == orienteer.Never })
	for _, distinct := range []bool{true, false} {
		pl.problem.distinct = distinct
		for _, c := range pl.choices() {
			if pl.stopped() {
				return nil, places
			}
			t, ok := pl.detour(q, m, pl.chosen(c), all)
			if !ok {
				continue
			}
			if t.score += c.score; best == nil || t.score > best.score {
				best = t
			}
		}
		if best != nil && pl.meets(best) {
			break
		}
	}
	return best, places
}

// chosen are a choice's roads to judge and its place, with the parity of goes
// from which the way home is shorter.
func (pl *planner) chosen(c choice) []item {
	var out []item
	for _, k := range c.order {
		out = append(out, roadItem(&pl.examples[k], pl.ex))
	}
	place, parity := &pl.places[c.place], 0
	if home := place.home; turnsRound(pl.ex) && home[1] < home[0] {
		parity = 1
	}
	return append(out, placeItem(place, pl.ex, parity))
}

// again says whether two unsuitable roads of a tour show one reason.
func (pl *planner) again(t *tour) bool {
	seen := map[string]bool{}
	for _, it := range t.items {
		if it.shown == nil || it.shown.suits() {
			continue
		}
		if seen[it.shown.Reason] {
			return true
		}
		seen[it.shown.Reason] = true
	}
	return false
}

// detours is how often what is lacking is put in anew. Our choice: what was put
// in may fall too close to something else to count.
const detours = 5

// detour drives some items, with as many passings put in between as are lacking;
// the drive with the fewest lacking is kept.
func (pl *planner) detour(q *quest, m *manner, items []item, all []passing) (*tour, bool) {
	best, ok := pl.try(q, items, m)
	if !ok {
		return nil, false
	}
	used := make([]bool, len(all))
	for range detours {
		got := tally(best.events, len(q.atLeast))
		wish := 0 // that is furthest from being met
		for w, n := range q.atLeast {
			if n-got[w] > q.atLeast[wish]-got[wish] {
				wish = w
			}
		}
		lacking := q.atLeast[wish] - got[wish]
		if lacking <= 0 {
			break
		}
		more := slices.Clone(best.items)
		for range lacking {
			k, at, ok := pl.cheapest(more, all, used, wish)
			if !ok {
				break
			}
			used[k] = true
			more = slices.Insert(more, at, all[k].item)
		}
		if t, ok := pl.try(q, more, m); ok && t.score > best.score {
			best = t
		}
	}
	return best, true
}

// cheapest is the passing for a wish that costs the least time to put between
// some items, and before which of them.
func (pl *planner) cheapest(items []item, all []passing, used []bool, wish int) (passing, at int, ok bool) {
	bound := geo.Seconds(pl.table.Search.BetweenS)
	least := int64(orienteer.Never)
	for gap := range len(items) + 1 {
		from, to := pl.wish.From, pl.wish.To
		if gap > 0 {
			from = items[gap-1].onFrom()
		}
		if gap < len(items) {
			to = items[gap].from()
		}
		there, back := pl.forward.From(from, bound, pl.turning()), pl.backward.Into(to, bound, pl.turning())
		straight, _ := there.Ms(to)
		for k := range all {
			p := &all[k]
			if used[k] || p.wish != wish {
				continue
			}
			out, okOut := there.Ms(p.from())
			on, okOn := back.Ms(p.to())
			if cost := int64(out) + pl.through(&p.item) + int64(on) - int64(straight); okOut && okOn && cost < least {
				least, passing, at, ok = cost, k, gap, true
			}
		}
	}
	return passing, at, ok
}
