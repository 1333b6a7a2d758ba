package lesson

import (
	"cmp"
	"slices"

	"loopwright/internal/circuit"
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// changeOver is the part of a lesson in which the instructor drives: out from
// the pick-up to a kerb where they change seats, and from one to the drop-off.
type changeOver struct {
	out, home *drive // nil where the learner drives that part
	ample     bool   // about it are as many roads as are any use
}

// instructorPace is the stage of data/pace.yaml at which the instructor drives:
// the one that is said there to be a careful full-licence holder's.
const instructorPace = nearTest

// ms is the instructor's driving time, with the stops at its ends.
func (c *changeOver) ms() int64 {
	all := int64(0)
	for _, d := range []*drive{c.out, c.home} {
		if d != nil {
			all += int64(d.Ms) + int64(d.w.StopMs(d.To))
		}
	}
	return all
}

// handsOver says whether the instructor drives out; takesBack, whether home.
func (c *changeOver) handsOver() bool { return c != nil && c.out != nil }
func (c *changeOver) takesBack() bool { return c != nil && c.home != nil }

// before is the drive that brought the car to where the learner takes over, nil
// where they set out from the pick-up.
func (c *changeOver) before() *route.Path {
	if c.handsOver() {
		return &c.out.Path
	}
	return nil
}

// goesHome says whether the instructor's drive home may follow the learner's.
func (c *changeOver) goesHome(after *drive) bool {
	if !c.takesBack() {
		return true
	}
	_, _, ok := join(c.home.w, route.Options{After: &after.Path}, []route.Path{c.home.Path})
	return ok
}

// pickUp and dropOff are the ends of the whole lesson.
func (pl *planner) pickUp() roadnet.Position {
	if pl.change.handsOver() {
		return pl.change.out.From
	}
	return pl.wish.From
}

func (pl *planner) dropOff() roadnet.Position {
	if pl.change.takesBack() {
		return pl.change.home.To
	}
	return pl.wish.To
}

// changing is the best lesson in which the instructor drives out, home or both,
// with the planner that made it; nil where there is none. It is a lesson of the
// learner's own roads, from and to the kerb where they change over.
func (pl *planner) changing() (*planner, *finalist) {
	var best *finalist
	var by *planner
	for _, c := range pl.changeOvers() {
		sub := pl.changedAt(c)
		sub.gather()
		sub.pose()
		if f := sub.best(); f != nil && (best == nil || f.score > best.score) {
			best, by = f, sub
		}
		if pl.stopped() {
			return nil, nil
		}
		if best != nil && c.ample {
			break // others, farther off, have no more to offer
		}
	}
	return by, best
}

// changedAt is the planner of what the learner drives.
func (pl *planner) changedAt(c *changeOver) *planner {
	sub := *pl
	sub.change, sub.stands = c, nil
	if c.out != nil {
		sub.wish.From = c.out.To
	}
	if c.home != nil {
		sub.wish.To = c.home.From
	}
	sub.budgetMs = max(pl.budgetMs-sub.changeMs(), 0)
	return &sub
}

// kerbNear is a kerb where they might change over, with the instructor's time
// to it from the pick-up, from it to the drop-off, or both.
type kerbNear struct {
	segment roadnet.SegmentID
	ms      uint32
}

// changeOvers are where to change over, best first. Where the learner can start
// from the pick-up, or come to the drop-off, they do.
func (pl *planner) changeOvers() []*changeOver {
	free := pl.freeWeights()
	bound := geo.Seconds(pl.table.PullUps.MostS - stopS)
	outward, homeward := route.NewFinder(free), route.NewFinder(free)
	out := outward.From(pl.wish.From, bound, route.Options{})
	home := homeward.Into(pl.wish.To, bound, route.Options{})
	circle := pl.wish.From == pl.wish.To
	var kept []*changeOver
	if !circle && !pl.wish.DriveOut {
		if round := pl.neighbourhood(pl.wish.From, pl.wish.From); len(round) >= cutOff {
			near := pl.kerbsNear(func(at roadnet.Position) (uint32, bool) { return home.Ms(at) })
			near = slices.DeleteFunc(near, func(k kerbNear) bool { return !round[k.segment] })
			if at, ok := pl.standIn(near); ok {
				if d, ok := backed(free, home, at); ok {
					return []*changeOver{{home: d}}
				}
			}
		}
	}
	near := pl.kerbsNear(func(at roadnet.Position) (uint32, bool) {
		there, ok := out.Ms(at)
		back, okBack := home.Ms(at)
		return there + back, ok && okBack
	})
	for _, k := range pl.kerbsAbout(near) {
		at := k.at
		path, ok := out.Path(at)
		if !ok {
			continue
		}
		d, _, ok := join(free, route.Options{}, []route.Path{path})
		if !ok {
			continue
		}
		c := &changeOver{out: d, ample: k.ample}
		if circle || !pl.comes(at, pl.wish.To) {
			if c.home, ok = backed(free, home, at); !ok {
				continue
			}
		}
		kept = append(kept, c)
	}
	return kept
}

// about is a kerb in a neighbourhood of what worth; ample where that has enough
// roads.
type about struct {
	at    roadnet.Position
	worth float64
	ample bool
}

// kerbsAbout are the nearest kerb of each of the best neighbourhoods: the larger
// and the nearer it is, the better.
func (pl *planner) kerbsAbout(near []kerbNear) []about {
	var all []about
	t := pl.table.ChangeOver
	seen := map[roadnet.SegmentID]bool{}
	for _, k := range near {
		// What is farther is worth less, however large its neighbourhood.
		better := 0
		for _, a := range all {
			if a.worth >= float64(t.Enough)-t.ForMinute*float64(k.ms)/60000 {
				better++
			}
		}
		if better >= t.Tried {
			break
		}
		at, ok := pl.standOn(k.segment)
		if seen[k.segment] || !ok {
			continue
		}
		round := pl.neighbourhood(at, at)
		for s := range round {
			seen[s] = true
		}
		if len(round) >= t.Least {
			all = append(all, about{at, float64(min(len(round), t.Enough)) - t.ForMinute*float64(k.ms)/60000, len(round) >= t.Enough})
		}
	}
	slices.SortStableFunc(all, func(a, b about) int { return cmp.Compare(b.worth, a.worth) })
	return all[:min(len(all), t.Tried)]
}

// backed is the instructor's drive home from a kerb.
func backed(free *route.Weights, home *route.Tree, at roadnet.Position) (*drive, bool) {
	path, ok := home.Path(at)
	if !ok {
		return nil, false
	}
	d, _, ok := join(free, route.Options{}, []route.Path{path})
	return d, ok
}

// freeWeights are those of the instructor: all that is legal and not closed.
func (pl *planner) freeWeights() *route.Weights {
	pace, err := paceNamed(instructorPace)
	if err != nil {
		panic("lesson: bug in data/pace.yaml: " + err.Error())
	}
	w := route.NewWeights(pl.n, pl.p, pace)
	if len(pl.wish.Closed) > 0 {
		w = w.Bar(pl.wish.Closed...)
	}
	return w
}

// maySwap says whether the seats may be changed on the way.
func (pl *planner) maySwap() bool {
	return pl.wish.DriveOut || pl.wish.NearSide || pl.untaught != nil
}

// kerbsNear lists the segments that the learner may drive and the instructor
// can come to, nearest first.
func (pl *planner) kerbsNear(ms func(roadnet.Position) (uint32, bool)) []kerbNear {
	var near []kerbNear
	for i := range pl.n.NumSegments() {
		s := roadnet.SegmentID(i)
		if !pl.w.Open(s) || pl.n.Use(s) != extract.Through || pl.n.Zone(s.Stretch()) != 0 {
			continue
		}
		middle := roadnet.Position{Segment: s, Along: pl.n.Length(s.Stretch()) / 2}
		if t, ok := ms(middle); ok {
			near = append(near, kerbNear{s, t})
		}
	}
	slices.SortFunc(near, func(a, b kerbNear) int { return cmp.Or(cmp.Compare(a.ms, b.ms), cmp.Compare(a.segment, b.segment)) })
	return near
}

// standOn is where to stand along a segment.
func (pl *planner) standOn(s roadnet.SegmentID) (roadnet.Position, bool) {
	if s.Stretch() == pl.wish.From.Segment.Stretch() || s.Stretch() == pl.wish.To.Segment.Stretch() {
		return roadnet.Position{}, false
	}
	spans := pl.kerbs.at(s)
	if len(spans) == 0 {
		return roadnet.Position{}, false
	}
	return roadnet.Position{Segment: s, Along: spans[0].from + min((spans[0].to-spans[0].from)/2, pullInBy)}, true
}

// standIn is where to stand along the first of some segments that has a kerb
// for it.
func (pl *planner) standIn(near []kerbNear) (roadnet.Position, bool) {
	for _, k := range near {
		if at, ok := pl.standOn(k.segment); ok {
			return at, true
		}
	}
	return roadnet.Position{}, false
}

// roundS is how far about a change-over one looks for roads that the learner
// may drive. Our choice: five minutes out and five back.
const roundS geo.Seconds = 300

// neighbourhood are the segments that the learner can drive to from one
// position and come from to another.
func (pl *planner) neighbourhood(from, to roadnet.Position) map[roadnet.SegmentID]bool {
	out, in := pl.forward.From(from, roundS, pl.turning()), pl.backward.Into(to, roundS, pl.turning())
	round := map[roadnet.SegmentID]bool{}
	for i := range pl.n.NumSegments() {
		begin := roadnet.Position{Segment: roadnet.SegmentID(i)}
		if !pl.w.Open(begin.Segment) {
			continue
		}
		if _, ok := out.Ms(begin); !ok {
			continue
		}
		if _, ok := in.Ms(begin); ok {
			round[begin.Segment] = true
		}
	}
	return round
}

// comes says whether the learner can drive from one position to another.
func (pl *planner) comes(from, to roadnet.Position) bool {
	_, ok := pl.forward.From(from, geo.Seconds(float64(pl.budgetMs)/1000), pl.turning()).Ms(to)
	return ok
}

// haltWords are what happens at a pull-up.
func haltWords(s circuit.Stop) string {
	switch {
	case s.ChangeOver && s.What == briefing:
		return "change over, and " + s.What
	case s.ChangeOver:
		return s.What + ", and change over"
	}
	return s.What
}

// paceOf is the pace at which a driver of a circuit's legs drives.
func paceOf(c *circuit.Circuit, driver string) (*route.Pace, error) {
	if driver == circuit.Instructor {
		return paceNamed(instructorPace)
	}
	return paceNamed(c.Request.Pace)
}
