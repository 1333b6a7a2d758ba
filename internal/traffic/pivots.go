package traffic

import (
	"cmp"
	"slices"

	"loopwright/internal/roadnet"
)

// pivot is a source that stands for others near it.
type pivot struct {
	node  uint32
	scale float64 // what its traffic is multiplied by
}

// pivotsOf picks at most count of the nodes that are ends, or all of them where
// count is 0. Brandes and Pich, "Centrality estimation in large networks",
// International Journal of Bifurcation and Chaos 17 (2007), sample sources
// and scale what they send. Difference: nodes are laid in a line that keeps
// neighbours together (Morton, "A computer oriented geodetic data base and a
// new technique in file sequencing", 1966) and picked at even steps of their
// ends, so that each pivot stands for the same amount of traffic from one
// neighbourhood, and nothing is left to chance.
func pivotsOf(n *roadnet.Network, g *graph, ends []float64, count int) []pivot {
	var nodes []uint32
	var sum float64
	for v := range uint32(g.nodes()) {
		if ends[v] > 0 && g.start[v] < g.start[v+1] {
			nodes = append(nodes, v)
		}
	}
	if count <= 0 || count >= len(nodes) {
		out := make([]pivot, len(nodes))
		for i, v := range nodes {
			out[i] = pivot{v, 1}
		}
		return out
	}
	order := make([]uint64, g.nodes())
	for _, v := range nodes {
		order[v] = morton(n, v)
	}
	slices.SortFunc(nodes, func(a, b uint32) int {
		return cmp.Or(cmp.Compare(order[a], order[b]), cmp.Compare(a, b))
	})
	for _, v := range nodes {
		sum += ends[v]
	}
	step := sum / float64(count)
	var out []pivot
	reached, next := 0.0, step/2
	for _, v := range nodes {
		reached += ends[v]
		times := 0
		for ; next < reached; next += step {
			times++
		}
		if times > 0 {
			out = append(out, pivot{v, float64(times) * step / ends[v]})
		}
	}
	return out
}

// morton is a node's place on a line that visits each quarter of the map, and
// each quarter of that, before the next.
func morton(n *roadnet.Network, v uint32) uint64 {
	p := n.NodeAt(roadnet.NodeID(v))
	x, y := uint32((p.Lon()+180)*1e7), uint32((p.Lat()+90)*1e7)
	var out uint64
	for bit := 31; bit >= 0; bit-- {
		out = out<<2 | uint64(x>>bit&1)<<1 | uint64(y>>bit&1)
	}
	return out
}
