package route_test

import (
	"math"

	"gonum.org/v1/gonum/graph"
	"gonum.org/v1/gonum/graph/path"
	"gonum.org/v1/gonum/graph/simple"

	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// oracle is the network unfolded into a plain weighted graph for gonum's
// Dijkstra. A node is a state with how far the drive has come: still inside
// the zone where it starts, on public roads, or inside the zone where it ends.
// Edges take one from the start of a segment to the start of the next.
type oracle struct {
	*simple.WeightedDirectedGraph
	w      *route.Weights
	n      *roadnet.Network
	uTurns bool
}

const (
	leaving = iota
	public
	arriving
	phases
)

func newOracle(w *route.Weights, uTurns bool) *oracle {
	n := w.Network()
	o := &oracle{simple.NewWeightedDirectedGraph(0, math.Inf(1)), w, n, uTurns}
	for v := range n.NumStates() {
		state := roadnet.StateID(v)
		from := n.StateSegment(state)
		for phase := range phases {
			o.each(state, phase, func(to roadnet.StateID, next int, turn uint32) {
				o.edge(o.id(state, phase), o.id(to, next), float64(w.SegmentMs(from))+float64(turn))
			})
		}
	}
	return o
}

func (o *oracle) id(state roadnet.StateID, phase int) int64 {
	return int64(state)*phases + int64(phase)
}

func (o *oracle) edge(from, to int64, weight float64) {
	if from != to { // a loop never shortens anything
		if e := o.WeightedEdge(from, to); e == nil || e.Weight() > weight {
			o.SetWeightedEdge(o.NewWeightedEdge(simple.Node(from), simple.Node(to), weight))
		}
	}
}

// each goes through what is legal from a state in a phase.
func (o *oracle) each(state roadnet.StateID, phase int, visit func(to roadnet.StateID, phase int, turnMs uint32)) {
	n := o.n
	from := n.StateSegment(state)
	was := n.Zone(from.Stretch())
	if !o.w.Open(from) || (was == 0) != (phase == public) {
		return
	}
	lo, hi := n.TurnRange(state)
	for t := lo; t < hi; t++ {
		turn := n.TurnAt(t)
		to := n.StateSegment(turn.To)
		if !o.w.Open(to) || turn.U && !o.uTurns {
			continue
		}
		is, next := n.Zone(to.Stretch()), phase
		switch {
		case was == is:
		case phase == arriving:
			continue
		case is == 0:
			next = public
		default:
			next = arriving
		}
		visit(turn.To, next, o.w.TurnMs(t))
	}
}

// from finds the least times from a position; the function that it gives says
// how long it takes to another.
func (o *oracle) from(origin roadnet.Position) func(roadnet.Position) (uint32, bool) {
	const start = -1
	o.RemoveNode(start)
	o.AddNode(simple.Node(start))
	state, phase := roadnet.StateID(origin.Segment), public
	if o.n.Zone(origin.Segment.Stretch()) != 0 {
		phase = leaving
	}
	o.each(state, phase, func(to roadnet.StateID, next int, turn uint32) {
		o.edge(start, o.id(to, next), float64(o.w.SegmentMs(origin.Segment)-o.w.At(origin))+float64(turn))
	})
	tree := path.DijkstraFrom(simple.Node(start), graph.Graph(o))
	return func(p roadnet.Position) (uint32, bool) {
		if !o.w.Open(origin.Segment) || !o.w.Open(p.Segment) {
			return 0, false
		}
		best := math.Inf(1)
		if p.Segment == origin.Segment && p.Along >= origin.Along {
			best = float64(o.w.At(p) - o.w.At(origin))
		}
		for v := range o.n.NumStates() {
			if o.n.StateSegment(roadnet.StateID(v)) != p.Segment {
				continue
			}
			for phase := range phases {
				if id := o.id(roadnet.StateID(v), phase); o.Node(id) != nil {
					best = min(best, tree.WeightTo(id)+float64(o.w.At(p)))
				}
			}
		}
		return uint32(min(best, math.MaxUint32)), !math.IsInf(best, 1)
	}
}
