package drawing

import (
	"math"

	"loopwright/internal/geo"
	"loopwright/internal/manoeuvre"
)

const driftSteps = 80

// wave is the pose a share of the way along a drift.
func wave(x0, x1, from, to geo.Metres, t float64) manoeuvre.Pose {
	x := float64(x0) + float64(x1-x0)*(1-math.Cos(math.Pi*t))/2
	slope := float64(x1-x0) * math.Pi * math.Sin(math.Pi*t) / 2 / float64(to-from)
	return manoeuvre.Pose{At: geo.XY{X: x, Y: float64(from + (to-from)*geo.Metres(t))}, Heading: geo.Radians(math.Atan(slope))}
}

// turned is the pose at which a parallel park changes from one lock to the
// other: where the car stands most across.
func turned(m manoeuvre.Movement) int {
	best := 0
	for i, p := range m.Poses {
		if math.Abs(float64(p.Heading)) > math.Abs(float64(m.Poses[best].Heading)) {
			best = i
		}
	}
	return best
}

// nearing is the first pose of a movement at which the body is within a
// distance of the kerb that it is driven at; ok is false where it never is.
func nearing(v manoeuvre.Vehicle, m manoeuvre.Movement, width, within geo.Metres) (manoeuvre.Pose, bool) {
	for _, p := range m.Poses {
		ends := v.Outline(p)
		for i, c := range ends {
			front := i < 2
			if front != (m.Gear == manoeuvre.Forward) {
				continue
			}
			away := c.X
			if m.Gear == manoeuvre.Forward {
				away = float64(width) - c.X
			}
			if geo.Metres(away) <= within {
				return p, true
			}
		}
	}
	return manoeuvre.Pose{}, false
}
