package directions_test

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// driver obeys what is said with their own eyes: at each junction they see the
// roads that leave it and the way each lies, and nothing of the plan.
type driver struct {
	n    *roadnet.Network
	left bool // drives on the left
}

// sight is one road as seen from the one that the car comes by.
type sight struct {
	segment roadnet.SegmentID
	turn    float64 // degrees, positive to the right
	ahead   float64 // metres beyond the near edge
	enter   bool
}

func (d driver) chord(s roadnet.SegmentID) geo.Radians {
	line := d.n.Line(s)
	walked := geo.Metres(0)
	for i := 1; i < len(line); i++ {
		if walked += geo.Distance(line[i-1], line[i]); walked >= 20 || i == len(line)-1 {
			at, _ := d.n.At(roadnet.Position{Segment: s, Along: min(20, d.n.Length(s.Stretch()))})
			return geo.Heading(line[0], at)
		}
	}
	return 0
}

func (d driver) within(s roadnet.SegmentID) bool {
	n := d.n
	return n.JunctionOf(n.Tail(s)) == n.JunctionOf(n.Head(s)) && n.Tail(s) != n.Head(s) && n.Length(s.Stretch()) < 60 || d.onRing(s)
}

func (d driver) onRing(s roadnet.SegmentID) bool {
	return d.n.PieceAt(s.Stretch(), d.n.Length(s.Stretch())/2).Attributes.Flags&roadnet.Roundabout != 0
}

func (d driver) oneWay(s roadnet.SegmentID) bool {
	return d.n.Drivable(s) && !d.n.Drivable(s.Opposite())
}

// legs says whether two roads seen are one that parts round an island, or the
// halves of one dual carriageway.
func (d driver) legs(a, b roadnet.SegmentID) bool {
	n := d.n
	if !(d.oneWay(a) && d.oneWay(b.Opposite()) || d.oneWay(b) && d.oneWay(a.Opposite())) {
		return false
	}
	if math.Abs(float64(geo.Turned(d.chord(a), d.chord(b)))) > math.Pi/3 {
		return false
	}
	short := func(s roadnet.SegmentID) bool { return n.Length(s.Stretch()) < 60 }
	sameName := n.NameOf(a.Stretch()) == n.NameOf(b.Stretch()) && n.NameOf(a.Stretch()) != 0
	sameName = sameName || n.NameOf(a.Stretch())+n.NameOf(b.Stretch()) == 0 && n.RefOf(a.Stretch()) == n.RefOf(b.Stretch()) && n.RefOf(a.Stretch()) != ""
	sameEnd := sameName || n.Head(a) == n.Head(b) || n.Tail(a) == n.Tail(b) && n.JunctionOf(n.Head(a)) == n.JunctionOf(n.Head(b))
	if sameEnd && short(a) && short(b) && geo.Distance(n.NodeAt(n.Head(a)), n.NodeAt(n.Head(b))) < 60 {
		return true
	}
	dual := n.PieceAt(a.Stretch(), 0).Attributes.Flags & n.PieceAt(b.Stretch(), 0).Attributes.Flags & roadnet.DualCarriageway
	return dual != 0 && sameName
}

// look gives the roads from left to right.
func (d driver) look(in roadnet.SegmentID) []sight {
	n := d.n
	j := n.Junction(n.JunctionOf(n.Head(in)))
	round := j.Kind == roadnet.RoundaboutJunction
	within := d.within
	if round {
		within = d.onRing
		nodes := slices.DeleteFunc(slices.Clone(j.Nodes), func(v roadnet.NodeID) bool { return !slices.ContainsFunc(n.Out(v), d.onRing) })
		if j.Nodes = nodes; !slices.Contains(nodes, n.Head(in)) { // a road that parts before the circle
			round, j.Nodes, within = false, []roadnet.NodeID{n.Head(in)}, func(roadnet.SegmentID) bool { return false }
		}
	}
	lies := func(s roadnet.SegmentID) geo.Radians {
		if round {
			at, _ := n.At(roadnet.Position{Segment: s, Along: min(20, n.Length(s.Stretch()))})
			return geo.Heading(j.At, at)
		}
		return d.chord(s)
	}
	facing := lies(in.Opposite()) + math.Pi
	edge := geo.PlaneAt(n.NodeAt(n.Head(in)))
	var out []sight
	for _, v := range j.Nodes {
		for _, s := range n.Out(v) {
			if s == in.Opposite() || within(s) || d.legs(s, in.Opposite()) {
				continue
			}
			out = append(out, sight{s, geo.Turned(facing, lies(s)).Degrees(), edge.To(n.NodeAt(v)).Dot(geo.Towards(facing)), n.Drivable(s)})
		}
	}
	out = slices.DeleteFunc(out, func(a sight) bool {
		return !a.enter && slices.ContainsFunc(out, func(b sight) bool { return b.enter && d.legs(a.segment, b.segment) })
	})
	slices.SortFunc(out, func(a, b sight) int { return cmp.Or(cmp.Compare(a.turn, b.turn), cmp.Compare(a.segment, b.segment)) })
	return out
}

func (d driver) class(s roadnet.SegmentID) extract.Class {
	c := d.n.PieceAt(s.Stretch(), d.n.Length(s.Stretch())/2).Attributes.Class
	if c == extract.Residential || c == extract.PlainRoad {
		return extract.Unclassified
	}
	return c
}

// onwards is the road that a driver follows who is told nothing: the main road
// where it goes on and the rest are lesser, else the straightest.
func (d driver) onwards(in roadnet.SegmentID, roads []sight) (int, bool) {
	best, main := -1, -1
	lesser := d.class(in) < extract.Unclassified
	for i, r := range roads {
		if r.enter && (best < 0 || math.Abs(r.turn) < math.Abs(roads[best].turn)) {
			best = i
		}
		switch {
		case d.class(r.segment) > d.class(in):
		case main >= 0:
			lesser = false
		default:
			main = i
		}
	}
	if lesser && main >= 0 && roads[main].enter && math.Abs(roads[main].turn) < 75 && math.Abs(roads[best].turn) > 15 {
		best = main
	}
	return best, best >= 0
}

// number is how many junctions, roads and the like have been passed since an
// order was heard.
type number struct{ count int }

// at decides at a junction: the road to take, and whether the order is done.
func (d driver) at(in roadnet.SegmentID, o *order, seen *number) (roadnet.SegmentID, bool, error) {
	n := d.n
	kind := n.Junction(n.JunctionOf(n.Head(in))).Kind
	if kind == roadnet.RoundaboutJunction && !slices.ContainsFunc(n.Out(n.Head(in)), d.onRing) {
		kind = roadnet.PlainJunction
	}
	roads := d.look(in)
	on, ok := d.onwards(in, roads)
	if o == nil {
		if !ok {
			return 0, false, fmt.Errorf("the road ends and nothing was said")
		}
		return roads[on].segment, false, nil
	}
	follow := func(done bool) (roadnet.SegmentID, bool, error) {
		if !ok {
			return 0, false, fmt.Errorf("the road ends before what was said")
		}
		return roads[on].segment, done, nil
	}
	only := func(fits func(sight) bool) (roadnet.SegmentID, bool, error) {
		found := -1
		for i, r := range roads {
			if !fits(r) {
				continue
			}
			if found >= 0 {
				return 0, false, fmt.Errorf("what was said fits two roads")
			}
			found = i
		}
		if found < 0 {
			return 0, false, fmt.Errorf("what was said fits no road")
		}
		return roads[found].segment, true, nil
	}
	onSide := func(r sight) bool { return (r.turn < 0) == (o.side == roadnet.Left) }
	most := 180.0 // the straightest of all that may be entered
	for _, r := range roads {
		if r.enter {
			most = min(most, math.Abs(r.turn))
		}
	}
	junction := len(roads) > 1 && kind != roadnet.NoJunction
	reached := func(is bool) bool {
		if is {
			seen.count++
		}
		return is && seen.count == o.n
	}
	switch o.what {
	case whatTurnRound:
		if len(roads) == 0 || n.NodeFeatures(n.Head(in))&(extract.TurningCircle|extract.TurningLoop) != 0 {
			return in.Opposite(), true, nil
		}
		return follow(false)
	case whatExit, whatCircleTurn, whatCircleAhead, whatCircleBack:
		if kind != roadnet.RoundaboutJunction && kind != roadnet.MiniRoundaboutJunction {
			return follow(false)
		}
		return d.circle(in, roads, kind, o)
	case whatEnd:
		if !junction || most <= 45 {
			return follow(false)
		}
		return only(onSide)
	case whatLights:
		if !reached(kind == roadnet.SignalsJunction) {
			return follow(false)
		}
		return only(func(r sight) bool { return onSide(r) && math.Abs(r.turn) > 30 })
	case whatLightsAhead:
		return follow(reached(kind == roadnet.SignalsJunction))
	case whatCrossroads:
		return follow(reached(junction && on > 0 && on < len(roads)-1))
	case whatAhead, whatRound:
		if !reached(junction) {
			return follow(false)
		}
		if o.what == whatAhead {
			return roads[slices.IndexFunc(roads, func(r sight) bool { return r.enter && math.Abs(r.turn) == most })].segment, true, nil
		}
		return only(func(r sight) bool { return onSide(r) && math.Abs(r.turn) > 12 && math.Abs(r.turn) < 140 })
	case whatTurnBack:
		if !reached(len(roads) > 0) {
			return follow(false)
		}
		return in.Opposite(), true, nil
	case whatBear, whatSharp:
		if !reached(junction) {
			return follow(false)
		}
		if o.what == whatBear {
			return only(func(r sight) bool { return onSide(r) && math.Abs(r.turn) < 75 && math.Abs(r.turn) > 25 })
		}
		return only(func(r sight) bool { return onSide(r) && math.Abs(r.turn) > 85 })
	case whatFork:
		var ways []sight
		for _, r := range roads {
			if math.Abs(r.turn) < 56 {
				ways = append(ways, r)
			}
		}
		if len(ways) != 2 || !reached(true) {
			return follow(false)
		}
		if o.side == roadnet.Left {
			return ways[0].segment, true, nil
		}
		return ways[1].segment, true, nil
	case whatPastBend:
		bends := slices.ContainsFunc(roads, func(r sight) bool { return onSide(r) && math.Abs(r.turn) > 30 && d.class(r.segment) == d.class(in) })
		if !junction || !bends {
			return follow(false)
		}
		return only(func(r sight) bool { return math.Abs(r.turn) <= 36 })
	case whatRoad, whatSlip:
		if !junction {
			return follow(false)
		}
		return d.countRoads(in, roads, on, o, seen)
	}
	return follow(false)
}

// countRoads counts those on the side: beside the road that goes on, or where
// none does, all that lie to the side.
func (d driver) countRoads(in roadnet.SegmentID, roads []sight, on int, o *order, seen *number) (roadnet.SegmentID, bool, error) {
	var there []sight
	for i, r := range roads {
		line := 0.0
		if on >= 0 && math.Abs(roads[on].turn) < 36 {
			if i == on {
				continue
			}
			line = roads[on].turn
		}
		if (r.turn < line) == (o.side == roadnet.Left) && !(!r.enter && d.otherLeg(r.segment)) && !(!r.enter && d.n.PieceAt(r.segment.Stretch(), 0).Attributes.Link != 0) {
			there = append(there, r)
		}
	}
	slices.SortStableFunc(there, func(a, b sight) int {
		if math.Abs(a.ahead-b.ahead) > 8 {
			return cmp.Compare(a.ahead, b.ahead)
		}
		return cmp.Compare(math.Abs(b.turn), math.Abs(a.turn))
	})
	for _, r := range there {
		if seen.count++; seen.count == o.n {
			if !r.enter {
				return 0, false, fmt.Errorf("the road counted has no entry")
			}
			return r.segment, true, nil
		}
	}
	if on < 0 {
		return 0, false, fmt.Errorf("the road ends before the one counted")
	}
	return roads[on].segment, false, nil
}

// otherLeg says whether a road with no entry is one leg of a road that parts
// round an island, whose other leg may be entered.
func (d driver) otherLeg(s roadnet.SegmentID) bool {
	n := d.n
	if !d.oneWay(s.Opposite()) {
		return false
	}
	return slices.ContainsFunc(n.Out(n.Head(s)), func(o roadnet.SegmentID) bool {
		return d.oneWay(o.Opposite()) && n.Head(o) != n.Tail(s) && geo.Distance(n.NodeAt(n.Head(o)), n.NodeAt(n.Tail(s))) < 60
	})
}

// circle goes round a roundabout or mini-roundabout.
func (d driver) circle(in roadnet.SegmentID, roads []sight, kind roadnet.JunctionKind, o *order) (roadnet.SegmentID, bool, error) {
	if o.what == whatCircleBack {
		return in.Opposite(), true, nil
	}
	exits := slices.Clone(roads)
	if !d.left {
		slices.Reverse(exits)
	}
	if kind == roadnet.RoundaboutJunction {
		exits = d.walkRound(in, roads)
	}
	var fits []sight
	count := 0
	for _, r := range exits {
		if !r.enter {
			continue
		}
		count++
		ok := false
		switch o.what {
		case whatExit:
			ok = count == o.n
		case whatCircleTurn:
			ok = (r.turn < 0) == (o.side == roadnet.Left) && math.Abs(r.turn) > 45
		case whatCircleAhead:
			ok = math.Abs(r.turn) <= 45
		}
		if ok {
			fits = append(fits, r)
		}
	}
	if len(fits) != 1 {
		return 0, false, fmt.Errorf("what was said fits %d roads of the circle", len(fits))
	}
	return fits[0].segment, true, nil
}

// walkRound gives the roads in the order in which the car passes them.
func (d driver) walkRound(in roadnet.SegmentID, roads []sight) []sight {
	n := d.n
	var out []sight
	roads = slices.Clone(roads)
	if !d.left {
		slices.Reverse(roads)
	}
	v := n.Head(in)
	for range 100 {
		var next roadnet.SegmentID
		for _, s := range n.Out(v) {
			if d.onRing(s) && n.Drivable(s) {
				next = s
			}
		}
		for _, r := range roads {
			if n.Tail(r.segment) == v {
				out = append(out, r)
			}
		}
		for _, m := range n.Mouths(next.Stretch()) { // a service road or a car park looks like an exit too
			if m.Counts || m.Kind == roadnet.MouthService || m.Kind == roadnet.MouthAisle {
				out = append(out, sight{segment: roadnet.SegmentID(roadnet.None), turn: math.NaN(), enter: true})
			}
		}
		if v = n.Head(next); v == n.Head(in) {
			break
		}
	}
	return out
}
