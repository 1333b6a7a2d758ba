package manoeuvre

import (
	"math"

	"loopwright/internal/geo"
)

// Corner is the reverse round a corner to the near side, and its room.
type Corner struct {
	Movements []Movement
	// Gap is what the car keeps to the kerb on both straights: the start gap,
	// or more where the corner is so sharp that the rear wheel would cut it.
	Gap geo.Metres
	// Across is the room from the kerb over the road where it starts, nose
	// swing and all; Along the kerb there beyond the line of the side road's
	// kerb.
	Across, Along geo.Metres
	// SideAcross and SideAlong are the same in the side road.
	SideAcross, SideAlong geo.Metres
}

// ReverseRoundCorner drives in reverse round a rounded corner of kerb: straight
// for before, a right angle, straight for after. It holds the gap to the kerb
// all round, or turns on full lock where the corner is sharper than that.
//
// The kerbs are X = 0 (Y > 0) where it starts and Y = 0 (X < 0) in the side
// road; the block is to the left of and behind the car. The margin is kept to
// the kerb at the corner.
//
//	 block  |  ^ car
//	        |  |
//	--------'  |      <- kerb of a radius
//	 <---------'
func ReverseRoundCorner(v Vehicle, radius, before, after geo.Metres, d Driver) Corner {
	r := v.RearAxleRadius()
	// On a path of radius p > radius + gap + W/2 the body comes nearer to the
	// kerb at the middle of the corner, by (√2 − 1)(p − radius − gap − W/2).
	const cut = math.Sqrt2 - 1
	gap := max(d.StartGap, (d.Margin+cut*(r-radius-v.Width/2))/(1+cut))
	p := max(r, radius+gap+v.Width/2)
	off := gap + v.Width/2
	from := Pose{At: geo.XY{X: float64(off), Y: float64(p - off + before)}}
	m := follow(from, Reverse, part{-before, 0}, part{-p * math.Pi / 2, -1 / float64(p)}, part{-after, 0})
	c := Corner{Movements: []Movement{m}, Gap: gap}
	low, high := Extent(v, c.Movements)
	c.Across, c.Along = geo.Metres(high.X), geo.Metres(high.Y)
	c.SideAcross, c.SideAlong = geo.Metres(-low.Y), geo.Metres(-low.X)
	return c
}
