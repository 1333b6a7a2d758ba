package extract

import (
	"slices"
	"sync"
	"time"

	"loopwright/internal/country"
)

// harvest is what the ways and relations of one block, or of a whole XML file,
// give: everything but positions.
type harvest struct {
	counts       Counts
	roads        []*draft
	outlines     []outline
	restrictions []Restriction
	busWays      []WayID // ways of bus routes
	drawings
	problems []problem
	newest   time.Time
}

// reap is what is done with each object, wherever it comes from.
type reap struct {
	profile *country.Profile
	object  object
}

// isPlaceKey: the key may make an address or a settlement.
func isPlaceKey(k key) bool {
	return k == keyAddrPostcode || k == keyAddrHousenumber || k == keyPlace
}

// way takes a way whose tags are in r.object.
func (r *reap) way(nodes []NodeID, h *harvest) {
	o := &r.object
	if class, link, ok := classOf(o.get(keyHighway)); ok && len(nodes) > 1 {
		h.roads = append(h.roads, o.road(class, link, nodes, r.profile))
	}
	out := outline{nodes: nodes}
	out.settlement, out.isPlace = o.settlement()
	out.address, out.isAddress = o.address()
	if len(nodes) == 0 {
		return
	}
	if out.isPlace || out.isAddress {
		h.outlines = append(h.outlines, out)
	}
	r.draw(nodes, &h.drawings)
}

// relation takes a relation whose tags are in r.object.
func (r *reap) relation(members []member, h *harvest) {
	o := &r.object
	switch {
	case o.is(keyType, "restriction"):
		h.restrictions = append(h.restrictions, o.restrictions(members)...)
	case o.is(keyType, "route") && (o.is(keyRoute, "bus") || o.is(keyRoute, "trolleybus")):
		for _, m := range members {
			if m.kind == AWay {
				h.busWays = append(h.busWays, WayID(m.id))
			}
		}
	case o.is(keyType, "multipolygon"):
		r.area(members, &h.drawings)
	}
}

// wayWanted says from the tags alone whether the nodes are asked for.
func (r *reap) wayWanted() bool {
	o := &r.object
	_, _, road := classOf(o.get(keyHighway))
	return road || slices.ContainsFunc(o.set, func(k key) bool { return isPlaceKey(k) || mayBeBeside(k) })
}

// relationWanted says from the tags alone whether the members are asked for.
func (r *reap) relationWanted() bool {
	o := &r.object
	return o.is(keyType, "restriction") || o.is(keyType, "route") && o.has(keyRoute) ||
		o.is(keyType, "multipolygon") && slices.ContainsFunc(o.set, mayBeBeside)
}

// gather joins harvests in the order of the file.
type gather struct {
	harvest
	report problems
}

func (g *gather) add(h *harvest) {
	g.counts.Nodes += h.counts.Nodes
	g.counts.Ways += h.counts.Ways
	g.counts.Relations += h.counts.Relations
	g.roads = append(g.roads, h.roads...)
	g.outlines = append(g.outlines, h.outlines...)
	g.restrictions = append(g.restrictions, h.restrictions...)
	g.busWays = append(g.busWays, h.busWays...)
	g.drawings.add(&h.drawings)
	g.report.add(h.problems)
	if h.newest.After(g.newest) {
		g.newest = h.newest
	}
}

// wanted are the nodes of all that is drawn, sorted; onRoad says by place
// which are of roads.
func (g *gather) wanted() (ids []NodeID, onRoad []bool) {
	var road, other []NodeID
	var sorted sync.WaitGroup
	sorted.Go(func() {
		road = sortIDs(joined(func(visit func([]NodeID)) {
			for _, r := range g.roads {
				visit(r.Nodes)
			}
		}))
	})
	other = sortIDs(joined(func(visit func([]NodeID)) {
		for i := range g.outlines {
			visit(g.outlines[i].nodes)
		}
		g.drawings.each(visit)
	}))
	sorted.Wait()
	ids = make([]NodeID, 0, len(road)+len(other))
	onRoad = make([]bool, 0, len(road)+len(other))
	for len(road) > 0 || len(other) > 0 {
		switch {
		case len(other) == 0 || len(road) > 0 && road[0] < other[0]:
			ids, onRoad, road = append(ids, road[0]), append(onRoad, true), road[1:]
		case len(road) == 0 || other[0] < road[0]:
			ids, onRoad, other = append(ids, other[0]), append(onRoad, false), other[1:]
		default:
			ids, onRoad, road, other = append(ids, road[0]), append(onRoad, true), road[1:], other[1:]
		}
	}
	return ids, onRoad
}

// joined are all the lists that each visits, in a row.
func joined(each func(visit func([]NodeID))) []NodeID {
	n := 0
	each(func(nodes []NodeID) { n += len(nodes) })
	out := make([]NodeID, 0, n)
	each(func(nodes []NodeID) { out = append(out, nodes...) })
	return out
}

// sightings are what one block, or a whole XML file, says of nodes.
type sightings struct {
	places      []sighting
	facts       []Node // wanted nodes with something on them
	settlements []Settlement
	addresses   []Address
	sites       []Site
	gates       []Gate
	problems    []problem // of nodes of roads
	aside       []problem // of what stands beside them
	hull        hull
}

// sighting is where a wanted node is.
type sighting struct {
	at           uint32 // its place among the wanted
	lonE7, latE7 int32
}

// node takes the tags of a node in r.object: facts where it is wanted, and a
// settlement, an address, a site or a gate wherever it is.
func (r *reap) node(lonE7, latE7 int32, wanted bool, s *sightings) {
	o := &r.object
	if wanted {
		if n := o.features(); n.Features != 0 {
			s.facts = append(s.facts, n)
		}
	}
	at := middle(lonE7, latE7, lonE7, latE7)
	if place, ok := o.settlement(); ok {
		place.At = at
		s.settlements = append(s.settlements, place)
	}
	if address, ok := o.address(); ok {
		address.At = at
		s.addresses = append(s.addresses, address)
	}
	o.problems = &s.aside
	where := E7{lonE7, latE7}
	for _, site := range o.sites() {
		site.Shape = Shape{where}
		s.sites = append(s.sites, site)
	}
	if gate, ok := o.gate(); ok {
		gate.At = where
		s.gates = append(s.gates, gate)
	}
}

// hull is the box round positions, in 10⁻⁷ degrees.
type hull struct {
	west, south, east, north int32
	any                      bool
}

func (h *hull) extend(lon, lat int32) {
	if !h.any {
		*h = hull{lon, lat, lon, lat, true}
		return
	}
	h.west, h.east = min(h.west, lon), max(h.east, lon)
	h.south, h.north = min(h.south, lat), max(h.north, lat)
}

func (h *hull) join(o hull) {
	if o.any {
		h.extend(o.west, o.south)
		h.extend(o.east, o.north)
	}
}
