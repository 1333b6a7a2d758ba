package route

import (
	"math"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// builder makes the times of one Weights.
type builder struct {
	w         *Weights
	n         *roadnet.Network
	pace      *Pace
	driveLeft bool

	first, last []end  // of each segment, in its direction
	sign        []sign // at the end of each segment
}

// end is how a segment begins or ends.
type end struct {
	speed geo.MetresPerSecond // running, so far as the segment's length allows
	class extract.Class
	link  bool
	round bool // on a roundabout
}

// cruise is the running speed along a piece: of the limit as much as the
// learner uses on such a road, and no more than its shape and surface allow.
// Of a limit that may be either of two the lower counts.
func (p *Pace) cruise(a *roadnet.Attributes, direction int) geo.MetresPerSecond {
	road := &p.roads[a.Class]
	if road.share == 0 {
		road = &p.roads[extract.PlainRoad] // a class that is not known
	}
	limit := geo.MetresPerSecond(a.LimitLowDkmh[direction]) / 10 * geo.KilometrePerHour
	if limit == 0 {
		limit = road.unposted
	}
	v := geo.MetresPerSecond(road.share) * limit
	if road.limited {
		v = min(v, road.cap)
	}
	v *= geo.MetresPerSecond(p.Share)
	if a.Flags&roadnet.Roundabout != 0 {
		v = min(v, p.speeds[onRoundabout])
	}
	if a.Calming != 0 {
		v = min(v, p.speeds[overCalming])
	}
	switch a.Surface {
	case extract.Loose:
		v = min(v, p.speeds[onLoose])
	case extract.Setts:
		v = min(v, p.speeds[onSetts])
	}
	return max(v, walkingPace)
}

// walkingPace bounds running times where a limit is a slip of the mapper's.
const walkingPace geo.MetresPerSecond = 1

// changing is the time lost, against going on at the higher of the two speeds,
// by slowing from v to u or picking up from u to v: the same path at an even
// rate takes (v − u)² / (2 r v) longer, r the rate in m/s².
func (p *Pace) changing(from, to geo.MetresPerSecond) geo.Seconds {
	rate, high := p.Accelerate, to
	if to < from {
		rate, high = p.Brake, from
	}
	if high == 0 {
		return 0
	}
	d := float64(to - from)
	return geo.Seconds(d * d / (2 * rate * float64(high)))
}

// reached is the most speed that a stretch of road between two stops allows:
// v²/2a + v²/2b = length.
func (p *Pace) reached(length geo.Metres) geo.MetresPerSecond {
	return geo.MetresPerSecond(math.Sqrt(2 * float64(length) / (1/p.Accelerate + 1/p.Brake)))
}

// run times the segments, with the delays of what stands along them.
func (b *builder) run() {
	n := b.n
	segments := n.NumSegments()
	b.w.segmentMs = make([]uint32, segments)
	b.w.markOffset = make([]uint32, segments+1)
	b.first, b.last = make([]end, segments), make([]end, segments)
	b.sign = make([]sign, segments)
	for s := range n.NumStretches() {
		stretch := roadnet.StretchID(s)
		length, pieces, things := n.Length(stretch), n.Pieces(stretch), n.Things(stretch)
		for _, forward := range []bool{true, false} {
			segment := stretch.Segment(forward)
			b.sign[segment] = b.signAt(segment, length, things)
			b.w.segmentMs[segment] = roadnet.None
			if n.Drivable(segment) {
				b.w.segmentMs[segment] = b.runAlong(segment, length, pieces, things)
			}
			b.w.markOffset[segment+1] = uint32(len(b.w.marks))
		}
	}
}

// runAlong times one segment, appends its marks and fills its ends.
func (b *builder) runAlong(segment roadnet.SegmentID, length geo.Metres, pieces []roadnet.Piece, things []roadnet.Thing) uint32 {
	var (
		time geo.Seconds
		at   geo.Metres
		v    geo.MetresPerSecond
		next int // the thing to come
		d    = direction(segment)
	)
	mostly := b.pace.reached(length)
	markHere := func() { b.w.marks = append(b.w.marks, mark{at, milliseconds(time)}) }
	for i := range pieces {
		piece, end := &pieces[i], pieces[i].To
		if d == 1 {
			piece = &pieces[len(pieces)-1-i]
			end = length - piece.From
		}
		if i == len(pieces)-1 {
			end = length
		}
		was := v
		v = b.pace.cruise(piece.Attributes, d)
		if i == 0 {
			b.first[segment] = endOf(piece.Attributes, min(v, mostly))
		} else {
			time += b.pace.changing(min(was, mostly), min(v, mostly))
			markHere()
		}
		for ; next < len(things); next++ {
			thing, along := things[next], things[next].Along
			if d == 1 {
				thing = things[len(things)-1-next]
				along = length - thing.Along
			}
			if along > end {
				break
			}
			delay := b.passing(thing, segment, along, length, min(v, mostly))
			if delay == 0 || along < at {
				continue
			}
			time += geo.Seconds(along-at) / geo.Seconds(v)
			at = along
			markHere()
			time += delay
			markHere()
		}
		time += geo.Seconds(end-at) / geo.Seconds(v)
		at = end
		b.last[segment] = endOf(piece.Attributes, min(v, mostly))
	}
	return max(milliseconds(time), 1)
}

func endOf(a *roadnet.Attributes, v geo.MetresPerSecond) end {
	return end{v, a.Class, a.Link != 0, a.Flags&roadnet.Roundabout != 0}
}

// nearLine is how far before a junction its own signals, stop and give-way
// lines are mapped: our choice, since lines stand a car's length or two back
// and mappers put them within a few metres of that.
const nearLine geo.Metres = 30

// concerns says whether a thing faces traffic along a segment.
func concerns(thing roadnet.Thing, segment roadnet.SegmentID) bool {
	return thing.Direction == 0 || (thing.Direction > 0) == segment.Forward()
}

// passing is the time lost at a thing along a segment, driven at v. Those that
// belong to the junction at either end count there.
func (b *builder) passing(thing roadnet.Thing, segment roadnet.SegmentID, along, length geo.Metres, v geo.MetresPerSecond) geo.Seconds {
	if !concerns(thing, segment) {
		return 0
	}
	p, f := b.pace, thing.Features
	var lost geo.Seconds
	wait := func(d delayName) { lost = max(lost, p.delays[d]*geo.Seconds(p.Wait)) }
	if f&extract.Signals != 0 && !b.atSignals(segment, along, length) {
		wait(atCrossingSignals)
	}
	if f&extract.CrossingSignals != 0 && !b.atSignals(segment, along, length) {
		wait(atCrossingSignals)
	}
	if f&extract.CrossingZebra != 0 {
		wait(atZebra)
	}
	if f&(extract.CrossingOther|extract.Island) != 0 {
		wait(atCrossing)
	}
	if f&extract.LevelCrossing != 0 {
		wait(atLevelCrossing)
	}
	if f&extract.BarrierOpen != 0 {
		wait(atGate)
	}
	if f&extract.Calming != 0 && v > p.speeds[overCalming] {
		lost = max(lost, p.changing(v, p.speeds[overCalming])+p.changing(p.speeds[overCalming], v))
	}
	return lost
}

// atSignals says whether a point along a segment is so near a junction with
// signals that they are the same ones.
func (b *builder) atSignals(segment roadnet.SegmentID, along, length geo.Metres) bool {
	return length-along <= nearLine && b.kindAt(b.n.Head(segment)) == roadnet.SignalsJunction ||
		along <= nearLine && b.kindAt(b.n.Tail(segment)) == roadnet.SignalsJunction
}

// kindAt is what a driver meets at a node.
func (b *builder) kindAt(node roadnet.NodeID) roadnet.JunctionKind {
	return b.n.Junction(b.n.JunctionOf(node)).Kind
}
