package manoeuvre

import (
	"math"

	"loopwright/internal/geo"
)

// MetresPerSecondSquared is an acceleration.
type MetresPerSecondSquared float64

// Gravity is the 9.81 m/s² of the road design manuals.
const Gravity MetresPerSecondSquared = 9.81

// Braking is how a driver is taken to stop: a time to react, then a steady
// deceleration on the level.
type Braking struct {
	Reaction     geo.Seconds
	Deceleration MetresPerSecondSquared
}

// The published models.
var (
	// StreetBraking is for light vehicles on streets: Manual for Streets
	// (Department for Transport, 2007), table 7.1 and section 7.5.
	StreetBraking = Braking{1.5, 0.45 * Gravity}
	// HeavyStreetBraking is for goods vehicles and buses on streets: Manual for
	// Streets 2 (CIHT, 2010).
	HeavyStreetBraking = Braking{1.5, 0.375 * Gravity}
	// RoadBraking gives the desirable minimum of the Design Manual for Roads
	// and Bridges, CD 109: 2 s and 0.25 g (from memory).
	RoadBraking = Braking{2, 0.25 * Gravity}
	// AmericanBraking is A Policy on Geometric Design of Highways and Streets
	// (AASHTO, 2018), section 3.2.2: 2.5 s and 11.2 ft/s².
	AmericanBraking = Braking{2.5, MetresPerSecondSquared(11.2 * float64(geo.Foot))}
	// HighwayCodeBraking gives the typical stopping distances of The Highway
	// Code, rule 126: one foot for each mph to think, and mph²/20 feet to brake.
	HighwayCodeBraking = Braking{
		geo.Seconds(float64(geo.Foot) / float64(geo.MilePerHour)),
		MetresPerSecondSquared(10 * float64(geo.MilePerHour*geo.MilePerHour) / float64(geo.Foot)),
	}
)

// Bonnet is what Manual for Streets adds to a stopping distance, since the
// driver sits behind the front of the car.
const Bonnet geo.Metres = 2.4

// ThinkingDistance is driven before the brakes act.
func (b Braking) ThinkingDistance(v geo.MetresPerSecond) geo.Metres {
	return geo.Metres(float64(v) * float64(b.Reaction))
}

// BrakingDistance is v²/(2 (d + g·grade)), grade as rise over run in the
// direction of travel. Infinite where the slope pulls more than the brakes
// hold.
func (b Braking) BrakingDistance(v geo.MetresPerSecond, grade float64) geo.Metres {
	d := float64(b.Deceleration) + float64(Gravity)*grade
	if d <= 0 {
		return geo.Metres(math.Inf(1))
	}
	return geo.Metres(float64(v*v) / (2 * d))
}

// StoppingDistance is the stopping sight distance: what the driver must see
// ahead to stop in it.
func (b Braking) StoppingDistance(v geo.MetresPerSecond, grade float64) geo.Metres {
	return b.ThinkingDistance(v) + b.BrakingDistance(v, grade)
}

// SightlineOffset is how far a wall must stand from the driver's line on a
// curve of a radius, for a sight distance measured along that line: the
// horizontal sightline offset of AASHTO's Policy, 2018, section 3.3.12,
//
//	M = R (1 − cos(28.65° S / R))
//
// where 28.65° S/R is half the angle of the arc, S/(2R). It is 2R at most, for a
// sight all round the circle.
func SightlineOffset(radius, sight geo.Metres) geo.Metres {
	half := math.Min(float64(sight/radius)/2, math.Pi)
	return radius * geo.Metres(1-math.Cos(half))
}

// SightOnCurve is the other way round: the sight distance along the line that a
// clear offset allows. Infinite where the offset is two radii or more.
func SightOnCurve(radius, offset geo.Metres) geo.Metres {
	if offset >= 2*radius {
		return geo.Metres(math.Inf(1))
	}
	return 2 * radius * geo.Metres(math.Acos(1-float64(offset/radius)))
}
