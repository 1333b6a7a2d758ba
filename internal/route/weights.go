package route

import (
	"slices"

	"loopwright/internal/country"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// Weights are the driving times of one network for one pace, in milliseconds.
// Read only once made; any number of finders may share them.
type Weights struct {
	n    *roadnet.Network
	pace *Pace

	segmentMs []uint32 // by segment; None where a learner's car may not drive
	turnMs    []uint32 // by turn
	// marks[markOffset[s]:markOffset[s+1]] are the times along segment s where
	// they don't simply grow with the length; none for most segments.
	markOffset []uint32
	marks      []mark

	zone   []uint32            // by stretch: 0 public, else one for residents and callers only
	states map[uint32][]uint32 // of a segment beside its plain one, ascending

	// A search that starts in a zone must tell the states that it has reached
	// without leaving it from those that it came back to. The first have labels
	// of their own: NumStates + i for zoneStates[i], and copyOf is the way there.
	zoneStates []uint32
	copyOf     []uint32 // by state; None for public ones

	out, in arcs
}

// mark is a point along a segment: the time from the segment's start, a delay
// right there counted only in the second of two marks at the same place.
type mark struct {
	along geo.Metres
	ms    uint32
}

// NewWeights times every segment and turn of a network for a pace.
func NewWeights(n *roadnet.Network, p *country.Profile, pace *Pace) *Weights {
	w := &Weights{n: n, pace: pace}
	b := builder{w: w, n: n, pace: pace, driveLeft: p.DrivesLeft}
	roadnet.InParallel(2, func(next func() (int, bool)) {
		for i, ok := next(); ok; i, ok = next() {
			[...]func(){b.run, w.lookUpZones}[i]()
		}
	})
	b.turn()
	w.buildArcs()
	return w
}

// lookUpZones fills the tables by zone and by state.
func (w *Weights) lookUpZones() {
	n := w.n
	w.zone = make([]uint32, n.NumStretches())
	for s := range w.zone {
		w.zone[s] = n.Zone(roadnet.StretchID(s))
	}
	w.states = make(map[uint32][]uint32)
	w.copyOf = make([]uint32, n.NumStates())
	for v := range n.NumStates() {
		segment := n.StateSegment(roadnet.StateID(v))
		if v >= n.NumSegments() {
			w.states[uint32(segment)] = append(w.states[uint32(segment)], uint32(v))
		}
		w.copyOf[v] = roadnet.None
		if w.zone[segment.Stretch()] != 0 {
			w.copyOf[v] = uint32(n.NumStates() + len(w.zoneStates))
			w.zoneStates = append(w.zoneStates, uint32(v))
		}
	}
}

// Bar gives weights with some stretches closed in both directions: the same
// times, and no drive along, from or to a closed one. The rest is shared with
// w, which stays as it is.
func (w *Weights) Bar(stretches ...roadnet.StretchID) *Weights {
	out := *w
	out.segmentMs = slices.Clone(w.segmentMs)
	var segments []roadnet.SegmentID
	for _, s := range stretches {
		segments = append(segments, s.Segment(true), s.Segment(false))
	}
	for _, s := range segments {
		out.segmentMs[s] = roadnet.None
	}
	out.out, out.in = w.out.closed(w, segments), w.in.closed(w, segments)
	return &out
}

// Network is the one that the weights are for.
func (w *Weights) Network() *roadnet.Network { return w.n }

// Open says whether a learner's car may drive along a segment.
func (w *Weights) Open(s roadnet.SegmentID) bool { return w.segmentMs[s] != roadnet.None }

// SegmentMs is the time from the start of a segment to its end; None where it
// is not open.
func (w *Weights) SegmentMs(s roadnet.SegmentID) uint32 { return w.segmentMs[s] }

// TurnMs is the time that a turn adds: waiting, slowing before it and picking
// up speed behind it.
func (w *Weights) TurnMs(t roadnet.TurnID) uint32 { return w.turnMs[t] }

// At is the time from the start of an open segment to a point along it. It
// never falls along the segment, is 0 at the start and SegmentMs at the end,
// and a point outside is taken as the nearer end. A part of a segment takes
// the difference of two such times, so that parts add up exactly.
func (w *Weights) At(p roadnet.Position) uint32 {
	total := w.segmentMs[p.Segment]
	length := w.n.Length(p.Segment.Stretch())
	switch {
	case p.Along >= length:
		return total
	case !(p.Along > 0):
		return 0
	}
	before, after := mark{}, mark{length, total}
	for _, m := range w.marks[w.markOffset[p.Segment]:w.markOffset[p.Segment+1]] {
		if m.along >= p.Along {
			after = m
			break
		}
		before = m
	}
	part := float64((p.Along - before.along) / (after.along - before.along))
	return before.ms + uint32(part*float64(after.ms-before.ms))
}

// StopMs is what pulling up at a position and moving off again adds to driving
// by: the slowing and the picking up of speed alone, no hand brake, no looks.
func (w *Weights) StopMs(p roadnet.Position) uint32 {
	s := p.Segment.Stretch()
	along := p.Along
	if !p.Segment.Forward() {
		along = w.n.Length(s) - along
	}
	v := w.pace.cruise(w.n.PieceAt(s, along).Attributes, direction(p.Segment))
	return milliseconds(w.pace.changing(v, 0) + w.pace.changing(0, v))
}

// milliseconds rounds a time.
func milliseconds(s geo.Seconds) uint32 { return uint32(s*1000 + 0.5) }

// direction indexes the attributes that differ by direction.
func direction(s roadnet.SegmentID) int {
	if s.Forward() {
		return 0
	}
	return 1
}

// Keep gives weights with only some segments and turns open, of those that are:
// the same times, and no drive along another segment or through another turn.
// turn is asked only about segments that stay open.
func (w *Weights) Keep(segment func(roadnet.SegmentID) bool, turn func(from, to roadnet.SegmentID) bool) *Weights {
	out := *w
	out.segmentMs = slices.Clone(w.segmentMs)
	var shut []roadnet.SegmentID
	for i := range out.segmentMs {
		if s := roadnet.SegmentID(i); w.Open(s) && !segment(s) {
			out.segmentMs[s] = roadnet.None
			shut = append(shut, s)
		}
	}
	out.out, out.in = w.out.closed(w, shut), w.in.closed(w, shut)
	for i := range w.n.NumStates() {
		state := roadnet.StateID(i)
		from := w.n.StateSegment(state)
		if !out.Open(from) {
			continue
		}
		lo, hi := w.n.TurnRange(state)
		for t := lo; t < hi; t++ {
			next := w.n.TurnAt(t).To
			if to := w.n.StateSegment(next); !out.Open(to) || turn(from, to) {
				continue
			}
			out.out.arc[t].cost = arcClosed
			for k := out.in.offset[next]; k < out.in.offset[next+1]; k++ {
				if out.in.arc[k].to == uint32(state) {
					out.in.arc[k].cost = arcClosed
				}
			}
		}
	}
	return &out
}

// Plain gives weights in which each turn by an angle or more takes so much
// longer than in w: what is found with them is the drive that is easily told. To
// know how long it takes, read it again with the Drive of w.
func (w *Weights) Plain(angle geo.Radians, longer geo.Seconds) *Weights {
	out := *w
	out.turnMs = slices.Clone(w.turnMs)
	out.out.arc, out.in.arc = slices.Clone(w.out.arc), slices.Clone(w.in.arc)
	ms := uint32(longer * 1000)
	add := func(a *arc) {
		if a.cost&arcCost != arcClosed {
			a.cost += ms
		}
	}
	next := slices.Clone(w.in.offset) // in the order in which they were laid out
	for t := range w.n.NumTurns() {
		turn := w.n.TurnAt(roadnet.TurnID(t))
		into := next[turn.To]
		next[turn.To]++
		if turn.Angle < angle && turn.Angle > -angle {
			continue
		}
		out.turnMs[t] += ms
		add(&out.out.arc[t])
		add(&out.in.arc[into])
	}
	return &out
}
