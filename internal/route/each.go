package route

import (
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// End is where drives may start or finish, and what they have taken before or
// take afterwards.
type End struct {
	At roadnet.Position
	Ms uint32
}

// Times are the quickest drives from one of several ends to each position, or
// from each into one of them, with what the end itself takes. They are a view of
// the finder's room; asking after the finder's next search is a bug and panics.
type Times struct {
	tree *Tree
	ends map[roadnet.SegmentID][]End
}

// FromEach times the drives to all positions within a bound from whichever of
// some positions is the quickest to come from.
func (f *Finder) FromEach(ends []End, bound geo.Seconds, opts Options) *Times {
	t := f.fromEnds(ends, bound, false)
	s := f.search(&f.w.out, t.tree, opts)
	for _, e := range ends {
		if f.w.Open(e.At.Segment) && e.Ms <= t.tree.bound {
			state := uint32(e.At.Segment)
			s.expand(f.w.startLabel(state), e.Ms-f.w.At(e.At), fromStart|state)
		}
	}
	s.run()
	return t
}

// IntoEach times the drives from all positions within a bound into whichever of
// some positions is the quickest to come to. What a restriction over several ways
// may remember on arrival is allowed for.
func (f *Finder) IntoEach(ends []End, bound geo.Seconds, opts Options) *Times {
	t := f.fromEnds(ends, bound, true)
	s := f.search(&f.w.in, t.tree, opts)
	for _, e := range ends {
		if f.w.Open(e.At.Segment) && e.Ms <= t.tree.bound {
			left := e.Ms - (f.w.SegmentMs(e.At.Segment) - f.w.At(e.At))
			for _, state := range append([]uint32{uint32(e.At.Segment)}, f.w.states[uint32(e.At.Segment)]...) {
				s.expand(f.w.startLabel(state), left, fromStart|state)
			}
		}
	}
	s.run()
	return t
}

func (f *Finder) fromEnds(ends []End, bound geo.Seconds, backward bool) *Times {
	t := &Times{tree: f.begin(roadnet.Position{Segment: roadnet.SegmentID(roadnet.None)}, bound, backward), ends: map[roadnet.SegmentID][]End{}}
	t.tree.open = true
	for _, e := range ends {
		if f.w.Open(e.At.Segment) && e.Ms <= t.tree.bound {
			t.ends[e.At.Segment] = append(t.ends[e.At.Segment], e)
		}
	}
	return t
}

// Ms is the time between a position and the end that is quickest; false where
// there is none within the bound.
func (t *Times) Ms(p roadnet.Position) (uint32, bool) {
	_, best, ok := t.tree.best(p)
	w := t.tree.f.w
	for _, e := range t.ends[p.Segment] {
		ms, here, there := e.Ms, w.At(p), w.At(e.At)
		switch {
		case t.tree.backward && p.Along <= e.At.Along:
			ms += there - here
		case !t.tree.backward && p.Along >= e.At.Along:
			ms += here - there
		default:
			continue
		}
		if ms <= t.tree.bound && (!ok || ms < best) {
			best, ok = ms, true
		}
	}
	return best, ok
}
