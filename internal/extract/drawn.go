package extract

import "slices"

// drawn is something with the nodes that it was drawn through.
type drawn[T any] struct {
	what  T
	nodes []NodeID
}

// drawings are what the ways and areas of an extract are beside the roads.
type drawings struct {
	sites     []drawn[Site]
	buildings []drawn[Building]
	walls     []drawn[Wall]
	areas     []area
	spare     []spare
}

// area is a multipolygon whose rings are still in pieces.
type area struct {
	object   ObjectID
	sites    []Site
	building []Building // none or one
	outer    []WayID
}

// spare is a way without tags: it may be a piece of an area's ring.
type spare struct {
	id    WayID
	nodes []NodeID
}

// draw takes what a way in r.object is beside the roads.
func (r *reap) draw(nodes []NodeID, d *drawings) {
	o := &r.object
	for _, s := range o.sites() {
		d.sites = append(d.sites, drawn[Site]{s, nodes})
	}
	if b, ok := o.building(); ok {
		d.buildings = append(d.buildings, drawn[Building]{b, nodes})
	}
	if w, ok := o.wall(); ok {
		d.walls = append(d.walls, drawn[Wall]{w, nodes})
	}
}

// area takes a multipolygon in r.object. Its holes are passed over: what lies
// in a courtyard is as near as the building.
func (r *reap) area(members []member, d *drawings) {
	o := &r.object
	a := area{object: ObjectID{ARelation, o.id}, sites: o.sites()}
	if b, ok := o.building(); ok {
		a.building = []Building{b}
	}
	if len(a.sites)+len(a.building) == 0 {
		return
	}
	for _, m := range members {
		if m.kind == AWay && m.role != "inner" {
			a.outer = append(a.outer, WayID(m.id))
		}
	}
	d.areas = append(d.areas, a)
}

func (d *drawings) add(e *drawings) {
	d.sites = append(d.sites, e.sites...)
	d.buildings = append(d.buildings, e.buildings...)
	d.walls = append(d.walls, e.walls...)
	d.areas = append(d.areas, e.areas...)
	d.spare = append(d.spare, e.spare...)
}

// each visits every list of nodes.
func (d *drawings) each(visit func([]NodeID)) {
	for i := range d.sites {
		visit(d.sites[i].nodes)
	}
	for i := range d.buildings {
		visit(d.buildings[i].nodes)
	}
	for i := range d.walls {
		visit(d.walls[i].nodes)
	}
}

// joinAreas joins the pieces of the areas' rings. A piece that is neither a
// way without tags nor read for another reason is missing, and the ring closed
// straight across.
func (g *gather) joinAreas() {
	pieces := map[WayID][]NodeID{}
	for _, a := range g.areas {
		for _, id := range a.outer {
			pieces[id] = nil
		}
	}
	if len(pieces) == 0 {
		return
	}
	offer := func(id WayID, nodes []NodeID) {
		if had, asked := pieces[id]; asked && had == nil && len(nodes) > 1 {
			pieces[id] = nodes
		}
	}
	for _, s := range g.spare {
		offer(s.id, s.nodes)
	}
	for _, r := range g.roads {
		offer(r.ID, r.Nodes)
	}
	for _, s := range g.sites {
		offer(WayID(s.what.Object.ID), s.nodes)
	}
	for _, b := range g.buildings {
		offer(WayID(b.what.Object.ID), b.nodes)
	}
	for _, w := range g.walls {
		offer(WayID(w.what.Object.ID), w.nodes)
	}
	for _, a := range g.areas {
		var parts [][]NodeID
		taken := map[WayID]bool{}
		for _, id := range a.outer {
			if nodes := pieces[id]; nodes != nil && !taken[id] {
				taken[id] = true
				parts = append(parts, nodes)
			}
		}
		for _, ring := range joinRings(parts) {
			for _, s := range a.sites {
				g.sites = append(g.sites, drawn[Site]{s, ring})
			}
			for _, b := range a.building {
				g.buildings = append(g.buildings, drawn[Building]{b, ring})
			}
		}
	}
	g.areas, g.spare = nil, nil
}

// joinRings joins lines end to end, each with the first that fits, until
// nothing does.
func joinRings(parts [][]NodeID) (rings [][]NodeID) {
	at := map[NodeID][]int{} // parts by their ends
	for i, p := range parts {
		at[p[0]] = append(at[p[0]], i)
		at[p[len(p)-1]] = append(at[p[len(p)-1]], i)
	}
	used := make([]bool, len(parts))
	next := func(end NodeID) (int, bool) {
		for len(at[end]) > 0 {
			i := at[end][0]
			at[end] = at[end][1:]
			if !used[i] {
				return i, true
			}
		}
		return 0, false
	}
	for i, p := range parts {
		if used[i] {
			continue
		}
		used[i] = true
		ring := slices.Clone(p)
		for ring[0] != ring[len(ring)-1] {
			end := ring[len(ring)-1]
			j, ok := next(end)
			if !ok {
				break
			}
			used[j] = true
			more := parts[j]
			if more[0] != end {
				more = slices.Clone(more)
				slices.Reverse(more)
			}
			ring = append(ring, more[1:]...)
		}
		rings = append(rings, ring)
	}
	return rings
}

// widestBuilding is wider than any building: our choice.
const widestBuilding = 1500.0 // metres

// place gives what is drawn its shape, but for buildings that are too wide.
func (d *drawings) place(a *atlas, e *Extract) (wide []problem) {
	count := 0
	d.each(func(nodes []NodeID) { count += len(nodes) + 1 })
	p := placer{atlas: a, seek: seeker{ids: a.wanted}, room: make([]E7, 0, count)}
	e.Sites = a.sites
	for _, s := range d.sites {
		if s.what.Shape = p.shape(s.nodes); s.what.Shape != nil {
			e.Sites = append(e.Sites, s.what)
		}
	}
	for _, b := range d.buildings {
		b.what.Shape = p.shape(b.nodes).closed()
		switch {
		case len(b.what.Shape) < 4:
		case b.what.Shape.width() > widestBuilding:
			wide = append(wide, problem{"building", "(wider than 1.5 km)", b.what.Object.Kind, b.what.Object.ID})
		default:
			e.Buildings = append(e.Buildings, b.what)
		}
	}
	for _, w := range d.walls {
		if w.what.Shape = p.shape(w.nodes); len(w.what.Shape) > 1 {
			e.Walls = append(e.Walls, w.what)
		}
	}
	e.Gates = a.gates
	*d = drawings{}
	return wide
}

// placer finds the positions of nodes, one list after the other in one piece
// of memory.
type placer struct {
	*atlas
	seek seeker
	room []E7
}

// shape gives the positions of the nodes that the file holds, nil if of none;
// repeated neighbours once.
func (p *placer) shape(nodes []NodeID) Shape {
	from := len(p.room)
	for _, id := range nodes {
		at, ok := p.seek.find(id)
		if !ok || !p.seen[at] {
			continue
		}
		e := E7{p.lonE7[at], p.latE7[at]}
		if n := len(p.room); n > from && p.room[n-1] == e {
			continue
		}
		p.room = append(p.room, e)
	}
	if len(p.room) == from {
		return nil
	}
	p.room = append(p.room, E7{}) // for closed
	return p.room[from : len(p.room)-1 : len(p.room)]
}

// closed is a ring: one that lacks its last part is closed straight across.
func (s Shape) closed() Shape {
	if len(s) > 2 && s[0] != s[len(s)-1] {
		return append(s, s[0])
	}
	return s
}

// Box is the box round a shape: its south-western and north-eastern corners.
func (s Shape) Box() (low, high E7) {
	low, high = s[0], s[0]
	for _, p := range s[1:] {
		low.Lon, low.Lat = min(low.Lon, p.Lon), min(low.Lat, p.Lat)
		high.Lon, high.Lat = max(high.Lon, p.Lon), max(high.Lat, p.Lat)
	}
	return low, high
}

// width is the greater side of the box, in metres along a meridian: more than
// it truly is from west to east.
func (s Shape) width() float64 {
	const metresPerE7 = 0.0111
	low, high := s.Box()
	return metresPerE7 * float64(max(int64(high.Lon)-int64(low.Lon), int64(high.Lat)-int64(low.Lat)))
}
