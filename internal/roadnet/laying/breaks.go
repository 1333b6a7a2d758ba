package laying

import (
	"slices"

	"loopwright/internal/extract"
)

// findBreaks marks the nodes where stretches end: where other than two network
// links meet, at mini-roundabouts and shut barriers, where what is legal
// changes, and where a restriction bars the only way on.
func (s *site) findBreaks() {
	s.isBreak, s.isFeatured = make([]bool, len(s.x.Nodes)), make([]bool, len(s.x.Nodes))
	parallel(s.workers, len(s.degree), func(lo, hi int) {
		for node := lo; node < hi; node++ {
			features := s.x.Nodes[node].Features
			s.isFeatured[node] = features != 0
			switch degree := s.degree[node]; {
			case degree == 0:
			case degree != 2, features&(extract.MiniRoundabout|extract.BarrierShut) != 0:
				s.isBreak[node] = true
			default:
				a := s.other(uint32(node), ^linkEnd(0))
				b := s.other(uint32(node), a)
				s.isBreak[node] = s.use(a^1) != s.use(b) || s.use(b^1) != s.use(a)
			}
		}
	})
	for node, featured := range s.isFeatured {
		if featured && s.degree[node] > 0 && s.x.Nodes[node].Features&extract.BarrierShut != 0 {
			s.c.About.Made.Barriers++
		}
	}
	for i := range s.x.Restrictions {
		s.breakFor(&s.x.Restrictions[i])
	}
}

// use is what a car may do on a link: with e an end at which it leaves, the
// use of driving away from that end. e^1 is the same link driven the other
// way, arriving at the node.
func (s *site) use(e linkEnd) extract.Use {
	road := s.x.Roads[s.roadOf[e.link()]]
	if e.arrives() {
		return road.UseBackward
	}
	return road.UseForward
}

// breakFor marks the restriction's nodes where it bars going on along what
// would else be one stretch.
func (s *site) breakFor(r *extract.Restriction) {
	from := r.From
	if len(r.Via) > 0 {
		// The ban falls where the last via way meets the way not to be taken.
		from = r.Via[len(r.Via)-1:]
	}
	var nodes []uint32
	if len(r.Via) == 0 {
		if node, ok := s.findNode(r.ViaNode); ok {
			nodes = append(nodes, node)
		}
	} else {
		for _, to := range r.To {
			nodes = append(nodes, s.sharedNodes(from[0], to)...)
		}
	}
	for _, node := range nodes {
		if s.degree[node] != 2 {
			continue
		}
		a := s.other(node, ^linkEnd(0))
		b := s.other(node, a)
		for _, pair := range [2][2]linkEnd{{a, b}, {b, a}} {
			in, out := s.way(pair[0]), s.way(pair[1])
			if slices.Contains(from, in) && slices.Contains(r.To, out) != r.Only && r.Kind != "no_u_turn" {
				s.isBreak[node] = true
			}
		}
	}
}

// way is the way that a link belongs to.
func (s *site) way(e linkEnd) extract.WayID { return s.x.Roads[s.roadOf[e.link()]].ID }

// findNode finds a node of the extract's roads by number.
func (s *site) findNode(id extract.NodeID) (uint32, bool) {
	i, ok := slices.BinarySearchFunc(s.x.Nodes, id, func(n extract.Node, id extract.NodeID) int {
		return compare(n.ID, id)
	})
	return uint32(i), ok
}

// roadsOf are the parts of a way among the extract's roads.
func (s *site) roadsOf(way extract.WayID) (lo, hi int) {
	lo, _ = slices.BinarySearchFunc(s.x.Roads, way, func(r *extract.Road, way extract.WayID) int {
		return compare(r.ID, way)
	})
	hi = lo
	for hi < len(s.x.Roads) && s.x.Roads[hi].ID == way {
		hi++
	}
	return lo, hi
}

// refsOf are the nodes of a way, all parts in a row; neighbours of different
// parts are not joined.
func (s *site) refsOf(way extract.WayID) (lo, hi uint32) {
	a, b := s.roadsOf(way)
	return s.refStart[a], s.refStart[b]
}

// sharedNodes are the nodes that lie on both ways, each once, by number.
func (s *site) sharedNodes(a, b extract.WayID) []uint32 {
	alo, ahi := s.refsOf(a)
	blo, bhi := s.refsOf(b)
	var out []uint32
	for _, node := range s.ref[alo:ahi] {
		if slices.Contains(s.ref[blo:bhi], node) {
			out = append(out, node)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

func compare[T ~int64](a, b T) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}
