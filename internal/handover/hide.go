package handover

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/geo"
	"loopwright/internal/lesson"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// NotHidden says why a circuit can't be sent to anyone.
type NotHidden struct{ Why string }

func (e *NotHidden) Error() string { return "the home can't be hidden: " + e.Why }

// farBack bounds the searches from and to the homes of a neighbourhood: our
// choice, no pick-up is farther from its first road to judge.
const farBack geo.Seconds = 3600

// hider finds where to cut a circuit.
type hider struct {
	n     *roadnet.Network
	w     *route.Weights
	c     *circuit.Circuit
	paths []route.Path // by leg
	hoods *neighbourhoods
}

// ForAnyone cuts a circuit so that its home can't be told: it begins and ends at
// junctions outside the bounds of the home's neighbourhood, 100 m away or more,
// on roads that lead through. Where it begins is chosen so:
//
//  1. From each home of the neighbourhood the car would take the quickest way to
//     the circuit's first road to judge. Those ways run together into a tree.
//  2. Towards its root homes are added up, until as many as are promised share a
//     junction outside the bounds: for all of them the circuit begins there.
//  3. The circuit is cut at the first such junction on its own way.
//
// So each of them would have given the same beginning. The end is the same from
// the practice place home. That holds for one circuit: somebody who knows many
// circuits to be from one home, over many months, knows more.
//
// The error is a *NotHidden where no such junctions are on the drive.
func ForAnyone(n *roadnet.Network, p *country.Profile, c *circuit.Circuit) (*circuit.Circuit, error) {
	if c.Sent == circuit.ForAnyone {
		return nil, &NotHidden{"it was cut before, and what is left can't be cut again"}
	}
	if c.Request.Kind != circuit.RoadsToJudge {
		return nil, &NotHidden{"only a lesson past roads to judge to one place can be cut for it; send this one for cover"}
	}
	if len(c.Examples) == 0 || !c.Practises() {
		return nil, &NotHidden{"it has no road to judge to begin before, or no place to practise to end after"}
	}
	paths, err := lesson.Paths(n, p, c)
	if err != nil {
		return nil, fmt.Errorf("the drive can't be followed on this map: %w", err)
	}
	paces, err := route.Paces()
	if err != nil {
		return nil, err
	}
	h := &hider{n: n, w: route.NewWeights(n, p, paces[route.DefaultStage]), c: c, paths: paths, hoods: neighbourhoodsOf(n)}
	from, err := h.begin()
	if err != nil {
		return nil, err
	}
	to, err := h.end()
	if err != nil {
		return nil, err
	}
	out, err := lesson.Excerpt(n, p, c, from, to)
	if err != nil {
		return nil, &NotHidden{err.Error()}
	}
	if len(out.Examples) == 0 {
		return nil, &NotHidden{"no road to judge would be left"}
	}
	return out, nil
}

// seat is one segment of the drive.
type seat struct {
	leg, index int
	segment    roadnet.SegmentID
}

// drive is the whole drive of some legs, segment by segment; one that a leg
// ends on and the next goes on along comes once, with the later leg.
func (h *hider) drive(from, to int) []seat {
	var out []seat
	for l := from; l < to; l++ {
		for i, s := range h.paths[l].Segments {
			if i == 0 && len(out) > 0 && out[len(out)-1].segment == s {
				continue
			}
			out = append(out, seat{l, i, s})
		}
	}
	return out
}

// practised is the leg that ends at the practice place.
func (h *hider) practised() (int, error) {
	for i, l := range h.c.Legs {
		if math.Abs(l.AtS+l.DriveS-h.c.Practice.AtS) < 0.01 && i+1 < len(h.c.Legs) {
			return i, nil
		}
	}
	return 0, errors.New("no leg ends at the practice place")
}

// begin is where the circuit may begin.
func (h *hider) begin() (lesson.Mark, error) {
	last, err := h.practised()
	if err != nil {
		return lesson.Mark{}, err
	}
	hood := h.hoods.at(h.paths[0].From)
	seats := h.drive(0, last+1)
	first, ok := h.judged(seats)
	if !ok {
		return lesson.Mark{}, &NotHidden{"its first road to judge is not on the drive"}
	}
	into := route.NewFinder(h.w).Into(roadnet.Position{Segment: seats[first].segment}, farBack, route.Options{})
	var ways [][]roadnet.SegmentID
	for _, home := range h.hoods.positions(h.w, hood) {
		if path, ok := into.Path(home); ok {
			ways = append(ways, path.Segments)
		}
	}
	fit := func(s roadnet.SegmentID) bool { return h.fit(s, h.n.Tail(s), hood) }
	shared := share(ways, fit)
	away := false // beyond the first junction that fits
	for i, s := range seats[:first] {
		away = away || i > 0 && fit(s.segment)
		if away && shared[s.segment] {
			return lesson.Mark{Leg: s.leg, Index: s.index}, nil
		}
	}
	// All ways run together where the first road to judge begins.
	if len(ways) >= fewestHomes {
		for _, s := range seats[first+1:] {
			if fit(s.segment) {
				return lesson.Mark{Leg: s.leg, Index: s.index}, nil
			}
		}
	}
	return lesson.Mark{}, &NotHidden{fmt.Sprintf("too few homes are near the pick-up, or too much of the drive: fewer than %d homes would begin alike", fewestHomes)}
}

// judged is the first segment with a road to judge.
func (h *hider) judged(seats []seat) (int, bool) {
	begin := h.c.Examples[0].Line[0]
	next := h.c.Examples[0].Line[1]
	for i, s := range seats {
		line := h.n.Line(s.segment)
		plane := geo.PlaneAt(begin)
		on := plane.Line(line)
		a, away, _ := on.Nearest(plane.To(begin))
		b, awayNext, _ := on.Nearest(plane.To(next))
		if away < 0.5 && awayNext < 0.5 && a < b {
			return i, true
		}
	}
	return 0, false
}

// end is where the circuit may end: the mark after the last segment kept.
func (h *hider) end() (lesson.Mark, error) {
	last, err := h.practised()
	if err != nil {
		return lesson.Mark{}, err
	}
	hood := h.hoods.at(h.paths[len(h.paths)-1].To)
	seats := h.drive(last+1, len(h.paths))
	from := route.NewFinder(h.w).From(h.paths[last+1].From, farBack, route.Options{})
	var ways [][]roadnet.SegmentID
	for _, home := range h.hoods.positions(h.w, hood) {
		if path, ok := from.Path(home); ok {
			ways = append(ways, reversed(path.Segments))
		}
	}
	fit := func(s roadnet.SegmentID) bool { return h.fit(s, h.n.Head(s), hood) }
	shared := share(ways, fit)
	away := false
	for i := len(seats) - 2; i >= 0; i-- {
		s := seats[i]
		away = away || fit(s.segment)
		if away && shared[s.segment] && seats[i+1].leg == s.leg {
			return lesson.Mark{Leg: s.leg, Index: s.index + 1}, nil
		}
	}
	// The practice place itself, with no way home, lies on the way of them all.
	if at := h.c.Practice.At; len(ways) >= fewestHomes && !outer(hood.box).Contains(at) && !outer(h.hoods.at(h.paths[0].From).box).Contains(at) {
		return lesson.Mark{Leg: last, Index: len(h.paths[last].Segments)}, nil
	}
	return lesson.Mark{}, &NotHidden{fmt.Sprintf("too few homes are near the drop-off, or too much of the drive: fewer than %d homes would end alike", fewestHomes)}
}

// fit says whether a circuit may begin or end at a node of a segment: a junction
// on a road that leads through, outside a neighbourhood's bounds.
func (h *hider) fit(s roadnet.SegmentID, v roadnet.NodeID, hood *neighbourhood) bool {
	kind := h.n.Junction(h.n.JunctionOf(v)).Kind
	return kind != roadnet.NoJunction && h.n.InCore(s.Stretch()) && h.n.Zone(s.Stretch()) == 0 && !outer(hood.box).Contains(h.n.NodeAt(v))
}

// outer is a box with what must be left around it.
func outer(b orb.Bound) orb.Bound {
	plane := geo.PlaneAt(b.Min)
	size := plane.To(b.Max)
	const by = float64(leastAway)
	return orb.Bound{Min: plane.From(geo.XY{X: -by, Y: -by}), Max: plane.From(geo.XY{X: size.X + by, Y: size.Y + by})}
}

// share gives the segments at which enough ways have run together, none of
// which could part earlier; ways run towards one end, where they fit from
// somewhere on.
func share(ways [][]roadnet.SegmentID, fit func(roadnet.SegmentID) bool) map[roadnet.SegmentID]bool {
	// By depth, the number of segments still to go: a way enters at its first
	// segment that fits, and waits there for others.
	type group struct {
		segment roadnet.SegmentID
		ways    []int
	}
	byDepth := map[int]map[roadnet.SegmentID]*group{}
	deepest := 0
	enter := func(depth int, s roadnet.SegmentID, way int) {
		if byDepth[depth] == nil {
			byDepth[depth] = map[roadnet.SegmentID]*group{}
		}
		if byDepth[depth][s] == nil {
			byDepth[depth][s] = &group{segment: s}
		}
		byDepth[depth][s].ways = append(byDepth[depth][s].ways, way)
		deepest = max(deepest, depth)
	}
	for i, way := range ways {
		for k := 1; k < len(way)-1; k++ {
			if fit(way[k]) {
				enter(len(way)-1-k, way[k], i)
				break
			}
		}
	}
	shared := map[roadnet.SegmentID]bool{}
	for depth := deepest; depth > 0; depth-- {
		for s, g := range byDepth[depth] { // in any order: groups of one depth do not meet
			if len(g.ways) >= fewestHomes && fit(s) {
				shared[s] = true
				continue
			}
			for _, i := range g.ways {
				way := ways[i]
				if depth > 1 {
					enter(depth-1, way[len(way)-depth], i)
				}
			}
		}
	}
	return shared
}

func reversed(segments []roadnet.SegmentID) []roadnet.SegmentID {
	out := make([]roadnet.SegmentID, len(segments))
	for i, s := range segments {
		out[len(segments)-1-i] = s
	}
	return out
}

// at is the neighbourhood of a position.
func (h *neighbourhoods) at(p roadnet.Position) *neighbourhood {
	return &h.all[h.of[p.Segment.Stretch()]]
}

// positions are the kerbs before a neighbourhood's homes, by turns on either
// side of the road.
func (h *neighbourhoods) positions(w *route.Weights, hood *neighbourhood) []roadnet.Position {
	var out []roadnet.Position
	for _, s := range hood.stretches {
		for j := range h.homes[s] {
			segment := s.Segment(j%2 == 0)
			if !w.Open(segment) {
				segment = segment.Opposite()
			}
			if w.Open(segment) {
				out = append(out, roadnet.Position{Segment: segment, Along: h.n.Length(s) * geo.Metres((float64(j)+0.5)/float64(h.homes[s]))})
			}
		}
	}
	return out
}
