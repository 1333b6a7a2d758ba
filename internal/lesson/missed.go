package lesson

import (
	"cmp"
	"slices"
	"strings"

	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/directions"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// What a way back may be at most. Our choice: beyond five minutes one plans the
// lesson anew, and more than three directions can't be kept in mind.
const (
	mostBack     geo.Seconds = 300
	mostBackSaid int         = 3
)

// wayBack is what to do when the turn of a step was driven past: the way that
// loses the least time to a later point of the same leg, before the next road
// to judge, among those that can be said in a few words. False where nothing
// was to be missed or the instructor drives, where no such way is, or where it
// is obvious: the car comes back to the drive without a word said.
func (t *teller) wayBack(s directions.Step, finder *route.Finder) (circuit.WayBack, bool) {
	if s.Missed == roadnet.SegmentID(roadnet.None) || t.legs[s.Done.Drive].driver == circuit.Instructor {
		return circuit.WayBack{}, false
	}
	tree := finder.From(startOf(s.Missed), mostBack, route.Options{})
	l := t.legs[s.Done.Drive]
	all := rejoins(l, s, t.before(s), tree)
	slices.SortStableFunc(all, func(a, b rejoin) int { return cmp.Compare(a.lost, b.lost) })
	for _, r := range all {
		path, ok := tree.Path(l.d.position(r.at))
		if !ok {
			continue
		}
		parts, moves := briefly(t.n, t.p, path, t.options())
		if len(parts) > mostBackSaid {
			continue
		}
		if len(parts) == 0 {
			return circuit.WayBack{}, false
		}
		d := &drive{path, t.w, t.w.Timeline(path)}
		drawn, _ := d.drawn(d.start(), d.end())
		return circuit.WayBack{Line: drawn, Say: strings.Join(parts, ", then "), Moves: moves}, true
	}
	return circuit.WayBack{}, false
}

// rejoin is where a leg may be joined again; lost is the time in milliseconds from
// the road that was taken in error less that from the leg's beginning, so that of
// two the one with less is the better.
type rejoin struct {
	at   spot
	lost int64
}

// rejoins are where a leg may be joined again by a tree from the road that is
// taken when a step is missed, up to a spot of it.
func rejoins(l leg, s directions.Step, last spot, tree *route.Tree) []rejoin {
	var all []rejoin
	for i := l.a.index + s.Done.Index; i <= last.index; i++ {
		lo, hi := l.d.extent(i, l.a, last)
		at := spot{i, (lo + hi) / 2}
		if ms, ok := tree.Ms(l.d.position(at)); ok {
			all = append(all, rejoin{at, int64(ms) - l.d.at(at)})
		}
	}
	return all
}

func startOf(s roadnet.SegmentID) roadnet.Position { return roadnet.Position{Segment: s} }

// before is how far along its leg a missed step must be made good: to where the
// next road to judge begins, or the leg ends.
func (t *teller) before(s directions.Step) spot {
	l := t.legs[s.Done.Drive]
	begin := t.c.Legs[s.Done.Drive].AtS
	done := float64(t.clock(s.Done))
	for _, e := range t.c.Examples {
		if e.AtS >= done && e.AtS < begin+t.c.Legs[s.Done.Drive].DriveS {
			return l.d.after(l.a, l.b, int64((e.AtS-begin)*1000))
		}
	}
	return l.b
}

// briefly are the directions of a way in few words and as moves; none where
// nothing need be said.
func briefly(n *roadnet.Network, p *country.Profile, path route.Path, opts directions.Options) (parts []string, moves []circuit.Move) {
	opts.Moving = true
	for _, s := range directions.Write(n, p, []directions.Drive{{Path: path}}, opts) {
		parts, moves = append(parts, s.Brief), append(moves, s.Moves...)
	}
	return parts, moves
}
