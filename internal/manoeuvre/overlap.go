package manoeuvre

import (
	"math"

	"loopwright/internal/geo"
)

// box is the upright rectangle between two corners.
func box(x0, y0, x1, y1 geo.Metres) [4]geo.XY {
	a, b, c, d := float64(x0), float64(y0), float64(x1), float64(y1)
	return [4]geo.XY{{X: a, Y: b}, {X: c, Y: b}, {X: c, Y: d}, {X: a, Y: d}}
}

// overlap tells whether two convex quadrilaterals share more than their rims:
// they do not where a line along one of their sides separates them.
func overlap(a, b [4]geo.XY) bool {
	for _, shape := range [][4]geo.XY{a, b} {
		for i := range shape {
			side := shape[(i+1)%4].Sub(shape[i])
			across := geo.XY{X: side.Y, Y: -side.X}.Scale(1 / float64(side.Norm()))
			lowA, highA := shadow(a, across)
			lowB, highB := shadow(b, across)
			if highA <= lowB+float64(tiny) || highB <= lowA+float64(tiny) {
				return false
			}
		}
	}
	return true
}

// shadow is the range of a shape's corners along a unit vector.
func shadow(shape [4]geo.XY, along geo.XY) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range shape {
		d := p.Dot(along)
		low, high = math.Min(low, d), math.Max(high, d)
	}
	return low, high
}

// strikes tells whether the body overlaps one of the shapes on the way.
func (m Movement) strikes(v Vehicle, shapes ...[4]geo.XY) bool {
	for _, p := range m.Poses {
		for _, s := range shapes {
			if overlap(v.Outline(p), s) {
				return true
			}
		}
	}
	return false
}

// Extent is the upright rectangle that the body sweeps in some movements.
func Extent(v Vehicle, ms []Movement) (low, high geo.XY) {
	low = geo.XY{X: math.Inf(1), Y: math.Inf(1)}
	high = geo.XY{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, m := range ms {
		for _, p := range m.Poses {
			for _, q := range v.Outline(p) {
				low = geo.XY{X: math.Min(low.X, q.X), Y: math.Min(low.Y, q.Y)}
				high = geo.XY{X: math.Max(high.X, q.X), Y: math.Max(high.Y, q.Y)}
			}
		}
	}
	return low, high
}
