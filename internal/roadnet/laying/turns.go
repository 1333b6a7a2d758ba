package laying

import (
	"math"
	"slices"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// layTurns fills states and turns: every movement that is legal, no other.
func (s *site) layTurns() {
	s.readRestrictions()
	c := &s.c
	segments := 2 * len(c.StretchTail)
	// A sequence with a barred pair in it needs no machine.
	s.longBans = slices.DeleteFunc(s.longBans, func(sequence []roadnet.SegmentID) bool {
		for i := 1; i < len(sequence); i++ {
			if s.pairBans[pairOf(sequence[i-1], sequence[i])] {
				return true
			}
		}
		return false
	})
	machine := newAutomaton(s.longBans, roadnet.StateID(segments))
	c.TurnStart = append(make([]uint32, 0, segments+1), 0)
	room(segments, &c.StateSegment)
	turns := 0
	for v := range len(c.OutStart) - 1 {
		leaving := int(c.OutStart[v+1] - c.OutStart[v])
		turns += leaving * max(1, leaving-1)
	}
	room(turns, &c.TurnTo)
	room(turns, &c.TurnAngle)
	room(turns, &c.TurnU)
	for segment := range roadnet.SegmentID(segments) {
		s.addState(machine, segment, machine.of(segment))
	}
	var deeper []int // nodes of the machine that are states of their own, by state
	for i, node := range machine.nodes {
		if node.depth > 1 && !node.barred {
			deeper = append(deeper, i)
		}
	}
	slices.SortFunc(deeper, func(a, b int) int { return int(machine.nodes[a].state) - int(machine.nodes[b].state) })
	for _, i := range deeper {
		s.addState(machine, machine.nodes[i].segment, i)
	}
}

// addState adds the next state, on a segment, with the machine at a node.
func (s *site) addState(machine *automaton, segment roadnet.SegmentID, at int) {
	c := &s.c
	c.StateSegment = append(c.StateSegment, segment)
	for _, to := range s.out(segment) {
		if !s.possible(segment, to) || s.banned[segment] && s.pairBans[pairOf(segment, to)] {
			continue
		}
		state := roadnet.StateID(to)
		if node := machine.step(at, to); node != 0 {
			if machine.nodes[node].barred {
				continue
			}
			state = machine.nodes[node].state
		}
		c.TurnTo = append(c.TurnTo, state)
		c.TurnAngle = append(c.TurnAngle, int16(math.Round(float64(s.turned(segment, to))*10000)))
		c.TurnU = append(c.TurnU, bit[uint8](to == segment.Opposite(), 1))
	}
	c.TurnStart = append(c.TurnStart, uint32(len(c.TurnTo)))
}

// turned is the change of heading from one segment to the next; going back is
// half a turn to the right.
func (s *site) turned(from, to roadnet.SegmentID) geo.Radians {
	if to == from.Opposite() {
		return math.Pi
	}
	return geo.Turned(s.arrive(from), geo.Radians(s.leave[to]))
}

// possible says whether a car may go from one segment to the next if no
// restriction is looked at: the second begins where the first ends, both may
// be driven, nothing bars the node, and going back along the same stretch only
// at a turning head at a dead end.
func (s *site) possible(from, to roadnet.SegmentID) bool {
	c := &s.c
	if !roadnet.Drivable(c.SegmentUse[from]) || !roadnet.Drivable(c.SegmentUse[to]) {
		return false
	}
	node := s.head(from)
	if s.tail(to) != node {
		return false
	}
	if to == from.Opposite() {
		return c.OutStart[node+1]-c.OutStart[node] == 1 &&
			c.NodeFeatures[node]&(extract.TurningCircle|extract.TurningLoop) != 0
	}
	return c.NodeFeatures[node]&extract.BarrierShut == 0
}
