package route

import (
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// Finder is the room that searches work in, some tens of bytes a state, used
// over and over. Not safe for concurrent use: one each.
//
// The search is Dijkstra's ("A note on two problems in connexion with graphs",
// 1959, problem 2) on states. Differences: turn costs, a bound beyond which
// nothing is labelled, labels that are valid by an epoch instead of being
// cleared, and two labels for a state of the zone where the search starts.
type Finder struct {
	w     *Weights
	cells []cell // by label: states, then the copies of those in zones
	epoch uint32
	queue queue
}

// cell is a label's time and where it was reached from, valid where the epoch
// is the finder's.
type cell struct {
	epoch, ms, parent uint32
}

// fromStart in a parent marks one that is the start itself; the rest is the
// start's state.
const fromStart = 1 << 31

// NewFinder makes a finder.
func NewFinder(w *Weights) *Finder {
	return &Finder{w: w, cells: make([]cell, w.n.NumStates()+len(w.zoneStates))}
}

// Weights are those that the finder searches with.
func (f *Finder) Weights() *Weights { return f.w }

// From finds the quickest drives from a position to all that lie within a
// bound of driving time. The tree holds until the finder's next search. An
// origin on a segment that is not open reaches nothing.
func (f *Finder) From(origin roadnet.Position, bound geo.Seconds, opts Options) *Tree {
	return f.from(origin, bound, opts, nil)
}

// Path is the quickest drive between two positions, false where there is none
// within a bound of driving time.
func (f *Finder) Path(origin, target roadnet.Position, bound geo.Seconds, opts Options) (Path, bool) {
	return f.from(origin, bound, opts, []roadnet.Position{target}).Path(target)
}

// from is From that ends when it has the quickest drives to all of some targets:
// the tree then holds for those alone. With none it goes to the bound.
func (f *Finder) from(origin roadnet.Position, bound geo.Seconds, opts Options, targets []roadnet.Position) *Tree {
	t := f.begin(origin, bound, false)
	if !f.w.Open(origin.Segment) {
		return t
	}
	t.open = true
	state := uint32(origin.Segment)
	if opts.After != nil {
		state = uint32(opts.After.States[len(opts.After.States)-1])
		if f.w.n.StateSegment(roadnet.StateID(state)) != origin.Segment {
			panic("route: a search goes on from a drive that ended on another segment: bug in the caller")
		}
	}
	t.state = state
	s := f.search(&f.w.out, t, opts)
	s.aim(targets)
	s.expand(f.w.startLabel(state), -f.w.At(origin), fromStart|state)
	s.run()
	return t
}

// Into finds the quickest drives from all positions within a bound of driving
// time into one. The tree holds until the finder's next search. What a
// restriction over several ways may remember on arrival is allowed for.
func (f *Finder) Into(target roadnet.Position, bound geo.Seconds, opts Options) *Tree {
	t := f.begin(target, bound, true)
	if !f.w.Open(target.Segment) {
		return t
	}
	t.open = true
	s := f.search(&f.w.in, t, opts)
	left := f.w.SegmentMs(target.Segment) - f.w.At(target)
	s.expand(f.w.startLabel(uint32(target.Segment)), -left, fromStart|uint32(target.Segment))
	for _, state := range f.w.states[uint32(target.Segment)] {
		s.expand(f.w.startLabel(state), -left, fromStart|state)
	}
	s.run()
	return t
}

// begin makes ready for a search.
func (f *Finder) begin(at roadnet.Position, bound geo.Seconds, backward bool) *Tree {
	f.epoch++
	if f.epoch == 0 { // all epochs used: forget every label
		clear(f.cells)
		f.epoch = 1
	}
	f.queue = f.queue[:0]
	ms := uint32(0)
	switch {
	case float64(bound)*1000 >= maxBound:
		ms = maxBound
	case bound > 0:
		ms = uint32(float64(bound) * 1000)
	}
	return &Tree{f: f, epoch: f.epoch, at: at, backward: backward, bound: ms}
}

// startLabel is the label of a state at the start of a search.
func (w *Weights) startLabel(state uint32) uint32 {
	if c := w.copyOf[state]; c != roadnet.None {
		return c
	}
	return state
}

// labels adds those of a segment on arrival, in a fixed order: of its own state,
// and of what restrictions over several ways may remember; each with its copy.
func (w *Weights) labels(to []uint32, segment roadnet.SegmentID) []uint32 {
	to = w.withCopy(to, uint32(segment))
	for _, state := range w.states[uint32(segment)] {
		to = w.withCopy(to, state)
	}
	return to
}

func (w *Weights) withCopy(to []uint32, state uint32) []uint32 {
	to = append(to, state)
	if c := w.copyOf[state]; c != roadnet.None {
		to = append(to, c)
	}
	return to
}

// stateOf is the state that a label stands for.
func (w *Weights) stateOf(label uint32) uint32 {
	if plain := uint32(w.n.NumStates()); label >= plain {
		return w.zoneStates[label-plain]
	}
	return label
}

// costMask leaves the flag of turning round in a cost, where that is not
// allowed, which puts it beyond every bound.
func costMask(uTurns bool) uint32 {
	if uTurns {
		return arcCost | arcCrosses
	}
	return arcCost | arcCrosses | arcUTurn
}

// search is one run over a finder's room.
type search struct {
	*Finder
	arcs  *arcs
	bound uint32
	mask  uint32
	left  []roadnet.Position // targets that the search has not passed yet, if it has any
	goal  []uint32           // labels of the first of them
}

func (f *Finder) search(arcs *arcs, t *Tree, opts Options) *search {
	return &search{Finder: f, arcs: arcs, bound: t.bound, mask: costMask(opts.UTurns)}
}

// aim sets the targets that are left.
func (s *search) aim(left []roadnet.Position) {
	s.left, s.goal = left, s.goal[:0]
	if len(left) > 0 {
		s.goal = s.w.labels(s.goal, left[0].Segment)
	}
}

// run labels all that is within the bound, or what leads to the targets.
func (s *search) run() {
	for len(s.queue) > 0 {
		top := s.queue.pop()
		label, ms := uint32(top), uint32(top>>32)
		for s.passed(ms) {
			if s.aim(s.left[1:]); len(s.left) == 0 {
				return
			}
		}
		if s.cells[label].ms == ms {
			s.expand(label, ms, label)
		}
	}
}

// passed says whether the quickest drive to the first target left takes less
// than the milliseconds that the search has come to: then nothing betters it.
func (s *search) passed(ms uint32) bool {
	for _, label := range s.goal {
		if c := s.cells[label]; c.epoch == s.epoch && c.ms < ms {
			return true
		}
	}
	return false
}

// expand goes on from a label. Its time may be a little below 0, wrapped,
// where a search starts part-way along a segment: every cost holds the whole
// of it.
func (s *search) expand(label, ms, parent uint32) {
	if label >= uint32(s.w.n.NumStates()) {
		s.expandCopy(label, ms, parent)
		return
	}
	lo, hi := s.arcs.offset[label], s.arcs.offset[label+1]
	for _, a := range s.arcs.arc[lo:hi] {
		cost := a.cost & s.mask
		if cost >= arcCrosses {
			// Turns round; or goes into a zone, which is well, or leaves one
			// that the search has gone into, which is not.
			if cost >= arcUTurn || s.w.copyOf[label] != roadnet.None {
				continue
			}
			cost &= arcCost
		}
		s.reach(a.to, ms+cost, parent)
	}
}

// expandCopy goes on from a state in the zone where the search started and
// which it has not left yet.
func (s *search) expandCopy(label, ms, parent uint32) {
	state := s.w.stateOf(label)
	for _, a := range s.arcs.arc[s.arcs.offset[state]:s.arcs.offset[state+1]] {
		cost, to := a.cost&s.mask, a.to
		if cost >= arcUTurn {
			continue
		}
		if cost < arcCrosses {
			to = s.w.copyOf[to]
		}
		s.reach(to, ms+cost&arcCost, parent)
	}
}

// reach labels a state if this is the quickest way to it so far.
func (s *search) reach(label, ms, parent uint32) {
	if ms > s.bound {
		return
	}
	c := &s.cells[label]
	if c.epoch == s.epoch && c.ms <= ms {
		return
	}
	*c = cell{s.epoch, ms, parent}
	s.queue.push(entry(ms, label))
}
