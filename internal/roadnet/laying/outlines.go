package laying

import (
	"math"
	"slices"

	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
)

// How near to a road a building or a wall is kept: our choices, what can hide a
// road from one who drives or waits on it.
const (
	buildingNear = 40.0 // metres
	wallNear     = 25.0
)

// mostWide is how many cells of the bed a few parts of a building or a wall may
// cover across: our choice. Such parts would be kilometres long: a mistake on the
// map.
const mostWide = 64

// takeBuildings stores the buildings near a road.
func (s *site) takeBuildings(b *bed) {
	c := &s.c
	near := s.roadsNear(b, len(s.x.Buildings), buildingNear, func(i int) extract.Shape { return s.x.Buildings[i].Shape })
	c.BuildingShapeStart = []uint32{0}
	kept := 0
	for i, roads := range near {
		if len(roads) == 0 {
			continue
		}
		building := &s.x.Buildings[i]
		c.BuildingKinds, c.BuildingLevels = append(c.BuildingKinds, building.Kind), append(c.BuildingLevels, building.Levels)
		for _, p := range building.Shape {
			c.BuildingLonE7, c.BuildingLatE7 = append(c.BuildingLonE7, p.Lon), append(c.BuildingLatE7, p.Lat)
		}
		c.BuildingShapeStart = append(c.BuildingShapeStart, uint32(len(c.BuildingLonE7)))
		near[kept] = roads
		kept++
	}
	c.BuildingStart, c.BuildingNear = byStretch(near[:kept], len(c.StretchTail))
}

// takeWalls stores the walls, fences and hedges near a road.
func (s *site) takeWalls(b *bed) {
	c := &s.c
	near := s.roadsNear(b, len(s.x.Walls), wallNear, func(i int) extract.Shape { return s.x.Walls[i].Shape })
	c.WallShapeStart = []uint32{0}
	kept := 0
	for i, roads := range near {
		if len(roads) == 0 {
			continue
		}
		wall := &s.x.Walls[i]
		c.WallKinds = append(c.WallKinds, wall.Kind)
		c.WallHeightDm = append(c.WallHeightDm, uint8(clamp(float64(wall.Height)*10, 0, math.MaxUint8)))
		for _, p := range wall.Shape {
			c.WallLonE7, c.WallLatE7 = append(c.WallLonE7, p.Lon), append(c.WallLatE7, p.Lat)
		}
		c.WallShapeStart = append(c.WallShapeStart, uint32(len(c.WallLonE7)))
		near[kept] = roads
		kept++
	}
	c.WallStart, c.WallNear = byStretch(near[:kept], len(c.StretchTail))
}

// roadsNear lists for each shape the stretches within so many metres, by
// number.
func (s *site) roadsNear(b *bed, n int, metres float64, shape func(int) extract.Shape) [][]roadnet.StretchID {
	out := make([][]roadnet.StretchID, n)
	parallel(s.workers, n, func(lo, hi int) {
		var found []roadnet.StretchID
		for i := lo; i < hi; i++ {
			found = b.near(shape(i), metres, found[:0])
			out[i] = slices.Clone(found)
		}
	})
	return out
}

// near adds the stretches within so many metres of a line or a ring. A long
// one is looked at part by part, so that its box is not.
func (b *bed) near(shape extract.Shape, metres float64, found []roadnet.StretchID) []roadnet.StretchID {
	const few = 8 // parts that are looked at together
	for from := 0; from+1 < len(shape); from += few {
		piece := shape[from:min(from+few+1, len(shape))]
		box := boxOf(piece)
		if b.wide(box, mostWide) {
			continue
		}
		plane := flatAt(piece[0])
		var room [few + 1][2]float64
		line := room[:len(piece)]
		for k, p := range piece {
			line[k][0], line[k][1] = plane.to(p.Lon, p.Lat)
		}
		b.within(box, metres, func(v uint32) {
			t := b.stretch[v]
			if slices.Contains(found, t) {
				return
			}
			var road [2][2]float64
			road[0][0], road[0][1] = plane.to(b.c.VertexLonE7[v], b.c.VertexLatE7[v])
			road[1][0], road[1][1] = plane.to(b.c.VertexLonE7[v+1], b.c.VertexLatE7[v+1])
			for k := 1; k < len(line); k++ {
				if partsWithin(road[0], road[1], line[k-1], line[k], metres) {
					found = append(found, t)
					return
				}
			}
		})
	}
	slices.Sort(found)
	return found
}

// partsWithin says whether two straight parts come within a distance: they
// cross, or an end of one is near the other.
func partsWithin(a, b, p, q [2]float64, metres float64) bool {
	if max(a[0], b[0])+metres < min(p[0], q[0]) || max(p[0], q[0])+metres < min(a[0], b[0]) ||
		max(a[1], b[1])+metres < min(p[1], q[1]) || max(p[1], q[1])+metres < min(a[1], b[1]) {
		return false
	}
	side := func(o, d, x [2]float64) float64 { return (d[0]-o[0])*(x[1]-o[1]) - (d[1]-o[1])*(x[0]-o[0]) }
	if side(a, b, p)*side(a, b, q) < 0 && side(p, q, a)*side(p, q, b) < 0 {
		return true
	}
	near := func(x, o, d [2]float64) bool {
		dx, dy := d[0]-o[0], d[1]-o[1]
		share := 0.0
		if l := dx*dx + dy*dy; l > 0 {
			share = math.Min(1, math.Max(0, ((x[0]-o[0])*dx+(x[1]-o[1])*dy)/l))
		}
		ex, ey := o[0]+share*dx-x[0], o[1]+share*dy-x[1]
		return ex*ex+ey*ey <= metres*metres
	}
	return near(a, p, q) || near(b, p, q) || near(p, a, b) || near(q, a, b)
}

// byStretch turns lists of stretches by thing into lists of things by stretch.
func byStretch(near [][]roadnet.StretchID, stretches int) (start, things []uint32) {
	start = make([]uint32, stretches+1)
	for _, roads := range near {
		for _, t := range roads {
			start[t+1]++
		}
	}
	for t := range stretches {
		start[t+1] += start[t]
	}
	things = make([]uint32, start[stretches])
	next := slices.Clone(start)
	for i, roads := range near {
		for _, t := range roads {
			things[next[t]] = uint32(i)
			next[t]++
		}
	}
	return start, things
}
