package traffic

import (
	"math"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// Thresholds in homes: those behind the only way in, or the score. Our choice,
// by what British residential roads have been laid out for: shared surfaces
// and mews courts for up to 50 homes, access roads for up to 300 (Design
// Bulletin 32, "Residential roads and footpaths", DoE and DoT, second edition
// 1992, from memory).
const (
	ownUpTo    = 100
	lightUpTo  = 300
	busyFrom   = 600
	passesFrom = 50 // that only cut through
)

// cornerWithin is how near the ends of a cut-through are where it cuts a
// corner. Our choice: a walk of five minutes or so.
const cornerWithin geo.Metres = 500

// judge turns what was found into rows.
type judge struct {
	m       *surveyed
	facts   Facts
	flow    []float64 // by segment
	through []float64 // by segment
	behind  []behind  // by stretch
}

func (j *judge) rows() []Row {
	out := make([]Row, j.m.n.NumStretches())
	for i := range out {
		out[i] = j.row(roadnet.StretchID(i))
	}
	return out
}

// both adds up the two directions. A home sends as much as it draws, so that
// the only way in to a number of homes has twice that; half of it is the score.
func both(bySegment []float64, s roadnet.StretchID) float64 {
	return (bySegment[s.Segment(true)] + bySegment[s.Segment(false)]) / 2
}

func (j *judge) row(s roadnet.StretchID) Row {
	own, hung := j.m.loads[s], &j.behind[s]
	r := Row{Class: j.m.classes[s], Score: float32(both(j.flow, s)), From: none, To: none}
	if !hung.trunk {
		own = hung.load
	}
	r.Homes = uint32(math.Round(own.homes))
	r.mark(2*own.guessed > own.homes, Estimated)
	r.mark(own.rimRoads > 0, NearRim)
	r.mark(j.facts.Bus != nil && j.facts.Bus[s], BusRoute)
	r.mark(j.facts.Schools != nil && j.facts.Schools[s] > 0, School)
	r.mark(j.facts.Shops != nil && j.facts.Shops[s] > 0, Shops)
	r.Band, r.Cause = j.band(s, &r)
	if r.Cause == CutThrough {
		j.ends(s, &r)
	}
	return r
}

func (r *Row) mark(yes bool, m Marks) {
	if yes {
		r.Marks |= m
	}
}

// band is the first rule that fits.
func (j *judge) band(s roadnet.StretchID, r *Row) (Band, Cause) {
	hung, rim, bus := !j.behind[s].trunk, r.Marks&NearRim != 0, r.Marks&BusRoute != 0
	worth := float64(r.Homes) + j.behind[s].load.visits // behind the only way in
	carries := float64(r.Score)
	if hung && j.behind[s].whole {
		carries = max(carries, worth)
	}
	switch {
	case j.m.n.Zone(s) != 0:
		return Own, CallersOnly
	case !j.m.public(s):
		return Unknown, NotPublic
	case mainRoad(r.Class) && r.Class != extract.Tertiary, r.Class == extract.Tertiary && (bus || r.Score >= busyFrom):
		return Busy, MainRoad
	case r.Score >= busyFrom:
		return Busy, ManyPass
	case r.Class == extract.Tertiary:
		return Through, MainRoad
	case bus:
		return Through, OnBusRoute
	case j.behind[s].apart && !rim:
		return Unknown, Apart
	case hung && !rim && worth <= lightUpTo && carries <= ownUpTo:
		return Own, OneWayIn
	case hung && !rim && worth <= lightUpTo:
		return Light, OneWayIn
	case both(j.through, s) >= passesFrom:
		return Through, CutThrough
	case hung && !rim && carries >= lightUpTo:
		return Through, WayToMany
	case r.Score >= lightUpTo:
		return Through, ManyPass
	case r.Marks&(School|Shops) != 0:
		return Through, Draws
	case rim:
		return Unknown, AtRim
	}
	return Light, LittlePasses
}

// ends finds the main roads that a cut-through joins, by following the greater
// flow each way until a main road is met.
func (j *judge) ends(s roadnet.StretchID, r *Row) {
	n := j.m.n
	on := s.Segment(true)
	if j.through[on.Opposite()] > j.through[on] {
		on = on.Opposite()
	}
	to, atTo := j.follow(on, true)
	from, atFrom := j.follow(on, false)
	if from == to { // one stretch, from end to end: then the roads beyond it
		from, to = j.mainRoadAt(atFrom, to), j.mainRoadAt(atTo, from)
	}
	r.From, r.To = from, to
	r.mark(geo.Distance(n.NodeAt(atFrom), n.NodeAt(atTo)) <= cornerWithin, Corner)
}

// follow goes on over small roads, or back, with the most through traffic.
func (j *judge) follow(on roadnet.SegmentID, ahead bool) (roadnet.StretchID, roadnet.NodeID) {
	n := j.m.n
	seen := map[roadnet.NodeID]bool{}
	for {
		node := n.Head(on)
		if !ahead {
			node = n.Tail(on)
		}
		if j.mainRoadAt(node, none) != none || seen[node] {
			return j.mainRoadAt(node, none), node
		}
		seen[node] = true
		best, most := on, -1.0
		for _, out := range n.Out(node) {
			next := out
			if !ahead {
				next = out.Opposite()
			}
			if out.Stretch() != on.Stretch() && j.through[next] > most {
				best, most = next, j.through[next]
			}
		}
		if most <= 0 {
			return none, node
		}
		on = best
	}
}

// none is no stretch.
const none = roadnet.StretchID(roadnet.None)

// mainRoadAt is the greatest main road at a node but for one stretch, the
// longest of equals; none where there is no other.
func (j *judge) mainRoadAt(v roadnet.NodeID, except roadnet.StretchID) roadnet.StretchID {
	best := none
	for _, out := range j.m.n.Out(v) {
		s := out.Stretch()
		if s == except || !j.m.public(s) || !mainRoad(j.m.classes[s]) {
			continue
		}
		if best == none || j.m.classes[s] < j.m.classes[best] ||
			j.m.classes[s] == j.m.classes[best] && j.m.n.Length(s) > j.m.n.Length(best) {
			best = s
		}
	}
	return best
}
