package laying

import (
	"slices"

	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
)

// outcome is what became of a restriction.
type outcome uint8

const (
	needless outcome = iota
	obeyed
	incomplete
	unconnected
)

// readRestrictions turns restrictions into sequences of segments that must not
// be driven: pairs, and longer ones where the restriction has via ways.
//
// An only_ restriction bars, at every step of its path, every other way on:
// its wording leaves open whether a car may leave the path half way, and we
// take it that it may not. A restriction that holds only at times bars always.
// Where the map leaves open which of two arms of one way is meant, both are.
// One whose members are not among the extract's roads, or do not meet as it
// says, is counted and bars nothing.
func (s *site) readRestrictions() {
	s.pairBans = map[uint64]bool{}
	s.banned = make([]bool, 2*len(s.c.StretchTail))
	count := &s.c.About.Made.Restrictions
	for i := range s.x.Restrictions {
		r := &s.x.Restrictions[i]
		read := s.readAtNode
		if len(r.Via) > 0 {
			read = s.readOverWays
		}
		switch read(r) {
		case needless:
			count.Needless++
		case obeyed:
			count.Obeyed++
			if r.Conditional != "" {
				count.Conditional++
			}
		case incomplete:
			count.Incomplete++
		case unconnected:
			count.Unconnected++
		}
	}
}

// arm is a segment at a node and the way that it uses there.
type arm struct {
	segment roadnet.SegmentID
	way     extract.WayID
}

// armsOn are the segments that leave a node, or arrive at it, along one of the
// ways. Within a stretch the two directions of the stretch are such arms too.
func (s *site) armsOn(ways []extract.WayID, node uint32, arriving bool) []arm {
	var out []arm
	for _, e := range s.ends(node) {
		if s.kind[e.link()] == networkLink && slices.Contains(ways, s.way(e)) {
			if arriving {
				e ^= 1
			}
			out = append(out, arm{s.segmentAlong(e), s.way(e)})
		}
	}
	return out
}

// segmentAlong is the segment of a car that leaves on a link at e.
func (s *site) segmentAlong(e linkEnd) roadnet.SegmentID {
	if e.arrives() {
		return s.linkSegment[e.link()].Opposite()
	}
	return s.linkSegment[e.link()]
}

func (s *site) out(segment roadnet.SegmentID) []roadnet.SegmentID {
	head := s.head(segment)
	return s.c.Out[s.c.OutStart[head]:s.c.OutStart[head+1]]
}

func (s *site) head(segment roadnet.SegmentID) roadnet.NodeID { return s.tail(segment.Opposite()) }

func (s *site) tail(segment roadnet.SegmentID) roadnet.NodeID {
	if segment.Forward() {
		return s.c.StretchTail[segment.Stretch()]
	}
	return s.c.StretchHead[segment.Stretch()]
}

// readAtNode reads a restriction with a via node.
func (s *site) readAtNode(r *extract.Restriction) outcome {
	via, ok := s.findNode(r.ViaNode)
	if !ok || !s.known(r.From) || !s.known(r.To) {
		return incomplete
	}
	if !s.meets(r.From, via) || !s.meets(r.To, via) {
		return unconnected
	}
	if s.netNode[via] == none {
		return needless
	}
	done := needless
	for _, in := range s.armsOn(r.From, via, true) {
		to := s.armsOn(r.To, via, false)
		if r.Only {
			if r.Kind != "only_u_turn" {
				to = slices.DeleteFunc(to, func(a arm) bool { return a.segment == in.segment.Opposite() })
			}
			for _, other := range s.out(in.segment) {
				if !slices.ContainsFunc(to, func(a arm) bool { return a.segment == other }) {
					done = max(done, s.ban(in.segment, other))
				}
			}
			continue
		}
		for _, to := range to {
			// Where both members are one way, a ban of turning round means going
			// back and nothing else, and any other ban means anything but that.
			back := to.segment == in.segment.Opposite()
			if in.way == to.way && back != (r.Kind == "no_u_turn") {
				continue
			}
			done = max(done, s.ban(in.segment, to.segment))
		}
	}
	return done
}

// known says whether any of the ways is among the extract's roads.
func (s *site) known(ways []extract.WayID) bool {
	return slices.ContainsFunc(ways, func(way extract.WayID) bool {
		lo, hi := s.roadsOf(way)
		return lo < hi
	})
}

// meets says whether any of the ways has the node.
func (s *site) meets(ways []extract.WayID, node uint32) bool {
	return slices.ContainsFunc(ways, func(way extract.WayID) bool {
		lo, hi := s.refsOf(way)
		return slices.Contains(s.ref[lo:hi], node)
	})
}

// ban bars a sequence of segments, if it could be driven at all.
func (s *site) ban(sequence ...roadnet.SegmentID) outcome {
	for i := 1; i < len(sequence); i++ {
		if !s.possible(sequence[i-1], sequence[i]) {
			return needless
		}
	}
	if len(sequence) == 2 {
		s.pairBans[pairOf(sequence[0], sequence[1])] = true
		s.banned[sequence[0]] = true
	} else {
		s.longBans = append(s.longBans, slices.Clone(sequence))
	}
	return obeyed
}

func pairOf(from, to roadnet.SegmentID) uint64 { return uint64(from)<<32 | uint64(to) }
