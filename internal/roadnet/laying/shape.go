package laying

import (
	"math"

	"github.com/paulmach/orb"

	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

func e7(degrees float64) int32 { return int32(math.Round(degrees * 1e7)) }

func vertexPoint(c *roadnet.Columns, v uint32) orb.Point {
	return orb.Point{float64(c.VertexLonE7[v]) / 1e7, float64(c.VertexLatE7[v]) / 1e7}
}

// reach is how far from a node the direction of an arm is taken: what a
// driver sees of it, and long enough that a metre's error at the node turns it
// by 5° at most. Our choice.
const reach = 12.0

// measureHeadings finds the heading at which each segment leaves its tail: to
// the point a reach along it, or to its head where it is shorter. Where that
// point is the tail itself (a ring), the first vertex elsewhere decides.
func (s *site) measureHeadings() {
	c := &s.c
	s.leave = make([]float64, 2*len(c.StretchTail))
	parallel(s.workers, len(s.leave), func(lo, hi int) {
		for i := lo; i < hi; i++ {
			s.leave[i] = float64(s.leaveHeading(roadnet.SegmentID(i)))
		}
	})
}

func (s *site) leaveHeading(segment roadnet.SegmentID) geo.Radians {
	c := &s.c
	from, to, step := int(c.VertexStart[segment.Stretch()]), int(c.VertexStart[segment.Stretch()+1])-1, 1
	if !segment.Forward() {
		from, to, step = to, from, -1
	}
	start := vertexPoint(c, uint32(from))
	plane := geo.PlaneAt(start)
	last, sum := geo.XY{}, 0.0
	heading := geo.Radians(0)
	for v := from; v != to; {
		v += step
		next := plane.To(vertexPoint(c, uint32(v)))
		d := next.Sub(last)
		if n := float64(d.Norm()); sum+n >= reach {
			next = last.Add(d.Scale((reach - sum) / n))
			sum = reach
		} else {
			sum += n
		}
		if next != (geo.XY{}) {
			heading = next.Heading()
		}
		if sum >= reach {
			break
		}
		last = next
	}
	return heading
}

// arrive is the heading at which a segment comes to its head.
func (s *site) arrive(segment roadnet.SegmentID) geo.Radians {
	return geo.Radians(s.leave[segment.Opposite()] + math.Pi)
}
