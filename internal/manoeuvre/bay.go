package manoeuvre

import (
	"math"

	"loopwright/internal/geo"
)

// Bay is a space at right angles to the aisle of a car park.
type Bay struct{ Width, Length geo.Metres }

// BayPark gives the narrowest aisle from which the car goes into a bay in one
// movement, to the centimetre, and how: a right angle on full lock, then
// straight in, to end anywhere between the bay's lines. Both neighbouring bays
// hold a car as wide as this one, in the middle and out to the mouth, and so do
// all beyond; the margin is kept to them and to what stands across the aisle.
// Full lock is on at once: the steering rate is not used.
//
// The bay's middle is X = 0, its mouth Y = 0, the aisle Y > 0. The car starts
// in the aisle facing along X: forward it turns right into the bay, in reverse
// it has driven past and comes back on right lock. ok is false where the bay is
// too narrow.
func BayPark(v Vehicle, bay Bay, gear Gear, d Driver) (best Park, ok bool) {
	clear := bay.Width - v.Width/2 - d.Margin // from the bay's middle to a neighbour
	spare := (bay.Width - v.Width) / 2
	if spare < 0 || clear <= v.Width/2 {
		return Park{}, false
	}
	row := 3 * (v.Length + bay.Width)
	parked := [][4]geo.XY{
		box(-row, -bay.Length, -clear, d.Margin),
		box(clear, -bay.Length, row, d.Margin),
	}
	for _, share := range []geo.Metres{0, -0.5, 0.5, -1, 1} {
		park, found := bayPark(v, bay, gear, d, share*spare, parked)
		if found && (!ok || park.Room < best.Room) {
			best, ok = park, true
		}
	}
	return best, ok
}

// bayPark is BayPark to a stand off the bay's middle. The later the right angle
// ends, the wider the aisle: the first that fits is the least.
func bayPark(v Vehicle, bay Bay, gear Gear, d Driver, off geo.Metres, parked [][4]geo.XY) (Park, bool) {
	r := v.RearAxleRadius()
	for turn := v.Width/2 + d.Margin - r; turn < v.Length+r; turn += 0.01 {
		m := bayPath(v, bay, gear, off, turn)
		if m.strikes(v, parked...) {
			continue
		}
		_, high := Extent(v, []Movement{m})
		return Park{[]Movement{m}, geo.Metres(high.Y) + d.Margin}, true
	}
	return Park{}, false
}

// bayPath is the way into the bay: a right angle on full lock that ends at
// Y = turn, and straight on to where the car stands in the middle of the bay's
// length (with its inner end at the bay's, where the car is longer).
func bayPath(v Vehicle, bay Bay, gear Gear, off, turn geo.Metres) Movement {
	inner := -bay.Length + max(0, (bay.Length-v.Length)/2)
	r := v.RearAxleRadius()
	ahead, stop := -r, inner+v.Length-v.RearOverhang
	if gear == Reverse {
		ahead, stop = r, inner+v.RearOverhang
	}
	from := Pose{geo.XY{X: float64(off + ahead), Y: float64(turn + r)}, math.Pi / 2}
	arc, straight := r*math.Pi/2, max(0, turn-stop)
	return follow(from, gear, part{arc * gear.sign(), 1 / float64(r)}, part{straight * gear.sign(), 0})
}
