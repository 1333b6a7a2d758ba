package directions

import (
	"cmp"
	"math"
	"slices"

	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// passage is how a run goes through one junction as the driver sees it: in by
// one segment, perhaps over short ones between its nodes, out by another.
type passage struct {
	in, out     int        // indices into the run's segments
	entry, exit geo.Metres // offsets
	kind        roadnet.JunctionKind
	arms        []arm // roads that leave, but not the one that the car comes from
	taken       int   // index into arms, -1 where it goes back the way it came
	exitNumber  int   // of a roundabout
	lesser      int   // exits of a roundabout that are no roads: service roads and car parks
	round       bool  // one of several turns round a green and back
}

// arm is one road of a junction, as seen by the driver who comes to it.
type arm struct {
	segment roadnet.SegmentID // leaving the junction
	// angle is the turn into it, positive to the right; round is the same
	// clockwise from the way back, in (0, 2π): in the order of both, arms to
	// the left come first.
	angle, round geo.Radians
	ahead        geo.Metres // how far beyond the junction's near edge it leaves
	enter        bool       // a learner's car may drive in
	rank         int
	name         roadnet.NameID
}

// widest is the longest way across a junction that is no roundabout: between
// the halves of a dual carriageway. Our choice.
const widest = 60 * geo.Metres(1)

// passages are the run's junctions in order, each once. A roundabout is its
// ring: a road that parts on the way in or out is a junction of its own.
func (r *run) passages() []passage {
	var out []passage
	for i := 0; i+1 < len(r.segments); {
		j := r.through(i)
		if j > i+1 && r.segments[j] == r.segments[i].Opposite() && !ring(r.n, r.segments[i+1]) {
			// Round a green and back: told turn by turn.
			for ; i < j; i++ {
				p := r.passage(i, i+1, true)
				p.round = true
				out = append(out, p)
			}
			continue
		}
		out = append(out, r.passage(i, j, false))
		i = j
	}
	return out
}

// through is the index of the segment by which the run leaves the junction
// that it comes to by its i-th.
func (r *run) through(i int) int {
	n, j := r.n, i+1
	if r.segments[j] == r.segments[i].Opposite() {
		return j
	}
	onRing := ring(n, r.segments[j])
	at := n.JunctionOf(n.Head(r.segments[i]))
	for j+1 < len(r.segments) && ring(n, r.segments[j]) == onRing && inner(n, r.segments[j]) && n.JunctionOf(n.Head(r.segments[j])) == at {
		if !onRing && n.Junction(at).Kind == roadnet.RoundaboutJunction {
			break
		}
		j++
	}
	return j
}

// inner says whether a segment lies within a junction: between two of its
// nodes, and short, or part of a roundabout.
func inner(n *roadnet.Network, s roadnet.SegmentID) bool {
	return n.JunctionOf(n.Tail(s)) == n.JunctionOf(n.Head(s)) && n.Tail(s) != n.Head(s) &&
		(n.Length(s.Stretch()) < widest || ring(n, s))
}

// passage looks at the junction between two segments of the run; alone leaves
// the nodes near by out of it.
func (r *run) passage(i, j int, alone bool) passage {
	n := r.n
	p := passage{in: i, out: j, entry: r.starts[i+1], exit: r.starts[j], taken: -1}
	junction := n.Junction(n.JunctionOf(n.Head(r.segments[i])))
	p.kind = junction.Kind
	within := inner
	if junction.Kind == roadnet.RoundaboutJunction {
		within = ring
		alone = !touchesRing(n, n.Head(r.segments[i]))
	}
	if alone {
		p.kind = roadnet.PlainJunction
		junction = roadnet.Junction{Kind: p.kind, At: n.NodeAt(n.Head(r.segments[i])), Nodes: []roadnet.NodeID{n.Head(r.segments[i])}}
		within = func(*roadnet.Network, roadnet.SegmentID) bool { return false }
	}
	p.arms = armsOf(n, junction, r.segments[i], r.segments[j], within)
	if !r.goesBack(p) {
		p.taken = slices.IndexFunc(p.arms, func(a arm) bool { return a.segment == r.segments[j] })
	}
	p.exitNumber = r.countExits(p)
	if junction.Kind == roadnet.RoundaboutJunction && !alone {
		for _, node := range junction.Nodes {
			for _, s := range n.Out(node) {
				if ring(n, s) && n.Drivable(s) {
					p.lesser += lesserExits(n, s)
				}
			}
		}
	}
	return p
}

// goesBack says whether the way out is the road of the way in.
func (r *run) goesBack(p passage) bool {
	in, out := r.segments[p.in], r.segments[p.out]
	return out == in.Opposite() || twins(r.n, out, in.Opposite())
}

// armsOf are a junction's roads clockwise from the one that the car comes by:
// first to the left, last to the right. Halves of a dual carriageway and the
// two legs that a road splits into before an island are one arm each, held by
// the half that leads away.
func armsOf(n *roadnet.Network, junction roadnet.Junction, in, out roadnet.SegmentID, within func(*roadnet.Network, roadnet.SegmentID) bool) []arm {
	var arms []arm
	heading := geo.Radians(outward(n, in.Opposite()) + math.Pi).Normal()
	round := junction.Kind == roadnet.RoundaboutJunction
	if round {
		heading = geo.Radians(fromMiddle(n, junction, in.Opposite()) + math.Pi).Normal()
	}
	plane := geo.PlaneAt(n.NodeAt(n.Head(in)))
	for _, node := range junction.Nodes {
		for _, s := range n.Out(node) {
			if s == in.Opposite() || within(n, s) {
				continue
			}
			if s != out && twins(n, s, in.Opposite()) {
				continue
			}
			a := arm{segment: s, enter: n.Drivable(s), rank: rank(n, s), name: n.NameOf(s.Stretch())}
			direction := outward(n, s)
			if round {
				direction = fromMiddle(n, junction, s)
			}
			a.angle = geo.Turned(heading, direction)
			a.round = geo.Radians(direction - heading - math.Pi).Normal()
			a.ahead = geo.Metres(plane.To(n.NodeAt(node)).Dot(geo.Towards(heading)))
			arms = append(arms, a)
		}
	}
	arms = mergeHalves(n, arms, out)
	slices.SortFunc(arms, func(a, b arm) int {
		return cmp.Or(cmp.Compare(a.round, b.round), cmp.Compare(a.segment, b.segment))
	})
	return arms
}

// fromMiddle is the direction of an arm as seen from a roundabout's middle,
// where the bend of its splitter island does not show.
func fromMiddle(n *roadnet.Network, junction roadnet.Junction, s roadnet.SegmentID) geo.Radians {
	at, _ := n.At(roadnet.Position{Segment: s, Along: min(seen, n.Length(s.Stretch()))})
	return geo.Heading(junction.At, at)
}

// mergeHalves keeps one of two halves: the one taken, else the one that may be
// entered.
func mergeHalves(n *roadnet.Network, arms []arm, out roadnet.SegmentID) []arm {
	drop := make([]bool, len(arms))
	for i, a := range arms {
		for j, b := range arms {
			if i != j && !drop[i] && !drop[j] && a.enter && twins(n, a.segment, b.segment) && b.segment != out {
				drop[j] = true
			}
		}
	}
	kept := arms[:0]
	for i, a := range arms {
		if !drop[i] {
			kept = append(kept, a)
		}
	}
	return kept
}

// twins says whether two segments that leave one junction are the two
// directions of one road: one-way the opposite way round, side by side, and
// either the halves of one dual carriageway, or short and ending near by, with
// the same name or at the same junction.
func twins(n *roadnet.Network, a, b roadnet.SegmentID) bool {
	if !(oneWay(n, a) && oneWay(n, b.Opposite()) || oneWay(n, b) && oneWay(n, a.Opposite())) {
		return false
	}
	between := abs(geo.Turned(outward(n, a), outward(n, b)))
	dual := attributes(n, a.Stretch()).Flags & attributes(n, b.Stretch()).Flags & roadnet.DualCarriageway
	sameName := sameRoad(n, a.Stretch(), b.Stretch())
	return between < halvesApart && dual != 0 && sameName ||
		between < legsApart && legs(n, a, b) && (sameName || meet(n, a, b))
}

// sameRoad says whether two stretches go by one name, or where they have none
// by one number: that neither has any says nothing.
func sameRoad(n *roadnet.Network, a, b roadnet.StretchID) bool {
	if name := n.NameOf(a); name != 0 || n.NameOf(b) != 0 {
		return name == n.NameOf(b)
	}
	return n.RefOf(a) != "" && n.RefOf(a) == n.RefOf(b)
}

// meet says whether two segments that leave one junction are the sides of one
// island: they part at one node and end at one junction, or end at one node.
func meet(n *roadnet.Network, a, b roadnet.SegmentID) bool {
	return n.Head(a) == n.Head(b) || n.Tail(a) == n.Tail(b) && n.JunctionOf(n.Head(a)) == n.JunctionOf(n.Head(b))
}

// legs says whether two short roads end so near one another that they are the
// two sides of an island.
func legs(n *roadnet.Network, a, b roadnet.SegmentID) bool {
	return max(n.Length(a.Stretch()), n.Length(b.Stretch()), geo.Distance(n.NodeAt(n.Head(a)), n.NodeAt(n.Head(b)))) < widest
}

// Angles between two halves of a road, and between the legs on either side of
// an island, as they leave a junction. Our choice.
const (
	halvesApart = 45 * geo.Degree
	legsApart   = 60 * geo.Degree
)

// countExits counts the ways out that the car passes on a roundabout, the one
// taken included. Only those that may be driven out of count: a road that only
// leads in is no exit. Of several at one point, those on the near side come
// first.
func (r *run) countExits(p passage) int {
	n, count := r.n, 0
	in, out := r.segments[p.in], r.segments[p.out]
	for k := p.in; k < p.out; k++ {
		s := r.segments[k]
		if !touchesRing(n, n.Head(s)) {
			continue // on a leg that leads in or out
		}
		if ring(n, s) {
			count += lesserExits(n, s)
		}
		heading := geo.Radians(outward(n, s.Opposite()) + math.Pi).Normal()
		turn := func(exit roadnet.SegmentID) geo.Radians {
			if r.opts.left {
				return geo.Turned(heading, outward(n, exit))
			}
			return -geo.Turned(heading, outward(n, exit))
		}
		for _, exit := range n.Out(n.Head(s)) {
			ownRoad := !ring(n, s) && (exit == in.Opposite() || twins(n, exit, s.Opposite()))
			beyond := k == p.out-1 && exit != out && turn(exit) > turn(out)
			if !ring(n, exit) && n.Drivable(exit) && !ownRoad && !beyond {
				count++
			}
		}
	}
	return count
}

// lesserExits counts the service roads and car parks that a driver can turn
// into from a part of a roundabout: on a circle they look like any exit.
func lesserExits(n *roadnet.Network, s roadnet.SegmentID) int {
	count := 0
	for _, m := range n.Mouths(s.Stretch()) {
		if m.Counts || m.Kind == roadnet.MouthService || m.Kind == roadnet.MouthAisle {
			count++
		}
	}
	return count
}

// touchesRing says whether a node lies on a roundabout.
func touchesRing(n *roadnet.Network, v roadnet.NodeID) bool {
	for _, s := range n.Out(v) {
		if ring(n, s) {
			return true
		}
	}
	return false
}
