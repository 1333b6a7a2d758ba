package laying

import (
	"math"
	"slices"

	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
)

// bedCell is how wide the cells of a bed are at least; our choice, by the
// distances that are asked for.
const bedCell = 64.0 // metres

// longestPart is the length from which on a straight part of a road is taken
// for a mistake, and nothing stands beside it: our choice.
const longestPart = 5000.0 // metres

// metresPerE7 is the length of 10⁻⁷ degrees along a meridian on a sphere of
// 6371 km: within 0.6 % of the ellipsoid's.
const metresPerE7 = 6371e3 * math.Pi / 180 / 1e7

// bed finds the stretches near a position: their straight parts, sorted into
// cells. A part from vertex v to v+1 is called v. It stands in the cells of
// points of it that are at most half a cell apart, so that every point of it is
// within a quarter of a cell of one of them. Cells that nobody will ask for are
// left out: most of a state has nothing mapped beside its roads. Cells with the
// same beginning of their hash share a row.
type bed struct {
	grid
	c       *roadnet.Columns
	stretch []roadnet.StretchID // by vertex
	asked   []uint64            // bits by the cells' hash
	shift   uint                // from a hash to its row
	start   []uint32            // by row, +1: into part
	part    []uint32
}

// bedPart is a part in one of its cells.
type bedPart struct{ hash, v uint32 }

// layBed sorts the parts near what stands beside the roads.
func (s *site) layBed() *bed {
	c := &s.c
	b := &bed{grid: s.newGrid(bedCell), c: c, stretch: make([]roadnet.StretchID, len(c.VertexLonE7)), asked: make([]uint64, 1<<cellBits/64)}
	s.askBed(b)
	found := make([][]bedPart, s.workers)
	parallel(s.workers, s.workers, func(lo, hi int) {
		for k := lo; k < hi; k++ {
			n := len(c.StretchTail)
			found[k] = b.parts(n*k/s.workers, n*(k+1)/s.workers)
		}
	})
	total := 0
	for _, parts := range found {
		total += len(parts)
	}
	for b.shift = cellBits; b.shift > 0 && 1<<(cellBits-b.shift) < total; b.shift-- {
	}
	b.start = make([]uint32, 1<<(cellBits-b.shift)+1)
	for _, parts := range found {
		for _, p := range parts {
			b.start[p.hash>>b.shift+1]++
		}
	}
	for row := 1; row < len(b.start); row++ {
		b.start[row] += b.start[row-1]
	}
	b.part = make([]uint32, total)
	next := slices.Clone(b.start)
	for _, parts := range found {
		for _, p := range parts {
			row := p.hash >> b.shift
			b.part[next[row]] = p.v
			next[row]++
		}
	}
	return b
}

// askBed marks the cells that will be asked for.
func (s *site) askBed(b *bed) {
	for i := range s.x.Sites {
		if site := &s.x.Sites[i]; besideReach(site.Kind) > 0 {
			b.askLine(site.Shape, besideReach(site.Kind))
		}
	}
	for i := range s.x.Addresses {
		if s.x.Addresses[i].Homes > 0 {
			b.askLine(extract.Shape{{Lon: s.c.AddressLonE7[i], Lat: s.c.AddressLatE7[i]}}, namedBeside)
		}
	}
	for i := range s.x.Buildings {
		b.askLine(s.x.Buildings[i].Shape, max(homeBeside, buildingNear))
	}
	for i := range s.x.Walls {
		b.askLine(s.x.Walls[i].Shape, wallNear)
	}
}

// askLine marks the cells near a line, part by part.
func (b *bed) askLine(line extract.Shape, metres float64) {
	ask := func(k cell) {
		h := k.hash()
		b.asked[h/64] |= 1 << (h % 64)
	}
	if box := boxOf(line); !b.wide(box, 2) { // as most buildings are
		b.cells(box, metres, ask)
		return
	}
	last := cell(-1)
	eachPoint(line, bedCell/2, func(p extract.E7) {
		if k := b.cell(p.Lon, p.Lat); k != last {
			last = k
			b.cells(roadnet.Box{West: p.Lon, South: p.Lat, East: p.Lon, North: p.Lat}, metres+bedCell/2, ask)
		}
	})
}

const cellBits = 22

// hash is Fibonacci hashing to cellBits, as nodeIndex.home.
func (k cell) hash() uint32 { return uint32(uint64(k) * 0x9E3779B97F4A7C15 >> (64 - cellBits)) }

// parts lists the parts of some stretches in the cells that are asked for.
func (b *bed) parts(from, to int) (out []bedPart) {
	c := b.c
	for t := from; t < to; t++ {
		for v := c.VertexStart[t]; v < c.VertexStart[t+1]; v++ {
			b.stretch[v] = roadnet.StretchID(t)
			if v+1 == c.VertexStart[t+1] {
				break
			}
			lon, lat := int64(c.VertexLonE7[v]), int64(c.VertexLatE7[v])
			dLon, dLat := int64(c.VertexLonE7[v+1])-lon, int64(c.VertexLatE7[v+1])-lat
			steps := max(2*abs(dLon)/b.lonE7, 2*abs(dLat)/b.latE7) + 1
			if float64(steps) > 2*longestPart/bedCell {
				continue
			}
			last := cell(-1)
			for i := range steps + 1 {
				k := b.cell(int32(lon+dLon*i/steps), int32(lat+dLat*i/steps))
				if h := k.hash(); k != last && b.asked[h/64]>>(h%64)&1 == 1 {
					out = append(out, bedPart{h, v})
				}
				last = k
			}
		}
	}
	return out
}

func abs(v int64) int64 { return max(v, -v) }

// within visits the parts that may come within so many metres of a box; some
// twice, and some that are farther.
func (b *bed) within(box roadnet.Box, metres float64, visit func(v uint32)) {
	b.cells(box, metres, func(k cell) {
		row := k.hash() >> b.shift
		for _, v := range b.part[b.start[row]:b.start[row+1]] {
			visit(v)
		}
	})
}

// cells visits the cells that hold the parts within so many metres of a box.
func (b *bed) cells(box roadnet.Box, metres float64, visit func(cell)) {
	reach := metres/bedCell + 0.25
	b.cellsOf(int64(reach*float64(b.lonE7))+1, int64(reach*float64(b.latE7))+1, box, visit)
}

// flat is a local plane about a position, in metres east and north. Good to
// 1 % within a few hundred metres, and quick.
type flat struct {
	origin extract.E7
	east   float64 // metres to 10⁻⁷ degrees of longitude
}

func flatAt(p extract.E7) flat {
	return flat{p, metresPerE7 * math.Cos(float64(p.Lat)/1e7*math.Pi/180)}
}

func (f flat) to(lonE7, latE7 int32) (x, y float64) {
	return f.east * float64(int64(lonE7)-int64(f.origin.Lon)), metresPerE7 * float64(int64(latE7)-int64(f.origin.Lat))
}

// foot is the point of a road that is nearest to something.
type foot struct {
	stretch roadnet.StretchID
	vertex  uint32  // of the part
	share   float64 // how far along the part, 0 to 1
	away    float64 // metres
	left    bool    // the thing lies left of the stretch
}

// nearest finds the nearest point of a road, at most so many metres away; cost
// says how many metres farther a stretch counts than it is, negative for one
// that does not count. Of equals the least number wins.
func (b *bed) nearest(p extract.E7, metres float64, cost func(roadnet.StretchID) float64) (best foot, ok bool) {
	plane := flatAt(p)
	least := metres
	b.within(roadnet.Box{West: p.Lon, South: p.Lat, East: p.Lon, North: p.Lat}, metres, func(v uint32) {
		t := b.stretch[v]
		more := 0.0
		if cost != nil {
			if more = cost(t); more < 0 {
				return
			}
		}
		f := b.foot(plane, v)
		total := f.away + more
		if total > least || f.away > metres || ok && total == least && (t > best.stretch || t == best.stretch && v >= best.vertex) {
			return
		}
		best, least, ok = f, total, true
	})
	return best, ok
}

// foot is the point of one part that is nearest to the plane's origin.
func (b *bed) foot(plane flat, v uint32) foot {
	c := b.c
	ax, ay := plane.to(c.VertexLonE7[v], c.VertexLatE7[v])
	bx, by := plane.to(c.VertexLonE7[v+1], c.VertexLatE7[v+1])
	dx, dy := bx-ax, by-ay
	share := 0.0
	if q := dx*dx + dy*dy; q > 0 {
		share = math.Min(1, math.Max(0, -(ax*dx+ay*dy)/q))
	}
	x, y := ax+share*dx, ay+share*dy
	return foot{b.stretch[v], v, share, math.Sqrt(x*x + y*y), dx*-ay-dy*-ax > 0}
}

// alongMm is where the foot is, from the stretch's start.
func (s *site) alongMm(f foot) uint32 {
	a, b := s.vertexAlongMm[f.vertex], s.vertexAlongMm[f.vertex+1]
	return a + uint32(math.Round(f.share*float64(b-a)))
}

func (f foot) side() roadnet.Side {
	if f.left {
		return roadnet.Left
	}
	return roadnet.Right
}
