package directions

import (
	"math"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// manoeuvre is something to be told: what is done at a junction, or the stop.
type manoeuvre struct {
	form        Form
	kind        Kind
	meant       roadnet.SegmentID // the road to take, None for a stop
	side        roadnet.Side
	entry, exit geo.Metres // offsets: where it begins, where it is done
	at          int        // the run's segment before it
	nth         int        // exit of a roundabout; else which one it is among its like in this junction, from 1
	counted     bool       // the road is one of those on its side: the number depends on where it is said
	noEntry     bool       // a road with no entry is among those counted at the junction
	road        roadnet.NameID
	ref         string
	cost        float64
	signed      string            // the number of the road to take, where signs to it are sure to stand and fit it alone
	missed      roadnet.SegmentID // where a learner goes who misses it, None where that can't be told
}

// Angles by which a driver tells roads apart. Our choice.
const (
	straight = 35 * geo.Degree // ahead of the car
	turning  = 45 * geo.Degree // to the side
	apart    = 30 * geo.Degree // between two roads, to be told apart without a word
	forked   = 55 * geo.Degree // either way of a fork
	same     = 8 * geo.Metres(1)
)

// manoeuvre says what must be told at a junction; false where a learner who is
// told nothing goes the right way: along the road ahead.
func (r *run) manoeuvre(p passage) (manoeuvre, bool) {
	m := manoeuvre{kind: KindTurn, entry: p.entry, exit: p.exit, at: p.in, nth: 1, meant: r.segments[p.out], missed: roadnet.SegmentID(roadnet.None)}
	in, out := r.segments[p.in], r.segments[p.out]
	if r.n.NameOf(out.Stretch()) == 0 && r.n.RefOf(out.Stretch()) == "" && p.out+1 < len(r.segments) && r.n.Length(out.Stretch()) < widest && oneWay(r.n, out) {
		out = r.segments[p.out+1] // a leg beside an island goes by the name of its road
	}
	if name := r.n.NameOf(out.Stretch()); name != r.n.NameOf(in.Stretch()) {
		m.road = name
		if name == 0 && r.n.RefOf(out.Stretch()) != r.n.RefOf(in.Stretch()) {
			m.ref = r.n.RefOf(out.Stretch())
		}
	}
	m.signed = r.signed(p)
	costs := theTable().Costs
	if p.round {
		m.cost = costs.NoPlainWords
	}
	switch {
	case p.kind == roadnet.RoundaboutJunction:
		return r.roundabout(p, m, fullRoundabout)
	case p.kind == roadnet.MiniRoundaboutJunction:
		return r.roundabout(p, m, miniRoundabout)
	case p.taken < 0 && len(p.arms) > 0:
		m.form, m.kind, m.road, m.ref = TurnBack, KindTurnRound, 0, ""
		m.cost += costs.Sharp
		return m, true
	case p.taken < 0:
		m.form, m.kind, m.road, m.ref = TurnRound, KindTurnRound, 0, ""
		return m, true
	case len(p.arms) == 1 || p.kind == roadnet.NoJunction:
		return m, false
	}
	taken := p.arms[p.taken]
	m.side = sideOf(taken.angle)
	natural, clear := p.natural(r.n, in)
	m.missed = p.missed(natural)
	crossing := p.crossesMain(rank(r.n, in))
	switch {
	case natural == p.taken && clear && crossing && p.kind == roadnet.SignalsJunction:
		m.form, m.kind = LightsAhead, KindFollow
	case natural == p.taken && clear && crossing:
		m.form, m.kind = Crossroads, KindFollow
	case natural == p.taken && clear:
		return m, false
	case p.endOfRoad(rank(r.n, in)) && p.aloneOnItsSide():
		m.form, m.kind = End, KindEndOfRoad
	case natural == p.taken && abs(taken.angle) < 120*geo.Degree && (abs(taken.angle) > straight || abs(taken.angle) > apart/2 && !p.straightest()) && p.aloneOnItsSide():
		m.form, m.kind = Bend, KindFollow
	case r.fork(p, &m):
		m.form, m.cost = Fork, m.cost+costs.Fork
	case natural == p.taken && abs(taken.angle) <= straight:
		m.form, m.kind = Ahead, KindFollow
	case abs(taken.angle) <= straight && abs(p.arms[natural].angle) > straight:
		m.form, m.side = LeaveBend, sideOf(p.arms[natural].angle)
	case p.kind == roadnet.SignalsJunction && abs(taken.angle) > straight && p.aloneOnItsSide():
		m.form = Lights
	default:
		if abs(taken.angle) < apart && natural != p.taken { // a road that leaves the one ahead gently
			m.side = sideOf(taken.angle - p.arms[natural].angle)
		}
		r.count(p, &m)
	}
	return m, true
}

// natural is the arm that a driver takes who is told nothing: the one most
// ahead, unless the main road bends away. Clear says that no other comes close.
func (p passage) natural(n *roadnet.Network, in roadnet.SegmentID) (best int, clear bool) {
	score := func(a arm) float64 {
		s := abs(a.angle).Degrees()
		if own := rank(n, in); a.rank > own && own < int(extract.Unclassified) {
			s += 60
		} else if a.rank > own {
			s += 40
		}
		if a.name != n.NameOf(in.Stretch()) && a.name != 0 && n.NameOf(in.Stretch()) != 0 {
			s += 20
		}
		return s
	}
	for i, a := range p.arms {
		if better := score(a) < score(p.arms[best]); a.enter && (better || !p.arms[best].enter) {
			best = i
		}
	}
	clear = abs(p.arms[best].angle) <= straight
	for i, a := range p.arms {
		if i != best && (score(a) < score(p.arms[best])+apart.Degrees() || abs(a.angle) < abs(p.arms[best].angle)) {
			clear = false
		}
	}
	return best, clear
}

// missed is the road of a learner who missed the turn: the one that leads on,
// or at the end of a road, the only other one.
func (p passage) missed(natural int) roadnet.SegmentID {
	if natural != p.taken && p.arms[natural].enter && abs(p.arms[natural].angle) <= turning {
		return p.arms[natural].segment
	}
	other := roadnet.SegmentID(roadnet.None)
	for i, a := range p.arms {
		if i == p.taken || !a.enter {
			continue
		}
		if other != roadnet.SegmentID(roadnet.None) {
			return roadnet.SegmentID(roadnet.None)
		}
		other = a.segment
	}
	return other
}

// straightest says whether no other arm that may be entered lies more ahead
// than the one taken.
func (p passage) straightest() bool {
	for i, a := range p.arms {
		if i != p.taken && a.enter && abs(a.angle) < abs(p.arms[p.taken].angle) {
			return false
		}
	}
	return true
}

// crossesMain says whether the car crosses a road that is more of a main road
// than its own: it gives way, and waits to be told.
func (p passage) crossesMain(own int) bool {
	left, right := false, false
	for i, a := range p.arms {
		if i != p.taken && a.rank < own {
			left = left || i < p.taken
			right = right || i > p.taken
		}
	}
	return left && right
}

// endOfRoad says whether nothing leads on ahead and roads lead to both sides.
// Where just one of them is as much of a main road as the driver's own, the
// road bends there and does not end.
func (p passage) endOfRoad(own int) bool {
	left, right, goesOn, main := false, false, 0, 0
	for _, a := range p.arms {
		if abs(a.angle) <= turning {
			return false
		}
		left = left || a.angle < 0
		right = right || a.angle > 0
		if a.rank == own {
			goesOn++
		}
		if a.rank < own {
			main++
		}
	}
	return left && right && (goesOn != 1 || main > 0)
}

// aloneOnItsSide says whether no other arm lies on the side of the one taken.
func (p passage) aloneOnItsSide() bool {
	for i, a := range p.arms {
		if i != p.taken && abs(a.angle) > straight && sideOf(a.angle) == sideOf(p.arms[p.taken].angle) {
			return false
		}
	}
	return true
}

func sideOf(a geo.Radians) roadnet.Side {
	if a < 0 {
		return roadnet.Left
	}
	return roadnet.Right
}

func abs(a geo.Radians) geo.Radians { return geo.Radians(math.Abs(float64(a))) }
