package demotown

import (
	"math"
	"strconv"

	"loopwright/internal/geo"
)

// lot is a car park with its aisles.
type lot struct {
	*ground
	public   bool
	capacity int
	fee      bool
	maxInM   float64 // a height bar, 0 for none
	ways     []*road // entrance and aisles
	bays     bool    // each of its bays is on the map
}

// A bay is 4.8 × 2.4 m, an aisle 6 m wide
// (Manual for Streets, DfT 2007, section 8.3, from memory).
const bayWidth = 2.4

// buildCarParks lays an entrance and two aisles in each car park's ground.
func (t *town) buildCarParks() {
	public := 0
	for i := range grounds {
		g := &grounds[i]
		if g.kind != carPark && g.kind != privateCarPark {
			continue
		}
		p := &lot{ground: g, public: g.kind == carPark}
		u, v := g.ring[1].Sub(g.ring[0]), g.ring[3].Sub(g.ring[0])
		p.capacity = 4 * int((math.Hypot(u.X, u.Y)-14)/bayWidth)
		if p.public {
			public++
			p.fee = public <= 2
			p.bays = public >= 3 && public <= 4
			if public == 2 {
				p.maxInM = 2.1
			}
		}
		corner := func(along, deep float64) int { return t.addNode(g.ring[0].Add(u.Scale(along)).Add(v.Scale(deep))) }
		a, b, c, d := corner(0.06, 0.26), corner(0.94, 0.26), corner(0.94, 0.74), corner(0.06, 0.74)
		gate, gateAt := t.entrance(g, []int{a, b, c, d})
		if gate < 0 {
			panic("bug in demotown: no road near " + g.name)
		}
		access := tags{}
		if !p.public {
			access["access"] = "customers"
		}
		for _, ids := range [][]int{{gate, gateAt}, {a, b}, {b, c}, {c, d}, {d, a}} {
			r := &road{class: aisle, district: districtAt(g.ring[0]), nodes: ids, tags: access}
			if ids[0] == gate || ids[0] == b || ids[0] == d {
				r.class = service
			}
			t.addRoad(r)
			p.ways = append(p.ways, r)
		}
		t.lots = append(t.lots, p)
	}
}

// entrance finds the road nearest to one of the corners and cuts a mouth into
// it, away from junctions.
func (t *town) entrance(g *ground, corners []int) (mouth, corner int) {
	best := math.Inf(1)
	var where geo.XY
	for _, k := range corners {
		at := t.nodes[k].at
		t.near(at, 150, func(_ int, s *piece) {
			if !s.road.class.public() || s.road.spacing == 0 || s.road.bridge {
				return
			}
			a, b := t.nodes[s.a].at, t.nodes[s.b].at
			for _, f := range [3]float64{0.2, 0.5, 0.8} {
				p := between(a, b, f)
				if id, _ := t.nearestJunction(p, 18); id >= 0 {
					continue
				}
				if away := distance(at, p); away < best && !t.blocked(p, at, g) {
					best, where, corner = away, p, k
				}
			}
		})
	}
	if math.IsInf(best, 1) {
		return -1, -1
	}
	id, _, u := t.nearestPiece(where, 3, func(s *piece) bool { return s.road.class.public() })
	return t.cut(id, u), corner
}

// blocked says whether a drive from p to q would cross a road, the rails or
// another ground.
func (t *town) blocked(p, q geo.XY, own *ground) bool {
	if crosses(p, q, railway) || crosses(p, q, river) {
		return true
	}
	for i := range grounds {
		if g := &grounds[i]; g != own && crosses(p, q, append(g.ring[:len(g.ring):len(g.ring)], g.ring[0])) {
			return true
		}
	}
	hit := false
	t.near(between(p, q, 0.5), distance(p, q), func(_ int, s *piece) {
		if k, _, ok := crossing(p, q, t.nodes[s.a].at, t.nodes[s.b].at); ok && k > 0.02 && k < 0.98 {
			hit = true
		}
	})
	return hit
}

func crosses(p, q geo.XY, line []geo.XY) bool {
	for i := 1; i < len(line); i++ {
		if _, _, ok := crossing(p, q, line[i-1], line[i]); ok {
			return true
		}
	}
	return false
}

// drawCarParks maps the grounds of the car parks.
func (t *town) drawCarParks(m *mapped) {
	for _, p := range t.lots {
		k := tags{"amenity": "parking", "name": p.name, "parking": "surface"}
		if p.public {
			k["access"] = "yes"
		} else {
			k["access"] = "customers"
		}
		if p.public || p.capacity > 120 {
			k["capacity"] = strconv.Itoa(p.capacity)
		}
		if p.fee {
			k["fee"] = "Mo-Sa 08:00-18:00"
		} else if p.public {
			k["fee"] = "no"
		}
		if p.maxInM > 0 {
			k["maxheight"] = strconv.FormatFloat(p.maxInM, 'f', 1, 64)
		}
		m.addRing(p.ring, k)
		if p.bays {
			t.drawBays(m, p)
		}
	}
}

// drawBays maps every bay: a row on each side of both aisles.
func (t *town) drawBays(m *mapped, p *lot) {
	const bayDepth = 4.8
	for _, w := range p.ways {
		if w.class != aisle {
			continue
		}
		a, b := t.nodes[w.nodes[0]].at, t.nodes[w.nodes[1]].at
		along := unit(b.Sub(a))
		for _, side := range [2]float64{1, -1} {
			out := leftOf(along).Scale(side * (3 + bayDepth/2))
			for s := bayWidth / 2; s < distance(a, b); s += bayWidth {
				m.addRing(box(a.Add(along.Scale(s)).Add(out), along, bayWidth, bayDepth), tags{"amenity": "parking_space"})
			}
		}
	}
}
