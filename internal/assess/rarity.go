package assess

import (
	"math"

	"loopwright/internal/roadnet"
)

// Rarity weighs the reasons of examples by how seldom an area has them: "too
// near a junction" teaches less where every second road is. A reason's weight is
//
//	w = log₂(1 + n/c) / log₂(1 + n)
//
// with n the segments of the area that have an example at all and c those that
// have this reason: 1 where a single one has it, falling to 1/log₂(1 + n) where
// all have. It is the inverse document frequency of Sparck Jones, "A statistical
// interpretation of term specificity", 1972, scaled to at most 1.
type Rarity struct {
	segments int
	count    map[string]int
}

// NewRarity counts the reasons of the examples of an area's segments, each
// segment's once.
func NewRarity(examples map[roadnet.SegmentID][]Example) Rarity {
	r := Rarity{count: make(map[string]int)}
	for _, of := range examples {
		if len(of) == 0 {
			continue
		}
		r.segments++
		seen := make(map[string]bool)
		for _, e := range of {
			if !seen[e.Reason] {
				seen[e.Reason] = true
				r.count[e.Reason]++
			}
		}
	}
	return r
}

// Weight is a reason's weight, above 0 to 1; 1 for one that the area lacks.
func (r Rarity) Weight(reason string) float64 {
	c := r.count[reason]
	if c <= 1 || r.segments <= 1 {
		return 1
	}
	n := float64(r.segments)
	return math.Log2(1+n/float64(c)) / math.Log2(1+n)
}
