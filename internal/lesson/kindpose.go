package lesson

import (
	"slices"

	"loopwright/internal/assess"
	"loopwright/internal/geo"
	"loopwright/internal/orienteer"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// quest is what a tour is to come by.
type quest struct {
	atLeast  []int     // for each wish
	diminish []float64 // worth of the first, the second ... for one wish
	nearMs   uint32    // what is sought lies at most so far before the finish; 0: anywhere
	driveMs  int64     // at the most
	ex       *assess.Exercise
	place    *practice // to practise at on the way; nil: nowhere
	parity   int       // of the goes there
	goesMs   int64     // least time there
}

// passing is a way through a junction or along a road that counts for a wish.
type passing struct {
	taught
	item
	out int64 // ms from the start
}

// passings are what counts for the wishes within reach: for each wish as many as
// are searched over, nearest first, of each junction or road one before any
// second. It also gives how many places there are for each wish.
func (pl *planner) passings(q *quest) (kept []passing, places []int) {
	wishes := len(pl.sought.topics)
	byPlace := make([]map[int64][]passing, wishes)
	order := make([][]int64, wishes)
	for w := range wishes {
		byPlace[w] = map[int64][]passing{}
	}
	add := func(place int64, p passing) {
		if byPlace[p.wish][place] == nil {
			order[p.wish] = append(order[p.wish], place)
		}
		byPlace[p.wish][place] = append(byPlace[p.wish][place], p)
	}
	for _, r := range pl.reached[:min(len(pl.reached), pl.table.Search.LookedAt)] {
		if q.nearMs > 0 && r.back > q.nearMs || pl.without[r.segment.Stretch()] {
			continue
		}
		length := pl.n.Length(r.segment.Stretch())
		for _, t := range pl.sought.along(r.segment) {
			place := int64(pl.n.NameOf(r.segment.Stretch()))
			if place == 0 {
				place = -int64(r.segment.Stretch()) - 1
			}
			add(place, passing{t, item{segments: []roadnet.SegmentID{r.segment}, end: length}, int64(r.out)})
		}
		lo, hi := pl.n.TurnRange(roadnet.StateID(r.segment))
		for turn := lo; turn < hi; turn++ {
			to := pl.n.StateSegment(pl.n.TurnAt(turn).To)
			if pl.n.TurnAt(turn).U || !pl.w.Open(to) || pl.without[to.Stretch()] {
				continue
			}
			for _, t := range pl.sought.turning(r.segment, to) {
				add(int64(pl.n.JunctionOf(pl.n.Head(r.segment))), passing{t, item{segments: []roadnet.SegmentID{r.segment, to}}, int64(r.out)})
			}
		}
	}
	for w := range wishes {
		places = append(places, len(order[w]))
		most := pl.table.Events.Candidates / wishes
		for round := 0; most > 0; round++ {
			any := false
			for _, place := range order[w] {
				if all := byPlace[w][place]; round < len(all) && most > 0 {
					kept, any = append(kept, all[round]), true
					most--
				}
			}
			if !any {
				break
			}
		}
	}
	return kept, places
}

// poseTour lays passings, and the place of a quest after them, out for the
// solver.
func (pl *planner) poseTour(q *quest, all []passing) *orienteer.Problem {
	items := make([]item, 0, len(all)+1)
	for _, p := range all {
		items = append(items, p.item)
	}
	if q.place != nil {
		items = append(items, q.item())
	}
	n := len(items)
	pr := &orienteer.Problem{
		Stops: make([]orienteer.Stop, n), Times: make([][]int64, n+2), Diminish: q.diminish, Gap: int64(pl.table.Events.ApartS * 1000),
		Overlap: make([][]float64, n),
	}
	from, to := make([]roadnet.Position, n), make([]roadnet.Position, n)
	for i := range items {
		it := &items[i]
		to[i], from[i] = it.from(), it.onFrom()
	}
	home := make([]int64, n)
	in := pl.homeward()
	for i, p := range from {
		home[i] = orienteer.Never
		if ms, ok := in.Ms(p); ok {
			home[i] = int64(ms)
		}
	}
	start := append(slices.Clone(from), pl.wish.From)
	for i, row := range pl.forward.Matrix(start, to, geo.Seconds(pl.table.Search.ReachS), pl.turning()) {
		times := make([]int64, 0, n+2)
		for j, ms := range row {
			if ms == never || i == j {
				times = append(times, orienteer.Never)
			} else {
				times = append(times, int64(ms))
			}
		}
		h := orienteer.Never
		if i < n {
			h = home[i]
		}
		pr.Times[i] = append(times, orienteer.Never, h)
	}
	pr.Times[n+1] = slices.Repeat([]int64{orienteer.Never}, n+2)
	if ms, ok := in.Ms(pl.wish.From); ok {
		pr.Times[n][n+1] = int64(ms)
	}
	for i := range items {
		it := &items[i]
		pr.Overlap[i] = make([]float64, n)
		if it.place != nil {
			pr.Stops[i] = orienteer.Stop{Service: q.goesMs, Group: -1, Must: true}
			continue
		}
		pr.Stops[i] = orienteer.Stop{Reward: all[i].Chance, Service: pl.through(it), Group: all[i].wish, Spaced: true}
		for j := range i {
			if pl.n.JunctionOf(pl.n.Head(it.segments[0])) == pl.n.JunctionOf(pl.n.Head(all[j].segments[0])) {
				pr.Overlap[i][j] = pl.table.Events.SamePlace
				pr.Overlap[j][i] = pl.table.Events.SamePlace
			}
		}
	}
	return pr
}

// item is the place of a quest.
func (q *quest) item() item { return placeItem(q.place, q.ex, q.parity) }

// homeward is a search into the finish, with what may be driven last.
func (pl *planner) homeward() *route.Tree {
	way := pl
	if pl.last != nil {
		way = pl.last
	}
	return way.backward.Into(pl.wish.To, geo.Seconds(pl.table.Search.ReachS), pl.turning())
}

// through is the time in milliseconds to drive an item, as the planner reckons.
func (pl *planner) through(it *item) int64 {
	if d, ok := pl.forward.Weights().Drive(it.from(), it.to(), it.segments, pl.turning()); ok {
		return int64(d.Ms)
	}
	return orienteer.Never
}
