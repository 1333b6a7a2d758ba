package route

import (
	"slices"

	"loopwright/internal/roadnet"
)

// arcs is the turn table as a search reads it, in one direction of search:
// those of state v are arc[offset[v]:offset[v+1]].
//
//	forward:  label of v = ms at the start of v's segment
//	          cost of v→to = the segment of v, then the turn
//	backward: label of v = ms from the end of v's segment to the target
//	          cost of v→to, where the car drives to→v = the turn, then v's segment
//
// Either way the cost holds the whole of v's own segment, so a start part-way
// along it takes the missing part off and is no special case.
type arcs struct {
	offset []uint32
	arc    []arc
}

type arc struct {
	to   uint32 // state
	cost uint32 // ms in the low 30 bits, and the flags
}

const (
	arcUTurn   = 1 << 31     // turns back along the same stretch
	arcCrosses = 1 << 30     // from one zone, or the public roads, to another
	arcCost    = 1<<30 - 1   // mask of the milliseconds
	arcClosed  = arcCost     // either end is barred: beyond every bound
	maxBound   = arcCost / 2 // leaves room below arcClosed for a start part-way
)

// buildArcs lays out both tables.
func (w *Weights) buildArcs() {
	n := w.n
	states := n.NumStates()
	w.out = arcs{make([]uint32, states+1), make([]arc, n.NumTurns())}
	w.in = arcs{make([]uint32, states+1), make([]arc, n.NumTurns())}
	for t := range n.NumTurns() {
		w.in.offset[n.TurnAt(roadnet.TurnID(t)).To+1]++
	}
	for v := range states {
		w.in.offset[v+1] += w.in.offset[v]
	}
	next := append([]uint32(nil), w.in.offset[:states]...)
	for v := range states {
		lo, hi := n.TurnRange(roadnet.StateID(v))
		w.out.offset[v+1] = uint32(hi)
		from := n.StateSegment(roadnet.StateID(v))
		for t := lo; t < hi; t++ {
			turn := n.TurnAt(t)
			to := n.StateSegment(turn.To)
			var flags uint32
			if turn.U {
				flags |= arcUTurn
			}
			if w.zone[from.Stretch()] != w.zone[to.Stretch()] {
				flags |= arcCrosses
			}
			ahead, back := uint32(arcClosed), uint32(arcClosed)
			if w.Open(from) && w.Open(to) {
				ahead = flags | (w.segmentMs[from] + w.turnMs[t])
				back = flags | (w.segmentMs[to] + w.turnMs[t])
			}
			w.out.arc[t] = arc{uint32(turn.To), ahead}
			w.in.arc[next[turn.To]] = arc{uint32(v), back}
			next[turn.To]++
		}
	}
}

// closed is a copy of the table in which nothing goes on from the states of
// some segments. What leads to them may stay: a search ends there.
func (a arcs) closed(w *Weights, segments []roadnet.SegmentID) arcs {
	out := arcs{a.offset, slices.Clone(a.arc)}
	for _, s := range segments {
		for _, v := range append([]uint32{uint32(s)}, w.states[uint32(s)]...) {
			for i := a.offset[v]; i < a.offset[v+1]; i++ {
				out.arc[i].cost = arcClosed
			}
		}
	}
	return out
}
