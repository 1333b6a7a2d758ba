package traffic

import (
	"flag"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/graph/network"
	"gonum.org/v1/gonum/graph/path"
	"gonum.org/v1/gonum/graph/simple"

	"loopwright/internal/roadnet"
)

var seedFlag = flag.Uint64("seed", 1, "seed of the random graphs")

// randomGraph has one-way and two-way links with times from 1 to most; small
// times make many ties. About a third of the arcs are main roads.
func randomGraph(r *rand.Rand, nodes, links int, most uint32) (*graph, *cells) {
	out := make([][]arc, nodes)
	taken := map[[2]int]bool{}
	segment := roadnet.SegmentID(0)
	big := map[roadnet.SegmentID]bool{}
	for range links {
		a, b := r.IntN(nodes), r.IntN(nodes)
		if a == b || taken[[2]int{a, b}] || taken[[2]int{b, a}] {
			continue
		}
		taken[[2]int{a, b}] = true
		ms := 1 + r.Uint32N(most)
		out[a] = append(out[a], arc{uint32(b), ms, segment})
		if r.IntN(4) > 0 {
			out[b] = append(out[b], arc{uint32(a), ms, segment.Opposite()})
		}
		if r.IntN(3) == 0 {
			big[segment], big[segment.Opposite()] = true, true
		}
		segment += 2
	}
	g := &graph{start: make([]uint32, nodes+1)}
	for v, arcs := range out {
		g.arcs = append(g.arcs, arcs...)
		g.start[v+1] = uint32(len(g.arcs))
	}
	c := &cells{small: make([]bool, len(g.arcs)), portal: make([]bool, nodes)}
	for v := range nodes {
		for k := g.start[v]; k < g.start[v+1]; k++ {
			c.small[k] = !big[g.arcs[k].segment]
			if !c.small[k] {
				c.portal[v], c.portal[g.arcs[k].head] = true, true
			}
		}
	}
	return g, c
}

// everyPair counts each pair of nodes once, wherever they are.
func everyPair(nodes int, most uint32) *demand {
	d := &demand{ends: make([]float64, nodes), rangeMs: most, fall: make([]float64, most/1000+1)}
	for v := range d.ends {
		d.ends[v] = 1
	}
	for t := range d.fall {
		d.fall[t] = 1
	}
	return d
}

// The oracle is gonum's weighted betweenness of nodes and of edges, which
// lists the shortest paths of all pairs one by one.
func TestBetweennessEqualsGonum(t *testing.T) {
	for trial := range uint64(60) {
		r := rand.New(rand.NewPCG(*seedFlag, trial))
		nodes := 5 + r.IntN(30)
		g, c := randomGraph(r, nodes, nodes*2, []uint32{3, 10, 100_000}[trial%3])
		want := simple.NewWeightedDirectedGraph(0, math.Inf(1))
		for v := range nodes {
			want.AddNode(simple.Node(v))
		}
		for v := range uint32(nodes) {
			for _, a := range g.from(v) {
				want.SetWeightedEdge(want.NewWeightedEdge(simple.Node(v), simple.Node(a.head), float64(a.ms)))
			}
		}
		shortest, ok := path.FloydWarshall(want)
		if !ok {
			t.Fatal("the oracle found a negative cycle")
		}
		wantNodes, wantEdges := network.BetweennessWeighted(want, shortest), network.EdgeBetweennessWeighted(want, shortest)

		d := everyPair(nodes, 10_000_000)
		gotNodes := make([]float64, nodes)
		s := newSearch(g, d, c)
		for source := range uint32(nodes) {
			for _, f := range s.from(source, nil) {
				if tail := tailOf(g, f.arc); tail != source {
					gotNodes[tail] += f.all
				}
			}
		}
		for v, got := range gotNodes {
			if want := wantNodes[int64(v)]; math.Abs(got-want) > 1e-9*(1+want) {
				t.Fatalf("seed %d trial %d: betweenness of node %d is %v, want %v", *seedFlag, trial, v, got, want)
			}
		}
		var all []pivot
		for v := range uint32(nodes) {
			all = append(all, pivot{v, 1})
		}
		for k, got := range flowsOf(g, c, d, all, 3).all {
			edge := [2]int64{int64(tailOf(g, uint32(k))), int64(g.arcs[k].head)}
			if want := wantEdges[edge]; math.Abs(got-want) > 1e-9*(1+want) {
				t.Fatalf("seed %d trial %d: betweenness of arc %v is %v, want %v", *seedFlag, trial, edge, got, want)
			}
		}
	}
}

func tailOf(g *graph, k uint32) uint32 {
	v := uint32(0)
	for g.start[v+1] <= k {
		v++
	}
	return v
}

// The oracle walks the one shortest path of every pair, and counts each run
// over small roads that begins and ends where main roads are. Long random
// times make the paths unique.
func TestCutThroughsEqualWalkingEveryPath(t *testing.T) {
	met := 0.0
	for trial := range uint64(60) {
		r := rand.New(rand.NewPCG(*seedFlag, 1000+trial))
		nodes := 5 + r.IntN(40)
		g, c := randomGraph(r, nodes, nodes*2, 100_000)
		d := everyPair(nodes, 10_000_000)
		for v := range d.ends {
			d.ends[v] = float64(r.IntN(4))
		}
		want := make([]float64, len(g.arcs))
		s := newSearch(g, d, c)
		var pivots []pivot
		for source := range uint32(nodes) {
			pivots = append(pivots, pivot{source, 1})
			s.forward(source)
			for _, target := range s.settled[1:] {
				weight := d.ends[source] * d.ends[target]
				var run []uint32
				open := false // the run has left for a main road at its far end
				for v := target; ; {
					if c.portal[v] {
						if open {
							for _, k := range run {
								want[k] += weight
							}
						}
						run, open = nil, v != target
					}
					if v == source {
						break
					}
					k := into(g, s, v)
					if c.small[k] {
						run = append(run, k)
					} else {
						run = nil
					}
					v = tailOf(g, k)
				}
			}
			s.clear()
		}
		got := flowsOf(g, c, d, pivots, 2).through
		for k := range want {
			met += want[k]
			if math.Abs(got[k]-want[k]) > 1e-9*(1+want[k]) {
				t.Fatalf("seed %d trial %d: through traffic of arc %d is %v, want %v", *seedFlag, trial, k, got[k], want[k])
			}
		}
	}
	if met == 0 {
		t.Error("no path cut through")
	}
}

// into is the arc by which the shortest path reaches a node.
func into(g *graph, s *search, v uint32) uint32 {
	for k := range g.arcs {
		if u := tailOf(g, uint32(k)); g.arcs[k].head == v && s.ms[u] != far && s.ms[u]+g.arcs[k].ms == s.ms[v] {
			return uint32(k)
		}
	}
	panic("no arc leads to a node that was reached")
}
