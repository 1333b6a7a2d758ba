package assess

import (
	"math"

	"github.com/paulmach/orb"

	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// line is the smoothed line of a stretch and of the road that goes on from both
// of its ends, as a driver on it sees the road: bends and sight know nothing of
// where the map cuts it.
type line struct {
	points []geo.XY
	turned []float64  // heading, radians, unwrapped, of each part
	step   geo.Metres // length of a part
	before geo.Metres // of the line before the stretch begins
	joined geo.Polyline
}

// farSight is as far as sight is followed; no exercise asks more.
const farSight geo.Metres = 100

// follow takes the line of a stretch, with farSight of road before and after.
func (l *line) follow(n *roadnet.Network, s roadnet.StretchID) {
	forward := s.Segment(true)
	lon, lat := n.LineE7(s)
	plane := geo.PlaneAt(n.NodeAt(n.Tail(forward)))
	start := plane.To(n.NodeAt(n.Tail(forward)))
	l.joined = l.goOn(l.joined[:0], n, plane, start, forward.Opposite())
	for i, j := 0, len(l.joined)-1; i < j; i, j = i+1, j-1 {
		l.joined[i], l.joined[j] = l.joined[j], l.joined[i]
	}
	before := len(l.joined)
	for i := range lon {
		l.joined = append(l.joined, plane.To(orb.Point{float64(lon[i]) / 1e7, float64(lat[i]) / 1e7}))
	}
	l.before = l.joined[:before+1].Length()
	l.joined = l.goOn(l.joined, n, plane, l.joined[len(l.joined)-1], forward)

	l.turned = l.turned[:0]
	if l.joined.Length() == 0 {
		return
	}
	l.points = l.joined.Smoothed(geo.BendStep, geo.BendSigma)
	if len(l.points) < 3 {
		return
	}
	l.step = l.joined.Length() / geo.Metres(len(l.points)-1)
	last := geo.Radians(0)
	for i := 1; i < len(l.points); i++ {
		h := l.points[i].Sub(l.points[i-1]).Heading()
		if i > 1 {
			h = last + geo.Turned(last.Normal(), h)
		}
		l.turned = append(l.turned, float64(h))
		last = h
	}
}

// straightOn is how far a road may turn at a junction and still be the road
// that goes on. Our choice.
const straightOn = 45 * geo.Degree

// goOn appends the line of the road beyond a segment's head, which lies at
// from, the straightest at each junction, until there is farSight of it.
func (l *line) goOn(to geo.Polyline, n *roadnet.Network, plane geo.Plane, from geo.XY, seg roadnet.SegmentID) geo.Polyline {
	const mostStretches = 20 // a ring of stretches without length must not hold us
	rest := farSight
	for range mostStretches {
		back := plane.To(vertex(n, seg.Opposite(), 1))
		heading := from.Sub(back).Heading()
		next, least := roadnet.SegmentID(roadnet.None), straightOn
		for _, out := range n.Out(n.Head(seg)) {
			if out == seg.Opposite() {
				continue
			}
			h := plane.To(vertex(n, out, 1)).Sub(from).Heading()
			if turn := geo.Radians(math.Abs(float64(geo.Turned(heading, h)))); turn < least {
				next, least = out, turn
			}
		}
		if next == roadnet.SegmentID(roadnet.None) {
			return to
		}
		lon, _ := n.LineE7(next.Stretch())
		for i := 1; i < len(lon); i++ {
			p := plane.To(vertex(n, next, i))
			part := p.Sub(from)
			if d := part.Norm(); d >= rest {
				return append(to, from.Add(part.Scale(float64(rest/d))))
			} else {
				rest -= d
			}
			to, from = append(to, p), p
		}
		seg = next
	}
	return to
}

// pointE7 is a position given in 10⁻⁷ degrees.
func pointE7(lon, lat int32) orb.Point { return orb.Point{float64(lon) / 1e7, float64(lat) / 1e7} }

// vertex is the i-th vertex of a segment, in its direction of travel.
func vertex(n *roadnet.Network, seg roadnet.SegmentID, i int) orb.Point {
	lon, lat := n.LineE7(seg.Stretch())
	if !seg.Forward() {
		i = len(lon) - 1 - i
	}
	return orb.Point{float64(lon[i]) / 1e7, float64(lat[i]) / 1e7}
}

// bend is the greatest change of heading over geo.BendWindow for windows whose
// middle lies between two distances along the stretch, in degrees, and where
// that is; the change of the whole line where it is shorter.
func (l *line) bend(from, to geo.Metres) (degrees float64, at geo.Metres) {
	if len(l.turned) == 0 {
		return 0, (from + to) / 2
	}
	from, to = from+l.before, to+l.before
	w := min(int(math.Round(float64(geo.BendWindow/l.step))), len(l.turned)-1)
	half := geo.Metres(w+1) / 2 * l.step
	first := max(int(math.Ceil(float64((from-half)/l.step))), 0)
	last := min(int(math.Floor(float64((to-half)/l.step))), len(l.turned)-1-w)
	// A part near an end has no window whose middle lies in it: take the nearest.
	first = min(first, len(l.turned)-1-w)
	last = max(last, first)
	best := -1.0
	for i := first; i <= last; i++ {
		if c := math.Abs(l.turned[i+w] - l.turned[i]); c > best {
			best, at = c, geo.Metres(i)*l.step+half
		}
	}
	return geo.Radians(best).Degrees(), at - l.before
}

// sight is how far a driver sees along the road both ways from a part of the
// stretch, the lesser: as far as the straight line of sight stays within a
// corridor about the road, to farSight or to where the road ends.
func (l *line) sight(from, to, corridor geo.Metres) geo.Metres {
	if len(l.turned) == 0 {
		return farSight
	}
	at := func(d geo.Metres) int {
		return min(max(int(math.Round(float64((d+l.before)/l.step))), 0), len(l.points)-1)
	}
	return min(l.sightAhead(at(to), 1, corridor), l.sightAhead(at(from), -1, corridor))
}

// sightAhead follows the points from one of them, up (by +1) or down (by -1).
// In the offset of a curve the line of sight leaves the corridor by the middle
// ordinate M = R (1 − cos(S / 2R)), the horizontal sightline offset of AASHTO's
// Green Book (2018, section 3.3.12, from memory), S being the sight distance.
func (l *line) sightAhead(start, by int, corridor geo.Metres) geo.Metres {
	far := int(math.Round(float64(farSight / l.step)))
	stride := max(int(math.Round(float64(10/l.step))), 1)
	// A line that turns by less than this in all can't leave the corridor.
	least, most := math.Inf(1), math.Inf(-1)
	for k := 0; k < far; k++ {
		i := start + by*k
		if by < 0 {
			i--
		}
		if i < 0 || i >= len(l.turned) {
			break
		}
		least, most = min(least, l.turned[i]), max(most, l.turned[i])
	}
	if most-least < float64(4*corridor/farSight) {
		return farSight
	}
	// In strides first, then point by point within the stride that is blocked.
	seen := 0
	for k := stride; k <= far; k += stride {
		if start+by*k < 0 || start+by*k >= len(l.points) {
			return farSight
		}
		if l.clear(start, by, k, corridor) {
			seen = k
			continue
		}
		for k := seen + 1; l.clear(start, by, k, corridor); k++ {
			seen = k
		}
		return geo.Metres(seen) * l.step
	}
	return farSight
}

// clear says whether the straight line from a point to the one k further on
// stays within the corridor about the points between.
func (l *line) clear(start, by, k int, corridor geo.Metres) bool {
	eye, end := l.points[start], start+by*k
	chord := l.points[end].Sub(eye)
	out := float64(corridor * chord.Norm())
	for i := start + by; i != end; i += by {
		if math.Abs(chord.Cross(l.points[i].Sub(eye))) > out {
			return false
		}
	}
	return true
}
