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
	_, to := s.pointAlong(segment, reach)
	return to.Heading()
}

func (s *site) firstVertex(segment roadnet.SegmentID) uint32 {
	if segment.Forward() {
		return s.c.VertexStart[segment.Stretch()]
	}
	return s.c.VertexStart[segment.Stretch()+1] - 1
}

// pointAlong is the point so many metres along a segment, or its last point
// where it is shorter; but the last one before that lies off the segment's
// start, where those lie on it. It lies on the plane at the segment's start.
func (s *site) pointAlong(segment roadnet.SegmentID, metres float64) (plane geo.Plane, best geo.XY) {
	c := &s.c
	at, end, step := s.firstVertex(segment), s.firstVertex(segment.Opposite()), uint32(1)
	if !segment.Forward() {
		step = ^uint32(0) // back by one
	}
	first, last, sum := at, geo.XY{}, 0.0
	plane = geo.PlaneAt(vertexPoint(c, at))
	for at != end && sum < metres {
		at += step
		next := plane.To(vertexPoint(c, at))
		before := sum
		sum = math.Abs(float64(s.vertexAlongMm[at])-float64(s.vertexAlongMm[first])) / 1000
		if sum > metres {
			next = last.Add(next.Sub(last).Scale((metres - before) / (sum - before)))
		}
		if next != (geo.XY{}) {
			best = next
		}
		last = next
	}
	return plane, best
}

// arrive is the heading at which a segment comes to its head.
func (s *site) arrive(segment roadnet.SegmentID) geo.Radians {
	return geo.Radians(s.leave[segment.Opposite()] + math.Pi)
}
