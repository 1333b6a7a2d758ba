package laying

import (
	"math"

	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
)

// How far from its road a home or a garage stands: our choices, a long front
// garden where the address names the road, else a usual one.
const (
	namedBeside = 100.0 // metres
	homeBeside  = 60.0
)

// Homes in a building that says no more. Our choices: a house covers some 60
// to 90 m², a flat with its share of stairs 90, a garage with its walls 16; a
// building that says only that it is one is a home if it covers 45 to 250 m²
// and stands beside a road that people live on.
const (
	pairFrom      = 110.0 // m² of a pair of semi-detached houses
	terraceHouse  = 55.0  // m² of one house in a row
	flatArea      = 90.0
	flatLevels    = 3 // of a block of flats that does not say
	garageArea    = 16.0
	plainHomeLow  = 45.0
	plainHomeHigh = 250.0
	widestHome    = 640.0 // m: no building with homes is wider
)

// takeHomes counts homes and garages along each kerb.
func (s *site) takeHomes(b *bed) {
	c := &s.c
	homes, garages := make([]uint32, 2*len(c.StretchTail)), make([]uint32, 2*len(c.StretchTail))
	kerbs := filled(len(s.x.Addresses), uint32(none))
	parallel(s.workers, len(s.x.Addresses), func(lo, hi int) {
		for i := lo; i < hi; i++ {
			if s.x.Addresses[i].Homes > 0 {
				kerbs[i] = s.kerbOf(b, i)
			}
		}
	})
	for i, kerb := range kerbs {
		if kerb != none {
			homes[kerb] += uint32(s.x.Addresses[i].Homes)
		}
	}
	s.countBuildings(b, homes, garages)
	c.KerbHomes, c.KerbGarages = held(homes), held(garages)
}

func held(counts []uint32) []uint16 {
	out := make([]uint16, len(counts))
	for i, n := range counts {
		out[i] = uint16(min(n, math.MaxUint16))
	}
	return out
}

// kerbOf is the kerb that an address belongs to: of the nearest stretch of the
// street that it names, else of the nearest.
func (s *site) kerbOf(b *bed, i int) uint32 {
	c := &s.c
	at := extract.E7{Lon: c.AddressLonE7[i], Lat: c.AddressLatE7[i]}
	if street := c.AddressStreet[i]; street != 0 {
		f, ok := b.nearest(at, namedBeside, func(t roadnet.StretchID) float64 {
			if c.StretchName[t] == street {
				return 0
			}
			return -1
		})
		if ok {
			return f.kerb()
		}
	}
	if f, ok := b.nearest(at, homeBeside, nil); ok {
		return f.kerb()
	}
	return none
}

// kerb is the row of a kerb: 2 × stretch, one more on the right.
func (f foot) kerb() uint32 {
	if f.left {
		return uint32(2 * f.stretch)
	}
	return uint32(2*f.stretch + 1)
}

// countBuildings adds the buildings that look like homes and have no address,
// on them or in them, and the garages.
func (s *site) countBuildings(b *bed, homes, garages []uint32) {
	type found struct {
		kerb           uint32
		homes, garages int
	}
	inside := s.addressCells()
	out := make([]found, len(s.x.Buildings))
	parallel(s.workers, len(out), func(lo, hi int) {
		for i := lo; i < hi; i++ {
			out[i].kerb = none
			building := &s.x.Buildings[i]
			area := areaOf(building.Shape)
			h, g, plain := homesIn(building, area)
			if h+g == 0 || h > 0 && (building.Addressed || inside.any(building.Shape)) {
				continue
			}
			box := boxOf(building.Shape)
			middle := extract.E7{Lon: int32((int64(box.West) + int64(box.East)) / 2), Lat: int32((int64(box.South) + int64(box.North)) / 2)}
			f, ok := b.nearest(middle, homeBeside, nil)
			if ok && (!plain || s.livedOn(f)) {
				out[i] = found{f.kerb(), h, g}
			}
		}
	})
	for _, f := range out {
		if f.kerb != none {
			homes[f.kerb] += uint32(f.homes)
			garages[f.kerb] += uint32(f.garages)
		}
	}
}

// homesIn is how many homes or garages a building holds; plain where only its
// size tells.
func homesIn(b *extract.Building, area float64) (homes, garages int, plain bool) {
	many := func(each float64) int { return int(min(500, max(1, math.Round(area/each)))) }
	switch b.Kind {
	case extract.BuildingGarage:
		return 0, 1, false
	case extract.BuildingGarages:
		return 0, many(garageArea), false
	case extract.BuildingUnsaid:
		if b.Flats > 0 {
			return int(b.Flats), 0, false
		}
		if area < plainHomeLow || area > plainHomeHigh {
			return 0, 0, false
		}
		return 1, 0, true
	case extract.BuildingHouse, extract.BuildingSemi, extract.BuildingTerrace, extract.BuildingFlats:
	default:
		return 0, 0, false
	}
	if b.Flats > 0 {
		return int(b.Flats), 0, false
	}
	switch {
	case b.Kind == extract.BuildingSemi && area >= pairFrom:
		return 2, 0, false
	case b.Kind == extract.BuildingTerrace:
		return many(terraceHouse), 0, false
	case b.Kind == extract.BuildingFlats && b.Levels > 0:
		return many(flatArea / float64(b.Levels)), 0, false
	case b.Kind == extract.BuildingFlats && area > plainHomeHigh:
		return many(flatArea / flatLevels), 0, false
	}
	return 1, 0, false
}

// livedOn says whether people live on the road at a foot, by its class.
func (s *site) livedOn(f foot) bool {
	switch s.x.Roads[s.pieceRoad[s.c.PieceStart[f.stretch]]].Class {
	case extract.Residential, extract.LivingStreet, extract.Unclassified, extract.PlainRoad:
		return true
	}
	return false
}

// areaOf is the area that a ring encloses, in m², by the shoelace formula; of
// one that crosses itself the difference of its loops.
func areaOf(ring extract.Shape) float64 {
	plane := flatAt(ring[0])
	sum, px, py := 0.0, 0.0, 0.0
	for _, p := range ring[1:] {
		x, y := plane.to(p.Lon, p.Lat)
		sum += px*y - x*py
		px, py = x, y
	}
	return math.Abs(sum) / 2
}

// addressCells finds the addresses within a building.
type addressCells struct {
	grid
	at map[cell][]extract.E7
}

func (s *site) addressCells() *addressCells {
	a := &addressCells{s.newGrid(bedCell), map[cell][]extract.E7{}}
	for i := range s.x.Addresses {
		if s.x.Addresses[i].House != "" {
			p := extract.E7{Lon: s.c.AddressLonE7[i], Lat: s.c.AddressLatE7[i]}
			k := a.cell(p.Lon, p.Lat)
			a.at[k] = append(a.at[k], p)
		}
	}
	return a
}

// any says whether some address lies in the ring.
func (a *addressCells) any(ring extract.Shape) bool {
	if a.wide(boxOf(ring), widestHome/bedCell) {
		return false
	}
	found := false
	a.cellsOf(0, 0, boxOf(ring), func(k cell) {
		for _, p := range a.at[k] {
			found = found || holds(ring, p)
		}
	})
	return found
}

// holds says whether a ring goes round a point: it is crossed an odd number of
// times on the way east (Shimrat, "Algorithm 112: position of point relative to
// polygon", 1962).
func holds(ring extract.Shape, p extract.E7) bool {
	in := false
	for i := 1; i < len(ring); i++ {
		a, b := ring[i-1], ring[i]
		if (a.Lat > p.Lat) != (b.Lat > p.Lat) &&
			float64(p.Lon) < float64(a.Lon)+float64(int64(b.Lon)-int64(a.Lon))*float64(int64(p.Lat)-int64(a.Lat))/float64(int64(b.Lat)-int64(a.Lat)) {
			in = !in
		}
	}
	return in
}
