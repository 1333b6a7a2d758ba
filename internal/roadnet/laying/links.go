package laying

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// linkKind says what a link is to the network.
type linkKind uint8

const (
	noLink      linkKind = iota // a road's last node begins none
	networkLink                 // of a stretch
	openingLink                 // of a road that is only an opening
	stubLink                    // of a dead-end stub: an opening too
)

// links are all roads flattened: ref i is a node of a road, link i leads from
// ref i to ref i+1.
type links struct {
	refStart []uint32   // by road, +1
	ref      []uint32   // by ref: index into the extract's nodes
	roadOf   []uint32   // by ref: index into the extract's roads
	kind     []linkKind // by link
	wayAlong []float64  // by ref: metres along the way from its first node; network roads only
	spot     []spot     // by ref: where its node lies; network roads only

	// The ends of all links at a node: rows of endStart, which is by node, +1.
	endStart []uint32
	end      []linkEnd
	degree   []uint8 // by node: ends of network links; stays at 255
}

// spot is a node's position, in 10⁻⁷ degrees.
type spot struct{ lonE7, latE7 int32 }

func (p spot) point() orb.Point { return orb.Point{float64(p.lonE7) / 1e7, float64(p.latE7) / 1e7} }

// linkEnd is a link and which of its ends: link<<1 where the link leaves the
// node in its own direction, link<<1|1 where it arrives.
type linkEnd uint32

func (e linkEnd) link() uint32  { return uint32(e >> 1) }
func (e linkEnd) arrives() bool { return e&1 == 1 }

// nearRef is the ref at the end itself.
func (l *links) nearRef(e linkEnd) uint32 { return e.link() + uint32(e&1) }

// far is the node at the link's other end.
func (l *links) far(e linkEnd) uint32 {
	return l.ref[l.nearRef(e^1)]
}

// ends are the link ends at a node.
func (l *links) ends(node uint32) []linkEnd { return l.end[l.endStart[node]:l.endStart[node+1]] }

// other is the second of the two network link ends at a node of degree 2.
func (l *links) other(node uint32, e linkEnd) linkEnd {
	for _, o := range l.ends(node) {
		if o != e && l.kind[o.link()] == networkLink {
			return o
		}
	}
	panic(fmt.Sprintf("bug: node %d has no second network link", node))
}

// length is a network link's, in metres.
func (l *links) length(link uint32) float64 { return l.wayAlong[link+1] - l.wayAlong[link] }

// public says whether a road's links are of the network.
func public(r *extract.Road) bool {
	return r.Class >= extract.Motorway && r.Class <= extract.PlainRoad && !r.Area &&
		(roadnet.Drivable(r.UseForward) || roadnet.Drivable(r.UseBackward))
}

func (s *site) takeLinks() error {
	roads := s.x.Roads
	s.refStart = make([]uint32, len(roads)+1)
	total := 0
	for i := range roads {
		total += len(roads[i].Nodes)
		s.refStart[i+1] = uint32(total)
	}
	if int64(total) >= 1<<31 {
		return fmt.Errorf("its roads have %d nodes in all, more than this program's numbers reach", total)
	}
	s.ref, s.roadOf = make([]uint32, total), make([]uint32, total)
	s.kind, s.wayAlong = make([]linkKind, total), make([]float64, total)
	s.spot = make([]spot, total)
	index := newNodeIndex(s.x.Nodes)
	missing := make([]error, len(roads))
	parallel(s.workers, len(roads), func(lo, hi int) {
		for i := lo; i < hi; i++ {
			missing[i] = s.takeRoad(uint32(i), index)
		}
	})
	for _, err := range missing {
		if err != nil {
			return err
		}
	}
	s.addEarlierParts()
	s.gatherEnds()
	return nil
}

// takeRoad fills what belongs to one road's refs.
func (s *site) takeRoad(i uint32, index *nodeIndex) error {
	road := s.x.Roads[i]
	kind := openingLink
	if public(road) {
		kind = networkLink
	}
	start := s.refStart[i]
	for k, id := range road.Nodes {
		node, ok := index.find(id)
		if !ok {
			return fmt.Errorf("way %d: node %d is not among the nodes", road.ID, id)
		}
		at := start + uint32(k)
		s.ref[at], s.roadOf[at] = node, i
		if k+1 < len(road.Nodes) {
			s.kind[at] = kind
		}
		if kind == networkLink {
			n := &s.x.Nodes[node]
			s.spot[at] = spot{n.LonE7, n.LatE7}
		}
	}
	if kind == networkLink {
		measureRoad(s.spot[start:s.refStart[i+1]], s.wayAlong[start:])
	}
	return nil
}

// planeReach is how far from its origin's latitude a plane measures links: as
// far as changes a length by less than 0.01 % below 70° of latitude, which is
// also geo.Distance's bound. Links near one another share a plane.
const planeReach = 0.002 // degrees

// measureRoad fills the metres along a road from its first node.
func measureRoad(nodes []spot, along []float64) {
	last := nodes[0].point()
	plane := geo.PlaneAt(last)
	at := plane.To(last)
	for k := 1; k < len(nodes); k++ {
		next := nodes[k].point()
		if math.Abs(next.Lat()-plane.Origin().Lat()) > planeReach {
			plane = geo.PlaneAt(orb.Point{last.Lon(), (last.Lat() + next.Lat()) / 2})
			at = plane.To(last)
		}
		to := plane.To(next)
		along[k] = along[k-1] + float64(to.Sub(at).Norm())
		last, at = next, to
	}
}

// addEarlierParts makes metres along a way that the extract cut go on from the
// part before, across the gap in a straight line.
func (s *site) addEarlierParts() {
	roads := s.x.Roads
	for i := 1; i < len(roads); i++ {
		if roads[i].ID != roads[i-1].ID || !public(roads[i]) {
			continue
		}
		from, to := s.refStart[i], s.refStart[i+1]
		base := s.wayAlong[from-1] + float64(geo.Distance(s.point(s.ref[from-1]), s.point(s.ref[from])))
		for k := from; k < to; k++ {
			s.wayAlong[k] += base
		}
	}
}

// gatherEnds lists the link ends at each node, in the order of the links.
func (s *site) gatherEnds() {
	s.endStart = make([]uint32, len(s.x.Nodes)+1)
	s.degree = make([]uint8, len(s.x.Nodes))
	for l, kind := range s.kind {
		if kind == noLink {
			continue
		}
		for _, node := range s.ref[l : l+2] {
			s.endStart[node+1]++
			if kind == networkLink && s.degree[node] < 255 {
				s.degree[node]++
			}
		}
	}
	for i := 1; i < len(s.endStart); i++ {
		s.endStart[i] += s.endStart[i-1]
	}
	s.end = make([]linkEnd, s.endStart[len(s.endStart)-1])
	// Filling moves each start to its end, which is the next one's start.
	for l, kind := range s.kind {
		if kind == noLink {
			continue
		}
		for k, node := range s.ref[l : l+2] {
			s.end[s.endStart[node]] = linkEnd(l<<1 | k)
			s.endStart[node]++
		}
	}
	copy(s.endStart[1:], s.endStart)
	s.endStart[0] = 0
}

// nodeIndex finds nodes by their OpenStreetMap number: open addressing with
// linear probing, three quarters full at most.
type nodeIndex struct {
	nodes []extract.Node
	slots []uint32 // index + 1, 0 empty
	shift uint
}

func newNodeIndex(nodes []extract.Node) *nodeIndex {
	bits := uint(1)
	for 3<<bits < 4*len(nodes) {
		bits++
	}
	x := &nodeIndex{nodes, make([]uint32, 1<<bits), 64 - bits}
	for i := range nodes {
		slot := x.home(nodes[i].ID)
		for x.slots[slot] != 0 {
			slot = (slot + 1) & (len(x.slots) - 1)
		}
		x.slots[slot] = uint32(i) + 1
	}
	return x
}

// home is Fibonacci hashing: Knuth, "The Art of Computer Programming", volume
// 3, 2nd edition 1998, section 6.4.
func (x *nodeIndex) home(id extract.NodeID) int {
	return int(uint64(id) * 0x9E3779B97F4A7C15 >> x.shift)
}

func (x *nodeIndex) find(id extract.NodeID) (uint32, bool) {
	for slot := x.home(id); x.slots[slot] != 0; slot = (slot + 1) & (len(x.slots) - 1) {
		if i := x.slots[slot] - 1; x.nodes[i].ID == id {
			return i, true
		}
	}
	return 0, false
}
