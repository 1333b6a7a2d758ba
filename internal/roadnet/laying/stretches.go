package laying

import (
	"fmt"
	"math"
	"slices"

	"loopwright/internal/roadnet"
)

// none is roadnet.None for every kind of number.
const none = 1<<32 - 1

// joinStretches joins the links between breaks to stretches, across ways. A
// stretch runs in the direction of its link with the least number. A ring with
// no break gets one, where that link begins.
func (s *site) joinStretches() error {
	nodes, refs := len(s.x.Nodes), len(s.ref)
	s.linkSegment = filled[roadnet.SegmentID](refs, none)
	s.netNode = filled[roadnet.NodeID](nodes, none)
	s.seat = filled(nodes, seat{none, none})
	s.c.VertexStart, s.c.PieceStart, s.c.ThingStart = []uint32{0}, []uint32{0}, []uint32{0}
	s.facts = filled(len(s.x.Roads), roadFacts{row: [2]uint32{none, none}})
	s.rows = map[roadnet.Attributes]uint32{}
	s.makeRoom()
	for l, kind := range s.kind {
		if kind != networkLink || s.linkSegment[l] != none {
			continue
		}
		if err := s.joinStretch(s.firstOf(uint32(l))); err != nil {
			return err
		}
	}
	return nil
}

// makeRoom makes room for the stretches: as many as half the network's link
// ends at breaks, but for rings; a piece begins with a stretch or a road.
func (s *site) makeRoom() {
	breaks, ends := 0, 0
	for node, is := range s.isBreak {
		if is {
			breaks++
			ends += int(s.degree[node])
		}
	}
	c, vertices, stretches := &s.c, len(s.ref)+ends/2, ends/2
	pieces := stretches + len(s.x.Roads)
	room(vertices, &c.VertexLonE7, &c.VertexLatE7)
	room(vertices, &s.vertexAlongMm)
	room(stretches, &c.StretchTail, &c.StretchHead)
	room(stretches, &c.StretchName, &c.StretchRef)
	room(stretches+1, &c.StretchLengthMm, &c.VertexStart, &c.PieceStart, &c.ThingStart)
	room(2*stretches, &c.SegmentUse)
	room(breaks, &s.nodeOf)
	room(breaks, &c.NodeLonE7, &c.NodeLatE7)
	room(breaks, &c.NodeOSM)
	room(breaks, &c.NodeFeatures)
	room(pieces, &c.PieceWay)
	room(pieces, &s.pieceRoad, &c.PieceFromMm, &c.PieceWayFromMm, &c.PieceFirstNode, &c.PieceVertex, &c.PieceAttributes)
	room(pieces, &c.PieceName, &c.PieceRef)
	room(pieces, &c.PieceReversed)
}

// room makes room for n members in each slice.
func room[T any](n int, of ...*[]T) {
	for _, s := range of {
		*s = slices.Grow(*s, n)
	}
}

func filled[T any](n int, v T) []T {
	out := make([]T, n)
	for i := range out {
		out[i] = v
	}
	return out
}

// firstOf goes back from a link to where its stretch begins: the end at which
// the stretch's first link is left.
func (s *site) firstOf(link uint32) linkEnd {
	start := linkEnd(link << 1)
	e := start
	for {
		node := s.far(e ^ 1)
		if s.isBreak[node] {
			return e
		}
		e = s.other(node, e) ^ 1
		if e == start {
			s.isBreak[s.ref[link]] = true
			return start
		}
	}
}

// joinStretch lays the stretch whose first link is left at e.
func (s *site) joinStretch(e linkEnd) error {
	c := &s.c
	number := roadnet.StretchID(len(c.StretchTail))
	firstVertex := len(c.VertexLonE7)
	firstPiece := len(c.PieceWay)
	node := s.far(e ^ 1)
	c.StretchTail = append(c.StretchTail, s.numberNode(node))
	s.addVertex(s.nearRef(e), 0)
	s.sit(node, number)
	along := 0.0
	for before := linkEnd(none); ; {
		l, back := e.link(), e.arrives()
		if before == linkEnd(none) || s.roadOf[before.link()] != s.roadOf[l] || before.arrives() != back ||
			!back && before.link()+1 != l || back && before.link() != l+1 {
			s.addPiece(e, along, len(c.VertexLonE7)-1-firstVertex)
		}
		segment := number.Segment(!back)
		s.linkSegment[l] = segment
		along += s.length(l)
		node = s.far(e)
		if along > math.MaxUint32/1000 {
			return fmt.Errorf("way %d: a stretch of road longer than 4,294 km", s.x.Roads[s.roadOf[l]].ID)
		}
		s.addVertex(s.nearRef(e^1), along)
		s.sit(node, number)
		if s.isBreak[node] {
			break
		}
		if s.isFeatured[node] {
			s.addThing(node, along, back)
		}
		before, e = e, s.other(node, e^1)
	}
	c.StretchHead = append(c.StretchHead, s.numberNode(node))
	c.StretchLengthMm = append(c.StretchLengthMm, mm(along))
	c.VertexStart = append(c.VertexStart, uint32(len(c.VertexLonE7)))
	c.PieceStart = append(c.PieceStart, uint32(len(c.PieceWay)))
	c.ThingStart = append(c.ThingStart, uint32(len(c.ThingAlongMm)))
	c.SegmentUse = append(c.SegmentUse, s.use(e), s.use(e^1))
	name, ref := s.mostly(firstPiece, mm(along))
	c.StretchName, c.StretchRef = append(c.StretchName, name), append(c.StretchRef, ref)
	return nil
}

func mm(metres float64) uint32 { return uint32(math.Round(metres * 1000)) }

// numberNode gives a break its number in the network, in order of appearance.
func (s *site) numberNode(node uint32) roadnet.NodeID {
	if s.netNode[node] == none {
		c := &s.c
		s.netNode[node] = roadnet.NodeID(len(c.NodeOSM))
		s.nodeOf = append(s.nodeOf, node)
		n := &s.x.Nodes[node]
		c.NodeLonE7, c.NodeLatE7 = append(c.NodeLonE7, n.LonE7), append(c.NodeLatE7, n.LatE7)
		c.NodeOSM = append(c.NodeOSM, int64(n.ID))
		c.NodeFeatures = append(c.NodeFeatures, n.Features)
	}
	return s.netNode[node]
}

func (s *site) addVertex(ref uint32, along float64) {
	at := s.spot[ref]
	s.c.VertexLonE7, s.c.VertexLatE7 = append(s.c.VertexLonE7, at.lonE7), append(s.c.VertexLatE7, at.latE7)
	s.vertexAlongMm = append(s.vertexAlongMm, mm(along))
}

// sit notes where the vertex just added lies; the first stretch keeps it.
func (s *site) sit(node uint32, number roadnet.StretchID) {
	if s.seat[node].stretch == none {
		s.seat[node] = seat{number, uint32(len(s.c.VertexLonE7) - 1)}
	}
}

// addPiece begins a piece with the link left at e.
func (s *site) addPiece(e linkEnd, along float64, vertex int) {
	c := &s.c
	i := s.roadOf[e.link()]
	road := s.x.Roads[i]
	at := s.nearRef(e)
	reversed := bit[uint8](e.arrives(), 1)
	facts := s.factsOf(i, reversed)
	s.pieceRoad = append(s.pieceRoad, i)
	c.PieceWay = append(c.PieceWay, int64(road.ID))
	c.PieceReversed = append(c.PieceReversed, reversed)
	c.PieceFromMm = append(c.PieceFromMm, mm(along))
	c.PieceWayFromMm = append(c.PieceWayFromMm, mm(s.wayAlong[at]))
	c.PieceFirstNode = append(c.PieceFirstNode, uint32(road.FirstNode)+at-s.refStart[i])
	c.PieceVertex = append(c.PieceVertex, uint32(vertex))
	c.PieceName = append(c.PieceName, facts.name)
	c.PieceRef = append(c.PieceRef, facts.ref)
	c.PieceAttributes = append(c.PieceAttributes, facts.row[reversed])
}

// roadFacts are the numbers of what a road says: of its row of attributes by
// whether the stretch runs against it, none if not asked for yet.
type roadFacts struct {
	row       [2]uint32
	name, ref roadnet.NameID
}

func (s *site) factsOf(road uint32, reversed uint8) *roadFacts {
	facts, r := &s.facts[road], s.x.Roads[road]
	if facts.row[reversed] == none {
		facts.row[reversed] = s.row(attributesOf(r, reversed != 0))
		facts.name, facts.ref = s.names.id(r.Name), s.names.id(r.Ref)
	}
	return facts
}

// row is the number of the row with the attributes, added if it is new.
func (s *site) row(a roadnet.Attributes) uint32 {
	row, ok := s.rows[a]
	if !ok {
		row = uint32(len(s.c.AttributeRows))
		s.rows[a] = row
		s.c.AttributeRows = append(s.c.AttributeRows, a)
	}
	return row
}

// addThing keeps what stands at a node within a stretch. A direction is of the
// way on which the car comes to the node.
func (s *site) addThing(node uint32, along float64, back bool) {
	n := &s.x.Nodes[node]
	direction := n.Direction
	if back {
		direction = -direction
	}
	s.c.ThingAlongMm = append(s.c.ThingAlongMm, mm(along))
	s.c.ThingFeatures = append(s.c.ThingFeatures, n.Features)
	s.c.ThingDirection = append(s.c.ThingDirection, direction)
}

// mostly is the name and the road number that the greatest part of the
// stretch's length bears; of equal ones the first.
func (s *site) mostly(firstPiece int, length uint32) (name, ref roadnet.NameID) {
	from := s.c.PieceFromMm[firstPiece:]
	most := func(names []roadnet.NameID) roadnet.NameID {
		best, bestMm := names[0], uint32(0)
		for i, id := range names {
			if i > 0 && id == best {
				continue
			}
			sum := uint32(0)
			for j := i; j < len(names); j++ {
				if names[j] == id {
					to := length
					if j+1 < len(names) {
						to = from[j+1]
					}
					sum += to - from[j]
				}
			}
			if sum > bestMm {
				best, bestMm = id, sum
			}
		}
		return best
	}
	return most(s.c.PieceName[firstPiece:]), most(s.c.PieceRef[firstPiece:])
}
