package traffic

import (
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// cells tell the small roads from the main roads between which they lie. A
// cell is what small roads can reach without touching a main road; where one
// meets a main road is a portal.
type cells struct {
	small  []bool // by arc
	portal []bool // by node: a main road runs there
}

// mainRoad says whether a class of road is there for traffic that goes elsewhere.
func mainRoad(c extract.Class) bool {
	return c != extract.ClassUnknown && c <= extract.Tertiary
}

// classOf is the class of most of a stretch's length.
func classOf(n *roadnet.Network, s roadnet.StretchID) extract.Class {
	var length [extract.Construction + 1]geo.Metres
	best := extract.ClassUnknown
	for _, p := range n.Pieces(s) {
		c := p.Attributes.Class
		length[c] += p.To - p.From
		if length[c] > length[best] || best == extract.ClassUnknown {
			best = c
		}
	}
	return best
}

// cellsOf takes the class of each stretch.
func cellsOf(g *graph, classes []extract.Class) *cells {
	c := &cells{small: make([]bool, len(g.arcs)), portal: make([]bool, g.nodes())}
	for v := range g.nodes() {
		for k := g.start[v]; k < g.start[v+1]; k++ {
			a := &g.arcs[k]
			if mainRoad(classes[a.segment.Stretch()]) {
				c.portal[v], c.portal[a.head] = true, true
			} else {
				c.small[k] = true
			}
		}
	}
	return c
}
