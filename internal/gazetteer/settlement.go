package gazetteer

import (
	"math"

	"github.com/paulmach/orb"

	"loopwright/internal/geo"
)

// reach is how far from its middle a road may lie and still be said to be in a
// settlement, by rank (city, town, village, suburb or quarter, hamlet or
// neighbourhood): our choice, a little beyond the size of large ones, since
// extracts hold settlements as points.
var reach = [...]geo.Metres{20_000, 8_000, 4_000, 4_000, 2_000}

// around are the settlements that a position is in: of each rank the nearest,
// within its reach; -1 where there is none. Indexes of s.settlements.
func (s *seeker) around(p orb.Point) [len(reach)]int {
	var nearest [len(reach)]int
	var away [len(reach)]geo.Metres
	for rank := range nearest {
		nearest[rank], away[rank] = -1, reach[rank]
	}
	for i, place := range s.settlements {
		rank := min(int(place.Rank), len(reach)-1)
		if d := geo.Distance(p, place.At); d < away[rank] {
			nearest[rank], away[rank] = i, d
		}
	}
	return nearest
}

// in says whether a position is in a settlement of a folded name.
func (s *seeker) in(p orb.Point, folded string) bool {
	for _, i := range s.around(p) {
		if i >= 0 && fold(s.settlements[i].Name) == folded {
			return true
		}
	}
	return false
}

// settlementAt is the name of the settlement nearest to a position, "" if it
// is in none. Typed behind a road's name it finds the road again.
func (s *seeker) settlementAt(p orb.Point) string {
	name, away := "", geo.Metres(math.Inf(1))
	for _, i := range s.around(p) {
		if i < 0 {
			continue
		}
		if d := geo.Distance(p, s.settlements[i].At); d < away {
			name, away = s.settlements[i].Name, d
		}
	}
	return name
}
