package extract

import (
	"cmp"
	"slices"
	"sync"

	"github.com/paulmach/orb"

	"loopwright/internal/country"
)

// atlas is where the wanted nodes are, as sightings come in.
type atlas struct {
	wanted       []NodeID // sorted
	onRoad       []bool   // by place among the wanted, as the next three
	lonE7, latE7 []int32
	seen         []bool
	facts        []Node
	settlements  []Settlement
	addresses    []Address
	sites        []Site
	gates        []Gate
	hull         hull
}

func newAtlas(g *gather) *atlas {
	g.joinAreas()
	wanted, onRoad := g.wanted()
	n := len(wanted)
	return &atlas{wanted: wanted, onRoad: onRoad, lonE7: make([]int32, n), latE7: make([]int32, n), seen: make([]bool, n)}
}

// add takes sightings; of a node that comes twice the first holds.
func (a *atlas) add(s *sightings, report *problems) {
	for _, p := range s.places {
		if a.seen[p.at] {
			report.add([]problem{{"(object)", "(comes twice)", ANode, int64(a.wanted[p.at])}})
			continue
		}
		a.lonE7[p.at], a.latE7[p.at], a.seen[p.at] = p.lonE7, p.latE7, true
	}
	a.facts = append(a.facts, s.facts...)
	a.settlements = append(a.settlements, s.settlements...)
	a.addresses = append(a.addresses, s.addresses...)
	a.sites = append(a.sites, s.sites...)
	a.gates = append(a.gates, s.gates...)
	a.hull.join(s.hull)
	report.add(s.problems)
	report.add(s.aside)
}

// find gives the place of a node that was seen.
func (a *atlas) find(id NodeID) (int, bool) {
	i, ok := slices.BinarySearch(a.wanted, id)
	return i, ok && a.seen[i]
}

// finish joins what the ways say with where the nodes are.
func finish(g *gather, a *atlas, p *country.Profile, e *Extract) {
	e.Report.Counts = g.counts
	var aside sync.WaitGroup
	var wide []problem
	aside.Go(func() { e.Nodes = a.roadNodes() })
	aside.Go(func() { wide = g.drawings.place(a, e) })
	slices.SortStableFunc(g.roads, func(x, y *draft) int { return cmp.Compare(x.ID, y.ID) })
	g.dropRepeats()
	cut(g, a, &e.Report)
	g.finishLimits(a, p)
	markBusRoutes(g)
	e.Roads = make([]*Road, len(g.roads))
	for i, r := range g.roads {
		e.Roads[i] = &r.Road
	}
	g.roads = nil
	slices.SortStableFunc(g.restrictions, func(x, y Restriction) int { return cmp.Compare(x.ID, y.ID) })
	e.Restrictions = settle(g.restrictions, e.Roads, &g.report)
	g.placeOutlines(a)
	e.Settlements, e.Addresses = a.settlements, a.addresses
	aside.Wait()
	g.report.add(wide)
	e.Report.Problems = g.report.list()
}

// dropRepeats keeps the first of roads with one id: a file that was joined
// from two holds some ways twice.
func (g *gather) dropRepeats() {
	out := g.roads[:0]
	for _, r := range g.roads {
		if n := len(out); n > 0 && out[n-1].ID == r.ID {
			g.report.add([]problem{{"(object)", "(comes twice)", AWay, int64(r.ID)}})
			continue
		}
		out = append(out, r)
	}
	g.roads = out
}

// cut drops repeated neighbours from the roads' node lists and cuts the roads
// where a node is not in the file, counting both.
func cut(g *gather, a *atlas, report *Report) {
	missing := 0
	for _, seen := range a.seen {
		if !seen {
			missing++
		}
	}
	var out []*draft
	for _, r := range g.roads {
		absent := int64(0)
		if missing > 0 {
			for _, id := range r.Nodes {
				if _, ok := a.find(id); !ok {
					absent++
				}
			}
		}
		if absent > 0 {
			report.MissingNodes += absent
			report.BrokenWays++
			out = append(out, r.runs(a)...)
			continue
		}
		if r.Nodes = slices.Compact(r.Nodes); len(r.Nodes) > 1 {
			out = append(out, r)
		}
	}
	g.roads = out
}

// runs are the unbroken parts of a road of two nodes or more.
func (r *draft) runs(a *atlas) (out []*draft) {
	start := 0
	for i := 0; i <= len(r.Nodes); i++ {
		if i < len(r.Nodes) {
			if _, ok := a.find(r.Nodes[i]); ok {
				continue
			}
		}
		if nodes := slices.Compact(slices.Clone(r.Nodes[start:i])); len(nodes) > 1 {
			part := *r
			part.Nodes, part.Part, part.FirstNode = nodes, len(out), start
			out = append(out, &part)
		}
		start = i + 1
	}
	return out
}

// finishLimits widens limits near a border that decides them.
func (g *gather) finishLimits(a *atlas, p *country.Profile) {
	var h hull
	for at := range a.wanted {
		if a.seen[at] {
			h.extend(a.lonE7[at], a.latE7[at])
		}
	}
	all := h.bound()
	if !slices.ContainsFunc(p.Defaults.Borders, func(b country.Border) bool {
		return all.Intersects(orb.Bound{Min: orb.Point{b.West, b.South}, Max: orb.Point{b.East, b.North}})
	}) {
		return
	}
	for _, r := range g.roads {
		if !r.borders[0] && !r.borders[1] {
			continue
		}
		at, _ := a.find(r.Nodes[0])
		where := orb.Point{float64(a.lonE7[at]) / 1e7, float64(a.latE7[at]) / 1e7}
		if r.borders[0] {
			r.LimitForward = acrossBorder(r.LimitForward, where, p)
		}
		if r.borders[1] {
			r.LimitBackward = acrossBorder(r.LimitBackward, where, p)
		}
	}
}

// markBusRoutes marks the roads that a bus route runs along.
func markBusRoutes(g *gather) {
	slices.Sort(g.busWays)
	ways := slices.Compact(g.busWays)
	for i := range g.roads {
		_, on := slices.BinarySearch(ways, g.roads[i].ID)
		g.roads[i].BusRoute = on
	}
}

// roadNodes gives the nodes of the roads that the file holds, by id, with
// their facts.
func (a *atlas) roadNodes() []Node {
	count := 0
	for at := range a.wanted {
		if a.onRoad[at] && a.seen[at] {
			count++
		}
	}
	slices.SortStableFunc(a.facts, func(x, y Node) int { return cmp.Compare(x.ID, y.ID) })
	facts := a.facts
	out := make([]Node, 0, count)
	for at, id := range a.wanted {
		if !a.onRoad[at] || !a.seen[at] {
			continue
		}
		n := Node{ID: id}
		for len(facts) > 0 && facts[0].ID < id {
			facts = facts[1:]
		}
		if len(facts) > 0 && facts[0].ID == id {
			n = facts[0]
		}
		n.LonE7, n.LatE7 = a.lonE7[at], a.latE7[at]
		out = append(out, n)
	}
	a.facts = nil
	return out
}

// placeOutlines puts settlements and addresses that are mapped as outlines at
// the middle of the box round their nodes.
func (g *gather) placeOutlines(a *atlas) {
	for _, o := range g.outlines {
		var h hull
		for _, id := range o.nodes {
			if at, ok := a.find(id); ok {
				h.extend(a.lonE7[at], a.latE7[at])
			}
		}
		if !h.any {
			continue
		}
		at := middle(h.west, h.south, h.east, h.north)
		if o.isPlace {
			o.settlement.At = at
			a.settlements = append(a.settlements, o.settlement)
		}
		if o.isAddress {
			o.address.At = at
			a.addresses = append(a.addresses, o.address)
		}
	}
	g.outlines = nil
}

// bound is the hull in degrees.
func (h hull) bound() orb.Bound {
	return orb.Bound{
		Min: orb.Point{float64(h.west) / 1e7, float64(h.south) / 1e7},
		Max: orb.Point{float64(h.east) / 1e7, float64(h.north) / 1e7},
	}
}
