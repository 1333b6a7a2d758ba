package laying

import (
	"cmp"
	"math"
	"slices"

	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
)

// How far from a road things stand that belong to it. Our choices: a bus stop
// is drawn at the footway's edge; a shop, a school or a car park has a
// forecourt at most.
const (
	stopBeside = 20.0 // metres
	siteBeside = 60.0
	overRoad   = 12.0 // of a bridge's line, of which a point every 20 m is looked at
	gateBeside = 15.0 // of a gate from its school's outline
)

// onRoad is how near to a road's line a stop stands that was drawn on it.
const onRoad = 1.0 // metres

// takeBeside stores what stands beside the roads.
func (s *site) takeBeside() {
	b := s.layBed()
	s.takeSites(b)
	s.takeCarParks(b)
	s.takeStops()
	s.takeHomes(b)
	s.takeBuildings(b)
	s.takeWalls(b)
	s.takeCompleteness()
}

// takeSites stores the sites in the order of their tree, each with the road
// that it stands beside.
func (s *site) takeSites(b *bed) {
	c, sites := &s.c, s.x.Sites
	boxes := make([]roadnet.Box, len(sites))
	feet, found := make([]foot, len(sites)), make([]bool, len(sites))
	bus := s.busStretches()
	parallel(s.workers, len(sites), func(lo, hi int) {
		for i := lo; i < hi; i++ {
			boxes[i] = boxOf(sites[i].Shape)
			feet[i], found[i] = besideOf(b, &sites[i], bus)
		}
	})
	order := roadnet.TreeOrder(boxes)
	n := len(sites)
	c.SiteKinds, c.SiteObject, c.SiteName = make([]extract.SiteKind, n), make([]int64, n), make([]roadnet.NameID, n)
	c.SiteStretch, c.SiteAlongMm, c.SiteSide = make([]uint32, n), make([]uint32, n), make([]roadnet.Side, n)
	c.SiteShapeStart = make([]uint32, 1, n+1)
	leaves := make([]roadnet.Box, n)
	for i, at := range order {
		site := &sites[at]
		leaves[i] = boxes[at]
		c.SiteKinds[i], c.SiteObject[i], c.SiteName[i] = site.Kind, site.Object.ID<<2|int64(site.Object.Kind), s.names.id(site.Name)
		c.SiteStretch[i] = none
		if f := feet[at]; found[at] {
			c.SiteStretch[i], c.SiteAlongMm[i], c.SiteSide[i] = uint32(f.stretch), s.alongMm(f), f.side()
			if f.away < onRoad {
				c.SiteSide[i] = roadnet.SideUnknown
			}
		}
		for _, p := range site.Shape {
			c.SiteLonE7, c.SiteLatE7 = append(c.SiteLonE7, p.Lon), append(c.SiteLatE7, p.Lat)
		}
		c.SiteShapeStart = append(c.SiteShapeStart, uint32(len(c.SiteLonE7)))
	}
	c.SiteBoxes = roadnet.PackTree(leaves)
	s.takeGates()
}

func boxOf(shape extract.Shape) roadnet.Box {
	low, high := shape.Box()
	return roadnet.Box{West: low.Lon, South: low.Lat, East: high.Lon, North: high.Lat}
}

// busStretches says on which stretches a bus route runs.
func (s *site) busStretches() []bool {
	c := &s.c
	on := make([]bool, len(c.StretchTail))
	for t := range on {
		for p := c.PieceStart[t]; p < c.PieceStart[t+1]; p++ {
			on[t] = on[t] || c.AttributeRows[c.PieceAttributes[p]].Flags&roadnet.BusRoute != 0
		}
	}
	return on
}

// noRoute is how many metres farther a road without a bus route counts from a
// bus stop: our choice, so that a stop at a corner belongs to the road that its
// bus runs along.
const noRoute = 8.0

// besideReach is how far a kind of site stands from its road; 0 for one that
// stands beside none in particular.
func besideReach(kind extract.SiteKind) float64 {
	switch kind {
	case extract.SiteBusStop, extract.SitePostBox:
		return stopBeside
	case extract.SiteRailBridge:
		return overRoad
	case extract.SiteCarPark: // beside where it is entered
		return roadsideNear
	case extract.SiteHousing, extract.SitePark, extract.SiteBay: // a bay is beside an aisle
		return 0
	}
	return siteBeside
}

// besideOf finds the road that a site stands beside: the nearest to any point
// of its outline.
func besideOf(b *bed, site *extract.Site, bus []bool) (best foot, ok bool) {
	within := besideReach(site.Kind)
	if within == 0 || site.Kind == extract.SiteCarPark {
		return best, false
	}
	var cost func(roadnet.StretchID) float64
	if site.Kind == extract.SiteBusStop {
		cost = func(t roadnet.StretchID) float64 {
			if bus[t] {
				return 0
			}
			return noRoute
		}
	}
	return b.nearestOf(site.Shape, within, cost)
}

// nearestOf is the nearest point of a road to any point of a shape.
func (b *bed) nearestOf(shape extract.Shape, within float64, cost func(roadnet.StretchID) float64) (best foot, ok bool) {
	eachPoint(shape, 20, func(p extract.E7) {
		if f, near := b.nearest(p, within, cost); near && (!ok || f.away < best.away) {
			best, ok = f, true
			if cost == nil {
				within = f.away
			}
		}
	})
	return best, ok
}

// mostPoints bounds the points at which one shape is looked at.
const mostPoints = 2000

// eachPoint visits the corners of a shape and points between them, at most so
// many metres apart.
func eachPoint(shape extract.Shape, metres float64, visit func(extract.E7)) {
	visit(shape[0])
	seen := 1
	for i := 1; i < len(shape); i++ {
		a, b := shape[i-1], shape[i]
		x, y := flatAt(a).to(b.Lon, b.Lat)
		steps := int64(math.Ceil(math.Hypot(x, y)/metres)) + 1
		for k := int64(1); k <= steps && seen < mostPoints; k++ {
			visit(extract.E7{Lon: a.Lon + int32((int64(b.Lon)-int64(a.Lon))*k/steps), Lat: a.Lat + int32((int64(b.Lat)-int64(a.Lat))*k/steps)})
			seen++
		}
	}
}

// takeGates stores the entrances that lie on or near a school's outline.
func (s *site) takeGates() {
	c := &s.c
	g := s.newGrid(gateBeside)
	at := map[cell][]extract.E7{}
	for _, gate := range s.x.Gates {
		if k := g.cell(gate.At.Lon, gate.At.Lat); !gate.Bar {
			at[k] = append(at[k], gate.At)
		}
	}
	c.GateStart = make([]uint32, 1, len(c.SiteKinds)+1)
	for i, kind := range c.SiteKinds {
		if lo, hi := c.SiteShapeStart[i], c.SiteShapeStart[i+1]; (kind == extract.SiteSchool || kind == extract.SiteNursery) && hi-lo > 1 {
			var near []extract.E7
			shape := make(extract.Shape, 0, hi-lo)
			for v := lo; v < hi; v++ {
				shape = append(shape, extract.E7{Lon: c.SiteLonE7[v], Lat: c.SiteLatE7[v]})
			}
			eachPoint(shape, gateBeside, func(p extract.E7) {
				plane := flatAt(p)
				g.cell(p.Lon, p.Lat).around(func(k cell) {
					for _, gate := range at[k] {
						if x, y := plane.to(gate.Lon, gate.Lat); math.Hypot(x, y) <= gateBeside {
							near = append(near, gate)
						}
					}
				})
			})
			slices.SortFunc(near, func(a, b extract.E7) int { return cmp.Or(cmp.Compare(a.Lon, b.Lon), cmp.Compare(a.Lat, b.Lat)) })
			for _, gate := range slices.Compact(near) {
				c.GateLonE7, c.GateLatE7 = append(c.GateLonE7, gate.Lon), append(c.GateLatE7, gate.Lat)
			}
		}
		c.GateStart = append(c.GateStart, uint32(len(c.GateLonE7)))
	}
}

// sameStop is how near two mapped stops are one, where one was drawn on the
// road and the other beside it, or both on one side. Our choice: shorter than
// two buses.
const sameStop = 20e3 // millimetres

// stop is a bus stop on the stretch that it serves.
type stop struct {
	stretch roadnet.StretchID
	alongMm uint32
	side    roadnet.Side
	name    roadnet.NameID
}

// takeStops stores the bus stops along each stretch: those that stand beside
// it, and of those drawn on it the ones that have none beside. One at a node of
// the network belongs to the stretch with the least number there.
func (s *site) takeStops() {
	c := &s.c
	var stops []stop
	for i, kind := range c.SiteKinds {
		if kind == extract.SiteBusStop && c.SiteStretch[i] != none {
			stops = append(stops, stop{roadnet.StretchID(c.SiteStretch[i]), c.SiteAlongMm[i], c.SiteSide[i], c.SiteName[i]})
		}
	}
	for t := range c.StretchTail {
		for k := c.ThingStart[t]; k < c.ThingStart[t+1]; k++ {
			if c.ThingFeatures[k]&extract.BusStop != 0 {
				stops = append(stops, stop{roadnet.StretchID(t), c.ThingAlongMm[k], roadnet.SideUnknown, 0})
			}
		}
	}
	for v, features := range c.NodeFeatures {
		if seat := s.seat[s.nodeOf[v]]; features&extract.BusStop != 0 && seat.stretch != none {
			stops = append(stops, stop{seat.stretch, s.vertexAlongMm[seat.vertex], roadnet.SideUnknown, 0})
		}
	}
	// Sides that are known come first, so that they are kept.
	slices.SortFunc(stops, func(a, b stop) int {
		return cmp.Or(cmp.Compare(a.stretch, b.stretch), -cmp.Compare(min(a.side, 1), min(b.side, 1)), cmp.Compare(a.alongMm, b.alongMm),
			cmp.Compare(a.side, b.side), -cmp.Compare(a.name, b.name))
	})
	kept := stops[:0]
	first := 0 // of this stretch
	for _, p := range stops {
		if first < len(kept) && kept[first].stretch != p.stretch {
			first = len(kept)
		}
		if !slices.ContainsFunc(kept[first:], func(k stop) bool {
			return (k.side == p.side || p.side == roadnet.SideUnknown) && math.Abs(float64(k.alongMm)-float64(p.alongMm)) <= sameStop
		}) {
			kept = append(kept, p)
		}
	}
	slices.SortStableFunc(kept, func(a, b stop) int {
		return cmp.Or(cmp.Compare(a.stretch, b.stretch), cmp.Compare(a.alongMm, b.alongMm))
	})
	c.StopStart = make([]uint32, len(c.StretchTail)+1)
	c.StopAlongMm, c.StopSide, c.StopName = nil, nil, nil
	for _, p := range kept {
		c.StopStart[p.stretch+1]++
		c.StopAlongMm, c.StopSide, c.StopName = append(c.StopAlongMm, p.alongMm), append(c.StopSide, p.side), append(c.StopName, p.name)
	}
	for t := 1; t < len(c.StopStart); t++ {
		c.StopStart[t] += c.StopStart[t-1]
	}
}
