package demotown

import (
	"math"
	"sort"

	"loopwright/internal/geo"
)

// circle is a roundabout to be built at a place of the plan.
type circle struct {
	at     geo.XY
	radius float64
	lanes  int
	name   string
}

var circles = []circle{
	{westRoundabout, 24, 1, "Wimmerleigh Roundabout"},
	{northWest, 26, 1, "Cuckmarsh Roundabout"},
	{northRoundabout, 34, 2, "Harrowmere Roundabout"},
	{northEast, 30, 1, "Lunderstow Roundabout"},
	{eastRoundabout, 24, 1, "Saxmoor Roundabout"},
	{outerNorthEast, 15, 1, ""},
	{innerNorthWest, 14, 1, ""},
	{hillTop, 14, 1, ""},
}

// splitDuals turns each dual road into two one-way carriageways 13 m apart,
// which come together at its ends. A side road joins the carriageway on its
// own side; the first one on each road also has a gap in the central
// reservation.
func (t *town) splitDuals() {
	const half, apart = 6.5, 42.0
	var roads []*road
	for _, r := range t.roads {
		if !r.dual {
			roads = append(roads, r)
			continue
		}
		line := t.line(r)
		left, right := offset(line, half), offset(line, -half)
		a, b := r.nodes[0], r.nodes[len(r.nodes)-1]
		forward, back := []int{a}, []int{a}
		gap := false
		for i := 1; i < len(line)-1; i++ {
			if distance(line[i], line[0]) < apart || distance(line[i], line[len(line)-1]) < apart {
				continue
			}
			side := r.nodes[i]
			joined := t.nodes[side].arms > 2
			near := t.addNode(left[i])
			forward = append(forward, near)
			if !joined {
				back = append(back, t.addNode(right[i]))
				continue
			}
			t.nodes[side].at = right[i]
			back = append(back, side)
			if !gap {
				gap = true
				roads = append(roads, &road{class: trunk, district: r.district, nodes: []int{side, near}})
			}
		}
		forward, back = append(forward, b), append(back, b)
		for i, j := 0, len(back)-1; i < j; i, j = i+1, j-1 {
			back[i], back[j] = back[j], back[i]
		}
		for _, nodes := range [2][]int{forward, back} {
			roads = append(roads, &road{name: r.name, class: r.class, district: r.district, nodes: nodes, oneWay: true, dual: true, tags: r.tags})
		}
	}
	t.roads = roads
	t.rebuild()
}

// buildRoundabouts puts a ring where each circle stands and ends the roads on it.
func (t *town) buildRoundabouts() {
	for _, c := range circles {
		centre := t.nodeAt(c.at)
		t.divideAt(centre)
		var ring []int
		for _, r := range t.roads {
			if r.nodes[0] == centre {
				r.nodes = t.trimmed(r.nodes, centre, c.radius)
				ring = append(ring, r.nodes[0])
			}
			if last := len(r.nodes) - 1; r.nodes[last] == centre {
				r.nodes = reversed(t.trimmed(reversed(r.nodes), centre, c.radius))
				ring = append(ring, r.nodes[len(r.nodes)-1])
			}
		}
		ring = t.closeRing(c, ring)
		r := &road{name: c.name, class: t.busiest(ring), district: districtAt(c.at), nodes: ring, oneWay: true, ring: true, tags: tags{}}
		if c.lanes > 1 {
			r.tags["lanes"] = "2"
		}
		t.roads = append(t.roads, r)
		t.rebuild()
	}
}

// nodeAt is the node of the plan at a position.
func (t *town) nodeAt(p geo.XY) int {
	for i := range t.nodes {
		if t.nodes[i].at == p {
			return i
		}
	}
	panic("bug in demotown: no node of the plan at this place")
}

// divideAt splits the roads that run through a node, so that they end there.
func (t *town) divideAt(id int) {
	for i := 0; i < len(t.roads); i++ {
		r := t.roads[i]
		for k := 1; k < len(r.nodes)-1; k++ {
			if r.nodes[k] == id {
				rest := *r
				rest.nodes = append([]int(nil), r.nodes[k:]...)
				r.nodes = r.nodes[: k+1 : k+1]
				r.head = false
				t.roads = append(t.roads, &rest)
				break
			}
		}
	}
}

// trimmed starts a road that begins at the centre at its circle instead.
func (t *town) trimmed(nodes []int, centre int, radius float64) []int {
	c := t.nodes[centre].at
	for i := 1; i < len(nodes); i++ {
		p, q := t.nodes[nodes[i-1]].at, t.nodes[nodes[i]].at
		if distance(q, c) <= radius+2 {
			continue
		}
		lo, hi := 0.0, 1.0
		for range 40 {
			if mid := (lo + hi) / 2; distance(between(p, q, mid), c) < radius {
				lo = mid
			} else {
				hi = mid
			}
		}
		return append([]int{t.addNode(between(p, q, hi))}, nodes[i:]...)
	}
	panic("bug in demotown: a road is shorter than the roundabout at its end")
}

// closeRing orders the arms clockwise, as traffic runs where it keeps left,
// and fills the circle between them.
func (t *town) closeRing(c circle, arms []int) []int {
	turn := func(id int) float64 { return angle(t.nodes[id].at.Sub(c.at)) }
	sort.Slice(arms, func(i, j int) bool { return turn(arms[i]) > turn(arms[j]) })
	var ring []int
	for i, id := range arms {
		ring = append(ring, id)
		from, to := turn(id), turn(arms[(i+1)%len(arms)])
		span := math.Mod(from-to+2*math.Pi, 2*math.Pi)
		steps := int(math.Ceil(span / (26 * degree)))
		for k := 1; k < steps; k++ {
			ring = append(ring, t.addNode(c.at.Add(toward(from-span*float64(k)/float64(steps)).Scale(c.radius))))
		}
	}
	return append(ring, ring[0])
}

// busiest is the weightiest class of the roads that end at the nodes.
func (t *town) busiest(ids []int) class {
	best := livingStreet
	for _, id := range ids {
		for _, r := range t.roads {
			if r.nodes[0] == id || r.nodes[len(r.nodes)-1] == id {
				best = min(best, r.class)
			}
		}
	}
	return best
}

func reversed(ids []int) []int {
	out := make([]int, len(ids))
	for i, id := range ids {
		out[len(ids)-1-i] = id
	}
	return out
}
