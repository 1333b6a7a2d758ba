package laying

import (
	"cmp"
	"math"
	"slices"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// mouth is a mouth with the stretch that it opens onto.
type mouth struct {
	stretch roadnet.StretchID
	alongMm uint32
	link    uint32
	side    roadnet.Side
}

// placeMouths finds where links that are not of the network touch it. A way
// that crosses a stretch opens onto both its sides.
func (s *site) placeMouths() {
	var mouths []mouth
	for l, kind := range s.kind {
		if kind != openingLink && kind != stubLink {
			continue
		}
		for k, node := range s.ref[l : l+2] {
			if seat := s.seat[node]; seat.stretch != none {
				away := s.heading(node, s.ref[l+1-k])
				mouths = append(mouths, mouth{seat.stretch, s.vertexAlongMm[seat.vertex], uint32(l), s.sideOf(seat, away)})
			}
		}
	}
	slices.SortFunc(mouths, func(a, b mouth) int {
		if a.stretch != b.stretch {
			return cmp.Compare(a.stretch, b.stretch)
		}
		return cmp.Or(cmp.Compare(a.alongMm, b.alongMm), cmp.Compare(a.link, b.link), cmp.Compare(a.side, b.side))
	})
	c := &s.c
	c.MouthStart = make([]uint32, len(c.StretchTail)+1)
	for _, m := range mouths {
		c.MouthStart[m.stretch+1]++
		road := s.x.Roads[s.roadOf[m.link]]
		kind := mouthKind(road, s.kind[m.link])
		c.MouthAlongMm = append(c.MouthAlongMm, m.alongMm)
		c.MouthSide = append(c.MouthSide, m.side)
		c.MouthKinds = append(c.MouthKinds, kind)
		c.MouthCounts = append(c.MouthCounts, bit[uint8](counts(road, kind), 1))
		c.MouthWay = append(c.MouthWay, int64(road.ID))
	}
	for i := 1; i < len(c.MouthStart); i++ {
		c.MouthStart[i] += c.MouthStart[i-1]
	}
}

func mouthKind(r *extract.Road, kind linkKind) roadnet.MouthKind {
	closed := r.Use == extract.Private || r.Use == extract.Barred
	switch {
	case kind == stubLink:
		return roadnet.MouthStub
	case r.Class == extract.ClassUnknown:
		return roadnet.MouthUnknown
	case r.Class == extract.Track:
		return roadnet.MouthTrack
	case r.Class == extract.ServiceRoad && r.Service == "driveway":
		return roadnet.MouthDrive
	case r.Class == extract.ServiceRoad && r.Service == "parking_aisle":
		return roadnet.MouthAisle
	case r.Class == extract.ServiceRoad && !closed, r.Area && !closed:
		return roadnet.MouthService
	}
	return roadnet.MouthPrivate
}

// counts says whether a learner told "the second on the left" would count the
// opening: if it has a name, and so a sign as other roads have. Our choice.
func counts(r *extract.Road, kind roadnet.MouthKind) bool {
	return r.Name != "" && (kind == roadnet.MouthService || kind == roadnet.MouthPrivate)
}

// heading is the direction from one node to another.
func (s *site) heading(from, to uint32) geo.Radians { return geo.Heading(s.point(from), s.point(to)) }

// sideOf is the side of the stretch on which a road leaves at a vertex: right
// if its heading comes before the road behind, clockwise from the road ahead.
// At an end of the stretch the missing part is taken as going straight on.
func (s *site) sideOf(at seat, away geo.Radians) roadnet.Side {
	lo, hi := s.c.VertexStart[at.stretch], s.c.VertexStart[at.stretch+1]
	var ahead, behind geo.Radians
	if at.vertex+1 < hi {
		ahead = s.vertexHeading(at.vertex, at.vertex+1)
	}
	if at.vertex > lo {
		behind = s.vertexHeading(at.vertex, at.vertex-1)
	} else {
		behind = ahead + math.Pi
	}
	if at.vertex+1 == hi {
		ahead = behind + math.Pi
	}
	if (away - ahead).Normal() <= (behind - ahead).Normal() {
		return roadnet.Right
	}
	return roadnet.Left
}

func (s *site) vertexHeading(from, to uint32) geo.Radians {
	return geo.Heading(vertexPoint(&s.c, from), vertexPoint(&s.c, to))
}
