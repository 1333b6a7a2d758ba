package demotown

import (
	"math"
	"math/rand/v2"

	"loopwright/internal/geo"
)

// Streets grow from the hand-drawn roads. A street follows a field of
// directions that blends the nearest old roads, as in Chen, Esch, Wonka,
// Müller and Zhang, "Interactive procedural street modeling", 2008; ours
// differs in that a street must start on a road and so is joined to the town
// from its first metre, that it stops at the first road it meets, and that
// dead ends are kept with a chance that belongs to the district.

const (
	traceStep   = 6.0  // metres per step of a street
	lookAhead   = 24.0 // a street this near to another road joins it
	clusterGap  = 27.0 // junctions keep this far apart or are one
	leastStreet = 42.0 // a shorter through street is not built
	leastClose  = 38.0 // nor a shorter dead end
)

type grower struct {
	*network
	random *rand.Rand
	field  []guide
	queue  []*road
	room   float64 // share of the district's spacing that a new street must leave
}

// guide is one sample of the field: the direction of an old road at a point.
type guide struct {
	at       geo.XY
	cos, sin float64 // of twice the direction
}

func grow(n *network, random *rand.Rand) {
	g := &grower{network: n, random: random}
	for _, r := range n.roads {
		line := divide(n.line(r), 40)
		for i := 1; i < len(line); i++ {
			s, c := math.Sincos(2 * angle(line[i].Sub(line[i-1])))
			g.field = append(g.field, guide{between(line[i-1], line[i], 0.5), c, s})
		}
	}
	// The first round lays the streets; the next two fill what it left.
	for _, room := range [3]float64{0.72, 0.66, 0.58} {
		g.room = room
		g.queue = append(g.queue[:0], n.roads...)
		for len(g.queue) > 0 {
			r := g.queue[0]
			g.queue = g.queue[1:]
			if r.spacing > 0 {
				g.branchAlong(r)
			}
		}
	}
}

// direction is the run of the long streets at p.
func (g *grower) direction(p geo.XY, d *district) float64 {
	var c, s float64
	for _, q := range g.field {
		dx, dy := p.X-q.at.X, p.Y-q.at.Y
		w := dx*dx + dy*dy + 900
		w = 1 / (w * w)
		c += w * q.cos
		s += w * q.sin
	}
	a := math.Atan2(s, c)/2 + d.wander*noise(p)
	if d.across {
		a += math.Pi / 2
	}
	return a
}

// branchAlong tries side streets along both sides of a road.
func (g *grower) branchAlong(r *road) {
	total := lengthOf(g.line(r))
	for _, side := range [2]float64{1, -1} {
		s := r.spacing * (0.4 + 0.6*g.random.Float64())
		for s < total-20 {
			p, heading := geo.Polyline(g.line(r)).At(geo.Metres(s))
			along := math.Pi/2 - float64(heading)
			if g.branch(r, p, along, side) {
				d := districtAt(p)
				s += math.Max(r.spacing, math.Min(d.depth, d.length)) * (0.9 + 0.35*g.random.Float64())
			} else {
				s += 11
			}
		}
	}
}

// branch grows one street from p on road r to the side, if there is room.
func (g *grower) branch(r *road, p geo.XY, along, side float64) bool {
	out := along + side*math.Pi/2
	d := districtAt(p.Add(toward(out).Scale(30)))
	if d.name == countryside || closedLand(p.Add(toward(out).Scale(24))) {
		return false
	}
	start, ok := g.startOn(r, p, d)
	if !ok {
		return false
	}
	from := p
	if start.node >= 0 {
		from = g.nodes[start.node].at
	}
	line, end := g.trace(from, out, d, r)
	long := lengthOf(line)
	if end.piece < 0 && end.node < 0 {
		if long < leastClose || g.random.Float64() > d.closes {
			return false
		}
		line = shortened(line, 4)
	} else if long < leastStreet {
		return false
	}
	g.build(r, d, line, start, end)
	return true
}

// joint is where a street meets a road: a node that is there, or a piece to cut.
type joint struct {
	node  int
	piece int
	t     float64
}

// startOn finds the joint for a street at p on road r: a new junction if the
// others are far enough, else the T junction across the road if the district
// builds crossroads.
func (g *grower) startOn(r *road, p geo.XY, d *district) (joint, bool) {
	id, _, t := g.nearestPiece(p, 5, func(s *piece) bool { return s.road == r })
	if id < 0 {
		return joint{}, false
	}
	near, away := g.nearestJunction(p, clusterGap)
	if near < 0 {
		return joint{node: -1, piece: id, t: t}, true
	}
	if away < 9 && g.nodes[near].arms == 3 && g.random.Float64() < d.crosses && g.on(r, near) {
		return joint{node: near, piece: -1}, true
	}
	return joint{}, false
}

// trace walks a street from a road until it meets another, comes too near a
// parallel one, leaves its district or is long enough.
func (g *grower) trace(from geo.XY, heading float64, d *district, parent *road) ([]geo.XY, joint) {
	line := []geo.XY{from}
	p := from
	long := skew(heading, g.direction(from.Add(toward(heading).Scale(20)), d)) < math.Pi/4
	apart := d.length
	if long {
		apart = d.depth
	}
	none := joint{node: -1, piece: -1}
	for walked := 0.0; walked < d.longest; walked += traceStep {
		axis := g.direction(p, d)
		if !long {
			axis += math.Pi / 2
		}
		if math.Cos(axis-heading) < 0 {
			axis += math.Pi
		}
		if walked > 12 {
			most := d.straight * traceStep
			heading += math.Max(-most, math.Min(most, bend(heading, axis)))
		}
		next := p.Add(toward(heading).Scale(traceStep))
		if end, ok := g.meet(p, p.Add(toward(heading).Scale(traceStep+lookAhead)), parent, walked); ok {
			if end.piece < 0 && end.node < 0 {
				return line, none
			}
			at := g.jointAt(end)
			return append(line, at), end
		}
		if closedLand(next.Add(toward(heading).Scale(10))) || g.crowded(next, heading, apart*g.room, parent, walked) {
			return line, none
		}
		if e := districtAt(next); e != d && (e.name == countryside || walked > d.longest*0.6) {
			return line, none
		}
		line = append(line, next)
		p = next
	}
	return line, none
}

func (g *grower) jointAt(j joint) geo.XY {
	if j.node >= 0 {
		return g.nodes[j.node].at
	}
	s := g.pieces[j.piece]
	return between(g.nodes[s.a].at, g.nodes[s.b].at, j.t)
}

// meet looks for the first road between p and q. It answers ok with neither
// node nor piece where a road is met that can't be joined.
func (g *grower) meet(p, q geo.XY, parent *road, walked float64) (joint, bool) {
	none := joint{node: -1, piece: -1}
	best, at, u := 2.0, -1, 0.0
	g.near(between(p, q, 0.5), distance(p, q), func(id int, s *piece) {
		if walked < 24 && s.road == parent {
			return
		}
		if t, v, ok := crossing(p, q, g.nodes[s.a].at, g.nodes[s.b].at); ok && t < best && t > 1e-6 {
			best, at, u = t, id, v
		}
	})
	if at < 0 {
		return none, false
	}
	s := g.pieces[at]
	a, b := g.nodes[s.a].at, g.nodes[s.b].at
	hit := between(a, b, u)
	if s.road.spacing == 0 || s.road.bridge || skew(angle(q.Sub(p)), angle(b.Sub(a))) < 48*degree {
		return none, true
	}
	near, _ := g.nearestJunction(hit, clusterGap)
	switch {
	case near < 0:
		return joint{node: -1, piece: at, t: u}, true
	case g.nodes[near].arms <= 3 && g.on(s.road, near) && distance(p, g.nodes[near].at) > 20:
		return joint{node: near, piece: -1}, true
	}
	return none, true
}

// crowded says whether a road runs beside p nearer than apart.
func (g *grower) crowded(p geo.XY, heading, apart float64, parent *road, walked float64) bool {
	found := false
	g.near(p, apart, func(_ int, s *piece) {
		if found || (s.road == parent && walked < apart) {
			return
		}
		a, b := g.nodes[s.a].at, g.nodes[s.b].at
		away, _ := toSegment(p, a, b)
		if away < apart && skew(heading, angle(b.Sub(a))) < 38*degree || away < 13 {
			found = true
		}
	})
	return found
}

// build adds the street to the network and to the queue.
func (g *grower) build(parent *road, d *district, line []geo.XY, start, end joint) {
	tolerance := 0.35
	if d.straight < 0.004 {
		tolerance = 0.8
	}
	line = simplified(line, tolerance)
	r := &road{parent: parent, class: d.class, district: d, spacing: math.Min(d.depth, d.length) * 0.62, head: end.node < 0 && end.piece < 0}
	first := g.place(start)
	r.nodes = append(r.nodes, first)
	last := -1
	if !r.head {
		last = g.place(end)
	}
	inner := line[1:]
	if !r.head {
		inner = line[1 : len(line)-1]
	}
	for _, p := range inner {
		r.nodes = append(r.nodes, g.addNode(p))
	}
	if last >= 0 {
		r.nodes = append(r.nodes, last)
	}
	g.addRoad(r)
	g.queue = append(g.queue, r)
}

func (g *grower) place(j joint) int {
	if j.node >= 0 {
		return j.node
	}
	if s := g.pieces[j.piece]; s.gone {
		// The other end of the street has just cut this piece: look again.
		at := g.jointAt(j)
		id, _, t := g.nearestPiece(at, 2, func(q *piece) bool { return q.road == s.road })
		return g.cut(id, t)
	}
	return g.cut(j.piece, j.t)
}

// shortened takes metres off the end of a line.
func shortened(line []geo.XY, metres float64) []geo.XY {
	l := geo.Polyline(line)
	return l.Slice(0, l.Length()-geo.Metres(metres))
}
