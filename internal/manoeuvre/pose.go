package manoeuvre

import (
	"math"

	"loopwright/internal/geo"
)

// Pose is where the car is: the middle of its rear axle, and where it faces,
// clockwise from the Y axis.
type Pose struct {
	At      geo.XY
	Heading geo.Radians
}

// point is the place that lies ahead and to the right of the rear axle's middle.
func (p Pose) point(ahead, right geo.Metres) geo.XY {
	f := geo.Towards(p.Heading)
	return p.At.Add(f.Scale(float64(ahead))).Add(geo.XY{X: f.Y, Y: -f.X}.Scale(float64(right)))
}

// drive follows an arc: along metres (negative in reverse) at a curvature in
// 1/m, positive to the right.
func (p Pose) drive(along geo.Metres, curvature float64) Pose {
	s := float64(along)
	if math.Abs(curvature) < 1e-12 {
		return Pose{p.At.Add(geo.Towards(p.Heading).Scale(s)), p.Heading}
	}
	to := p.Heading + geo.Radians(s*curvature)
	a, b := geo.Towards(p.Heading), geo.Towards(to)
	return Pose{p.At.Add(geo.XY{X: (a.Y - b.Y) / curvature, Y: (b.X - a.X) / curvature}), to}
}

// Gear is the direction of a movement.
type Gear uint8

// A movement is driven forward or in reverse.
const (
	Forward Gear = iota + 1
	Reverse
)

// String gives the word.
func (g Gear) String() string {
	switch g {
	case Forward:
		return "forward"
	case Reverse:
		return "reverse"
	}
	return "no gear"
}

// sign is +1 forward and −1 in reverse.
func (g Gear) sign() geo.Metres {
	if g == Reverse {
		return -1
	}
	return 1
}

// Movement is what is driven without a change of direction: its poses from
// start to end, at most drawStep of travel apart, never fewer than one.
type Movement struct {
	Gear  Gear
	Poses []Pose
}

// End is the pose at which the movement stops.
func (m Movement) End() Pose { return m.Poses[len(m.Poses)-1] }

// drawStep is the distance between poses: 0.1 m, at which an outline drawn at
// 1:100 looks smooth (our choice).
const drawStep geo.Metres = 0.1

// part is a stretch of a path at one curvature; along is negative in reverse.
type part struct {
	along     geo.Metres
	curvature float64
}

// follow drives the parts in order, all in one gear.
func follow(from Pose, gear Gear, parts ...part) Movement {
	m := Movement{gear, []Pose{from}}
	for _, q := range parts {
		start := m.End()
		n := int(math.Ceil(math.Abs(float64(q.along / drawStep))))
		for i := 1; i <= n; i++ {
			m.Poses = append(m.Poses, start.drive(q.along*geo.Metres(i)/geo.Metres(n), q.curvature))
		}
	}
	return m
}

// back is the movement driven the other way.
func (m Movement) back() Movement {
	gear := Forward
	if m.Gear == Forward {
		gear = Reverse
	}
	out := Movement{gear, make([]Pose, len(m.Poses))}
	for i, p := range m.Poses {
		out.Poses[len(m.Poses)-1-i] = p
	}
	return out
}

// Mirrored gives the movements for driving on the right: left and right
// exchanged about the line X = 0.
func Mirrored(ms []Movement) []Movement {
	out := make([]Movement, len(ms))
	for i, m := range ms {
		out[i] = Movement{m.Gear, make([]Pose, len(m.Poses))}
		for j, p := range m.Poses {
			out[i].Poses[j] = Pose{geo.XY{X: -p.At.X, Y: p.At.Y}, -p.Heading}
		}
	}
	return out
}
