package lesson

import (
	"slices"

	"loopwright/internal/country"
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// What a pull-up needs. Where the profile has no say these are our choice.
const (
	carRoom      geo.Metres = 12 // kerb to pull in along and leave forwards: two car lengths and a half
	clearOfThing geo.Metres = 15 // crossings, islands, calming, bus stops: zig-zags reach some 18 m, a bus stop's cage 15
	clearOfDrive geo.Metres = 4  // not in front of an entrance (Highway Code 243)
)

// fastest is the highest limit under which to stop at the kerb: 40 mph and
// 60 km/h roads are the fastest with homes along them.
const fastestDkmh = 650

// kerbs finds where a car may stand along segments, and remembers.
type kerbs struct {
	n    *roadnet.Network
	p    *country.Profile
	memo map[roadnet.SegmentID][]span
}

// span is a part of a segment, in metres along it.
type span struct{ from, to geo.Metres }

// at gives the parts of a segment along whose driving-side kerb a car may
// stand: legal and roomy as far as the map tells, long enough for one car, in
// the direction of travel.
func (k *kerbs) at(s roadnet.SegmentID) []span {
	if spans, ok := k.memo[s]; ok {
		return spans
	}
	spans := k.find(s)
	k.memo[s] = spans
	return spans
}

func (k *kerbs) find(s roadnet.SegmentID) []span {
	stretch := s.Stretch()
	length := k.n.Length(stretch)
	if k.n.Use(s) != extract.Through || length < 2*k.p.JunctionClear+carRoom {
		return nil
	}
	side := roadnet.Right
	if k.p.DrivesLeft {
		side = roadnet.Left
	}
	fixed := side // of the stretch, looking forward
	if !s.Forward() {
		fixed = side.Opposite()
	}
	var shut []span
	bar := func(from, to geo.Metres) { shut = append(shut, span{from, to}) }
	clear := func(node roadnet.NodeID) geo.Metres {
		if j := k.n.JunctionOf(node); j != roadnet.JunctionID(roadnet.None) && k.n.Junction(j).Kind != roadnet.NoJunction {
			return k.p.JunctionClear + geo.Metres(5) // the advice counts from the corner, some 5 m from the node
		}
		return 2
	}
	bar(0, clear(k.n.Tail(stretch.Segment(true))))
	bar(length-clear(k.n.Head(stretch.Segment(true))), length)
	for _, m := range k.n.Mouths(stretch) {
		switch {
		case m.Counts || m.Kind == roadnet.MouthService || m.Kind == roadnet.MouthAisle:
			bar(m.Along-k.p.JunctionClear, m.Along+k.p.JunctionClear) // and opposite one
		case m.Side == fixed || m.Side == roadnet.Both || m.Side == roadnet.SideUnknown:
			bar(m.Along-clearOfDrive, m.Along+clearOfDrive)
		}
	}
	const features = extract.MiniRoundabout | extract.Signals | extract.CrossingZebra | extract.CrossingSignals | extract.CrossingOther |
		extract.Calming | extract.Island | extract.BusStop | extract.LevelCrossing | extract.BarrierOpen | extract.GiveWay | extract.Stop
	for _, t := range k.n.Things(stretch) {
		if t.Features&features != 0 {
			bar(t.Along-clearOfThing, t.Along+clearOfThing)
		}
	}
	for _, p := range k.n.Pieces(stretch) {
		if !standable(p.Attributes, fixed) {
			bar(p.From, p.To)
		}
	}
	open := gaps(shut, length)
	if !s.Forward() {
		for i, g := range open {
			open[i] = span{length - g.to, length - g.from}
		}
		slices.Reverse(open)
	}
	return slices.DeleteFunc(open, func(g span) bool { return g.to-g.from < carRoom })
}

// standable says whether what the map tells of a piece lets a car stand at a
// side of it.
func standable(a *roadnet.Attributes, side roadnet.Side) bool {
	i := 0
	if side == roadnet.Right {
		i = 1
	}
	switch a.Class {
	case extract.Residential, extract.Unclassified, extract.Tertiary, extract.PlainRoad:
	default:
		return false
	}
	const no = roadnet.Bridge | roadnet.Tunnel | roadnet.Ford | roadnet.Roundabout | roadnet.TurningLoop | roadnet.DualCarriageway | roadnet.BusLane
	return a.Flags&no == 0 &&
		a.ParkingBarred[i]&(roadnet.NoParking|roadnet.NoStopping|roadnet.ConditionalParking|roadnet.PerpendicularParking) == 0 &&
		a.LimitHighDkmh[0] <= fastestDkmh && a.LimitHighDkmh[1] <= fastestDkmh &&
		!(a.WidthCm > 0 && a.WidthCm < 480) && // a car and a passing lorry: Manual for Streets (DfT 2007), figure 7.1, from memory
		!(a.Class == extract.Unclassified && a.LimitHighDkmh[0] == 0) && // a lane, for all the map tells
		a.Surface != extract.Loose
}

// gaps are what closed spans leave open of a length.
func gaps(shut []span, length geo.Metres) []span {
	slices.SortFunc(shut, func(a, b span) int {
		if a.from < b.from {
			return -1
		}
		if a.from > b.from {
			return 1
		}
		return 0
	})
	var open []span
	at := geo.Metres(0)
	for _, s := range shut {
		if s.from > at {
			open = append(open, span{at, s.from})
		}
		at = max(at, s.to)
	}
	if at < length {
		open = append(open, span{at, length})
	}
	return open
}

// quality says how good a place to stand is, in (0, 1]: quiet classes first.
func (k *kerbs) quality(pos roadnet.Position) float64 {
	along := pos.Along
	if !pos.Segment.Forward() {
		along = k.n.Length(pos.Segment.Stretch()) - along
	}
	switch k.n.PieceAt(pos.Segment.Stretch(), along).Attributes.Class {
	case extract.Residential:
		return 1
	case extract.Tertiary:
		return 0.5
	}
	return 0.8
}
