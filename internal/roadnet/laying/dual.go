package laying

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// A one-way road is half of a dual carriageway if it is tagged so or if, along
// at least half of it, another one-way road of the same name or number runs
// the other way within halvesApart. All figures are our choice: central
// reserves in towns are a few metres wide; lanes and verge on both sides
// rarely put more than 30 m between the middles of the halves. Roads shorter
// than flareLength are the arms of splitter islands, unless they continue a
// half.
const (
	halvesApart = 30.0 // m between their middles
	flareLength = 40.0 // m
	sampleStep  = 40.0 // between the points of a road that are looked at
)

// sample is a point of a one-way road and the direction of its traffic.
type sample struct {
	cell         cell
	lonE7, latE7 int32
	east, north  float32 // of a unit vector
	road         uint32
}

// against is the cosine beyond which two directions are opposite: 30° apart.
const against = -0.866

// findHalves finds such roads.
func (s *site) findHalves() { s.dual = s.matchHalves(s.sampleOneWays()) }

// markDual sets the DualCarriageway flag of their pieces.
func (s *site) markDual() {
	c := &s.c
	for p := range c.PieceWay {
		if !s.dual[s.pieceRoad[p]] {
			continue
		}
		a := c.AttributeRows[c.PieceAttributes[p]]
		a.Flags |= roadnet.DualCarriageway
		c.PieceAttributes[p] = s.row(a)
	}
}

// pairable says whether a road may be a half: one-way, no roundabout, and with
// something to know its other half by.
func pairable(r *extract.Road) bool {
	return public(r) && !r.Roundabout && oneWay(r) && r.DualTag != extract.No &&
		(r.Name != "" || r.Ref != "" || r.Class <= extract.Trunk) && !r.Link
}

func oneWay(r *extract.Road) bool {
	return roadnet.Drivable(r.UseForward) != roadnet.Drivable(r.UseBackward)
}

// sameRoad says whether two halves bear the same name or number; motorways and
// trunk roads with neither go by their class.
func sameRoad(a, b *extract.Road) bool {
	if a.Name != "" || b.Name != "" {
		return a.Name == b.Name || a.Ref != "" && a.Ref == b.Ref
	}
	return a.Ref == b.Ref && a.Class == b.Class
}

func (s *site) sampleOneWays() []sample {
	g := s.newGrid(halvesApart + sampleStep)
	var roads []uint32
	count := 0
	samples := func(l uint32) int { return max(1, int(math.Round(s.length(l)/sampleStep))) }
	for i, road := range s.x.Roads {
		if pairable(road) {
			roads = append(roads, uint32(i))
			for l := s.refStart[i]; l+1 < s.refStart[i+1]; l++ {
				count += samples(l)
			}
		}
	}
	out := make([]sample, 0, count)
	for _, i := range roads {
		for l := s.refStart[i]; l+1 < s.refStart[i+1]; l++ {
			if s.kind[l] != networkLink {
				continue
			}
			a, b := &s.x.Nodes[s.ref[l]], &s.x.Nodes[s.ref[l+1]]
			way := geo.PlaneAt(s.point(s.ref[l])).To(s.point(s.ref[l+1]))
			way = way.Scale(1 / max(1e-3, float64(way.Norm())))
			if roadnet.Drivable(s.x.Roads[i].UseBackward) {
				way = way.Scale(-1)
			}
			n := samples(l)
			for k := range n {
				t := (float64(k) + 0.5) / float64(n)
				lon := a.LonE7 + int32(t*float64(b.LonE7-a.LonE7))
				lat := a.LatE7 + int32(t*float64(b.LatE7-a.LatE7))
				out = append(out, sample{g.cell(lon, lat), lon, lat, float32(way.X), float32(way.Y), i})
			}
		}
	}
	slices.SortFunc(out, func(a, b sample) int { return compare(a.cell, b.cell) })
	return out
}

// matchHalves says of each road whether it is a half.
func (s *site) matchHalves(samples []sample) []bool {
	beside := make([]bool, len(samples))
	parallel(s.workers, len(samples), func(lo, hi int) {
		for i := lo; i < hi; i++ {
			beside[i] = s.halfBeside(samples, &samples[i])
		}
	})
	of, matched := make([]uint32, len(s.x.Roads)), make([]uint32, len(s.x.Roads))
	for i, m := range samples {
		of[m.road]++
		if beside[i] {
			matched[m.road]++
		}
	}
	dual := make([]bool, len(s.x.Roads))
	var short []uint32
	for i := range dual {
		if of[i] == 0 || 2*matched[i] < of[i] {
			continue
		}
		if s.wayAlong[s.refStart[i+1]-1]-s.wayAlong[s.refStart[i]] >= flareLength {
			dual[i] = true
		} else {
			short = append(short, uint32(i))
		}
	}
	for changed := true; changed; {
		changed = false
		for _, i := range short {
			if !dual[i] && s.continuesHalf(i, dual) {
				dual[i], changed = true, true
			}
		}
	}
	return dual
}

// halfBeside looks for a sample of the other half in the nine cells around.
// Cells above one another are neighbours in the order, so three runs are all.
func (s *site) halfBeside(samples []sample, m *sample) bool {
	for column := cell(-1); column <= 1; column++ {
		low := m.cell + column<<32 - 1
		k, _ := slices.BinarySearchFunc(samples, low, func(o sample, c cell) int { return compare(o.cell, c) })
		for ; k < len(samples) && samples[k].cell <= low+2; k++ {
			o := &samples[k]
			if m.east*o.east+m.north*o.north < against && o.road != m.road &&
				sameRoad(s.x.Roads[m.road], s.x.Roads[o.road]) && beside(m, o) {
				return true
			}
		}
	}
	return false
}

// beside says whether o lies to the side of m, not before or behind it.
func beside(m, o *sample) bool {
	point := func(m *sample) orb.Point { return orb.Point{float64(m.lonE7) / 1e7, float64(m.latE7) / 1e7} }
	at, way := geo.PlaneAt(point(m)).To(point(o)), geo.XY{X: float64(m.east), Y: float64(m.north)}
	return math.Abs(at.Dot(way)) <= sampleStep && math.Abs(at.Cross(way)) <= halvesApart
}

// continuesHalf says whether a road begins or ends where a half of the same
// road ends or begins.
func (s *site) continuesHalf(i uint32, dual []bool) bool {
	for _, node := range [2]uint32{s.ref[s.refStart[i]], s.ref[s.refStart[i+1]-1]} {
		for _, e := range s.ends(node) {
			if o := s.roadOf[e.link()]; dual[o] && sameRoad(s.x.Roads[i], s.x.Roads[o]) {
				return true
			}
		}
	}
	return false
}
