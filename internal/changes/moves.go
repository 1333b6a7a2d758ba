package changes

import (
	"math"

	"github.com/paulmach/orb"

	"loopwright/internal/extract"
	"loopwright/internal/gazetteer"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// moves tells the movements at junctions, between arms that may be driven, that
// one network allows and the other bars: turn restrictions, over ways too. Where a
// junction or an arm of it is new, a movement that is barred there is told too.
func (c *comparison) moves() {
	m := &movements{comparison: c, olds: map[extract.NodeID]roadnet.NodeID{}}
	for v := range roadnet.NodeID(c.old.NumNodes()) {
		m.olds[c.old.NodeOSM(v)] = v
	}
	for v := range roadnet.NodeID(c.now.NumNodes()) {
		if inside(c.old, c.now.NodeAt(v)) && !m.shut(v) {
			m.at(v)
		}
	}
}

type movements struct {
	*comparison
	olds map[extract.NodeID]roadnet.NodeID // the older network's nodes
}

// at compares one node of the newer network.
func (m *movements) at(v roadnet.NodeID) {
	arms := m.arms(v)
	for _, in := range arms {
		a := in.now.Opposite()
		if !m.now.Drivable(a) {
			continue
		}
		for _, out := range arms {
			if out.now == in.now || !m.now.Drivable(out.now) {
				continue
			}
			state, is := turn(m.now, roadnet.StateID(a), out.now)
			known := in.known && out.known && m.old.Drivable(in.old.Opposite()) && m.old.Drivable(out.old)
			var oldState roadnet.StateID
			was := true
			if known {
				oldState, was = turn(m.old, roadnet.StateID(in.old.Opposite()), out.old)
			}
			switch {
			case is != was:
				m.tellMove(is, a, out.now)
			case is:
				m.beyond(a, state, out, oldState, known)
			}
		}
	}
}

// beyond compares what may follow a turn that both allow: a restriction over
// ways bars there what is allowed to those who come another way.
func (m *movements) beyond(a roadnet.SegmentID, state roadnet.StateID, by arm, oldState roadnet.StateID, known bool) {
	if state == roadnet.StateID(by.now) && (!known || oldState == roadnet.StateID(by.old)) {
		return // nothing is remembered
	}
	v := m.now.Head(by.now)
	for _, out := range m.arms(v) {
		if _, free := turn(m.now, roadnet.StateID(by.now), out.now); !free {
			continue
		}
		_, is := turn(m.now, state, out.now)
		was := true
		if w, ok := m.olds[m.now.NodeOSM(v)]; known && ok && out.known && m.old.Head(by.old) == w {
			if _, was = turn(m.old, roadnet.StateID(by.old), out.old); was {
				_, was = turn(m.old, oldState, out.old)
			}
		}
		if is != was {
			m.tellMove(is, a, by.now, out.now)
		}
	}
}

// shut says whether a barrier stands at a node in either network: that is told
// as one, and not as movements.
func (m *movements) shut(v roadnet.NodeID) bool {
	w, ok := m.olds[m.now.NodeOSM(v)]
	return m.now.NodeFeatures(v)&extract.BarrierShut != 0 || ok && m.old.NodeFeatures(w)&extract.BarrierShut != 0
}

// tellMove tells a movement over segments of the newer network.
func (m *movements) tellMove(allowed bool, path ...roadnet.SegmentID) {
	kind := MoveBarred
	if allowed {
		kind = MoveAllowed
	}
	words := ""
	var line orb.LineString
	var touched []roadnet.StretchID
	nearRim := false
	for i, s := range path {
		length := m.now.Length(s.Stretch())
		at, from, to := length/2, geo.Metres(0), length
		switch i {
		case 0:
			at, from = length, max(length-shown, 0)
		case len(path) - 1:
			at, to = 0, min(length, shown)
		}
		words += [...]string{"from ", " into ", " and on into "}[min(i, 2)] + gazetteer.RoadAt(m.now, roadnet.Position{Segment: s, Along: at})
		line = append(line, stretchPart(m.now, s, from, to)...)
		touched = append(touched, s.Stretch())
		nearRim = nearRim || m.now.NearRim(s.Stretch())
	}
	first := path[0]
	piece := m.now.PieceAt(first.Stretch(), endOf(m.now, first))
	m.tell(key{kind, piece.Way, "", words}, nameOf(m.now, &piece), line, 0, nearRim, touched...)
}

// shown is how much of each road a movement's line shows: our choice.
const shown geo.Metres = 30

func stretchPart(n *roadnet.Network, s roadnet.SegmentID, from, to geo.Metres) orb.LineString {
	line := n.Line(s)
	plane := geo.PlaneAt(line[0])
	flat := plane.Line(line)
	scale := n.Length(s.Stretch()) / max(flat.Length(), 0.01)
	var out orb.LineString
	for _, v := range flat.Slice(from/scale, to/scale) {
		out = append(out, rounded(plane.From(v)))
	}
	return out
}

// endOf is where a segment ends, from its stretch's start.
func endOf(n *roadnet.Network, s roadnet.SegmentID) geo.Metres {
	if s.Forward() {
		return n.Length(s.Stretch())
	}
	return 0
}

// turn is the state after a turn from a state into a segment, and whether it is
// allowed.
func turn(n *roadnet.Network, from roadnet.StateID, to roadnet.SegmentID) (roadnet.StateID, bool) {
	for t, hi := n.TurnRange(from); t < hi; t++ {
		if next := n.TurnAt(t); !next.U && n.StateSegment(next.To) == to {
			return next.To, true
		}
	}
	return 0, false
}

// arm is a segment that leaves a node of the newer network, and the older
// network's, where it is known.
type arm struct {
	now, old roadnet.SegmentID
	known    bool
}

// sameArm is the greatest angle between two drawings of one arm, seen over its
// first metres: our choices.
const (
	sameArm             = 30 * geo.Degree
	seenOver geo.Metres = 15
)

// arms are the segments that leave a node. The older network's at the node of
// the same number are those that lie nearest in direction, each to the other.
func (m *movements) arms(v roadnet.NodeID) []arm {
	segments := m.now.Out(v)
	out := make([]arm, len(segments))
	w, same := m.olds[m.now.NodeOSM(v)]
	for i, s := range segments {
		out[i].now = s
		if !same {
			continue
		}
		if best, ok := nearestArm(m.old, m.old.Out(w), leaves(m.now, s)); ok {
			back, ok := nearestArm(m.now, segments, leaves(m.old, best))
			out[i].old, out[i].known = best, ok && back == s
		}
	}
	return out
}

func nearestArm(n *roadnet.Network, arms []roadnet.SegmentID, heading geo.Radians) (best roadnet.SegmentID, ok bool) {
	off := sameArm
	for _, s := range arms {
		if d := geo.Radians(math.Abs(float64(geo.Turned(heading, leaves(n, s))))); d < off {
			best, off, ok = s, d, true
		}
	}
	return best, ok
}

// leaves is the direction in which a segment leaves its node.
func leaves(n *roadnet.Network, s roadnet.SegmentID) geo.Radians {
	a, _ := n.At(roadnet.Position{Segment: s})
	b, _ := n.At(roadnet.Position{Segment: s, Along: seenOver})
	return geo.Heading(a, b)
}
