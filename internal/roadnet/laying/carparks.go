package laying

import (
	"cmp"
	"container/heap"
	"maps"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// Figures of car parks; our choices.
const (
	carParkNode   = 40.0   // m round one that is mapped as a node: what is taken to be in it
	widestCarPark = 1536.0 // m: nothing within a wider one is looked for
	driveInMost   = 600.0  // m from the road to the car park
	roadsideNear  = 25.0   // m from a road to a car park with no way in of its own
)

// carPark is a car park while its aisles and its entrance are looked for.
type carPark struct {
	row   roadnet.CarParkRow
	shape extract.Shape
	nodes []uint32           // of the ways within it
	links map[uint32]float64 // metres of aisle by road
}

// takeCarParks stores what is known of each car park, in the order of the
// sites.
func (s *site) takeCarParks(b *bed) {
	parks := s.carParks()
	s.findWithin(parks)
	bars := map[extract.E7]extract.Gate{}
	for _, gate := range s.x.Gates {
		if gate.Bar {
			bars[gate.At] = gate
		}
	}
	parallel(s.workers, len(parks), func(lo, hi int) {
		for i := lo; i < hi; i++ {
			p := parks[i]
			for _, road := range slices.Sorted(maps.Keys(p.links)) {
				length := mm(p.links[road])
				p.row.AislesMm += length
				if length > p.row.LongestAisleMm {
					p.row.LongestAisleMm = length
					p.row.AisleWidthCm = uint16(clamp(float64(s.x.Roads[road].Width.Metres)*100, 0, math.MaxUint16))
				}
			}
			s.findEntrance(b, p, bars)
		}
	})
	c := &s.c
	for _, p := range parks {
		c.CarParks = append(c.CarParks, p.row)
		c.SiteStretch[p.row.Site], c.SiteAlongMm[p.row.Site], c.SiteSide[p.row.Site] = p.row.EntranceStretch, p.row.EntranceAlongMm, p.row.EntranceSide
	}
}

// carParks are the sites that are one, with what their tags say.
func (s *site) carParks() (parks []*carPark) {
	c := &s.c
	said := map[int64]*extract.CarPark{}
	for i := range s.x.Sites {
		if site := &s.x.Sites[i]; site.Kind == extract.SiteCarPark {
			said[site.Object.ID<<2|int64(site.Object.Kind)] = &site.CarPark
		}
	}
	for i, kind := range c.SiteKinds {
		if kind != extract.SiteCarPark {
			continue
		}
		t := said[c.SiteObject[i]]
		p := &carPark{links: map[uint32]float64{}, row: roadnet.CarParkRow{
			Site: roadnet.SiteID(i), EntranceStretch: none, FeeWhen: s.names.id(t.FeeWhen),
			Capacity: uint16(clamp(float64(t.Capacity), 0, math.MaxUint16)), MaxHeightCm: uint16(clamp(float64(t.MaxHeight)*100, 0, math.MaxUint16)),
			Form: t.Form, Use: t.Use, Fee: t.Fee, Surface: t.Surface,
		}}
		for v := c.SiteShapeStart[i]; v < c.SiteShapeStart[i+1]; v++ {
			p.shape = append(p.shape, extract.E7{Lon: c.SiteLonE7[v], Lat: c.SiteLatE7[v]})
		}
		parks = append(parks, p)
	}
	return parks
}

// contains says whether a point is in the car park, or near one that is a node.
func (p *carPark) contains(at extract.E7) bool {
	if len(p.shape) < 4 {
		x, y := flatAt(p.shape[0]).to(at.Lon, at.Lat)
		return math.Hypot(x, y) <= carParkNode
	}
	return holds(p.shape, at)
}

// findWithin finds the aisles and the other service roads within each car park
// by the middle of each link, and the bays.
func (s *site) findWithin(parks []*carPark) {
	g := s.newGrid(bedCell)
	at := map[cell][]*carPark{}
	for _, p := range parks {
		box := boxOf(p.shape)
		if g.wide(box, widestCarPark/bedCell) {
			continue
		}
		round := 0.0
		if len(p.shape) < 4 {
			round = carParkNode / bedCell
		}
		g.cellsOf(int64(round*float64(g.lonE7)), int64(round*float64(g.latE7)), box, func(k cell) { at[k] = append(at[k], p) })
	}
	for l, kind := range s.kind {
		road := s.x.Roads[s.roadOf[l]]
		if kind != openingLink || road.Class != extract.ServiceRoad || road.Service == "driveway" {
			continue
		}
		u, v := &s.x.Nodes[s.ref[l]], &s.x.Nodes[s.ref[l+1]]
		middle := extract.E7{Lon: int32((int64(u.LonE7) + int64(v.LonE7)) / 2), Lat: int32((int64(u.LatE7) + int64(v.LatE7)) / 2)}
		for _, p := range at[g.cell(middle.Lon, middle.Lat)] {
			if !p.contains(middle) {
				continue
			}
			p.nodes = append(p.nodes, s.ref[l], s.ref[l+1])
			if road.Service == "parking_aisle" {
				p.links[s.roadOf[l]] += float64(geo.Distance(s.point(s.ref[l]), s.point(s.ref[l+1])))
			}
		}
	}
	for i := range s.x.Sites {
		if site := &s.x.Sites[i]; site.Kind == extract.SiteBay {
			for _, p := range at[g.cell(site.Shape[0].Lon, site.Shape[0].Lat)] {
				if p.contains(site.Shape[0]) && p.row.Bays < math.MaxUint16 {
					p.row.Bays++
				}
			}
		}
	}
}

// findEntrance finds the shortest way in from the network: over service roads
// that a stranger may use, else, of a car park beside a road, straight from it.
func (s *site) findEntrance(b *bed, p *carPark, bars map[extract.E7]extract.Gate) {
	within := map[uint32]bool{}
	q := &nodeQueue{}
	away := map[uint32]float64{}
	from := map[uint32]uint32{} // the node nearer to the car park
	for _, node := range p.nodes {
		if !within[node] {
			within[node] = true
			away[node] = 0
			heap.Push(q, nodeAway{node, 0})
		}
		s.meetBar(p, node, bars)
	}
	for q.Len() > 0 {
		next := heap.Pop(q).(nodeAway)
		if next.away > away[next.node] {
			continue
		}
		if seat := s.seat[next.node]; seat.stretch != none {
			p.row.EntranceStretch, p.row.EntranceAlongMm = uint32(seat.stretch), s.vertexAlongMm[seat.vertex]
			p.row.DriveInMm = mm(next.away)
			box := boxOf(p.shape)
			inward := orb.Point{(float64(box.West) + float64(box.East)) / 2e7, (float64(box.South) + float64(box.North)) / 2e7}
			if node, ok := from[next.node]; ok {
				inward = s.point(node)
			}
			p.row.EntranceSide = s.sideOf(seat, geo.Heading(s.point(next.node), inward))
			for node, ok := next.node, true; ok; node, ok = from[node] {
				s.meetBar(p, node, bars)
			}
			return
		}
		for _, e := range s.ends(next.node) {
			if k := s.kind[e.link()]; k != openingLink && k != stubLink || !roadnet.Drivable(s.use(e^1)) {
				continue
			}
			far := s.far(e)
			d := next.away + float64(geo.Distance(s.point(next.node), s.point(far)))
			if within[far] {
				continue
			}
			if old, seen := away[far]; d <= driveInMost && (!seen || d < old) {
				away[far], from[far] = d, next.node
				heap.Push(q, nodeAway{far, d})
			}
		}
	}
	if len(p.nodes) > 0 {
		return // there are ways within, and none leads in
	}
	if best, found := b.nearestOf(p.shape, roadsideNear, nil); found {
		p.row.EntranceStretch, p.row.EntranceAlongMm, p.row.EntranceSide = uint32(best.stretch), s.alongMm(best), best.side()
		p.row.DriveInMm = mm(best.away)
	}
}

// meetBar notes a height bar at a node; the lowest counts.
func (s *site) meetBar(p *carPark, node uint32, bars map[extract.E7]extract.Gate) {
	n := &s.x.Nodes[node]
	bar, ok := bars[extract.E7{Lon: n.LonE7, Lat: n.LatE7}]
	if !ok {
		return
	}
	p.row.HeightBar = 1
	if cm := uint16(clamp(float64(bar.MaxHeight)*100, 0, math.MaxUint16)); cm > 0 && (p.row.MaxHeightCm == 0 || cm < p.row.MaxHeightCm) {
		p.row.MaxHeightCm = cm
	}
}

// nodeAway is a node and how far it is from the car park.
type nodeAway struct {
	node uint32
	away float64
}

// nodeQueue gives the nearest first, of equals the least number.
type nodeQueue []nodeAway

func (q nodeQueue) Len() int { return len(q) }
func (q nodeQueue) Less(i, j int) bool {
	return cmp.Or(cmp.Compare(q[i].away, q[j].away), cmp.Compare(q[i].node, q[j].node)) < 0
}
func (q nodeQueue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *nodeQueue) Push(x any)   { *q = append(*q, x.(nodeAway)) }
func (q *nodeQueue) Pop() any {
	last := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return last
}
