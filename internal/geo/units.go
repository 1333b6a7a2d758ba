// Package geo is the arithmetic of positions, lengths and shapes: units as
// types, a local plane in metres, and polylines on it.
//
// Positions are orb.Point, longitude first, read with Lon() and Lat(). All
// work in metres happens on a Plane, which is flat: its error bound is stated
// at the type. Nothing here knows a road.
package geo

import "math"

// Metres is a length on the ground.
type Metres float64

// Radians is an angle. A heading is an angle clockwise from true north.
type Radians float64

// Degree is one degree: 30 * geo.Degree.
const Degree Radians = math.Pi / 180

// Degrees gives the angle in degrees.
func (a Radians) Degrees() float64 { return float64(a) * 180 / math.Pi }

// MetresPerSecond is a speed.
type MetresPerSecond float64

// Speeds as they stand on signs. A mile is 1609.344 m (international yard and
// pound agreement, 1959), exact.
const (
	KilometrePerHour MetresPerSecond = 1000.0 / 3600
	MilePerHour      MetresPerSecond = 1609.344 / 3600
)

// KilometresPerHour gives the speed in km/h.
func (v MetresPerSecond) KilometresPerHour() float64 { return float64(v / KilometrePerHour) }

// MilesPerHour gives the speed in mph.
func (v MetresPerSecond) MilesPerHour() float64 { return float64(v / MilePerHour) }

// Seconds is a span of time.
type Seconds float64

// Foot is the international foot, 0.3048 m exact.
const Foot Metres = 0.3048

// Normal gives the same direction in [0, 2π).
func (a Radians) Normal() Radians {
	r := math.Mod(float64(a), 2*math.Pi)
	if r < 0 {
		r += 2 * math.Pi
	}
	return Radians(r)
}

// Turned is the turn from heading a to heading b in (−π, π]: positive is a
// turn to the right (clockwise).
func Turned(a, b Radians) Radians {
	d := (b - a).Normal()
	if d > math.Pi {
		d -= 2 * math.Pi
	}
	return d
}
