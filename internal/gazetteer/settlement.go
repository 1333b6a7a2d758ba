package gazetteer

import (
	"math"

	"github.com/paulmach/orb"

	"loopwright/internal/geo"
)

// size is how far a settlement of each rank spreads from its middle: city,
// town, village, suburb or quarter, hamlet or neighbourhood. Our choice, about
// the radius of large ones, since extracts hold settlements as points. Of two,
// a position belongs to the one whose size it is fewer times away from.
var size = [...]geo.Metres{8_000, 3_000, 1_500, 1_500, 600}

// farOut is how many times a settlement's size a road may lie from its middle
// and still be called after it: our choice.
const farOut = 3

// lastOwn is the last rank of settlements that stand for themselves; those
// behind it may be parts of one.
const lastOwn = 2

// leastPerDegree is a little less than the metres in the shortest degree of
// latitude, 110,574 at the equator.
const leastPerDegree = 110_000

// around names the settlements that a position belongs to: the city, town or
// village, and the settlement of any rank, which may be a part of it. Either
// is "" where nothing is near, and they may be the same.
func (s *seeker) around(p orb.Point) (own, part string) {
	ownTimes, partTimes := farOut+0.0, farOut+0.0
	for _, place := range s.settlements {
		rank := min(int(place.Rank), len(size)-1)
		if math.Abs(place.At.Lat()-p.Lat())*leastPerDegree > float64(farOut*size[rank]) {
			continue // too far north or south already
		}
		times := float64(geo.Distance(p, place.At) / size[rank])
		if times < partTimes {
			part, partTimes = place.Name, times
		}
		if rank <= lastOwn && times < ownTimes {
			own, ownTimes = place.Name, times
		}
	}
	return own, part
}

// in says whether a position belongs to a settlement of a folded name.
func (s *seeker) in(p orb.Point, folded string) bool {
	own, part := s.around(p)
	return fold(own) == folded || fold(part) == folded
}

// settlementAt is what a road at a position is said to be in: the city, town
// or village, else the part that is near. Typed behind the road's name it
// finds the road again.
func (s *seeker) settlementAt(p orb.Point) string {
	own, part := s.around(p)
	if own == "" {
		return part
	}
	return own
}

// label names matches after their roads and settlements: those that would be
// named alike after the part of the settlement, where that tells more.
func (s *seeker) label(matches []Match) {
	count := make(map[string]int)
	for i, m := range matches {
		matches[i].Name = named(m.Name, s.settlementAt(m.At))
		count[matches[i].Name]++
	}
	for i, m := range matches {
		own, part := s.around(m.At)
		if count[m.Name] > 1 && part != "" && part != own {
			matches[i].Name = m.Name + " (" + part + ")"
		}
	}
}

// named puts a settlement behind a name.
func named(name, settlement string) string {
	if settlement == "" {
		return name
	}
	return name + ", " + settlement
}
