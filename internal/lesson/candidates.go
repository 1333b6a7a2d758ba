package lesson

import (
	"cmp"
	"slices"

	"github.com/paulmach/orb"

	"loopwright/internal/assess"
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// judged is a road to judge that the circuit might pass.
type judged struct {
	assess.Example
	out, back uint32 // ms from the start to where it begins, and from there to the finish
}

func (j *judged) begin() roadnet.Position { return roadnet.Position{Segment: j.Segment, Along: j.From} }
func (j *judged) finish() roadnet.Position {
	return roadnet.Position{Segment: j.Segment, Along: j.To}
}
func (j *judged) suits() bool { return j.Verdict != assess.Unsuitable }

// practice is a place where the circuit might stop to practise.
type practice struct {
	assess.Place
	out     uint32    // ms from the start
	home    [2]uint32 // ms to the finish after an even and an odd number of goes; never where there is no way
	backups []second  // nearest first
	round   *drive    // from where a go leaves the car to where the next begins; nil where it need not drive
	roundMs uint32    // with the pulling up
}

// second is a place near another.
type second struct {
	place int
	ms    uint32
}

// reach is a segment with how far out of the way it is.
type reach struct {
	segment   roadnet.SegmentID
	out, back uint32
}

// trees are the quickest drives from the start and into the finish.
func (pl *planner) trees() (out, in *route.Tree) {
	budget := geo.Seconds(float64(pl.budgetMs) / 1000)
	roadnet.InParallel(2, func(next func() (int, bool)) {
		for i, ok := next(); ok; i, ok = next() {
			if i == 0 {
				out = pl.forward.From(pl.wish.From, budget, pl.turning())
			} else {
				in = pl.backward.Into(pl.wish.To, budget, pl.turning())
			}
		}
	})
	return out, in
}

// within lists the segments that can be driven to and home from in time,
// least round trip first. Segments of which both ends are out of reach, or
// that lie where only callers may go, are not among them.
func (pl *planner) within(out, in *route.Tree) []reach {
	return pl.reachedBy(out, in, uint32(pl.table.Search.ReachS*1000), pl.budgetMs)
}

// reachedBy is within by the times to where a segment begins, at the most so many
// milliseconds, and from there home.
func (pl *planner) reachedBy(out, in timed, far uint32, budgetMs int64) []reach {
	var all []reach
	for i := range pl.n.NumSegments() {
		s := roadnet.SegmentID(i)
		if !pl.w.Open(s) || pl.n.Use(s) != extract.Through || pl.n.Zone(s.Stretch()) != 0 {
			continue
		}
		begin := roadnet.Position{Segment: s}
		o, ok := out.Ms(begin)
		if !ok || o > far {
			continue
		}
		// Into a dead end there is a way home only after a turn; it is as far
		// from its mouth as the mouth is from it.
		b, ok := in.Ms(begin)
		if !ok {
			if b, ok = in.Ms(pl.n.Opposite(begin)); !ok {
				continue
			}
		}
		if int64(o)+int64(b) <= budgetMs {
			all = append(all, reach{s, o, b})
		}
	}
	slices.SortFunc(all, func(a, b reach) int {
		return cmp.Or(cmp.Compare(a.out+a.back, b.out+b.back), cmp.Compare(a.segment, b.segment))
	})
	return all
}

// gather assesses what lies in reach, nearest first, and keeps the best.
func (pl *planner) gather() {
	out, in := pl.trees()
	pl.reached = pl.within(out, in)
	found, places := pl.lookAt(pl.reached[:min(len(pl.reached), pl.table.Search.LookedAt)])
	pl.found = len(found)
	pl.examples = best(found, pl.table.Search.Candidates, pl.wish.suitable)
	pl.places = pl.near(places, out, in)
	if pl.ex.CarPark && pl.wish.Unsuitable == nil { // nobody asked for one: many a town has none
		noes := 0
		for i := range pl.examples {
			if !pl.examples[i].suits() {
				noes++
			}
		}
		pl.wish.unsuitable = min(pl.wish.unsuitable, noes)
	}
}

// lookAt is what some segments offer, in their order.
func (pl *planner) lookAt(all []reach) (found []judged, places []practice) {
	// Both segments of a stretch are looked at one after the other, since the
	// assessor gathers what it knows by the stretch.
	var stretches [][]int // in all
	at := map[roadnet.StretchID]int{}
	for i, r := range all {
		s := r.segment.Stretch()
		if _, ok := at[s]; !ok {
			at[s] = len(stretches)
			stretches = append(stretches, nil)
		}
		stretches[at[s]] = append(stretches[at[s]], i)
	}
	looks := make([]look, len(all))
	roadnet.InParallel(len(stretches), func(next func() (int, bool)) {
		assessor := pl.assessor.Fork()
		for k, ok := next(); ok && !pl.stopped(); k, ok = next() {
			for n, i := range stretches[k] {
				looks[i] = pl.look(assessor, all[i], n == 0)
			}
		}
	})
	for _, l := range looks { // in the order of all, whoever looked
		found = append(found, l.found...)
		places = append(places, l.places...)
	}
	return found, places
}

// look is what a segment offers.
type look struct {
	found  []judged
	places []practice
}

// look assesses a segment and, with places, its stretch.
func (pl *planner) look(assessor *assess.Assessor, r reach, places bool) look {
	var l look
	stretch := r.segment.Stretch()
	if pl.without[stretch] {
		return l
	}
	if pl.n.InCore(stretch) && !varied(pl.wish.Kind) {
		for _, e := range pl.looked.examplesOn(assessor, pl.ex, r.segment) {
			if pl.shown(e) {
				l.found = append(l.found, judged{Example: e, out: r.out + pl.w.At(roadnet.Position{Segment: e.Segment, Along: e.From}), back: r.back})
			}
		}
	}
	if !places || stretch == pl.pickUp().Segment.Stretch() || stretch == pl.dropOff().Segment.Stretch() {
		return l // nobody practises in front of the client's own house
	}
	for _, p := range pl.looked.placesOn(assessor, pl.ex, stretch) {
		if p.Side == sideFor(pl.ex, pl.p) && !(pl.dark && pl.unlit(&p)) {
			l.places = append(l.places, practice{Place: p})
		}
	}
	return l
}

// shown says whether an example is driven along as long as a learner needs to
// see it, at the pace of this lesson. A loop that ends where it began is driven
// round, and no road to judge.
func (pl *planner) shown(e assess.Example) bool {
	if pl.n.Tail(e.Segment) == pl.n.Head(e.Segment) {
		return false
	}
	t := pl.table.Examples
	s := float64(pl.w.At(roadnet.Position{Segment: e.Segment, Along: e.To})-pl.w.At(roadnet.Position{Segment: e.Segment, Along: e.From})) / 1000
	return float64(e.To-e.From) >= t.LeastM && s >= t.LeastS && s <= t.MostS
}

// near fills in the times of the places and keeps the best that can be driven
// to and home from.
func (pl *planner) near(places []practice, out, in *route.Tree) []practice {
	kept := places[:0]
	for _, p := range places {
		if pl.setHome(&p, out, in) {
			kept = append(kept, p)
		}
	}
	slices.SortStableFunc(kept, func(a, b practice) int {
		return cmp.Or(pl.asked(&b)-pl.asked(&a), cmp.Compare(pl.placeRank(&b), pl.placeRank(&a)), cmp.Compare(a.Position.Segment, b.Position.Segment))
	})
	kept = kept[:min(len(kept), 2*pl.table.Search.Places)] // half may lie in dead ends, without a backup
	once := pl.manner().least < 2                          // one go is enough
	again := kept[:0]
	for i := range kept {
		if pl.setRound(&kept[i]) || once {
			again = append(again, kept[i])
		}
	}
	kept = again
	points := make([]orb.Point, len(kept))
	for i := range kept {
		points[i] = pl.pointOf(kept[i].Position)
	}
	for i := range kept {
		tree := pl.forward.From(kept[i].Position, geo.Seconds(pl.table.backupWithin(pl.ex)-backupSlackS), pl.turning())
		for j := range kept {
			if geo.Distance(points[i], points[j]) < anotherPlace {
				continue
			}
			if ms, ok := tree.Ms(kept[j].Position); ok {
				kept[i].backups = append(kept[i].backups, second{j, ms})
			}
		}
		slices.SortStableFunc(kept[i].backups, func(a, b second) int { return cmp.Compare(a.ms, b.ms) })
	}
	return kept
}

// setHome times the ways to a place and home from it; false where there are none.
func (pl *planner) setHome(p *practice, out, in timed) bool {
	p.out, p.home = orNever(out.Ms(p.Position)), [2]uint32{never, never}
	for parity := range p.home {
		p.home[parity] = orNever(in.Ms(p.leaves(2 + parity)))
	}
	return p.out != never && min(p.home[0], p.home[1]) != never
}

// anotherPlace is how far apart two places are at the least. Our choice: the car
// that takes the first is then not in the way at the second.
const anotherPlace geo.Metres = 100

// backupSlackS leaves room for pulling up.
const backupSlackS = 15

// placeWorth is how good a place is to practise at, in [0, 1].
func placeWorth(p *assess.Place) float64 { return 0.5*p.Chance + 0.5*p.MapFit }

// placeRank weighs a place against the way to it.
func (pl *planner) placeRank(p *practice) float64 {
	home := min(p.home[0], p.home[1])
	return pl.table.Weights.Place*placeWorth(&p.Place) - pl.table.Weights.DriveMinute*float64(p.out+home)/60000
}

// best keeps at most n roads to judge: a third of them that suit, the rest in
// turn from each reason, so that no common reason crowds out a rare one. The
// clearest come first, a minute of driving costing some clarity.
func best(found []judged, n, suitable int) []judged {
	rank := func(j *judged) float64 { return j.Clarity - 0.02*float64(j.out+j.back)/60000 }
	byReason := map[string][]judged{}
	var reasons []string
	for _, j := range found {
		key := j.Reason
		if j.suits() {
			key = suits
		}
		if byReason[key] == nil {
			reasons = append(reasons, key)
		}
		byReason[key] = append(byReason[key], j)
	}
	slices.Sort(reasons)
	for _, r := range reasons {
		slices.SortStableFunc(byReason[r], func(a, b judged) int {
			return cmp.Or(cmp.Compare(rank(&b), rank(&a)), cmp.Compare(a.Segment, b.Segment))
		})
	}
	var out []judged
	yes := byReason[suits]
	out = append(out, yes[:min(len(yes), max(n/3, suitable))]...)
	for i := 0; len(out) < n; i++ {
		any := false
		for _, r := range reasons {
			if r != suits && i < len(byReason[r]) && len(out) < n {
				out = append(out, byReason[r][i])
				any = true
			}
		}
		if !any {
			break
		}
	}
	return out
}
