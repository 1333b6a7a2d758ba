package demotown

import (
	"math"
	"math/rand/v2"

	"loopwright/internal/geo"
)

// block is one building: a house, a pair, or a row under one roof, which the
// map draws as one outline.
type block struct {
	ring     []geo.XY
	homes    []*home // along its road; none in an institution
	district *district
	use      string // what it is if it holds no homes
	mapped   bool
}

// home is one address.
type home struct {
	at       geo.XY // on the middle line of its road
	road     *road
	along    float64 // metres on its road
	left     bool    // of the road as drawn
	number   int
	postcode string
	drive    bool      // a car can stand off the road
	hedge    bool      // its front hides the road behind it
	front    [2]geo.XY // the ends of its front boundary
}

// plotter sets buildings along the roads.
type plotter struct {
	*town
	random   *rand.Rand
	numbers  map[string][2]int
	codes    map[string]int
	postcode map[string]string
}

// buildHomes sets the buildings of every road with plots, largest roads first
// as they stand in the list, so that corners belong to the weightier road.
func (t *town) buildHomes() {
	t.blockCells, t.homesOn = map[cell][]int{}, map[*road][]*home{}
	p := &plotter{town: t, random: t.stream("homes"), numbers: map[string][2]int{}, codes: map[string]int{}, postcode: map[string]string{}}
	for _, r := range t.roads {
		if !r.class.public() || r.ring || r.dual || r.bridge || r.class == trunk || (r.district.name == countryside && r.class.major()) {
			continue
		}
		for _, left := range [2]bool{true, false} {
			p.buildSide(r, left)
		}
	}
	for i := range grounds {
		p.buildInstitution(&grounds[i])
	}
}

// buildSide walks one side of a road and builds rows of homes where there is
// room for them.
func (p *plotter) buildSide(r *road, left bool) {
	line := geo.Polyline(p.line(r))
	total := float64(line.Length())
	side := -1.0
	if left {
		side = 1
	}
	for s := 9.0; s < total-6; {
		at, _ := line.At(geo.Metres(s))
		d := districtAt(at)
		if d.name == countryside {
			if r.district.name == countryside && p.random.Float64() < 0.1 {
				p.row(r, line, s, side, d, 1)
			}
			s += 60
			continue
		}
		n := d.row
		if n > 1 && p.random.Float64() < 0.3 {
			n = max(1, n/2)
		}
		built := 0.0
		for ; n >= 1 && 3*n >= d.row; n /= 2 {
			if built = p.row(r, line, s, side, d, n); built > 0 {
				break
			}
		}
		if built == 0 {
			s += 4
			continue
		}
		gap := 3 + 6*p.random.Float64()
		if d.row <= 2 {
			gap = 4 + 6*p.random.Float64()
		}
		s += built + gap
	}
}

// row builds n homes from s along the road, or nothing at all; it answers with
// the length that they take.
func (p *plotter) row(r *road, line geo.Polyline, s, side float64, d *district, n int) float64 {
	width := d.plot * (0.94 + 0.12*p.random.Float64())
	long := width * float64(n)
	if s+long > float64(line.Length())-7 {
		return 0
	}
	a, _ := line.At(geo.Metres(s))
	b, _ := line.At(geo.Metres(s + long))
	mid, _ := line.At(geo.Metres(s + long/2))
	if distance(between(a, b, 0.5), mid) > 1.2 {
		return 0
	}
	along := unit(b.Sub(a))
	out := leftOf(along).Scale(side)
	wide := roadWidth(r)/2 + d.verge
	back := wide + d.setback*(0.85+0.3*p.random.Float64())
	deep := d.deep * (0.88 + 0.24*p.random.Float64())
	if d.name == works {
		deep = d.deep * (0.5 + 0.7*p.random.Float64())
	}
	if n == 1 {
		long *= 0.86
	}
	middle := mid.Add(out.Scale(back + deep/2))
	blk := &block{ring: box(middle, along, long, deep), district: d, mapped: !p.unmapped(middle)}
	if !p.free(blk.ring, r, 1.1) || p.onLand(middle, out, long, deep, along) {
		return 0
	}
	p.use(blk, r)
	for i := range n {
		f := (float64(i)+0.5)*width - float64(n)*width/2
		front := mid.Add(along.Scale(f)).Add(out.Scale(wide))
		h := &home{road: r, along: s + long/2 + f, left: side > 0, at: mid.Add(along.Scale(f))}
		h.front = [2]geo.XY{front.Sub(along.Scale(width / 2)), front.Add(along.Scale(width / 2))}
		h.drive = p.random.Float64() < d.drives
		h.hedge = p.random.Float64() < d.hedges
		p.address(h, d)
		blk.homes = append(blk.homes, h)
		p.homes, p.homesOn[r] = append(p.homes, h), append(p.homesOn[r], h)
	}
	p.addBlock(blk)
	if n <= 2 && blk.use == "" && blk.homes[0].drive && (d.name == hillside || d.name == interwar) && p.random.Float64() < 0.35 {
		p.garage(blk, middle.Add(out.Scale(deep/2+9)).Add(along.Scale(long/2-2)), along, r)
	}
	return long
}

// garage stands behind a house, where there is room.
func (p *plotter) garage(house *block, at, along geo.XY, r *road) {
	g := &block{ring: box(at, along, 3.2, 5.6), district: house.district, use: "garage", mapped: house.mapped}
	if p.free(g.ring, r, 1) && !closedLand(at) {
		p.addBlock(g)
	}
}

// roadWidth is the carriageway that the plots were laid out for.
func roadWidth(r *road) float64 {
	mean, _ := meanWidth(r)
	return mean
}

// unmapped leaves whole patches without buildings, and some houses anywhere:
// about one in five in all.
func (p *plotter) unmapped(at geo.XY) bool {
	patch := math.Sin(at.X/310+1.9)*math.Cos(at.Y/270+0.6) + 0.4*noise(at)
	return patch > 0.6 || p.random.Float64() < 0.05
}

// free says whether a building would stand clear of others and of all roads.
func (p *plotter) free(ring []geo.XY, own *road, clear float64) bool {
	mid := between(ring[0], ring[2], 0.5)
	reach := distance(ring[0], ring[2])/2 + 14
	ok := true
	p.near(mid, reach+10, func(_ int, s *piece) {
		if !ok {
			return
		}
		a, b := p.nodes[s.a].at, p.nodes[s.b].at
		need := roadWidth(s.road)/2 + 2.2
		if s.road.class == driveway || s.road.class == track {
			need = 1.8
		}
		for i := range ring {
			if away, _ := toSegment(ring[i], a, b); away < need {
				ok = false
			}
			if _, _, hit := crossing(ring[i], ring[(i+1)%4], a, b); hit {
				ok = false
			}
		}
	})
	if !ok {
		return false
	}
	lo, hi := cellOf(geo.XY{X: mid.X - reach, Y: mid.Y - reach}), cellOf(geo.XY{X: mid.X + reach, Y: mid.Y + reach})
	for x := lo.x; x <= hi.x; x++ {
		for y := lo.y; y <= hi.y; y++ {
			for _, i := range p.blockCells[cell{x, y}] {
				if overlap(ring, p.blocks[i].ring, clear) {
					return false
				}
			}
		}
	}
	return true
}

// overlap says whether two boxes come nearer than clear, by separating axes.
func overlap(a, b []geo.XY, clear float64) bool {
	for _, r := range [2][]geo.XY{a, b} {
		for i := range 2 {
			axis := unit(r[i+1].Sub(r[i]))
			lo1, hi1 := span(a, axis)
			lo2, hi2 := span(b, axis)
			if lo1 > hi2+clear || lo2 > hi1+clear {
				return false
			}
		}
	}
	return true
}

func span(ring []geo.XY, axis geo.XY) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, p := range ring {
		lo, hi = math.Min(lo, p.Dot(axis)), math.Max(hi, p.Dot(axis))
	}
	return lo, hi
}

// onLand says whether a plot would lie on closed land.
func (p *plotter) onLand(middle, out geo.XY, long, deep float64, along geo.XY) bool {
	for _, f := range [3]float64{-0.5, 0, 0.5} {
		q := middle.Add(along.Scale(f * long)).Add(out.Scale(deep / 2))
		if closedLand(q) {
			return true
		}
	}
	return false
}

func (p *plotter) addBlock(h *block) {
	id := len(p.blocks)
	p.blocks = append(p.blocks, h)
	lo, hi := h.ring[0], h.ring[0]
	for _, q := range h.ring {
		lo, hi = geo.XY{X: math.Min(lo.X, q.X), Y: math.Min(lo.Y, q.Y)}, geo.XY{X: math.Max(hi.X, q.X), Y: math.Max(hi.Y, q.Y)}
	}
	a, b := cellOf(lo), cellOf(hi)
	for x := a.x; x <= b.x; x++ {
		for y := a.y; y <= b.y; y++ {
			p.blockCells[cell{x, y}] = append(p.blockCells[cell{x, y}], id)
		}
	}
}

// buildInstitution sets the blocks of a school or the infirmary.
func (p *plotter) buildInstitution(g *ground) {
	if g.kind != school && g.kind != hospital {
		return
	}
	u, v := g.ring[1].Sub(g.ring[0]), g.ring[3].Sub(g.ring[0])
	along := unit(u)
	for _, b := range [][4]float64{{0.3, 0.3, 62, 16}, {0.2, 0.55, 16, 34}, {0.5, 0.52, 38, 20}} {
		at := g.ring[0].Add(u.Scale(b[0])).Add(v.Scale(b[1]))
		h := &block{ring: box(at, along, b[2], b[3]), district: districtAt(at), use: "school", mapped: true}
		if g.kind == hospital {
			h.use = "hospital"
		}
		p.addBlock(h)
	}
}
