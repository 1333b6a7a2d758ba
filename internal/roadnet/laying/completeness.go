package laying

import (
	"maps"
	"math"
	"slices"

	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
)

// How completely the extract maps a kind of thing is estimated from itself.
//
// For a tag it is the share of the road length about a place that has it.
//
// For things (calming, drives ...) it is their number to the kilometre against
// the number to be expected where everything is mapped: the better of a figure
// of ours and the density that the best-mapped fifth of the extract's own
// neighbourhoods reach. An area that truly has none looks unmapped, and its
// absence counts for little: the error is on the side of care.
//
// Both are smoothed over a square of 500 m and its eight neighbours, which
// count a half and a quarter, and drawn towards the extract's mean as if
// priorKm of its roads lay there too: the mean of the gamma distribution that
// conjugate Poisson counts give (Gelman et al., "Bayesian Data Analysis", 3rd
// edition 2013, section 2.6). Figures are our choice.
const (
	cellSide  = 500.0 // metres
	sampleGap = 125.0 // metres of road between samples
	priorKm   = 2.0
	bestKm    = 3.0 // of road that a neighbourhood needs to count among the best
	bestFrom  = 0.8 // quantile of the best
)

// expected is how many of a kind there are to a kilometre of the roads that
// bear on it, where all are mapped: our choice, from what British streets have;
// stops 400 m apart each way. Zero where a kind is a tag.
var expected = [roadnet.FactKinds]float64{
	roadnet.FactCalming: 0.5, roadnet.FactCrossing: 0.5, roadnet.FactStop: 4,
	roadnet.FactHome: 60, roadnet.FactBuilding: 50, roadnet.FactDrive: 20, roadnet.FactGarage: 6, roadnet.FactWall: 20,
}

// tally is what one cell holds: of each kind the kilometres of the roads that
// bear on it, and how many or how many kilometres of them have it.
type tally struct{ of, has [roadnet.FactKinds]float32 }

func (t *tally) add(o *tally, weight float32) {
	for k := range t.of {
		t.of[k] += weight * o.of[k]
		t.has[k] += weight * o.has[k]
	}
}

// takeCompleteness stores the cells.
func (s *site) takeCompleteness() {
	c := &s.c
	middle := c.About.Bounds.Center()
	lat := cellSide / metresPerE7
	c.CellGrid = []int32{int32(min(1e9, lat/math.Max(0.01, math.Cos(middle.Lat()*math.Pi/180)))), int32(lat)}
	cells := s.tallyAll()
	keys := slices.Sorted(maps.Keys(cells))
	var of, has [roadnet.FactKinds]float64 // over all of them
	for _, key := range keys {
		for k, km := range cells[key].of {
			of[k] += float64(km)
			has[k] += float64(cells[key].has[k])
		}
	}
	around := make([]tally, len(keys))
	parallel(s.workers, len(keys), func(lo, hi int) {
		for i := lo; i < hi; i++ {
			for dx := int64(-1); dx <= 1; dx++ {
				for dy := int64(-1); dy <= 1; dy++ {
					if cell := cells[keys[i]+dx<<32+dy]; cell != nil {
						around[i].add(cell, 1/float32(int64(1)<<(dx*dx+dy*dy)))
					}
				}
			}
		}
	})
	c.CellKey = append([]int64{0}, keys...)
	c.CellShare = make([]uint8, len(c.CellKey)*int(roadnet.FactKinds))
	for k := roadnet.FactUnknown + 1; k < roadnet.FactKinds; k++ {
		mean := 0.0
		if of[k] > 0 {
			mean = has[k] / of[k]
		}
		full := fullRate(k, around)
		put := func(row int, rate float64) {
			c.CellShare[row*int(roadnet.FactKinds)+int(k)] = uint8(math.Round(255 * min(1, rate/full)))
		}
		put(0, mean)
		for i := range around {
			put(i+1, (float64(around[i].has[k])+priorKm*mean)/(float64(around[i].of[k])+priorKm))
		}
	}
}

// tallyAll tallies every stretch: two halves of them side by side, whatever the
// number of workers, since sums depend on their order.
func (s *site) tallyAll() map[int64]*tally {
	c := &s.c
	buildings, walls := shared(c.BuildingStart, c.BuildingNear, len(c.BuildingKinds)), shared(c.WallStart, c.WallNear, len(c.WallKinds))
	var halves [2]map[int64]*tally
	parallel(s.workers, len(halves), func(lo, hi int) {
		for h := lo; h < hi; h++ {
			cells := map[int64]*tally{}
			var last *tally
			lastKey := int64(-1)
			at := func(lonE7, latE7 int32) *tally { // neighbours in turn, mostly
				k := roadnet.CellKey(c.CellGrid, lonE7, latE7)
				if k != lastKey {
					if cells[k] == nil {
						cells[k] = &tally{}
					}
					last, lastKey = cells[k], k
				}
				return last
			}
			n := len(c.StretchTail)
			for t := h * n / len(halves); t < (h+1)*n/len(halves); t++ {
				counts := s.countsOn(roadnet.StretchID(t))
				counts[roadnet.FactBuilding], counts[roadnet.FactWall] = buildings[t], walls[t]
				s.tallyStretch(roadnet.StretchID(t), &counts, at)
			}
			halves[h] = cells
		}
	})
	for k, cell := range halves[1] {
		if first := halves[0][k]; first != nil {
			first.add(cell, 1)
		} else {
			halves[0][k] = cell
		}
	}
	return halves[0]
}

// fullRate is how many of a kind to a kilometre are all of them.
func fullRate(k roadnet.FactKind, around []tally) float64 {
	if expected[k] == 0 {
		return 1
	}
	var rates []float64
	for i := range around {
		if around[i].of[k] >= bestKm {
			rates = append(rates, float64(around[i].has[k]/around[i].of[k]))
		}
	}
	if len(rates) == 0 {
		return expected[k]
	}
	slices.Sort(rates)
	return max(expected[k], rates[int(bestFrom*float64(len(rates)-1))])
}

// bears lists by a road's class, and whether a bus route runs along it, the
// kinds of which most roads like it have some where all is mapped.
var bears = func() (kinds [extract.Construction + 1][2][]roadnet.FactKind) {
	for c := range kinds {
		for bus := range 2 {
			of := &kinds[c][bus]
			switch class := extract.Class(c); class {
			case extract.Residential, extract.LivingStreet:
				*of = append(*of, roadnet.FactHome, roadnet.FactBuilding, roadnet.FactDrive, roadnet.FactGarage, roadnet.FactWall)
				fallthrough
			case extract.Unclassified, extract.Tertiary:
				*of = append(*of, roadnet.FactWidth, roadnet.FactParking, roadnet.FactLit, roadnet.FactSurface, roadnet.FactFootway, roadnet.FactLimit, roadnet.FactCalming)
				fallthrough
			case extract.Secondary, extract.Primary:
				*of = append(*of, roadnet.FactCrossing)
			}
			if bus == 1 {
				*of = append(*of, roadnet.FactStop)
			}
		}
	}
	return kinds
}()

// tallyStretch adds one stretch to the cells along it.
func (s *site) tallyStretch(t roadnet.StretchID, counts *[roadnet.FactKinds]float64, at func(lonE7, latE7 int32) *tally) {
	c := &s.c
	length := float64(c.StretchLengthMm[t]) / 1000
	lo, hi := c.VertexStart[t], c.VertexStart[t+1]
	samples := max(1, math.Ceil(length/sampleGap))
	v, piece := lo, c.PieceStart[t]
	for k := range int(samples) {
		along := (float64(k) + 0.5) * float64(c.StretchLengthMm[t]) / samples
		for v+2 < hi && float64(s.vertexAlongMm[v+1]) < along {
			v++
		}
		for piece+1 < c.PieceStart[t+1] && float64(c.PieceFromMm[piece+1]) <= along {
			piece++
		}
		share := 0.0
		if d := float64(s.vertexAlongMm[v+1] - s.vertexAlongMm[v]); d > 0 {
			share = min(1, (along-float64(s.vertexAlongMm[v]))/d)
		}
		lon := c.VertexLonE7[v] + int32(share*float64(int64(c.VertexLonE7[v+1])-int64(c.VertexLonE7[v])))
		lat := c.VertexLatE7[v] + int32(share*float64(int64(c.VertexLatE7[v+1])-int64(c.VertexLatE7[v])))
		a := &c.AttributeRows[c.PieceAttributes[piece]]
		cell, km := at(lon, lat), length/1000/samples
		for _, kind := range bears[a.Class][bit[uint8](a.Flags&roadnet.BusRoute != 0, 1)] {
			cell.of[kind] += float32(km)
			if expected[kind] > 0 {
				cell.has[kind] += float32(counts[kind] / samples)
			} else if tagged(kind, a) {
				cell.has[kind] += float32(km)
			}
		}
	}
}

// tagged says whether a road has a tag of a kind.
func tagged(k roadnet.FactKind, a *roadnet.Attributes) bool {
	switch k {
	case roadnet.FactWidth:
		return a.WidthSource != extract.WidthUnknown
	case roadnet.FactParking:
		return a.Parking[0] != extract.ParkingUnknown || a.Parking[1] != extract.ParkingUnknown || a.ParkingBarred[0]|a.ParkingBarred[1] != 0
	case roadnet.FactLit:
		return a.Lit != extract.NotSaid
	case roadnet.FactSurface:
		return a.Surface != extract.SurfaceUnknown
	case roadnet.FactFootway:
		return a.Flags&(roadnet.Sidewalk|roadnet.NoSidewalk) != 0
	case roadnet.FactLimit:
		source := max(a.LimitSource[0], a.LimitSource[1])
		return source == extract.LimitMapped || source == extract.LimitZone || source == extract.LimitNone
	}
	return false
}

// shared counts things by stretch; one that is near several counts in parts.
func shared(start, near []uint32, things int) []float64 {
	roads := make([]float64, things)
	for _, i := range near {
		roads[i]++
	}
	out := make([]float64, len(start)-1)
	for t := range out {
		for _, i := range near[start[t]:start[t+1]] {
			out[t] += 1 / roads[i]
		}
	}
	return out
}

// countsOn counts the things of each kind on and beside a stretch, but for
// buildings and walls.
func (s *site) countsOn(t roadnet.StretchID) (n [roadnet.FactKinds]float64) {
	c := &s.c
	count := func(f extract.Feature, share float64) {
		if f&extract.Calming != 0 {
			n[roadnet.FactCalming] += share
		}
		if f&(extract.CrossingZebra|extract.CrossingSignals|extract.CrossingOther) != 0 {
			n[roadnet.FactCrossing] += share
		}
	}
	for k := c.ThingStart[t]; k < c.ThingStart[t+1]; k++ {
		count(c.ThingFeatures[k], 1)
	}
	for _, v := range [2]roadnet.NodeID{c.StretchTail[t], c.StretchHead[t]} {
		count(c.NodeFeatures[v], 1/float64(max(1, c.OutStart[v+1]-c.OutStart[v])))
	}
	for p := c.PieceStart[t]; p < c.PieceStart[t+1]; p++ {
		n[roadnet.FactCalming] += float64(c.AttributeRows[c.PieceAttributes[p]].Calming)
	}
	n[roadnet.FactStop] = float64(c.StopStart[t+1] - c.StopStart[t])
	n[roadnet.FactHome] = float64(c.KerbHomes[2*t]) + float64(c.KerbHomes[2*t+1])
	n[roadnet.FactGarage] = float64(c.KerbGarages[2*t]) + float64(c.KerbGarages[2*t+1])
	for m := c.MouthStart[t]; m < c.MouthStart[t+1]; m++ {
		if c.MouthKinds[m] == roadnet.MouthDrive {
			n[roadnet.FactDrive]++
		}
	}
	return n
}
