package assess

import (
	"fmt"
	"math"

	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// TopicsAt gives what is taught at the junction where a car comes from one
// segment and goes on along another. None where the two do not meet there, and
// on a roundabout none but where the car enters it.
func (a *Assessor) TopicsAt(from, to roadnet.SegmentID) []Teaching {
	n := a.net
	at := n.Head(from)
	if n.JunctionOf(n.Tail(to)) != n.JunctionOf(at) {
		return nil
	}
	j := n.Junction(n.JunctionOf(at))
	mapped := func(t Topic, source string) []Teaching { return []Teaching{{t, 1, Mapped, source}} }
	switch j.Kind {
	case roadnet.MiniRoundaboutJunction:
		return mapped(MiniRoundabouts, "a mini-roundabout is mapped")
	case roadnet.SignalsJunction:
		return mapped(Signals, "signals are mapped")
	case roadnet.RoundaboutJunction:
		if n.PieceAt(from.Stretch(), n.Length(from.Stretch())/2).Attributes.Flags&roadnet.Roundabout != 0 {
			return nil
		}
		const manyArms = 5
		if a.ringLanes(j) > 1 || j.Arms >= manyArms {
			return mapped(LargeRoundabouts, fmt.Sprintf("a roundabout of %d arms is mapped", j.Arms))
		}
		return mapped(Roundabouts, fmt.Sprintf("a roundabout of %d arms is mapped", j.Arms))
	case roadnet.PlainJunction:
	default:
		return nil
	}
	if j.Arms >= 4 {
		return []Teaching{{Crossroads, 1, Inferred, fmt.Sprintf("%d roads meet", j.Arms)}}
	}
	if a.goesOn(from) {
		return nil // the side road gives way, not this one
	}
	return a.emerging(from)
}

// ringLanes is the greatest number of lanes mapped on a roundabout.
func (a *Assessor) ringLanes(j roadnet.Junction) uint8 {
	lanes := uint8(0)
	for _, v := range j.Nodes {
		for _, out := range a.net.Out(v) {
			if at := a.net.PieceAt(out.Stretch(), 0).Attributes; at.Flags&roadnet.Roundabout != 0 {
				lanes = max(lanes, at.Lanes[0])
			}
		}
	}
	return lanes
}

// goesOn says whether some road goes on straight beyond a segment's head.
func (a *Assessor) goesOn(from roadnet.SegmentID) bool {
	heading := a.arrival(from)
	for _, v := range a.net.Junction(a.net.JunctionOf(a.net.Head(from))).Nodes {
		for _, out := range a.net.Out(v) {
			if out.Stretch() == from.Stretch() {
				continue
			}
			_, leaves := a.net.At(roadnet.Position{Segment: out, Along: min(junctionLook, a.net.Length(out.Stretch()))})
			if math.Abs(float64(geo.Turned(heading, leaves))) < float64(straightOn) {
				return true
			}
		}
	}
	return false
}

// junctionLook is how far from a junction a road's direction is taken: nearer,
// its line may be bent by how the map draws the junction. Our choice.
const junctionLook geo.Metres = 12

func (a *Assessor) arrival(from roadnet.SegmentID) geo.Radians {
	length := a.net.Length(from.Stretch())
	_, heading := a.net.At(roadnet.Position{Segment: from, Along: max(length-junctionLook, length/2)})
	return heading
}

// emerging says whether a T junction is open or closed, by how far is seen both
// ways from 2.4 m and from 4.5 m back: open where 43 m are seen, the stopping
// distance at 30 mph with its bonnet, closed where 25 m, that at 20 mph, are
// not (Manual for Streets, DfT 2007, section 7.7 and table 7.1, from memory).
// Hedges are seldom mapped, so a view that the map leaves open is less certain
// than one that it closes.
func (a *Assessor) emerging(from roadnet.SegmentID) []Teaching {
	sp := &a.table.spreads
	near, mapped := a.emergingSight(from, 2.4)
	if !mapped {
		source := "no building or wall is mapped at the corners"
		return []Teaching{{OpenJunctions, sp.OpenUnmapped, Assumed, source}, {ClosedJunctions, sp.ClosedUnmapped, Assumed, source}}
	}
	const openFrom, closedBelow geo.Metres = 43, 25
	source := fmt.Sprintf("%.0f m are seen from 2.4 m back past the mapped buildings and walls; hedges are not on the map", near)
	switch {
	case near < closedBelow:
		return []Teaching{{ClosedJunctions, sp.ClosedSeen, Inferred, source}}
	case near < openFrom:
		return []Teaching{{ClosedJunctions, sp.ClosedUnmapped, Inferred, source}}
	}
	open := sp.OpenSeen
	if far, _ := a.emergingSight(from, 4.5); far >= openFrom {
		open = sp.OpenSeenFar
	}
	return []Teaching{{OpenJunctions, open, Inferred, source}, {ClosedJunctions, (1 - open) / 2, Inferred, source}}
}
