package laying

import (
	"math"

	"github.com/paulmach/orb"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// Figures of what is one road to a driver at a junction; our choice.
const (
	sameArm       = 40 * geo.Degree // between the directions in which the halves of one road lie
	armReach      = 50.0            // m along a half to the point that tells where it lies
	signalsBefore = 25.0            // m before a junction, at which its signals may stand
)

// arms counts the roads that meet at a junction. A one-way road that leaves it
// and one that comes to it are one road where they have the same name and
// number and, seen from the junction's middle, lie the same way, or part at
// one node.
type arms struct {
	*junctionMaker
	middle  orb.Point
	both    int
	out, in []roadnet.SegmentID // one-way, as segments that leave the junction
	signals int                 // arms with signals before the junction
}

// add takes a segment that leaves a node of the junction.
func (a *arms) add(segment roadnet.SegmentID) {
	t := segment.Stretch()
	c := &a.c
	if a.inner[t] {
		return
	}
	switch out, in := a.ways(segment); {
	case out && in:
		a.both++
	case out:
		a.out = append(a.out, segment)
	case in:
		a.in = append(a.in, segment)
	}
	for k := c.ThingStart[t]; k < c.ThingStart[t+1]; k++ {
		along, towards := c.ThingAlongMm[k], int8(-1)
		if !segment.Forward() {
			along, towards = c.StretchLengthMm[t]-along, 1
		}
		if along <= signalsBefore*1000 && c.ThingFeatures[k]&(extract.Signals|extract.CrossingSignals) == extract.Signals &&
			c.ThingDirection[k] != -towards {
			a.signals++
			break
		}
	}
}

// count pairs each road that comes with the one that leaves nearest to it.
func (a *arms) count() int {
	count := a.both + len(a.out) + len(a.in)
	taken := make([]bool, len(a.out))
	for _, in := range a.in {
		best, bestTurn := -1, sameArm
		for k, out := range a.out {
			if taken[k] || !a.sameRoad(in.Stretch(), out.Stretch()) {
				continue
			}
			turn := geo.Radians(0)
			if a.head(in) != a.head(out) {
				turn = geo.Radians(math.Abs(float64(geo.Turned(a.direction(in), a.direction(out)))))
			}
			if turn <= bestTurn {
				best, bestTurn = k, turn
			}
		}
		if best >= 0 {
			taken[best] = true
			count--
		}
	}
	return count
}

// direction is where an arm lies, from the junction's middle.
func (a *arms) direction(segment roadnet.SegmentID) geo.Radians {
	plane, at := a.pointAlong(segment, armReach)
	return geo.Heading(a.middle, plane.From(at))
}

func (a *arms) sameRoad(t, u roadnet.StretchID) bool {
	return a.c.StretchName[t] == a.c.StretchName[u] && a.c.StretchRef[t] == a.c.StretchRef[u]
}
