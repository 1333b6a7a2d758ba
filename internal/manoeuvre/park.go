package manoeuvre

import (
	"math"

	"loopwright/internal/geo"
)

// ParallelGap is the least gap between two parked cars into which a car parks
// in reverse in one movement, in closed form: Blackburn, "The geometry of
// perfect parking", 2009. With r the radius of the outer front wheel, l the
// wheelbase, k the front overhang and w the width of the car in front, the gap
// exceeds the car's own length by
//
//	√((r² − l²) + (l + k)² − (√(r² − l²) − w)²) − l − k
//
// The cars stand level at the kerb side and nothing is left over: the nearside
// front corner just passes the other car. Differs from ParallelPark in that the
// body is taken to be no wider than the track.
func ParallelGap(v Vehicle, otherWidth geo.Metres) geo.Metres {
	r, l, k, w := float64(v.OuterWheelRadius()), float64(v.Wheelbase), float64(v.FrontOverhang), float64(otherWidth)
	s := math.Sqrt(r*r-l*l) - w
	return v.Length + geo.Metres(math.Sqrt(r*r-l*l+(l+k)*(l+k)-s*s)-l-k)
}

// Park is a manoeuvre into a space, and the room that it takes.
type Park struct {
	Movements []Movement
	// Room is the gap between the parked cars (parallel park), or the width of
	// the aisle (bay park).
	Room geo.Metres
}

// Alongside is what lies between the two cars when the reverse begins: 0.8 m,
// our choice; common practice is a metre or a little less.
const Alongside geo.Metres = 0.8

// ParallelPark simulates the parallel park with the least gap, to the
// millimetre: from alongside the car in front, in reverse on full lock toward
// the kerb, then on opposite full lock until level with it. The cars stand at
// the driver's start gap from the kerb, X = 0, the one behind with its front at
// Y = 0; the margin is kept to both. Full lock is on at once at each change:
// the steering rate is not used. ok is false where no gap up to three car
// lengths will do.
func ParallelPark(v Vehicle, otherWidth geo.Metres, d Driver) (p Park, ok bool) {
	fits := func(gap geo.Metres) bool {
		near, far := d.StartGap-d.Margin, d.StartGap+otherWidth+d.Margin
		front := box(near, gap-d.Margin, far, gap+v.Length+d.Margin)
		behind := box(near, -v.Length-d.Margin, far, d.Margin)
		return !parkedOut(v, otherWidth, d).strikes(v, front, behind)
	}
	low, high := v.Length, 3*v.Length
	if !fits(high) {
		return Park{}, false
	}
	for high-low > 0.0005 {
		if mid := (low + high) / 2; fits(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return Park{[]Movement{parkedOut(v, otherWidth, d).back()}, high}, true
}

// parkedOut is the parallel park driven backwards in time: forward out of the
// gap, from the margin ahead of the car behind.
func parkedOut(v Vehicle, otherWidth geo.Metres, d Driver) Movement {
	from := Pose{At: geo.XY{X: float64(d.StartGap + v.Width/2), Y: float64(d.Margin + v.RearOverhang)}}
	// Two arcs of an angle a shift the car sideways by 2 r (1 − cos a); what
	// they can't do within a right angle is driven straight across.
	r, across := v.RearAxleRadius(), otherWidth+Alongside
	a := math.Pi / 2
	straight := across - 2*r
	if straight < 0 {
		a, straight = math.Acos(1-float64(across/(2*r))), 0
	}
	arc, k := r*geo.Metres(a), 1/float64(r)
	return follow(from, Forward, part{arc, k}, part{straight, 0}, part{arc, -k})
}
