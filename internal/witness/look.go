package witness

import (
	"math"
	"sort"

	"github.com/paulmach/osm"
)

// An arm is a road as it leaves a junction.
type arm struct {
	way   *osm.Way
	from  osm.NodeID
	to    osm.NodeID // the next node of the way
	enter bool       // a learner's car may drive in
	turn  float64    // degrees from straight on, positive to the right
	ahead float64    // metres beyond where the car comes to the junction
	rank  int        // of the road: lower is more of a main road
}

// crossing is a junction as the driver who comes to it sees it.
type crossing struct {
	nodes  map[osm.NodeID]bool
	arms   []arm // from the sharpest left to the sharpest right
	shut   []arm // those that only traffic the other way comes by: halves of a road of arms
	ring   bool  // a roundabout
	mini   bool
	lights bool
}

// roads are the ways that a learner would call a road; the number orders them.
var roads = map[string]int{
	"motorway": 1, "trunk": 2, "primary": 3, "secondary": 4, "tertiary": 5, "unclassified": 6, "residential": 6, "road": 6, "living_street": 7,
	"motorway_link": 1, "trunk_link": 2, "primary_link": 3, "secondary_link": 4, "tertiary_link": 5,
}

// isRoad says whether a way counts as a road: neither a drive, nor a service road
// without a name, nor a private road.
func (w *Witness) isRoad(way *osm.Way) bool {
	h := way.Tags.Find("highway")
	lane := h == "service" && way.Tags.Find("name") != "" && way.Tags.Find("service") == ""
	if roads[h] == 0 && !lane {
		return false
	}
	switch access(way.Tags, "forward") {
	case "private", "no", "residents", "customers", "permit", "delivery", "agricultural", "forestry":
		return false
	}
	return true
}

// rankOf orders roads; a named service road is the least of them.
func rankOf(way *osm.Way) int {
	if r := roads[way.Tags.Find("highway")]; r != 0 {
		return r
	}
	return 8
}

// edge is one way between two of its neighbouring nodes.
type edge struct {
	way     *osm.Way
	to      osm.NodeID
	forward bool
}

// beside are the edges at a node, of drivable highways of any kind.
func (w *Witness) beside(v osm.NodeID) []edge {
	if w.at == nil {
		w.at = map[osm.NodeID][]edge{}
		var ids []osm.WayID
		for id := range w.ways {
			ids = append(ids, id)
		}
		sort.Slice(ids, func(i, j int) bool { return ids[i] < ids[j] })
		for _, id := range ids {
			way := w.ways[id]
			if h := way.Tags.Find("highway"); roads[h] == 0 && h != "service" {
				continue
			}
			for i := 1; i < len(way.Nodes); i++ {
				a, b := way.Nodes[i-1].ID, way.Nodes[i].ID
				if w.nodes[a] == nil || w.nodes[b] == nil || a == b {
					continue
				}
				w.at[a] = append(w.at[a], edge{way, b, true})
				w.at[b] = append(w.at[b], edge{way, a, false})
			}
		}
	}
	return w.at[v]
}

// roadsAt are the edges of roads at a node.
func (w *Witness) roadsAt(v osm.NodeID) []edge {
	var out []edge
	for _, e := range w.beside(v) {
		if w.isRoad(e.way) && !w.spur(v, e) {
			out = append(out, e)
		}
	}
	return out
}

// exitsAt are the edges at a node of a ring that look like an exit: roads, and
// service roads that are no private drives.
func (w *Witness) exitsAt(v osm.NodeID) []edge {
	out := w.roadsAt(v)
	for _, e := range w.beside(v) {
		service := e.way.Tags.Find("service")
		if e.way.Tags.Find("highway") == "service" && !w.isRoad(e.way) && service != "driveway" && shut(e.way, e.forward) == "" {
			out = append(out, e)
		}
	}
	return out
}

// spur says whether a way without a name ends within 25 m of a node: a stub that
// nobody would call a road.
func (w *Witness) spur(v osm.NodeID, e edge) bool {
	if e.way.Tags.Find("name") != "" || e.way.Tags.Find("ref") != "" {
		return false
	}
	before, at, gone := v, e.to, w.metres(v, e.to)
	for gone < 25 {
		on := w.beside(at)
		if len(on) == 1 {
			return true
		}
		if len(on) != 2 {
			return false
		}
		next := on[0].to
		if next == before {
			next = on[1].to
		}
		gone += w.metres(at, next)
		before, at = at, next
	}
	return false
}

func isRing(way *osm.Way) bool {
	j := way.Tags.Find("junction")
	return j == "roundabout" || j == "circular"
}

func oneWay(way *osm.Way) bool { return (shut(way, true) == "") != (shut(way, false) == "") }

// metres is the distance between two nodes, on a sphere of 6371 km, flat about
// their middle.
func (w *Witness) metres(a, b osm.NodeID) float64 {
	x, y := w.east(a, b)
	return math.Hypot(x, y)
}

// east is where b lies from a, in metres east and north.
func (w *Witness) east(a, b osm.NodeID) (x, y float64) {
	p, q := w.nodes[a], w.nodes[b]
	const degree = 6371000 * math.Pi / 180
	return (q.Lon - p.Lon) * degree * math.Cos((p.Lat+q.Lat)/2*math.Pi/180), (q.Lat - p.Lat) * degree
}

// far is the way a road lies from its mouth: from the node to what one sees
// 20 m along it, following it over bends but past no junction.
func (w *Witness) far(v osm.NodeID, e edge) (x, y float64) {
	at, next, gone := v, e, 0.0
	for range 50 {
		step := w.metres(at, next.to)
		if gone+step >= 20 {
			ax, ay := w.east(v, at)
			sx, sy := w.east(at, next.to)
			share := (20 - gone) / step
			return ax + share*sx, ay + share*sy
		}
		gone += step
		before := at
		at = next.to
		on := w.roadsAt(at)
		if len(on) != 2 {
			break
		}
		if next = on[0]; next.to == before {
			next = on[1]
		}
	}
	return w.east(v, at)
}

func bearing(x, y float64) float64 { return math.Atan2(x, y) * 180 / math.Pi }

// turned is an angle in (-180, 180].
func turned(a float64) float64 {
	for a > 180 {
		a -= 360
	}
	for a <= -180 {
		a += 360
	}
	return a
}

// junction is what a driver sees who comes from one node to the next; nil where
// nothing but their own road is there.
func (w *Witness) junction(from, v osm.NodeID) *crossing {
	c := &crossing{nodes: map[osm.NodeID]bool{v: true}}
	n := w.nodes[v]
	c.mini = n.Tags.Find("highway") == "mini_roundabout"
	if len(w.roadsAt(v)) < 3 && !c.mini {
		return nil
	}
	for _, e := range w.beside(v) {
		c.ring = c.ring || isRing(e.way)
	}
	w.gather(c, v, from)
	if !c.mini && !c.ring {
		for u := range c.nodes {
			c.mini = c.mini || w.nodes[u].Tags.Find("highway") == "mini_roundabout"
		}
	}
	c.lights = w.hasLights(c, from)
	bx, by := w.far(v, w.edgeTo(v, from))
	facing := turned(bearing(bx, by) + 180)
	if c.ring {
		facing = w.ringFacing(c, from, v)
	}
	fx, fy := math.Sin(facing*math.Pi/180), math.Cos(facing*math.Pi/180)
	var order []osm.NodeID
	for u := range c.nodes {
		order = append(order, u)
	}
	sort.Slice(order, func(i, j int) bool { return order[i] < order[j] })
	for _, u := range order {
		edges := w.roadsAt(u)
		if c.ring { // on a circle whatever one can turn into looks like an exit
			edges = w.exitsAt(u)
		}
		for _, e := range edges {
			if c.nodes[e.to] || e.to == from && u == v {
				continue
			}
			x, y := w.far(u, e)
			lies := bearing(x, y)
			if c.ring {
				lies = w.fromMiddle(c, u, e)
			}
			ux, uy := w.east(v, u)
			c.arms = append(c.arms, arm{
				way: e.way, from: u, to: e.to, enter: shut(e.way, e.forward) == "", turn: turned(lies - facing),
				ahead: ux*fx + uy*fy, rank: rankOf(e.way),
			})
		}
	}
	w.dropHalves(c, from, v)
	sort.SliceStable(c.arms, func(i, j int) bool { return c.arms[i].turn < c.arms[j].turn })
	return c
}

func (w *Witness) edgeTo(v, to osm.NodeID) edge {
	for _, e := range w.beside(v) {
		if e.to == to {
			return e
		}
	}
	return edge{to: to}
}

// gather adds the nodes that are one junction with v to a driver's eye: of a
// roundabout its ring, else those a few metres off, or across the middle of a
// road in two halves.
func (w *Witness) gather(c *crossing, v, from osm.NodeID) {
	queue := []osm.NodeID{v}
	for len(queue) > 0 {
		u := queue[0]
		queue = queue[1:]
		for _, e := range w.roadsAt(u) {
			if c.nodes[e.to] || e.to == from && u == v || !c.ring && len(w.roadsAt(e.to)) < 3 {
				continue
			}
			length := w.metres(u, e.to)
			same := length < 12 || length < 40 && w.halvesAt(u) && w.halvesAt(e.to) && !w.half(e.way)
			if c.ring {
				same = isRing(e.way)
			}
			if same {
				c.nodes[e.to] = true
				queue = append(queue, e.to)
			}
		}
	}
}

// half says whether a way is one direction of a road in two.
func (w *Witness) half(way *osm.Way) bool {
	return oneWay(way) && !isRing(way)
}

// halvesAt says whether a one-way road goes through a node.
func (w *Witness) halvesAt(v osm.NodeID) bool {
	count := 0
	for _, e := range w.roadsAt(v) {
		if w.half(e.way) {
			count++
		}
	}
	return count >= 2
}

// hasLights says whether the driver meets traffic lights at the junction or
// just before it.
func (w *Witness) hasLights(c *crossing, from osm.NodeID) bool {
	for u := range c.nodes {
		if w.nodes[u].Tags.Find("highway") == "traffic_signals" {
			return true
		}
		for _, e := range w.roadsAt(u) {
			at, next, gone := u, e, 0.0
			for range 8 {
				gone += w.metres(at, next.to)
				if gone > 40 {
					break
				}
				if n := w.nodes[next.to]; n.Tags.Find("highway") == "traffic_signals" && n.Tags.Find("crossing") == "" {
					return true
				}
				before := at
				at = next.to
				on := w.roadsAt(at)
				if len(on) != 2 {
					break
				}
				if next = on[0]; next.to == before {
					next = on[1]
				}
			}
		}
	}
	return false
}

// dropHalves leaves one of each two halves of a road, the one that can be
// driven into, and none of those that the car's own road comes back by.
func (w *Witness) dropHalves(c *crossing, from, v osm.NodeID) {
	own := w.edgeTo(v, from)
	kept := c.arms[:0:0]
	for i, a := range c.arms {
		drop := false
		if own.way != nil && w.half(a.way) && math.Abs(a.turn) > 110 && w.sameRoadBack(v, own, a) {
			drop = true
		}
		for j, b := range c.arms {
			if i == j || a.enter || !b.enter || !w.half(a.way) || !w.half(b.way) {
				continue
			}
			if sameName(a.way, b.way) && math.Abs(turned(a.turn-b.turn)) < 60 {
				drop = true
			}
		}
		if drop || !a.enter && w.islandSide(a) {
			c.shut = append(c.shut, a)
		} else {
			kept = append(kept, a)
		}
	}
	c.arms = kept
}

// sameRoadBack says whether an arm is the half by which the car's own road comes
// back: it is called the same, or where neither is called anything, both end in
// one place.
func (w *Witness) sameRoadBack(v osm.NodeID, own edge, a arm) bool {
	if !sameName(own.way, a.way) {
		return false
	}
	if own.way.Tags.Find("name") != "" || own.way.Tags.Find("ref") != "" {
		return true
	}
	end, ok := w.shortEnd(v, own)
	back, okBack := w.shortEnd(a.from, edge{way: a.way, to: a.to})
	return ok && okBack && end == back
}

// islandSide says whether a road that can't be entered is the way out beside an
// island, whose way in is within 60 m.
func (w *Witness) islandSide(a arm) bool {
	if !w.half(a.way) {
		return false
	}
	end, ok := w.shortEnd(a.from, edge{way: a.way, to: a.to})
	if !ok {
		return false
	}
	for _, e := range w.roadsAt(end) {
		if !w.half(e.way) || shut(e.way, !e.forward) != "" {
			continue
		}
		if other, ok := w.shortEnd(end, e); ok && other != a.from && w.metres(other, a.from) < 60 {
			return true
		}
	}
	return false
}

// shortEnd is the junction at the end of a road of less than 60 m.
func (w *Witness) shortEnd(v osm.NodeID, e edge) (osm.NodeID, bool) {
	before, at, gone := v, e.to, w.metres(v, e.to)
	for gone < 60 {
		on := w.roadsAt(at)
		if len(on) != 2 {
			return at, true
		}
		next := on[0].to
		if next == before {
			next = on[1].to
		}
		gone += w.metres(at, next)
		before, at = at, next
	}
	return at, false
}

func sameName(a, b *osm.Way) bool {
	if a.Tags.Find("name") == "" && b.Tags.Find("name") == "" {
		return a.Tags.Find("ref") == b.Tags.Find("ref")
	}
	return a.Tags.Find("name") == b.Tags.Find("name")
}

// middle is the middle of a ring's nodes, as seen from one of them.
func (w *Witness) middle(c *crossing, v osm.NodeID) (x, y float64) {
	minX, minY, maxX, maxY := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for u := range c.nodes {
		ux, uy := w.east(v, u)
		minX, maxX, minY, maxY = math.Min(minX, ux), math.Max(maxX, ux), math.Min(minY, uy), math.Max(maxY, uy)
	}
	return (minX + maxX) / 2, (minY + maxY) / 2
}

// ringFacing is the way from where the car comes to the middle of a ring.
func (w *Witness) ringFacing(c *crossing, from, v osm.NodeID) float64 {
	mx, my := w.middle(c, v)
	bx, by := w.far(v, w.edgeTo(v, from))
	return bearing(mx-bx, my-by)
}

// fromMiddle is the way a road lies from the middle of a ring.
func (w *Witness) fromMiddle(c *crossing, u osm.NodeID, e edge) float64 {
	mx, my := w.middle(c, u)
	x, y := w.far(u, e)
	return bearing(x-mx, y-my)
}
