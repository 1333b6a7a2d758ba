package route

import (
	"slices"

	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// Tree is what one search found: the quickest drive from its origin to each
// position within the bound, or from each into its target. It is a view of the
// finder's room; asking after the finder's next search is a bug and panics.
type Tree struct {
	f        *Finder
	epoch    uint32
	at       roadnet.Position // origin or target
	state    uint32           // of the origin
	backward bool
	open     bool
	bound    uint32
}

// Ms is the driving time of the quickest drive between a position and the
// tree's own; false where there is none within the bound.
func (t *Tree) Ms(p roadnet.Position) (uint32, bool) {
	_, ms, ok := t.best(p)
	return ms, ok
}

// direct stands for the drive along one segment in place of a label.
const direct = roadnet.None

// best finds the label through which the quickest drive goes: that of the
// last state of a forward drive, of the first of a backward one.
func (t *Tree) best(p roadnet.Position) (label, ms uint32, ok bool) {
	if t.epoch != t.f.epoch {
		panic("route: a tree was asked after its finder's next search: bug in the caller")
	}
	w := t.f.w
	if !t.open || !w.Open(p.Segment) {
		return 0, 0, false
	}
	here := w.At(p)
	best := roadnet.None
	consider := func(through, total uint32) {
		if total < best && total <= t.bound {
			label, best = through, total
		}
	}
	if p.Segment == t.at.Segment {
		if there := w.At(t.at); t.backward && p.Along <= t.at.Along {
			consider(direct, there-here)
		} else if !t.backward && p.Along >= t.at.Along {
			consider(direct, here-there)
		}
	}
	part := here
	if t.backward {
		part = w.segmentMs[p.Segment] - here
	}
	var room [8]uint32
	labels := w.withCopy(room[:0], uint32(p.Segment))
	if !t.backward {
		labels = w.labels(room[:0], p.Segment)
	}
	for _, through := range labels {
		if c := t.f.cells[through]; c.epoch == t.epoch {
			consider(through, c.ms+part)
		}
	}
	return label, best, best != roadnet.None
}

// Path is the quickest drive between a position and the tree's own: in a
// forward tree it ends at the position, in a backward one it starts there.
// False where there is none within the bound.
func (t *Tree) Path(p roadnet.Position) (Path, bool) {
	label, ms, ok := t.best(p)
	if !ok {
		return Path{}, false
	}
	path := Path{From: t.at, To: p, Ms: ms}
	if t.backward {
		path.From, path.To = p, t.at
	}
	if label == direct {
		state := roadnet.StateID(p.Segment)
		if !t.backward {
			state = roadnet.StateID(t.state)
		}
		path.States = []roadnet.StateID{state}
	} else {
		for {
			path.States = append(path.States, roadnet.StateID(t.f.w.stateOf(label)))
			parent := t.f.cells[label].parent
			if parent&fromStart != 0 {
				path.States = append(path.States, roadnet.StateID(parent&^fromStart))
				break
			}
			label = parent
		}
		if !t.backward {
			slices.Reverse(path.States)
		}
	}
	t.f.w.complete(&path)
	return path, true
}

// complete fills in the segments and the length of a path whose ends and
// states are known.
func (w *Weights) complete(path *Path) {
	path.Segments = make([]roadnet.SegmentID, len(path.States))
	path.Length = path.To.Along - path.From.Along
	for i, state := range path.States {
		path.Segments[i] = w.n.StateSegment(state)
		if i > 0 {
			path.Length += w.n.Length(path.Segments[i-1].Stretch())
		}
	}
}

// Matrix times the drives from each of some positions to each of others:
// row i holds those from from[i], None where there is none within the bound.
func (f *Finder) Matrix(from, to []roadnet.Position, bound geo.Seconds, opts Options) [][]uint32 {
	rows := make([][]uint32, len(from))
	for i, origin := range from {
		tree := f.from(origin, bound, opts, to)
		rows[i] = make([]uint32, len(to))
		for j, target := range to {
			ms, ok := tree.Ms(target)
			if !ok {
				ms = roadnet.None
			}
			rows[i][j] = ms
		}
	}
	return rows
}
