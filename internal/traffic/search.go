package traffic

import (
	"math"

	"loopwright/internal/geo"
)

// far stands for a node that a search has not reached.
const far = ^uint32(0)

// demand says how much traffic goes between two nodes.
type demand struct {
	ends    []float64 // by node: what draws traffic there
	rangeMs uint32    // nothing goes farther
	fall    []float64 // by whole second of driving: the share that still goes
	even    bool      // every source sends its ends alone, however many targets it has
}

// search is a workspace for one source at a time.
type search struct {
	g     *graph
	d     *demand
	cells *cells

	ms      []uint32
	paths   []float64 // number of shortest paths
	on      []float64 // traffic that goes on beyond the node, per unit from the source
	through []float64 // the part of it that leaves the cell it came through
	entered []bool    // every shortest path came into the cell from a main road
	settled []uint32  // in order of time
	q       queue
}

func newSearch(g *graph, d *demand, c *cells) *search {
	n := g.nodes()
	s := &search{g: g, d: d, cells: c, ms: make([]uint32, n), paths: make([]float64, n),
		on: make([]float64, n), through: make([]float64, n), entered: make([]bool, n)}
	for v := range s.ms {
		s.ms[v] = far
	}
	return s
}

// flow is the traffic from one source along one arc.
type flow struct {
	arc     uint32
	all     float64
	through float64 // what came into the cell from a main road and leaves it to one
}

// from gives the traffic that one source sends over each arc, in the order in
// which its nodes are reached from last to first, appended to out.
//
// Brandes, "A faster algorithm for betweenness centrality", Journal of
// Mathematical Sociology 25 (2001), algorithm 1 in its weighted form.
// Differences: arcs, not nodes, are counted; a pair of ends counts by what is
// at both and how far apart they are (for bounded and scaled forms see Brandes,
// "On variants of shortest-path betweenness centrality and their generic
// computation", Social Networks 30 (2008)); predecessors are not stored but
// found again from the times, which are whole milliseconds and so compare
// exactly; a second sum beside the first keeps what leaves its cell.
func (s *search) from(source uint32, out []flow) []flow {
	s.forward(source)
	unit := s.d.ends[source]
	if s.d.even {
		var sum float64
		for _, v := range s.settled[1:] {
			sum += s.target(v)
		}
		if sum == 0 {
			unit = 0
		} else {
			unit /= sum
		}
	}
	for i := len(s.settled) - 1; i >= 0; i-- {
		v := s.settled[i]
		var on, through float64
		lo, hi := s.g.start[v], s.g.start[v+1]
		for k := lo; k < hi; k++ {
			a := &s.g.arcs[k]
			w := a.head
			if s.ms[w] != s.ms[v]+a.ms {
				continue
			}
			share := s.paths[v] / s.paths[w]
			all := share * (s.target(w) + s.on[w])
			if all == 0 {
				continue
			}
			on += all
			f := flow{arc: k, all: unit * all}
			if s.cells.small[k] {
				beyond := s.through[w]
				if s.cells.portal[w] {
					beyond = s.on[w]
				}
				through += share * beyond
				if s.entered[v] {
					f.through = unit * share * beyond
				}
			}
			out = append(out, f)
		}
		s.on[v], s.through[v] = on, through
	}
	s.clear()
	return out
}

// target is what a reached node draws.
func (s *search) target(v uint32) float64 { return s.d.ends[v] * s.d.fall[s.ms[v]/1000] }

// forward finds the times and numbers of shortest paths within range.
// Dijkstra, "A note on two problems in connexion with graphs", Numerische
// Mathematik 1 (1959).
func (s *search) forward(source uint32) {
	s.ms[source], s.paths[source], s.entered[source] = 0, 1, s.cells.portal[source]
	s.q = s.q[:0]
	s.q.push(0, source)
	for len(s.q) > 0 {
		ms, v := s.q.pop()
		if ms != s.ms[v] {
			continue
		}
		s.settled = append(s.settled, v)
		paths, entered := s.paths[v], s.entered[v]
		for _, a := range s.g.from(v) {
			w, to := a.head, ms+a.ms
			switch {
			case to > s.d.rangeMs || to > s.ms[w]:
			case to < s.ms[w]:
				s.ms[w], s.paths[w], s.entered[w] = to, paths, entered || s.cells.portal[w]
				s.q.push(to, w)
			default:
				s.paths[w] += paths
				s.entered[w] = s.entered[w] && entered || s.cells.portal[w]
			}
		}
	}
}

func (s *search) clear() {
	for _, v := range s.settled {
		s.ms[v] = far
	}
	s.settled = s.settled[:0]
}

// fallOff tabulates exp(−t/τ) by whole seconds up to the range.
func fallOff(within, tau geo.Seconds) []float64 {
	out := make([]float64, int(within)+1)
	for t := range out {
		out[t] = math.Exp(-float64(t) / float64(tau))
	}
	return out
}
