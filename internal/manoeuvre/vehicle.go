// Package manoeuvre says what room a car needs: to turn in the road, to park,
// to reverse round a corner, to stop. It is plane geometry on a rigid car whose
// rear wheels do not slip and whose front wheels steer; it knows no road and no
// map.
//
// Every manoeuvre lies in one frame for driving on the left: the kerb where it
// starts is the line X = 0, the road is at X > 0, and the car starts facing
// along Y (bay park has its own frame, stated there). Mirrored gives the same
// for driving on the right. A pose is where the middle of the rear axle is and
// which way the car faces; results carry the poses along the way, to draw.
//
// Not modelled: slip, kerbs that a tyre mounts, mirrors, rounded corners of the
// body (a rectangle needs a little more room than the real car).
package manoeuvre

import (
	"math"

	"loopwright/internal/geo"
)

// Vehicle is a car as a rectangle on four wheels.
//
//	|<------------------ Length ------------------>|
//	+----------------------------------------------+  ---
//	|        []                         []         |   |
//	|         |<------- Wheelbase ------>|         | Width    (Track: between
//	|        []                         []         |   |       tyre middles)
//	+----------------------------------------------+  ---
//	RearOverhang                        FrontOverhang
type Vehicle struct {
	ID, Name      string
	Length        geo.Metres
	Width         geo.Metres
	Wheelbase     geo.Metres
	FrontOverhang geo.Metres
	RearOverhang  geo.Metres
	Track         geo.Metres
	KerbCircle    geo.Metres // diameter drawn by the outer front wheel at full lock
}

// Radii at full lock, all about the one turning centre, which lies on the line
// of the rear axle (SAE J695 for the terms). With L the wheelbase, T the track,
// W the width, F the front overhang and K the kerb circle:
//
//	rear axle's middle    r = √((K/2)² − L²) − T/2
//	front axle's middle   √(r² + L²)
//	inner rear wheel      r − T/2
//	inner side            r − W/2
//	outer front corner    √((r + W/2)² + (L + F)²)

// RearAxleRadius is the radius of the rear axle's middle at full lock.
func (v Vehicle) RearAxleRadius() geo.Metres {
	half := float64(v.KerbCircle / 2)
	return geo.Metres(math.Sqrt(half*half-float64(v.Wheelbase*v.Wheelbase))) - v.Track/2
}

// FrontAxleRadius is the radius of the front axle's middle at full lock.
func (v Vehicle) FrontAxleRadius() geo.Metres {
	return hypot(v.RearAxleRadius(), v.Wheelbase)
}

// OuterWheelRadius is the radius of the outer front wheel at full lock: half
// the kerb circle.
func (v Vehicle) OuterWheelRadius() geo.Metres { return v.KerbCircle / 2 }

// InnerWheelRadius is the radius of the inner rear wheel at full lock.
func (v Vehicle) InnerWheelRadius() geo.Metres { return v.RearAxleRadius() - v.Track/2 }

// InnerSideRadius is the radius of the nearest point of the body at full lock.
func (v Vehicle) InnerSideRadius() geo.Metres { return v.RearAxleRadius() - v.Width/2 }

// OuterCornerRadius is the radius of the outer front corner at full lock.
func (v Vehicle) OuterCornerRadius() geo.Metres {
	return hypot(v.RearAxleRadius()+v.Width/2, v.Wheelbase+v.FrontOverhang)
}

// SteeringAngle is the angle at full lock of one wheel that would stand at the
// front axle's middle.
func (v Vehicle) SteeringAngle() geo.Radians {
	return geo.Radians(math.Atan2(float64(v.Wheelbase), float64(v.RearAxleRadius())))
}

// Outline gives the corners of the body: front left, front right, rear right,
// rear left.
func (v Vehicle) Outline(p Pose) [4]geo.XY {
	front, back, side := v.Wheelbase+v.FrontOverhang, -v.RearOverhang, v.Width/2
	return [4]geo.XY{p.point(front, -side), p.point(front, side), p.point(back, side), p.point(back, -side)}
}

// Wheels gives where the tyres stand: front left, front right, rear right, rear
// left.
func (v Vehicle) Wheels(p Pose) [4]geo.XY {
	side := v.Track / 2
	return [4]geo.XY{p.point(v.Wheelbase, -side), p.point(v.Wheelbase, side), p.point(0, side), p.point(0, -side)}
}

func hypot(a, b geo.Metres) geo.Metres {
	return geo.Metres(math.Hypot(float64(a), float64(b)))
}
