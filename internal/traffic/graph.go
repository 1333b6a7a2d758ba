package traffic

import (
	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
)

// graph is the public road network as general traffic uses it: nodes, and an
// arc for every segment that anyone may drive through. Turn restrictions are
// left out: they move traffic from one side street to the next, and the answer
// is no finer than that.
type graph struct {
	start []uint32 // by node + 1: into arcs
	arcs  []arc    // by tail node, then segment
}

// arc is a segment, seen from its tail.
type arc struct {
	head    uint32
	ms      uint32
	segment roadnet.SegmentID
}

// from is the arcs that leave a node.
func (g *graph) from(v uint32) []arc { return g.arcs[g.start[v]:g.start[v+1]] }

func (g *graph) nodes() int { return len(g.start) - 1 }

// public says whether traffic that neither lives nor calls there may drive
// along a segment.
func public(n *roadnet.Network, s roadnet.SegmentID) bool {
	return n.Use(s) == extract.Through && n.Zone(s.Stretch()) == 0
}

// graphOf takes the driving time of each segment, in milliseconds; those that
// are roadnet.None are closed.
func graphOf(n *roadnet.Network, segmentMs []uint32) *graph {
	g := &graph{start: make([]uint32, n.NumNodes()+1)}
	for v := range n.NumNodes() {
		for _, s := range n.Out(roadnet.NodeID(v)) {
			if segmentMs[s] != roadnet.None && public(n, s) {
				g.arcs = append(g.arcs, arc{uint32(n.Head(s)), max(segmentMs[s], 1), s})
			}
		}
		g.start[v+1] = uint32(len(g.arcs))
	}
	return g
}
