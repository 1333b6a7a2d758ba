package route

import (
	"math"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// sign is what the map says of priority at the end of a segment.
type sign uint8

const (
	noSign sign = iota
	giveWaySign
	stopSign
)

// String names the sign.
func (s sign) String() string { return [...]string{"none", "give way", "stop"}[s] }

// rule is what a driver does about others on reaching a junction.
type rule uint8

const (
	noOthers rule = iota // no junction, or already inside it
	priority             // the others wait
	look                 // crossroads of equals
	giveWay
	stop
	underSignals
	ontoRoundabout
	ontoMiniRoundabout
)

// String names the rule.
func (r rule) String() string {
	return [...]string{"no others", "priority", "look", "give way", "stop", "signals", "roundabout", "mini-roundabout"}[r]
}

// Bounds of the turns by angle: our choice, after how directions are said. Up
// to slight a road goes on, up to bend it bends, and beyond sharp the car turns
// almost back.
const (
	slight = 30 * geo.Degree
	bend   = 60 * geo.Degree
	sharp  = 120 * geo.Degree
)

// signAt finds the line that faces the end of a segment. A line that does not
// say which way it faces, faces the nearer end.
func (b *builder) signAt(segment roadnet.SegmentID, length geo.Metres, things []roadnet.Thing) sign {
	found := noSign
	if b.n.NodeFeatures(b.n.Head(segment))&extract.Stop != 0 {
		found = stopSign // on the junction itself: all ways stop
	}
	for _, thing := range things {
		before := length - thing.Along
		if !segment.Forward() {
			before = thing.Along
		}
		if before > nearLine || !concerns(thing, segment) || thing.Direction == 0 && before > length/2 {
			continue
		}
		if thing.Features&extract.Stop != 0 {
			found = stopSign
		}
		if thing.Features&extract.GiveWay != 0 {
			found = max(found, giveWaySign)
		}
	}
	return found
}

// rank orders roads by priority where no sign is mapped; a slip road comes
// behind the roads of its class.
func (b *builder) rank(e end) int {
	r := 2 * b.pace.roads[e.class].rank
	if e.link {
		r--
	}
	return r
}

// inside says whether a segment lies within a junction, so that whoever is at
// its end has entered already: on a roundabout, or between the halves of a
// dual carriageway.
func (b *builder) inside(segment roadnet.SegmentID) bool {
	if b.last[segment].round {
		return true
	}
	const across = 60 // m: wider than any central reserve that one junction spans; a loop back to its own junction is longer
	return b.n.JunctionOf(b.n.Tail(segment)) == b.n.JunctionOf(b.n.Head(segment)) &&
		b.n.Length(segment.Stretch()) < across
}

// goesOn says whether some arm goes on from a segment without more than a
// bend, legal to drive or not.
func (b *builder) goesOn(segment roadnet.SegmentID) bool {
	node := b.n.Head(segment)
	squeeze := math.Cos(b.n.NodeAt(node).Lat() * math.Pi / 180)
	back := b.leaves(segment.Opposite(), squeeze)
	for _, arm := range b.n.Out(node) {
		if arm == segment.Opposite() {
			continue
		}
		// Turned by less than 60°: cos > 1/2, a and −back the two directions.
		if a := b.leaves(arm, squeeze); -a.Dot(back) > float64(a.Norm()*back.Norm())/2 {
			return true
		}
	}
	return false
}

// leaves is the direction in which a segment leaves its first node, over its
// first vertices as far as some three car's lengths; east and north in 10⁻⁷
// degrees of latitude, with the squeeze of longitudes there.
func (b *builder) leaves(segment roadnet.SegmentID, squeeze float64) geo.XY {
	const far = 15 / 0.0111 // m, over those in a unit
	lon, lat := b.n.LineE7(segment.Stretch())
	i, step := 0, 1
	if !segment.Forward() {
		i, step = len(lon)-1, -1
	}
	lon0, lat0 := lon[i], lat[i]
	for {
		i += step
		away := geo.XY{X: float64(lon[i]-lon0) * squeeze, Y: float64(lat[i] - lat0)}
		if last := i+step < 0 || i+step == len(lon); last || away.Norm() >= far {
			return away
		}
	}
}

// meeting is what the car comes to at the end of a segment.
type meeting struct {
	rule  rule
	major extract.Class // the road that is given way to, else the car's own
}

// meet tells what the car comes to, from the junction's kind and signs, and
// where none is mapped from the roads' classes and shape: a lesser road gives
// way to a greater one that has two arms, the stem of a T to its bar. What is
// legal plays no part in it, so that a restriction more changes no time.
func (b *builder) meet(segment roadnet.SegmentID) meeting {
	own := b.last[segment]
	node := b.n.Head(segment)
	m := meeting{noOthers, own.class}
	kind := b.kindAt(node)
	if kind == roadnet.NoJunction || b.inside(segment) {
		return m
	}
	switch kind {
	case roadnet.SignalsJunction:
		m.rule = underSignals
		return m
	case roadnet.RoundaboutJunction:
		m.rule = ontoRoundabout
		return m
	case roadnet.MiniRoundaboutJunction:
		m.rule = ontoMiniRoundabout
		return m
	}
	higher, equal, top := 0, 0, -1
	for _, arm := range b.n.Out(node) {
		if arm == segment.Opposite() {
			continue
		}
		r := b.rank(b.first[arm])
		switch {
		case r > b.rank(own):
			higher++
		case r == b.rank(own):
			equal++
		}
		if r > top {
			top, m.major = r, b.first[arm].class
		}
	}
	switch {
	case b.sign[segment] == stopSign:
		m.rule = stop
	case b.sign[segment] == giveWaySign, higher >= 2, higher+equal >= 2 && !b.goesOn(segment):
		m.rule = giveWay
	case higher == 0 && equal >= 3:
		m.rule = look
	default:
		m.rule, m.major = priority, own.class
	}
	return m
}

// turn times the turns.
func (b *builder) turn() {
	b.w.turnMs = make([]uint32, b.n.NumTurns())
	meetings := make([]meeting, b.n.NumSegments())
	shared(len(meetings), func(s int) { meetings[s] = b.meet(roadnet.SegmentID(s)) })
	shared(b.n.NumStates(), func(v int) {
		state := roadnet.StateID(v)
		segment := b.n.StateSegment(state)
		m := meetings[segment]
		lo, hi := b.n.TurnRange(state)
		for t := lo; t < hi; t++ {
			turn := b.n.TurnAt(t)
			b.w.turnMs[t] = milliseconds(b.turning(m, b.last[segment], b.first[b.n.StateSegment(turn.To)], turn))
		}
	})
}

// shared does n things on all processors, each of which writes what is its own.
func shared(n int, do func(i int)) {
	const batch = 4096 // our choice: a millisecond's work or so
	roadnet.InParallel((n+batch-1)/batch, func(next func() (int, bool)) {
		for k, ok := next(); ok; k, ok = next() {
			for i := k * batch; i < min((k+1)*batch, n); i++ {
				do(i)
			}
		}
	})
}

// turning is the time lost by one turn.
func (b *builder) turning(m meeting, from, to end, turn roadnet.Turn) geo.Seconds {
	p := b.pace
	angle := max(turn.Angle, -turn.Angle)
	nearSide := (turn.Angle < 0) == b.driveLeft
	far := angle > slight && !nearSide
	through := min(from.speed, to.speed) // the speed at the turn itself
	switch {
	case turn.U, angle > sharp:
		through = min(through, p.speeds[sharpTurn])
	case from.round && to.round, angle <= slight:
	case angle <= bend:
		through = min(through, p.speeds[bendTurn])
	case nearSide:
		through = min(through, p.speeds[nearTurn])
	default:
		through = min(through, p.speeds[farTurn])
	}
	var wait geo.Seconds
	if turn.U {
		wait = p.delays[toTurnRound]
	}
	way := p.roads[m.major].wait
	switch {
	case far:
		way *= geo.Seconds(p.factors[farFactor])
	case angle <= slight:
		way *= geo.Seconds(p.factors[acrossFactor])
	}
	switch m.rule {
	case priority:
		if far {
			wait += p.roads[m.major].wait * geo.Seconds(p.factors[oncomingFactor])
		}
	case look:
		wait += p.delays[toLook]
	case giveWay:
		if from.link && angle <= slight {
			wait += p.roads[m.major].wait // a slip road joins at speed
			break
		}
		wait += way
		through = min(through, p.speeds[giveWayLine])
	case stop:
		wait += way + p.delays[atStopLine]
		through = 0
	case underSignals:
		wait += p.delays[atSignals]
		if far {
			wait += p.delays[atSignalsFar]
		}
	case ontoRoundabout:
		if to.round {
			wait += p.delays[atRoundabout]
			through = min(from.speed, to.speed, p.speeds[roundaboutLine])
		}
	case ontoMiniRoundabout:
		wait += p.delays[atMiniRoundabout]
		through = min(through, p.speeds[roundaboutLine])
	}
	return wait*geo.Seconds(p.Wait) + p.changing(from.speed, through) + p.changing(through, to.speed)
}
