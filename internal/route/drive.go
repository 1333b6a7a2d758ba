package route

import (
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// Drive reads a list of segments as a drive from a position on the first to
// one on the last, and times it just as a search would. False where the drive
// is not legal: a segment or a turn is not open, a turn is not in the table, it turns
// round and may not, it is driven through a zone for residents, or the ends do
// not fit.
func (w *Weights) Drive(from, to roadnet.Position, segments []roadnet.SegmentID, opts Options) (Path, bool) {
	last := len(segments) - 1
	if last < 0 || segments[0] != from.Segment || segments[last] != to.Segment || !w.Open(from.Segment) ||
		last == 0 && to.Along < from.Along || !w.zonesHold(segments) {
		return Path{}, false
	}
	path := Path{From: from, To: to, States: []roadnet.StateID{roadnet.StateID(from.Segment)}}
	if opts.After != nil {
		path.States[0] = opts.After.States[len(opts.After.States)-1]
		if w.n.StateSegment(path.States[0]) != from.Segment {
			return Path{}, false
		}
	}
	for _, next := range segments[1:] {
		turn, ok := w.turnInto(path.States[len(path.States)-1], next)
		if !ok || !w.Open(next) || w.out.arc[turn].cost == arcClosed || !opts.UTurns && w.n.TurnAt(turn).U {
			return Path{}, false
		}
		path.States = append(path.States, w.n.TurnAt(turn).To)
	}
	w.complete(&path)
	path.Ms = w.TimeAt(path, w.Timeline(path), last, to.Along)
	return path, true
}

// zonesHold says whether a drive goes into no zone but the one where it ends
// and out of none but the one where it starts.
func (w *Weights) zonesHold(segments []roadnet.SegmentID) bool {
	var runs []uint32
	for _, s := range segments {
		if z := w.zone[s.Stretch()]; len(runs) == 0 || runs[len(runs)-1] != z {
			runs = append(runs, z)
		}
	}
	return len(runs) < 3 || len(runs) == 3 && runs[1] == 0
}

// turnInto is the turn from a state into a segment.
func (w *Weights) turnInto(state roadnet.StateID, segment roadnet.SegmentID) (roadnet.TurnID, bool) {
	lo, hi := w.n.TurnRange(state)
	for t := lo; t < hi; t++ {
		if w.n.StateSegment(w.n.TurnAt(t).To) == segment {
			return t, true
		}
	}
	return 0, false
}

// Join makes one drive of two, the second of which starts where the first
// ends, as if the car did not stop between. Lengths and times add up exactly.
// False where a restriction over several ways, remembered from the first, bars
// the second: find it again with Options.After.
func (w *Weights) Join(a, b Path) (Path, bool) {
	if a.To != b.From {
		return Path{}, false
	}
	joined := Path{From: a.From, To: b.To, Ms: a.Ms + b.Ms}
	joined.States = append(joined.States, a.States...)
	for _, next := range b.Segments[1:] {
		turn, ok := w.turnInto(joined.States[len(joined.States)-1], next)
		if !ok {
			return Path{}, false
		}
		joined.States = append(joined.States, w.n.TurnAt(turn).To)
	}
	w.complete(&joined)
	return joined, true
}

// Timeline is when the car comes to the start of each of a path's segments, in
// milliseconds from the path's start; 0 for the first.
func (w *Weights) Timeline(path Path) []uint32 {
	starts := make([]uint32, len(path.Segments))
	for i := 1; i < len(starts); i++ {
		run := w.segmentMs[path.Segments[i-1]]
		if i == 1 {
			run -= w.At(path.From)
		}
		turn, ok := w.turnInto(path.States[i-1], path.Segments[i])
		if !ok {
			panic("route: a path holds a turn that its network has not: bug in whoever made it")
		}
		starts[i] = starts[i-1] + run + w.turnMs[turn]
	}
	return starts
}

// TimeAt is when the car comes to a point along the path's segment i, in
// milliseconds from the path's start; starts is the path's Timeline.
func (w *Weights) TimeAt(path Path, starts []uint32, i int, along geo.Metres) uint32 {
	ms := starts[i] + w.At(roadnet.Position{Segment: path.Segments[i], Along: along})
	if i == 0 {
		ms -= w.At(path.From)
	}
	return ms
}
