package roadnet

import (
	"cmp"
	"slices"

	"github.com/paulmach/orb"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
)

// SiteID is the dense number of a site.
type SiteID uint32

// Site is something of use beside the roads: a school, a shop, a bus stop.
type Site struct {
	ID     SiteID
	Kind   extract.SiteKind
	Object extract.ObjectID
	Name   string
	At     orb.Point // the middle of the box round it
	Area   bool      // it was drawn as an area
	// Beside is where along a stretch it stands, on the side seen in that
	// direction; where a car park is entered. Only with HasRoad.
	Beside  Position
	Side    Side
	HasRoad bool
}

// SiteNear is a site within some distance.
type SiteNear struct {
	Site
	Away geo.Metres // to its edge, 0 within it
	// Gate is the distance to its nearest mapped entrance, of a school or a
	// nursery; only with HasGate.
	Gate    geo.Metres
	HasGate bool
}

// NumSites counts what is of use beside the roads.
func (n *Network) NumSites() int { return len(n.c.SiteKinds) }

// Site is one of them. An area in several pieces is several sites, with the
// same Object.
func (n *Network) Site(id SiteID) Site {
	c := &n.c
	lon, lat := n.SiteShape(id)
	box := BoxOf(lon, lat)
	s := Site{
		ID: id, Kind: c.SiteKinds[id], Name: n.Name(c.SiteName[id]), Area: len(lon) > 1,
		Object: extract.ObjectID{Kind: extract.ObjectKind(c.SiteObject[id] & 3), ID: c.SiteObject[id] >> 2},
		At:     orb.Point{(float64(box.West) + float64(box.East)) / 2e7, (float64(box.South) + float64(box.North)) / 2e7},
	}
	if on := c.SiteStretch[id]; on != None {
		s.HasRoad, s.Side = true, c.SiteSide[id]
		s.Beside = Position{StretchID(on).Segment(true), millimetres(c.SiteAlongMm[id])}
	}
	return s
}

// SiteShape is a site's outline in 10⁻⁷ degrees, views: one position where it
// is mapped as a node.
func (n *Network) SiteShape(id SiteID) (lon, lat []int32) {
	lo, hi := n.c.SiteShapeStart[id], n.c.SiteShapeStart[id+1]
	return n.c.SiteLonE7[lo:hi], n.c.SiteLatE7[lo:hi]
}

// SitesWithin are the sites of one kind at most so far from p, the nearest
// first, then by number. Distances are on the plane that touches the earth at
// p. That a site is missing may only mean that nobody mapped it: see
// Completeness.
func (n *Network) SitesWithin(kind extract.SiteKind, p orb.Point, within geo.Metres) []SiteNear {
	plane := geo.PlaneAt(p)
	var out []SiteNear
	low, high := plane.From(geo.XY{X: -float64(within), Y: -float64(within)}), plane.From(geo.XY{X: float64(within), Y: float64(within)})
	around := Box{e7(low.Lon()), e7(low.Lat()), e7(high.Lon()), e7(high.Lat())}
	walkTree(n.c.SiteBoxes, n.NumSites(), around.meets, func(leaf int) bool {
		if n.c.SiteKinds[leaf] != kind {
			return true
		}
		id := SiteID(leaf)
		lon, lat := n.SiteShape(id)
		away := awayFrom(plane, lon, lat)
		if away > within {
			return true
		}
		near := SiteNear{Site: n.Site(id), Away: away}
		for k := n.c.GateStart[id]; k < n.c.GateStart[id+1]; k++ {
			d := plane.To(point(n.c.GateLonE7[k], n.c.GateLatE7[k])).Norm()
			if !near.HasGate || d < near.Gate {
				near.Gate, near.HasGate = d, true
			}
		}
		out = append(out, near)
		return true
	})
	slices.SortFunc(out, func(a, b SiteNear) int { return cmp.Or(cmp.Compare(a.Away, b.Away), cmp.Compare(a.ID, b.ID)) })
	return out
}

// awayFrom is the distance of the plane's origin from a shape: 0 within a ring.
func awayFrom(plane geo.Plane, lon, lat []int32) geo.Metres {
	at := func(i int) geo.XY { return plane.To(point(lon[i], lat[i])) }
	first := at(0)
	if len(lon) == 1 {
		return first.Norm()
	}
	ring := len(lon) > 3 && lon[0] == lon[len(lon)-1] && lat[0] == lat[len(lat)-1]
	within := false
	best := first.Norm()
	for i, a := 1, first; i < len(lon); i++ {
		b := at(i)
		best = min(best, fromPart(a, b))
		if (a.Y > 0) != (b.Y > 0) && 0 < a.X+(b.X-a.X)*(-a.Y)/(b.Y-a.Y) {
			within = !within // Shimrat, "Algorithm 112", 1962, by crossings of a ray
		}
		a = b
	}
	if ring && within {
		return 0
	}
	return best
}

// fromPart is the distance of the origin from the straight part a to b.
func fromPart(a, b geo.XY) geo.Metres {
	d := b.Sub(a)
	if q := d.Dot(d); q > 0 {
		a = a.Add(d.Scale(min(1, max(0, -a.Dot(d)/q))))
	}
	return a.Norm()
}

// Stop is a bus stop beside or on a stretch.
type Stop struct {
	Along geo.Metres // from the stretch's start
	Side  Side       // looking forward; SideUnknown where it is mapped on the road itself
	Name  string
}

// StopsOn are the bus stops of a stretch by their distance from its start, a
// fresh slice: those beside it within 20 m, and those mapped on it that have
// none beside.
func (n *Network) StopsOn(s StretchID) []Stop {
	c := &n.c
	lo, hi := c.StopStart[s], c.StopStart[s+1]
	out := make([]Stop, 0, hi-lo)
	for i := lo; i < hi; i++ {
		out = append(out, Stop{millimetres(c.StopAlongMm[i]), c.StopSide[i], n.Name(c.StopName[i])})
	}
	return out
}

// HomesOn is how many homes are mapped along one side of a stretch, looking
// forward (Left, Right; Both adds them up): addresses of that road, and
// buildings that look like homes without one.
func (n *Network) HomesOn(s StretchID, side Side) int { return alongKerb(n.c.KerbHomes, s, side) }

// GaragesOn is how many garages are mapped along one side of a stretch.
func (n *Network) GaragesOn(s StretchID, side Side) int { return alongKerb(n.c.KerbGarages, s, side) }

func alongKerb(column []uint16, s StretchID, side Side) int {
	left, right := int(column[2*s]), int(column[2*s+1])
	switch side {
	case Left:
		return left
	case Right:
		return right
	}
	return left + right
}

// DrivesOn is how many private drives are mapped along one side of a stretch.
func (n *Network) DrivesOn(s StretchID, side Side) int {
	c := &n.c
	count := 0
	for m := c.MouthStart[s]; m < c.MouthStart[s+1]; m++ {
		if c.MouthKinds[m] == MouthDrive && (side == Both || c.MouthSide[m] == side) {
			count++
		}
	}
	return count
}

// Building is a building near a road.
type Building struct {
	Kind         extract.BuildingKind
	Levels       uint8   // 0 unknown
	LonE7, LatE7 []int32 // its ring, as drawn: views
}

// BuildingsNear visits the buildings that come within 40 m of a stretch, in
// the order of the extract, until visit returns false.
func (n *Network) BuildingsNear(s StretchID, visit func(Building) bool) {
	c := &n.c
	for _, b := range c.BuildingNear[c.BuildingStart[s]:c.BuildingStart[s+1]] {
		lo, hi := c.BuildingShapeStart[b], c.BuildingShapeStart[b+1]
		if !visit(Building{c.BuildingKinds[b], c.BuildingLevels[b], c.BuildingLonE7[lo:hi], c.BuildingLatE7[lo:hi]}) {
			return
		}
	}
}

// Wall is a wall, a fence or a hedge near a road.
type Wall struct {
	Kind         extract.WallKind
	Height       geo.Metres // 0 not said
	LonE7, LatE7 []int32    // its line, as drawn: views
}

// WallsNear visits the walls that come within 25 m of a stretch, in the order
// of the extract, until visit returns false.
func (n *Network) WallsNear(s StretchID, visit func(Wall) bool) {
	c := &n.c
	for _, w := range c.WallNear[c.WallStart[s]:c.WallStart[s+1]] {
		lo, hi := c.WallShapeStart[w], c.WallShapeStart[w+1]
		if !visit(Wall{c.WallKinds[w], geo.Metres(c.WallHeightDm[w]) / 10, c.WallLonE7[lo:hi], c.WallLatE7[lo:hi]}) {
			return
		}
	}
}

// checkBeside holds what stands beside the roads against the format page.
func (c *Columns) checkBeside(k *checker, stretches, names int) {
	sites := len(c.SiteKinds)
	k.length("site-object", len(c.SiteObject), sites)
	below(k, "site-name", c.SiteName, names, sites)
	k.length("site-stretch", len(c.SiteStretch), sites)
	for i, s := range c.SiteStretch {
		if s != None && int64(s) >= int64(stretches) {
			k.fail("site-stretch", "element %d is %d, of %d", i, s, stretches)
			return
		}
	}
	k.length("site-along", len(c.SiteAlongMm), sites)
	k.length("site-side", len(c.SiteSide), sites)
	k.shapes("site-shape-start", c.SiteShapeStart, sites, len(c.SiteLonE7))
	k.length("site-lat", len(c.SiteLatE7), len(c.SiteLonE7))
	if want := treeSize(sites); len(c.SiteBoxes) != want {
		k.fail("site-boxes", "%d boxes, not %d", len(c.SiteBoxes), want)
	}
	k.starts("gate-start", c.GateStart, sites, len(c.GateLonE7))
	k.length("gate-lat", len(c.GateLatE7), len(c.GateLonE7))
	for i, p := range c.CarParks {
		if int64(p.Site) >= int64(sites) || int64(p.FeeWhen) >= int64(names) || p.EntranceStretch != None && int64(p.EntranceStretch) >= int64(stretches) ||
			i > 0 && p.Site <= c.CarParks[i-1].Site {
			k.fail("car-parks", "element %d points at nothing, or is out of order", i)
			return
		}
	}
	if n := len(c.CellGrid); n > 0 && (n != 2 || c.CellGrid[0] < 1 || c.CellGrid[1] < 1 || len(c.CellKey) == 0) {
		k.fail("cell-grid", "it makes no cells")
	}
	k.length("cell-share", len(c.CellShare), len(c.CellKey)*int(FactKinds))
	stops := len(c.StopAlongMm)
	k.starts("stop-start", c.StopStart, stretches, stops)
	k.length("stop-side", len(c.StopSide), stops)
	below(k, "stop-name", c.StopName, names, stops)
	k.length("kerb-homes", len(c.KerbHomes), 2*stretches)
	k.length("kerb-garages", len(c.KerbGarages), 2*stretches)
	buildings := len(c.BuildingKinds)
	k.length("building-levels", len(c.BuildingLevels), buildings)
	k.shapes("building-shape", c.BuildingShapeStart, buildings, len(c.BuildingLonE7))
	k.length("building-lat", len(c.BuildingLatE7), len(c.BuildingLonE7))
	k.starts("building-start", c.BuildingStart, stretches, len(c.BuildingNear))
	below(k, "building-near", c.BuildingNear, buildings, len(c.BuildingNear))
	walls := len(c.WallKinds)
	k.length("wall-height", len(c.WallHeightDm), walls)
	k.shapes("wall-shape", c.WallShapeStart, walls, len(c.WallLonE7))
	k.length("wall-lat", len(c.WallLatE7), len(c.WallLonE7))
	k.starts("wall-start", c.WallStart, stretches, len(c.WallNear))
	below(k, "wall-near", c.WallNear, walls, len(c.WallNear))
}

// shapes checks starts whose every member has a row at least.
func (k *checker) shapes(section string, starts []uint32, members, rows int) {
	k.starts(section, starts, members, rows)
	for i := 0; k.err == nil && i < members; i++ {
		if starts[i] == starts[i+1] {
			k.fail(section, "element %d has no position", i)
		}
	}
}
