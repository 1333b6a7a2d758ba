package lesson

import (
	"math"
	"slices"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// surroundings are all that any lesson from here could use, from the next street
// to what is a while too far away: what is proven impossible is proven over them.
// No candidate is left out for a better one, and of the musts only those are kept
// that a single road or place must keep by itself.
type surroundings struct {
	*planner
	found   []judged
	places  []practice
	out     []uint32 // [found] ms from the start to where it begins
	home    []uint32 // [found] ms from there by the best place to the finish, with the stop and what goes beyond the fewest take
	reasons []string // of the unsuitable, sorted

	beyondMs  int64 // of driving: what takes longer was not looked for
	unknownMs int64 // what a drive takes that uses a road which was not looked at
}

// timed tells how far a position is.
type timed interface {
	Ms(roadnet.Position) (uint32, bool)
}

func (pl *planner) surroundings() *surroundings {
	s := &surroundings{planner: pl, beyondMs: pl.budgetMs + mostMore*60000}
	bound := geo.Seconds(float64(s.beyondMs) / 1000)
	starts, ends := pl.endings()
	out, in := pl.forward.FromEach(starts, bound, pl.turning()), pl.backward.IntoEach(ends, bound, pl.turning())
	reached := pl.reachedBy(out, in, never, s.beyondMs)
	s.unknownMs = s.beyondMs
	if most := pl.table.Search.LookedAt; len(reached) > most {
		s.unknownMs = int64(reached[most].out) + int64(reached[most].back)
		reached = reached[:most]
	}
	var places []practice
	s.found, places = pl.lookAt(reached)
	for i := range s.found {
		s.out = append(s.out, orNever(out.Ms(s.found[i].begin())))
		if e := &s.found[i]; !e.suits() && !slices.Contains(s.reasons, e.Reason) {
			s.reasons = append(s.reasons, e.Reason)
		}
	}
	slices.Sort(s.reasons)
	for i := range places {
		if pl.setHome(&places[i], out, in) {
			s.places = append(s.places, places[i])
		}
	}
	s.keepBackedUp()
	s.setWaysHome(bound)
	return s
}

func orNever(ms uint32, ok bool) uint32 {
	if !ok {
		return never
	}
	return ms
}

// endings are where the learner may take the wheel and leave it, with the time
// that the instructor drives: at the pick-up and the drop-off and, where the seats
// may be changed, at either end of any road that the instructor comes to.
func (pl *planner) endings() (starts, ends []route.End) {
	if !pl.wish.DriveOut {
		starts = append(starts, route.End{At: pl.wish.From})
	}
	ends = append(ends, route.End{At: pl.wish.To})
	if !pl.maySwap() {
		return starts, ends
	}
	free := pl.freeWeights()
	bound := geo.Seconds(pl.table.PullUps.MostS - stopS)
	out, home := route.NewFinder(free).From(pl.wish.From, bound, route.Options{}), route.NewFinder(free).Into(pl.wish.To, bound, route.Options{})
	change := uint32(pl.table.ChangeOver.Minutes * 60000)
	for i := range pl.n.NumSegments() {
		s := roadnet.SegmentID(i)
		if !pl.w.Open(s) || pl.n.Use(s) != extract.Through || pl.n.Zone(s.Stretch()) != 0 {
			continue
		}
		begin, end := roadnet.Position{Segment: s}, roadnet.Position{Segment: s, Along: pl.n.Length(s.Stretch())}
		if ms, ok := out.Ms(begin); ok {
			starts = append(starts, route.End{At: begin, Ms: ms + change}, route.End{At: end, Ms: ms + change})
		}
		if ms, ok := home.Ms(end); ok {
			ends = append(ends, route.End{At: begin, Ms: ms + change}, route.End{At: end, Ms: ms + change})
		}
	}
	return starts, ends
}

// mostBackedUp is for how many places one looks whether there is another near by;
// of more, all are taken to have one. Our choice: then they are close together.
const mostBackedUp = 400

// keepBackedUp keeps the places near which there is a second one.
func (s *surroundings) keepBackedUp() {
	if len(s.places) > mostBackedUp {
		return
	}
	all := slices.Clone(s.places)
	s.places = slices.DeleteFunc(s.places, func(p practice) bool {
		tree := s.forward.From(p.Position, geo.Seconds(s.table.backupWithin(s.ex)), s.turning())
		return !slices.ContainsFunc(all, func(other practice) bool {
			_, ok := tree.Ms(other.Position)
			return ok && geo.Distance(s.pointOf(p.Position), s.pointOf(other.Position)) >= anotherPlace
		})
	})
}

// setWaysHome times the ways home by a place, from wherever a road to judge
// begins.
func (s *surroundings) setWaysHome(bound geo.Seconds) {
	var by []route.End
	for i := range s.places {
		if after := s.afterwards(&s.places[i]); after != never {
			by = append(by, route.End{At: s.places[i].Position, Ms: after})
		}
	}
	home := s.backward.IntoEach(by, bound, s.turning())
	for i := range s.found {
		s.home = append(s.home, orNever(home.Ms(s.found[i].begin())))
	}
}

// afterwards is what stopping at a place, the goes beyond the fewest that the
// car must do to leave it and the way home take.
func (s *surroundings) afterwards(p *practice) uint32 {
	if only := s.wish.PractiseIn; only != nil && p.Position.Segment.Stretch() != *only {
		return never
	}
	least := uint32(never)
	for more := range uint32(2) {
		if home := p.home[(s.table.Goes.Least+int(more))%2]; home != never {
			least = min(least, home+more*uint32(s.table.Goes.LeastMinutes*60000))
		}
	}
	if least == never {
		return never
	}
	return least + s.w.StopMs(p.Position)
}

// toPractise is the shortest drive to a place and home, no road judged;
// impossible where there is none.
func (s *surroundings) toPractise() int64 {
	least := int64(impossible)
	for i := range s.places {
		if after := s.afterwards(&s.places[i]); after != never {
			least = min(least, int64(s.places[i].out)+int64(after))
		}
	}
	return least
}

// counts are in how many stretches of road there are roads to judge of each kind,
// that of a place to practise not counted; at the place that leaves the most for a
// lesson of so many.
func (s *surroundings) counts(no, yes int) (int, int) {
	of := map[bool]map[roadnet.StretchID]bool{true: {}, false: {}}
	for f := range s.found {
		if s.out[f] != never && s.home[f] != never {
			of[s.found[f].suits()][s.found[f].Segment.Stretch()] = true
		}
	}
	bestNo, bestYes := 0, 0
	for i := range s.places {
		at := s.places[i].Position.Segment.Stretch()
		n, y := len(of[false]), len(of[true])
		if of[false][at] {
			n--
		}
		if of[true][at] {
			y--
		}
		if min(n, no)+min(y, yes) > min(bestNo, no)+min(bestYes, yes) {
			bestNo, bestYes = n, y
		}
	}
	return bestNo, bestYes
}

// short is by how many minutes, rounded up, a drive is longer than the lesson
// leaves for driving; 0 where it is not. What was not looked at may be shorter.
func (s *surroundings) short(ms int64) float64 {
	return max(0, math.Ceil(float64(min(ms, s.unknownMs)+int64(s.w.StopMs(s.wish.To))-s.budgetMs)/60000))
}

// card is a reason in the few words of the car card.
func (s *surroundings) card(reason string) string {
	for _, n := range s.ex.Needs {
		if n.Criterion == reason {
			return n.Card
		}
	}
	return reason
}
