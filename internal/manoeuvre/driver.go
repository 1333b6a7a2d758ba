package manoeuvre

import (
	"math"

	"loopwright/internal/geo"
)

// RadiansPerSecond is how fast an angle changes.
type RadiansPerSecond float64

// Driver is how the car is handled.
type Driver struct {
	// StartGap is what lies between the kerb and the car's side at the start.
	StartGap geo.Metres
	// Margin is what a learner keeps between the car and what they drive at:
	// the kerb ahead, the kerb behind, the next car.
	Margin geo.Metres
	// SteeringRate is how fast the front wheels turn. In every movement the
	// lock is wound on from straight ahead while the car rolls at Crawl; it is
	// taken off while the car stands. 0 means that full lock is on at once.
	SteeringRate RadiansPerSecond
	// Crawl is the speed at which the car rolls; needed with a SteeringRate.
	Crawl geo.MetresPerSecond
}

// Expert wastes nothing: 0.25 m from the kerb, full lock at once, to the kerb
// itself. It gives the least that the geometry allows.
var Expert = Driver{StartGap: 0.25}

// Learner is our choice of a learner who has been shown the exercise: 0.3 m
// from the kerb, 0.3 m kept from every kerb and car, and full lock of a common
// car (about 33°) wound on in two seconds at a slow walking pace.
var Learner = Driver{StartGap: 0.3, Margin: 0.3, SteeringRate: RadiansPerSecond(16.5 * geo.Degree), Crawl: 0.6}

// curvature is the path's curvature, unsigned, once the car has rolled a
// distance since its wheels were straight.
func (d Driver) curvature(v Vehicle, rolled geo.Metres) float64 {
	angle := v.SteeringAngle()
	if d.SteeringRate > 0 && d.Crawl > 0 {
		on := geo.Radians(float64(d.SteeringRate) * float64(rolled) / float64(d.Crawl))
		angle = min(angle, on)
	}
	return math.Tan(float64(angle)) / float64(v.Wheelbase)
}

// Within is which part of the car must stay between the kerbs.
type Within uint8

// The wheels alone (the ends of the car swing over the kerbs, where nothing
// stands), or the whole body.
const (
	Wheels Within = iota + 1
	Body
)

// String gives the words.
func (w Within) String() string {
	switch w {
	case Wheels:
		return "wheels between the kerbs"
	case Body:
		return "whole body between the kerbs"
	}
	return "no part"
}

// points are the points of the car which the rule holds between the kerbs.
func (w Within) points(v Vehicle, p Pose) [4]geo.XY {
	if w == Wheels {
		return v.Wheels(p)
	}
	return v.Outline(p)
}
