package roadnet

import (
	"iter"
	"math"
	"sort"

	"github.com/paulmach/orb"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet/sectionfile"
)

// Network is one extract's road network, immutable and safe for concurrent
// use. Slices that its methods give are views, valid while it is open, unless
// a method says otherwise.
type Network struct {
	c    Columns
	file *sectionfile.File // nil if made in memory
}

// About says what the network was made from.
func (n *Network) About() About { return n.c.About }

// NumNodes and its kin count the dense numbers of each kind, from 0.
func (n *Network) NumNodes() int     { return len(n.c.NodeLonE7) }
func (n *Network) NumStretches() int { return len(n.c.StretchTail) }
func (n *Network) NumSegments() int  { return 2 * len(n.c.StretchTail) }
func (n *Network) NumStates() int    { return len(n.c.StateSegment) }
func (n *Network) NumTurns() int     { return len(n.c.TurnTo) }
func (n *Network) NumJunctions() int { return len(n.c.JunctionKinds) }
func (n *Network) NumNames() int     { return len(n.c.NameStart) - 1 }

// Length is the stretch's length along its vertices.
func (n *Network) Length(s StretchID) geo.Metres { return millimetres(n.c.StretchLengthMm[s]) }

// Line is the segment's line in the direction of travel, a fresh copy.
func (n *Network) Line(s SegmentID) orb.LineString {
	lon, lat := n.LineE7(s.Stretch())
	line := make(orb.LineString, len(lon))
	for i := range lon {
		j := i
		if !s.Forward() {
			j = len(lon) - 1 - i
		}
		line[i] = point(lon[j], lat[j])
	}
	return line
}

// LineE7 is the stretch's line forward, in 10⁻⁷ degrees.
func (n *Network) LineE7(s StretchID) (lon, lat []int32) {
	lo, hi := n.c.VertexStart[s], n.c.VertexStart[s+1]
	return n.c.VertexLonE7[lo:hi], n.c.VertexLatE7[lo:hi]
}

// At is where a position lies and the heading of a car there. Beyond the
// segment's ends it is the end.
func (n *Network) At(p Position) (orb.Point, geo.Radians) {
	lon, lat := n.LineE7(p.Segment.Stretch())
	origin := point(lon[0], lat[0])
	plane := geo.PlaneAt(origin)
	line := plane.Line(n.Line(p.Segment))
	// Positions are measured along the stretch as stored; the plane's own
	// length differs by parts in ten thousand.
	along := p.Along
	if length := n.Length(p.Segment.Stretch()); length > 0 {
		along *= line.Length() / length
	}
	xy, heading := line.At(along)
	return plane.From(xy), heading
}

// Opposite is the same point of the road, facing the other way.
func (n *Network) Opposite(p Position) Position {
	return Position{p.Segment.Opposite(), n.Length(p.Segment.Stretch()) - p.Along}
}

// Tail is the node where a segment begins, in its direction of travel.
func (n *Network) Tail(s SegmentID) NodeID { return n.c.tail(s) }

// Head is the node where it ends.
func (n *Network) Head(s SegmentID) NodeID { return n.c.head(s) }

// Out is all segments that leave a node, legal to drive or not, by number.
func (n *Network) Out(v NodeID) []SegmentID { return n.c.Out[n.c.OutStart[v]:n.c.OutStart[v+1]] }

// Use is the worst use of the segment's pieces, in its direction.
func (n *Network) Use(s SegmentID) extract.Use { return n.c.SegmentUse[s] }

// Drivable says whether a learner's car may be on the segment at all: through
// or, in a destination-only zone, to call there.
func (n *Network) Drivable(s SegmentID) bool { return Drivable(n.c.SegmentUse[s]) }

// Drivable says whether a use allows a learner's car at all.
func Drivable(u extract.Use) bool { return u == extract.Through || u == extract.Destination }

// Zone is 0 on a public stretch, else the number of the connected
// destination-only zone that it belongs to: a zone may always be left, and
// entered only by who calls in it. Zones that touch only across a public
// stretch's node are different ones.
func (n *Network) Zone(s StretchID) uint32 { return n.c.StretchZone[s] }

// InCore says whether the stretch is of the through core: some direction of it
// lies on a closed drive over public stretches that obeys every restriction
// and never turns round on one stretch, not even at a turning head.
func (n *Network) InCore(s StretchID) bool { return n.c.StretchFlags[s]&FlagInCore != 0 }

// NearRim says whether the stretch comes within 300 m of where the extract
// ends: its box, a road that it cuts, or a main road's loose end. Traffic and
// through roads are not to be believed there.
func (n *Network) NearRim(s StretchID) bool { return n.c.StretchFlags[s]&FlagNearRim != 0 }

// Pieces are the stretch's pieces, from its start, a fresh slice.
func (n *Network) Pieces(s StretchID) []Piece {
	lo, hi := n.c.PieceStart[s], n.c.PieceStart[s+1]
	out := make([]Piece, 0, hi-lo)
	for p := lo; p < hi; p++ {
		out = append(out, n.piece(s, PieceID(p)))
	}
	return out
}

// PieceAt is the piece at a distance from the stretch's start; where two meet,
// the second. Beyond the ends it is the end piece.
func (n *Network) PieceAt(s StretchID, along geo.Metres) Piece {
	return n.piece(s, n.pieceAt(s, along))
}

func (n *Network) pieceAt(s StretchID, along geo.Metres) PieceID {
	lo, hi := n.c.PieceStart[s], n.c.PieceStart[s+1]
	k := sort.Search(int(hi-lo)-1, func(i int) bool {
		return millimetres(n.c.PieceFromMm[int(lo)+i+1]) > along
	})
	return PieceID(int(lo) + k)
}

func (n *Network) piece(s StretchID, p PieceID) Piece {
	c := &n.c
	return Piece{
		Way: extract.WayID(c.PieceWay[p]), Reversed: c.PieceReversed[p] != 0,
		From: millimetres(c.PieceFromMm[p]), To: millimetres(c.pieceTo(s, p)),
		WayFrom:   millimetres(c.PieceWayFromMm[p]),
		FirstNode: c.PieceFirstNode[p], FirstVertex: c.PieceVertex[p],
		Name: c.PieceName[p], Ref: c.PieceRef[p],
		Attributes: &c.AttributeRows[c.PieceAttributes[p]],
	}
}

func (c *Columns) pieceTo(s StretchID, p PieceID) uint32 {
	if uint32(p)+1 < c.PieceStart[s+1] {
		return c.PieceFromMm[p+1]
	}
	return c.StretchLengthMm[s]
}

// NameOf is the name of most of the stretch's length, 0 if that has none.
func (n *Network) NameOf(s StretchID) NameID { return n.c.StretchName[s] }

// RefOf is the road number of most of the stretch's length, or "".
func (n *Network) RefOf(s StretchID) string { return n.Name(n.c.StretchRef[s]) }

// Name is the text of a name, a copy.
func (n *Network) Name(id NameID) string {
	return string(n.c.NameBytes[n.c.NameStart[id]:n.c.NameStart[id+1]])
}

// NodeAt is where a node lies.
func (n *Network) NodeAt(v NodeID) orb.Point { return point(n.c.NodeLonE7[v], n.c.NodeLatE7[v]) }

// NodeFeatures is what stands at a node.
func (n *Network) NodeFeatures(v NodeID) extract.Feature { return n.c.NodeFeatures[v] }

// NodeOSM is the node's number in OpenStreetMap.
func (n *Network) NodeOSM(v NodeID) extract.NodeID { return extract.NodeID(n.c.NodeOSM[v]) }

// JunctionOf is the junction that a node belongs to; every node has one.
func (n *Network) JunctionOf(v NodeID) JunctionID { return n.c.NodeJunction[v] }

// Junction is a junction as a driver sees it.
func (n *Network) Junction(j JunctionID) Junction {
	lo, hi := n.c.JunctionNodeStart[j], n.c.JunctionNodeStart[j+1]
	return Junction{
		Kind: n.c.JunctionKinds[j], Arms: n.c.JunctionArms[j],
		At:    point(n.c.JunctionLonE7[j], n.c.JunctionLatE7[j]),
		Nodes: n.c.JunctionNode[lo:hi:hi],
	}
}

// StateSegment is the segment that a state is on.
func (n *Network) StateSegment(s StateID) SegmentID { return n.c.StateSegment[s] }

// TurnRange is the turns of a state: TurnIDs from lo up to, not including, hi.
func (n *Network) TurnRange(s StateID) (lo, hi TurnID) {
	return TurnID(n.c.TurnStart[s]), TurnID(n.c.TurnStart[s+1])
}

// TurnAt is one turn.
func (n *Network) TurnAt(t TurnID) Turn {
	return Turn{To: n.c.TurnTo[t], Angle: geo.Radians(n.c.TurnAngle[t]) / angleScale, U: n.c.TurnU[t] != 0}
}

// angleScale is the number of stored units in a radian.
const angleScale = 10000

// Mouths are the openings onto a stretch by their distance from its start, a
// fresh slice. One at a node of the network belongs to the stretch with the
// least number there.
func (n *Network) Mouths(s StretchID) []Mouth {
	c := &n.c
	lo, hi := c.MouthStart[s], c.MouthStart[s+1]
	out := make([]Mouth, 0, hi-lo)
	for m := lo; m < hi; m++ {
		out = append(out, Mouth{
			Along: millimetres(c.MouthAlongMm[m]), Side: c.MouthSide[m], Kind: c.MouthKinds[m],
			Counts: c.MouthCounts[m] != 0, Way: extract.WayID(c.MouthWay[m]),
		})
	}
	return out
}

// Things are what stands along a stretch between its ends, by the distance
// from its start, a fresh slice. What stands at the ends is NodeFeatures.
func (n *Network) Things(s StretchID) []Thing {
	c := &n.c
	lo, hi := c.ThingStart[s], c.ThingStart[s+1]
	out := make([]Thing, 0, hi-lo)
	for t := lo; t < hi; t++ {
		out = append(out, Thing{millimetres(c.ThingAlongMm[t]), c.ThingFeatures[t], c.ThingDirection[t]})
	}
	return out
}

// Settlements are the named places, a fresh slice.
func (n *Network) Settlements() []Settlement {
	c := &n.c
	out := make([]Settlement, len(c.SettlementName))
	for i := range out {
		out[i] = Settlement{n.Name(c.SettlementName[i]), point(c.SettlementLonE7[i], c.SettlementLatE7[i]), c.SettlementRank[i]}
	}
	return out
}

// NumAddresses counts the mapped addresses.
func (n *Network) NumAddresses() int { return len(n.c.AddressLonE7) }

// Addresses goes through the mapped addresses, in the order of the extract.
func (n *Network) Addresses() iter.Seq[Address] {
	return func(yield func(Address) bool) {
		c := &n.c
		for i := range c.AddressLonE7 {
			a := Address{
				point(c.AddressLonE7[i], c.AddressLatE7[i]),
				n.Name(c.AddressPostcode[i]), n.Name(c.AddressStreet[i]), n.Name(c.AddressHouse[i]),
			}
			if !yield(a) {
				return
			}
		}
	}
}

// Traffic is what package traffic found, as it encodes it; empty where nobody
// has asked it yet.
func (n *Network) Traffic() []byte { return n.c.Traffic }

// WithTraffic is the same network with that section made anew. It shares all
// else with n and is valid as long.
func (n *Network) WithTraffic(encoded []byte) *Network {
	out := &Network{c: n.c, file: n.file}
	out.c.Traffic = encoded
	return out
}

func millimetres(mm uint32) geo.Metres { return geo.Metres(mm) / 1000 }

func point(lon, lat int32) orb.Point { return orb.Point{float64(lon) / 1e7, float64(lat) / 1e7} }

// e7 is a coordinate in 10⁻⁷ degrees.
func e7(degrees float64) int32 { return int32(math.Round(degrees * 1e7)) }
