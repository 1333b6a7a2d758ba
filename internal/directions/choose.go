package directions

import (
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// fork says whether the road ahead splits in two, neither of them the one that
// leads on, and the car takes one.
func (r *run) fork(p passage, m *manoeuvre) bool {
	if r.slip(p) {
		return false
	}
	taken, other := p.arms[p.taken], -1
	for i, a := range p.arms {
		if i == p.taken || abs(a.angle) > forked {
			continue
		}
		if other >= 0 {
			return false // three ways ahead
		}
		other = i
	}
	if other < 0 || abs(taken.angle) > forked {
		return false
	}
	wide := abs(taken.angle-p.arms[other].angle) >= 25*geo.Degree
	if wide && (taken.angle*p.arms[other].angle > 0 || abs(p.arms[other].angle) < 10*geo.Degree) {
		return false // one leads on, the other leaves it
	}
	m.side = sideOf(taken.angle - p.arms[other].angle)
	return true
}

// looksForked says whether two roads or more lie ahead.
func (p passage) looksForked() bool {
	count := 0
	for _, a := range p.arms {
		if abs(a.angle) <= forked {
			count++
		}
	}
	return count > 1
}

// slip says whether the car leaves a road by a slip road.
func (r *run) slip(p passage) bool {
	taken := p.arms[p.taken]
	return attributes(r.n, taken.segment.Stretch()).Link != 0 && attributes(r.n, r.segments[p.in].Stretch()).Link == 0 && abs(taken.angle) < turning
}

// count makes m a road to be counted on its side: those of this junction that
// come before it are in m.nth. Where two leave from one point, words tell them
// apart if they can.
func (r *run) count(p passage, m *manoeuvre) {
	costs := theTable().Costs
	taken := p.arms[p.taken]
	m.form, m.counted = Next, true
	if r.slip(p) {
		m.form = Slip
	}
	for i, a := range p.arms {
		if i == p.taken || sideOf(a.angle) != m.side || abs(a.angle) <= apart {
			continue
		}
		switch gap := a.ahead - taken.ahead; {
		case gap < -same:
			m.nth++
			m.noEntry = m.noEntry || !a.enter
		case gap > same:
			// beyond it: not counted
		case abs(taken.angle) < 65*geo.Degree && abs(a.angle) > 80*geo.Degree:
			m.form, m.counted, m.cost = Bear, false, m.cost+costs.Sharp
		case abs(taken.angle) > 100*geo.Degree && abs(a.angle) < 85*geo.Degree:
			m.form, m.counted, m.cost = Sharp, false, m.cost+costs.Sharp
		default:
			m.cost += costs.NoPlainWords
			if abs(a.angle) > abs(taken.angle) {
				m.nth++
			}
		}
	}
}

// roundaboutForms are what is said at one kind of roundabout.
type roundaboutForms struct{ exit, turn, ahead, back Form }

var (
	fullRoundabout = roundaboutForms{RoundaboutExit, RoundaboutTurn, RoundaboutAhead, RoundaboutBack}
	miniRoundabout = roundaboutForms{MiniExit, MiniTurn, MiniAhead, MiniBack}
)

// roundabout is told by direction where that fits one road, else by exit; a
// full roundabout with more than three roads always by exit.
func (r *run) roundabout(p passage, m manoeuvre, forms roundaboutForms) (manoeuvre, bool) {
	costs := theTable().Costs
	m.kind = KindRoundabout
	if p.taken < 0 {
		m.form, m.road, m.ref = forms.back, 0, ""
		return m, true
	}
	heading := way(p.arms[p.taken].angle)
	alone := heading != back
	for i, a := range p.arms {
		alone = alone && (i == p.taken || way(a.angle) != heading)
	}
	many := len(p.arms)+p.lesser > 2
	switch {
	case alone && !(many && forms == fullRoundabout) && heading == ahead:
		m.form = forms.ahead
	case alone && !(many && forms == fullRoundabout):
		m.form, m.side = forms.turn, sideOf(p.arms[p.taken].angle)
	default:
		m.form, m.nth = forms.exit, p.exitNumber
		if p.kind == roadnet.MiniRoundaboutJunction {
			m.nth = p.miniExit(r.opts.left)
			m.cost = costs.Sharp
		}
		if m.nth > 4 {
			m.cost += costs.FarExit
		}
		if p.lesser > 0 {
			m.cost += costs.Confusable
		}
	}
	return m, true
}

// way is the direction of an arm in one word.
type bearing uint8

const (
	ahead bearing = iota
	toLeft
	toRight
	back
)

func way(a geo.Radians) bearing {
	switch {
	case abs(a) <= turning:
		return ahead
	case abs(a) > 165*geo.Degree:
		return back
	case a < 0:
		return toLeft
	default:
		return toRight
	}
}

// miniExit counts exits in the order in which the car passes them: clockwise
// where it drives on the left.
func (p passage) miniExit(left bool) int {
	count := 0
	for i, a := range p.arms {
		before := i < p.taken
		if !left {
			before = i > p.taken
		}
		if before && a.enter {
			count++
		}
	}
	return count + 1
}

// opening is something on one side of the run that a driver passes.
type opening struct {
	at      geo.Metres // offset
	kind    roadnet.MouthKind
	counts  bool
	noEntry bool
	segment roadnet.SegmentID // the arm of a junction, None for a mouth
}

// openings are the roads, drives and aisles on a side of the run between two
// offsets, by offset: mouths between junctions, and the arms of the junctions
// gone through. A road that can't be driven into is a road to the eye and
// counts; one that only merges, as the end of a slip road does, is none. Legs
// of a road that parts before an island are one, and none where the other leg
// is the road meant (None where no road is).
func (r *run) openings(side roadnet.Side, from, to geo.Metres, passages []passage, meant roadnet.SegmentID) []opening {
	var out []opening
	legOf := func(s roadnet.SegmentID) bool {
		known := meant != roadnet.SegmentID(roadnet.None) && twins(r.n, s, meant)
		for _, o := range out {
			known = known || o.segment != roadnet.SegmentID(roadnet.None) && twins(r.n, s, o.segment)
		}
		return known
	}
	pass := 0
	for i, s := range r.segments {
		length := r.n.Length(s.Stretch())
		if start := r.starts[i]; start+length > from && start < to {
			out = append(out, r.mouths(s, start, side, from, to)...)
		}
		for pass < len(passages) && passages[pass].in == i {
			p := passages[pass]
			pass++
			if p.entry <= from || p.entry >= to || p.taken < 0 {
				continue
			}
			taken := p.arms[p.taken]
			for _, a := range p.arms {
				left := a.round < taken.round
				merges := !a.enter && attributes(r.n, a.segment.Stretch()).Link != 0
				if a.segment != taken.segment && left == (side == roadnet.Left) && !merges && p.kind != roadnet.NoJunction && !legOf(a.segment) {
					out = append(out, opening{at: p.entry + max(a.ahead, 0), counts: true, noEntry: !a.enter, segment: a.segment})
				}
			}
		}
	}
	return out
}

// mouths are those of one segment on a side.
func (r *run) mouths(s roadnet.SegmentID, start geo.Metres, side roadnet.Side, from, to geo.Metres) []opening {
	var out []opening
	all := r.n.Mouths(s.Stretch())
	for k := range all {
		m := all[k]
		if !s.Forward() {
			m = all[len(all)-1-k]
			m.Along = r.n.Length(s.Stretch()) - m.Along
			m.Side = m.Side.Opposite()
		}
		if at := start + m.Along; at > from && at < to && (m.Side == side || m.Side == roadnet.Both) {
			out = append(out, opening{at: at, kind: m.Kind, counts: m.Counts, segment: roadnet.SegmentID(roadnet.None)})
		}
	}
	return out
}

// rivals are what could be taken for the place meant, between two offsets: for
// a road on a side the roads on that side, for the lights other lights, for a
// junction other junctions.
func (w *writer) rivals(m manoeuvre, from geo.Metres) []opening {
	switch m.form {
	case Next, Slip, PullUp, IntoCarPark:
		var out []opening
		for _, o := range w.openings(m.side, from, m.entry, w.passages, m.meant) {
			if o.counts {
				out = append(out, o)
			}
		}
		return out
	case Ahead, Bend, Bear, Sharp, TurnBack:
		return w.junctions(from, m.entry, func(p passage) bool { return len(p.arms) > 1 })
	case Fork:
		return w.junctions(from, m.entry, passage.looksForked)
	case Crossroads:
		return w.junctions(from, m.entry, func(p passage) bool {
			return p.taken > 0 && p.taken < len(p.arms)-1
		})
	case Lights, LightsAhead:
		return append(w.lights(from, m.entry-lightsNear),
			w.junctions(from, m.entry, func(p passage) bool { return p.kind == roadnet.SignalsJunction })...)
	}
	return nil
}

// junctions are those gone through between two offsets that are of a kind.
func (w *writer) junctions(from, to geo.Metres, of func(passage) bool) []opening {
	var out []opening
	for _, p := range w.passages {
		if p.entry > from && p.entry < to && p.kind != roadnet.NoJunction && of(p) {
			out = append(out, opening{at: p.entry, counts: true})
		}
	}
	return out
}

// lights are the signals between junctions, as at a crossing.
func (w *writer) lights(from, to geo.Metres) []opening {
	var out []opening
	w.things(from, to, func(at geo.Metres, features extract.Feature) {
		if features&(extract.Signals|extract.CrossingSignals) != 0 {
			out = append(out, opening{at: at, counts: true})
		}
	})
	return out
}

// lightsNear is how near a junction signals are its own. Our choice.
const lightsNear = 40 * geo.Metres(1)

// clearOf says whether an offset is neither beside nor just before a road that
// counts, where "the next" would be heard both ways.
func clearOf(all []opening, offset geo.Metres) bool {
	for _, o := range all {
		if d := float64(o.at - offset); o.counts && d > -float64(passed) && d < float64(beside) {
			return false
		}
	}
	return true
}

// A road is passed when the car is 10 m beyond it, and next while it is 15 m
// ahead or more. Our choice: two car lengths, and a second or two.
const (
	passed = 10 * geo.Metres(1)
	beside = 15 * geo.Metres(1)
)
