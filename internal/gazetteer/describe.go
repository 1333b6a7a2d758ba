package gazetteer

import (
	"math"
	"strings"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// RoadAt is what a road is called at a position: its name, else its number,
// else "unnamed road".
func RoadAt(n *roadnet.Network, pos roadnet.Position) string {
	along := pos.Along
	if !pos.Segment.Forward() {
		along = n.Length(pos.Segment.Stretch()) - along
	}
	piece := n.PieceAt(pos.Segment.Stretch(), along)
	for _, id := range []roadnet.NameID{piece.Name, piece.Ref} {
		if name := n.Name(id); name != "" {
			return strings.ReplaceAll(name, ";", " / ")
		}
	}
	return "unnamed road"
}

// Describe says where a car stands and which way it faces: "Mill Lane, facing
// towards High Street". The road that it faces is the greatest that meets its
// own at the next junction where any other road with a name does; where there
// is none within a mile or so, it says the end of the road or the point of the
// compass.
func Describe(n *roadnet.Network, pos roadnet.Position) string {
	own := RoadAt(n, pos)
	if own == "unnamed road" {
		if off := namedAt(n, n.Tail(pos.Segment), own); off != "" {
			own += " off " + off
		}
	}
	return own + ", facing " + facing(n, pos)
}

// farAhead is how far along the road a driver would still say "towards".
const farAhead geo.Metres = 1600

func facing(n *roadnet.Network, pos roadnet.Position) string {
	own := RoadAt(n, pos)
	segment := pos.Segment
	for gone := -pos.Along; ; {
		if name := namedAt(n, n.Head(segment), own); name != "" {
			return "towards " + name
		}
		gone += n.Length(segment.Stretch())
		next, ok := straightOn(n, segment)
		if !ok {
			if len(n.Out(n.Head(segment))) == 1 {
				return "the end of the road"
			}
			break
		}
		if gone > farAhead {
			break
		}
		segment = next
	}
	_, heading := n.At(pos)
	return compassPoint(heading)
}

// straightOn is the segment after this one that turns least; not back.
func straightOn(n *roadnet.Network, segment roadnet.SegmentID) (next roadnet.SegmentID, ok bool) {
	least := geo.Radians(math.Inf(1))
	lo, hi := n.TurnRange(roadnet.StateID(segment))
	for t := lo; t < hi; t++ {
		turn := n.TurnAt(t)
		if angle := max(turn.Angle, -turn.Angle); !turn.U && angle < least {
			least, next, ok = angle, n.StateSegment(turn.To), true
		}
	}
	return next, ok
}

// namedAt is the name of the greatest road other than a given one that meets
// the junction of a node, "" if there is none. Of equals the first by number.
func namedAt(n *roadnet.Network, node roadnet.NodeID, but string) string {
	found, class := "", extract.Class(math.MaxUint8)
	for _, v := range n.Junction(n.JunctionOf(node)).Nodes {
		for _, arm := range n.Out(v) {
			start := roadnet.Position{Segment: arm}
			name := RoadAt(n, start)
			if name == but || name == "unnamed road" {
				continue
			}
			along := geo.Metres(0)
			if !arm.Forward() {
				along = n.Length(arm.Stretch())
			}
			if c := n.PieceAt(arm.Stretch(), along).Attributes.Class; c != extract.ClassUnknown && c < class {
				found, class = name, c
			}
		}
	}
	return found
}

// compassPoint is a heading in words.
func compassPoint(heading geo.Radians) string {
	points := [...]string{"north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"}
	return points[int(math.Round(heading.Normal().Degrees()/45))%8]
}
