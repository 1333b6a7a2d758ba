package lesson

import (
	"cmp"
	"maps"
	"math/bits"
	"slices"

	"loopwright/internal/geo"
	"loopwright/internal/route"
)

// seen is what a drive has shown so far.
type seen struct {
	reasons uint64 // a set, by their numbers; empty where reasons may come again
	no, yes int
}

// shortest is the shortest drive past some roads to judge, to a place and home.
type shortest struct {
	ms      int64 // impossible where there is none
	reasons uint64
}

// mostSets is how many sets of reasons of a size are gone through. Our choice:
// each takes a search, and so many take half a second.
const mostSets = 400

// least is how long a drive takes at the least past so many roads to judge, each
// unsuitable one for a reason of its own if distinct, to a place to practise and
// home. False where there are too many sets of reasons to go through.
//
// It goes by the sets of reasons in order of their size, as Held and Karp, "A
// Dynamic Programming Approach to Sequencing Problems" (1962), go by the sets of
// places: one search, from every road with which a set is complete, gives the
// times to all that may come next. Ours is a relaxation of that, for a road may
// come again, and the two minutes between two of them may be driven anywhere. So
// no drive is shorter, whichever way it goes.
func (s *surroundings) least(no, yes int, distinct bool) (shortest, bool) {
	layer := map[seen][]uint32{{}: nil} // ms to where each road begins
	for range no + yes {
		next := map[seen][]uint32{}
		for _, from := range inOrder(layer) {
			s.goOn(next, from, layer[from], seen{0, no, yes}, distinct)
		}
		if layer = next; len(layer) > mostSets || s.stopped() {
			return shortest{}, false
		}
	}
	best := shortest{ms: impossible}
	for _, all := range inOrder(layer) {
		for e, ms := range layer[all] {
			if ms != never && int64(ms)+int64(s.home[e]) < best.ms {
				best = shortest{int64(ms) + int64(s.home[e]), all.reasons}
			}
		}
	}
	return best, true
}

func inOrder(layer map[seen][]uint32) []seen {
	return slices.SortedFunc(maps.Keys(layer), func(a, b seen) int {
		return cmp.Or(cmp.Compare(a.reasons, b.reasons), cmp.Compare(a.no, b.no), cmp.Compare(a.yes, b.yes))
	})
}

// goOn drives on from every road with which so much has been seen to each that
// may come next.
func (s *surroundings) goOn(next map[seen][]uint32, from seen, at []uint32, want seen, distinct bool) {
	there, apart := s.toEach(from, at)
	for f := range s.found {
		to, ok := s.andThen(from, f, want, distinct)
		if !ok {
			continue
		}
		ms := there(f)
		if ms == never {
			continue
		}
		ms = max(ms, apart)
		if int64(ms)+int64(s.home[f]) > s.beyondMs {
			continue
		}
		if next[to] == nil {
			next[to] = slices.Repeat([]uint32{never}, len(s.found))
		}
		next[to][f] = min(next[to][f], ms)
	}
}

// toEach are the times to where each road begins, and the least that any can be
// by the two minutes between two of them.
func (s *surroundings) toEach(from seen, at []uint32) (there func(f int) uint32, apart uint32) {
	if from == (seen{}) {
		return func(f int) uint32 { return s.out[f] }, 0
	}
	var ends []route.End
	apart = never
	for e, ms := range at {
		if ms == never {
			continue
		}
		j := &s.found[e]
		ends = append(ends, route.End{At: j.begin(), Ms: ms})
		apart = min(apart, ms+s.w.At(j.finish())-s.w.At(j.begin())+uint32(s.table.Examples.ApartS*1000))
	}
	times := s.forward.FromEach(ends, geo.Seconds(float64(s.beyondMs)/1000), s.turning())
	return func(f int) uint32 { return orNever(times.Ms(s.found[f].begin())) }, apart
}

// andThen is what has been seen after one road more; false where that road is not
// wanted any more.
func (s *surroundings) andThen(from seen, f int, want seen, distinct bool) (to seen, ok bool) {
	if to = from; s.home[f] == never {
		return to, false
	}
	if s.found[f].suits() {
		to.yes++
		return to, to.yes <= want.yes
	}
	bit := s.bit(f)
	if to.no++; to.no > want.no || distinct && from.reasons&bit != 0 {
		return to, false
	}
	if distinct {
		to.reasons |= bit
	}
	return to, true
}

// bit stands for the reason of an unsuitable road in a set.
func (s *surroundings) bit(f int) uint64 {
	number, _ := slices.BinarySearch(s.reasons, s.found[f].Reason)
	return 1 << (number & 63)
}

// farthest is the reason of a set without which the shortest drive that shows the
// rest is shortest: the one that is out of the way.
func (s *surroundings) farthest(set uint64, yes int) string {
	farthest, least := "", int64(impossible)
	for rest := set; rest != 0; rest &= rest - 1 {
		one := rest & -rest
		some := *s
		some.found, some.out, some.home = nil, nil, nil
		for f := range s.found {
			if s.found[f].suits() || s.bit(f)&(set&^one) != 0 {
				some.found, some.out, some.home = append(some.found, s.found[f]), append(some.out, s.out[f]), append(some.home, s.home[f])
			}
		}
		if l, ok := some.least(bits.OnesCount64(set)-1, yes, true); ok && l.ms < least {
			farthest, least = s.reasons[bits.TrailingZeros64(one)], l.ms
		}
	}
	return farthest
}
