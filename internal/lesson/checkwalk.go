package lesson

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"loopwright/internal/circuit"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// visit is a part of a segment that the circuit drives.
type visit struct {
	segment  roadnet.SegmentID
	from, to geo.Metres      // along the segment
	turn     roadnet.TurnID  // taken to come here; None where the car stood here or here a stop was
	state    roadnet.StateID // with what the way here makes the restrictions remember
	vertex   int             // last vertex of the segment passed, of where the visit now ends
}

// walker follows the coordinates of a circuit through the network, vertex by
// vertex and turn by turn.
type walker struct {
	n     *roadnet.Network
	left  bool // traffic keeps left
	shape map[roadnet.SegmentID]*shape
}

// shape is a segment's line with the distance along it at each vertex.
type shape struct {
	line  orb.LineString
	along []geo.Metres
}

func (w *walker) of(s roadnet.SegmentID) *shape {
	if g := w.shape[s]; g != nil {
		return g
	}
	line := w.n.Line(s)
	g := &shape{line: line, along: make([]geo.Metres, len(line))}
	for i := 1; i < len(line); i++ {
		g.along[i] = g.along[i-1] + geo.Distance(line[i-1], line[i])
	}
	// The network's own length is the measure; scale to it.
	if total := g.along[len(line)-1]; total > 0 {
		k := w.n.Length(s.Stretch()) / total
		for i := range g.along {
			g.along[i] *= k
		}
	}
	w.shape[s] = g
	return g
}

// same says whether two positions are one in the file: 10⁻⁷ degrees.
func same(a, b orb.Point) bool {
	return math.Abs(a.Lon()-b.Lon()) < 0.7e-7 && math.Abs(a.Lat()-b.Lat()) < 0.7e-7
}

// onPart says whether p lies between two vertices, and how far from the first,
// as a share. A part-way point is rounded to 10⁻⁷ degrees, some 7 mm at the
// worst; 5 cm leaves room for the arithmetic.
func onPart(a, b, p orb.Point) (share float64, ok bool) {
	plane := geo.PlaneAt(a)
	v, q := plane.To(b), plane.To(p)
	n := float64(v.Norm())
	if n == 0 {
		return 0, q.Norm() < 0.05
	}
	t := q.Dot(v) / (n * n)
	off := math.Abs(v.Cross(q)) / n
	return t, off < 0.05 && t > -0.05/n && t < 1+0.05/n
}

// starts are the places in the network where a drive may begin at a, going on
// to b.
func (w *walker) starts(a, b orb.Point) []visit {
	var out []visit
	const near = 2e-6 // degrees: stretches within some 20 cm
	box := orb.Bound{Min: orb.Point{a.Lon() - near, a.Lat() - near}, Max: orb.Point{a.Lon() + near, a.Lat() + near}}
	w.n.Within(box, func(s roadnet.StretchID) bool {
		for _, forward := range []bool{true, false} {
			seg := s.Segment(forward)
			g := w.of(seg)
			for v := 0; v+1 < len(g.line); v++ {
				t, ok := onPart(g.line[v], g.line[v+1], a)
				if !ok || same(a, g.line[v+1]) {
					continue
				}
				if t2, on := onPart(g.line[v], g.line[v+1], b); !same(b, g.line[v+1]) && (!on || t2 <= t) {
					continue
				}
				at := g.along[v] + geo.Metres(t)*(g.along[v+1]-g.along[v])
				out = append(out, visit{segment: seg, from: at, to: at, turn: roadnet.TurnID(roadnet.None), state: roadnet.StateID(seg), vertex: v})
			}
		}
		return true
	})
	return out
}

// fault is why a walk stops.
type fault struct {
	must  Must
	what  string
	index int // of the coordinate that can't be reached
}

// follow drives along a leg's coordinates from a visit's end. It returns the
// visits, or the fault at which it stopped.
func (w *walker) follow(at visit, line orb.LineString) ([]visit, *fault) {
	at.from = at.to
	trail := []visit{at}
	for i := 1; i < len(line); i++ {
		last := i == len(line)-1
		now := &trail[len(trail)-1]
		if w.advance(now, line[i], last) {
			continue
		}
		g := w.of(now.segment)
		if now.vertex < len(g.line)-1 {
			return trail, &fault{MustFollowRoads, "the line leaves the road here", i}
		}
		next, ok := w.take(now.state, line[i], last)
		if !ok {
			for _, out := range w.n.Out(w.n.Head(now.segment)) {
				v := visit{segment: out, turn: roadnet.TurnID(roadnet.None)}
				if w.advance(&v, line[i], last) {
					return trail, &fault{MustBeLegal, "this movement is barred", i}
				}
			}
			return trail, &fault{MustFollowRoads, "the line leaves the road here", i}
		}
		trail = append(trail, next)
	}
	return trail, nil
}

// advance moves a visit on to the next vertex, or part-way to it at a stop.
func (w *walker) advance(v *visit, to orb.Point, last bool) bool {
	g := w.of(v.segment)
	if v.vertex+1 >= len(g.line) {
		return false
	}
	if same(to, g.line[v.vertex+1]) {
		v.vertex++
		v.to = g.along[v.vertex]
		return true
	}
	if !last {
		return false
	}
	t, ok := onPart(g.line[v.vertex], g.line[v.vertex+1], to)
	at := g.along[v.vertex] + geo.Metres(t)*(g.along[v.vertex+1]-g.along[v.vertex])
	if !ok || at < v.to-0.05 {
		return false
	}
	v.to = at
	return true
}

// take is the turn from a state onto the segment that goes to a point.
func (w *walker) take(from roadnet.StateID, to orb.Point, last bool) (visit, bool) {
	lo, hi := w.n.TurnRange(from)
	for t := lo; t < hi; t++ {
		state := w.n.TurnAt(t).To
		v := visit{segment: w.n.StateSegment(state), turn: t, state: state}
		if w.advance(&v, to, last) {
			return v, true
		}
	}
	return visit{}, false
}

// turned is the same place with the car facing the other way.
func (w *walker) turned(v visit) visit {
	back := v.segment.Opposite()
	g := w.of(back)
	at := max(w.n.Length(v.segment.Stretch())-v.to, 0)
	i := 0
	for i+2 < len(g.line) && g.along[i+1] <= at {
		i++
	}
	return visit{segment: back, from: at, to: at, turn: roadnet.TurnID(roadnet.None), state: roadnet.StateID(back), vertex: i}
}

// readBack walks all legs: the visits of each. Faults are told to tell, and the
// walk takes up again at the next leg.
func (w *walker) readBack(c *circuit.Circuit, tell func(Must, string, string)) [][]visit {
	trails := make([][]visit, len(c.Legs))
	var end *visit
	for i, l := range c.Legs {
		where := fmt.Sprintf("leg %d", i+1)
		if len(l.Line) < 2 {
			tell(MustFollowRoads, "has no line", where)
			end = nil
			continue
		}
		var from []visit
		switch {
		case end == nil:
			from = w.starts(l.Line[0], l.Line[1])
		default:
			from = []visit{*end}
			for _, p := range c.Practices() {
				switch {
				case !endsAt(c.Legs[i-1], p.Stop):
				case endsInCorner(p.Practice):
					from = w.inCorner(end.segment, l.Line[0], l.Line[1])
				default:
					from = append(from, w.turned(*end))
				}
			}
		}
		var worst *fault
		trails[i] = nil
		for _, at := range from {
			at.turn = roadnet.TurnID(roadnet.None)
			trail, f := w.follow(at, l.Line)
			if f != nil {
				if trails[i] == nil && (worst == nil || f.index > worst.index) {
					worst = f
				}
				continue
			}
			if slices.Equal(w.ways(trail), once(l.Ways)) {
				trails[i], worst = trail, nil
				break
			}
			if trails[i] == nil {
				trails[i], worst = trail, nil
			}
		}
		switch {
		case worst != nil:
			tell(worst.must, worst.what, fmt.Sprintf("%s, at %s", where, place(l.Line[worst.index])))
		case trails[i] == nil:
			tell(MustFollowRoads, "does not begin where the car stands", fmt.Sprintf("%s, at %s", where, place(l.Line[0])))
		}
		end = nil
		if t := trails[i]; len(t) > 0 {
			end = &t[len(t)-1]
		}
	}
	return trails
}

// ways are the way ids of a trail, signed, each once however long it lasts.
func (w *walker) ways(trail []visit) []int64 {
	var out []int64
	for _, v := range trail {
		pieces := w.n.Pieces(v.segment.Stretch())
		length := w.n.Length(v.segment.Stretch())
		for k := range pieces {
			p := &pieces[k]
			from, to := p.From, p.To
			if !v.segment.Forward() {
				p = &pieces[len(pieces)-1-k]
				from, to = length-p.To, length-p.From
			}
			if over := min(to, v.to) - max(from, v.from); over <= 0.05 && over < to-from-1e-6 {
				continue // touched where the car stops, not driven
			}
			id := int64(p.Way)
			if v.segment.Forward() == p.Reversed {
				id = -id
			}
			if len(out) == 0 || out[len(out)-1] != id {
				out = append(out, id)
			}
		}
	}
	return out
}

// once is the list without repeated neighbours: a way that comes back to itself
// is listed again for each time that it is joined.
func once(ways []int64) []int64 { return slices.Compact(slices.Clone(ways)) }

// place is a position in the words of a message.
func place(p orb.Point) string { return fmt.Sprintf("%.6f,%.6f", p.Lat(), p.Lon()) }
