package geo

import (
	"math"

	"github.com/paulmach/orb"
)

// WGS 84 defining constants (NIMA TR8350.2, 2000, table 3.1).
const (
	semiMajor     = 6378137.0
	flattening    = 1 / 298.257223563
	eccentricity2 = flattening * (2 - flattening)
)

// metresPerDegree gives the length of one degree of longitude and of latitude
// at a latitude, from the ellipsoid's radii of curvature: N cos φ across, M
// along.
func metresPerDegree(lat float64) (lon, latitude float64) {
	sin, cos := math.Sincos(lat * math.Pi / 180)
	w2 := 1 - eccentricity2*sin*sin
	n := semiMajor / math.Sqrt(w2)
	m := n * (1 - eccentricity2) / w2
	return n * cos * math.Pi / 180, m * math.Pi / 180
}

// Distance is the length of the straight line between two positions, on the
// plane that touches the ellipsoid at their middle latitude. Within 0.01 % of
// the geodesic up to 10 km and below 70° of latitude; across the antimeridian
// it takes the short way.
func Distance(a, b orb.Point) Metres {
	kx, ky := metresPerDegree((a.Lat() + b.Lat()) / 2)
	return Metres(math.Hypot(wrapDegrees(b.Lon()-a.Lon())*kx, (b.Lat()-a.Lat())*ky))
}

// Heading is the direction from a to b, clockwise from north; 0 where they are
// the same. Same model and bounds as Distance.
func Heading(a, b orb.Point) Radians {
	kx, ky := metresPerDegree((a.Lat() + b.Lat()) / 2)
	x, y := wrapDegrees(b.Lon()-a.Lon())*kx, (b.Lat()-a.Lat())*ky
	if x == 0 && y == 0 {
		return 0
	}
	return Radians(math.Atan2(x, y)).Normal()
}

// wrapDegrees brings a difference of longitudes into [−180, 180).
func wrapDegrees(d float64) float64 {
	if d >= -180 && d < 180 {
		return d
	}
	d = math.Mod(d+180, 360)
	if d < 0 {
		d += 360
	}
	return d - 180
}

// XY is a position on a Plane: metres east and north of its origin.
type XY struct{ X, Y float64 }

// Sub is the vector from b to a.
func (a XY) Sub(b XY) XY { return XY{a.X - b.X, a.Y - b.Y} }

// Add is the vector sum.
func (a XY) Add(b XY) XY { return XY{a.X + b.X, a.Y + b.Y} }

// Scale is the vector k times as long.
func (a XY) Scale(k float64) XY { return XY{a.X * k, a.Y * k} }

// Dot is the scalar product.
func (a XY) Dot(b XY) float64 { return a.X*b.X + a.Y*b.Y }

// Cross is the z component of the vector product: positive where b lies to the
// left of a.
func (a XY) Cross(b XY) float64 { return a.X*b.Y - a.Y*b.X }

// Norm is the vector's length.
func (a XY) Norm() Metres { return Metres(math.Hypot(a.X, a.Y)) }

// Heading is the vector's direction, clockwise from north (the Y axis); 0 for
// the null vector.
func (a XY) Heading() Radians {
	if a.X == 0 && a.Y == 0 {
		return 0
	}
	return Radians(math.Atan2(a.X, a.Y)).Normal()
}

// Towards is the unit vector with a heading.
func Towards(heading Radians) XY {
	s, c := math.Sincos(float64(heading))
	return XY{s, c}
}

// Plane is a flat map about an origin: equirectangular, with the ellipsoid's
// radii at the origin's latitude. Within 5 km of the origin and below 70° of
// latitude, lengths are within 0.25 % and directions within 0.15° of the
// ellipsoid's; within 500 m, ten times better. One plane per stretch or per
// place; never one for a whole extract.
type Plane struct {
	origin orb.Point
	kx, ky float64
}

// PlaneAt makes the plane that touches the earth at a position.
func PlaneAt(origin orb.Point) Plane {
	kx, ky := metresPerDegree(origin.Lat())
	return Plane{origin, kx, ky}
}

// Origin is where the plane touches.
func (p Plane) Origin() orb.Point { return p.origin }

// To maps a position onto the plane.
func (p Plane) To(q orb.Point) XY {
	return XY{wrapDegrees(q.Lon()-p.origin.Lon()) * p.kx, (q.Lat() - p.origin.Lat()) * p.ky}
}

// From maps back.
func (p Plane) From(v XY) orb.Point {
	return orb.Point{p.origin.Lon() + v.X/p.kx, p.origin.Lat() + v.Y/p.ky}
}

// Line maps a line of positions onto the plane.
func (p Plane) Line(ls orb.LineString) Polyline {
	out := make(Polyline, len(ls))
	for i, q := range ls {
		out[i] = p.To(q)
	}
	return out
}
