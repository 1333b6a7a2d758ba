package demotown

import (
	"math"

	"loopwright/internal/geo"
)

// layby is a pull-in beside a road of the plan.
type layby struct {
	road  string
	class class
	nth   int     // which carriageway or part of that name, in the order drawn
	at    float64 // metres along it
}

var laybys = []layby{
	{"Northern By-pass", trunk, 0, 260}, {"Northern By-pass", trunk, 1, 380},
	{"Northern By-pass", trunk, 2, 850}, {"Northern By-pass", trunk, 3, 300},
	{"Wimmerleigh Road", primary, 0, 250}, {"Saxmoor Road", primary, 0, 320},
	{"Harrowmere Road", secondary, 1, 700}, {"Lunderstow Road", secondary, 1, 900},
}

// buildLaybys adds them: 60 m long, 5 m to the left of the way of the traffic.
func (t *town) buildLaybys() {
	for _, l := range laybys {
		nth := 0
		for _, r := range t.roads {
			if r.name != l.road || r.class != l.class || r.ring || lengthOf(t.line(r)) < l.at+130 {
				continue
			}
			if nth == l.nth {
				t.pullIn(r, l.at)
				break
			}
			nth++
		}
	}
}

func (t *town) pullIn(r *road, from float64) {
	line := geo.Polyline(t.line(r))
	ends := [2]int{t.cutAt(r, from), t.cutAt(r, from+80)}
	side := offset(line.Slice(geo.Metres(from+12), geo.Metres(from+68)), 5.5)
	nodes := []int{ends[0]}
	for _, p := range simplified(side, 0.3) {
		nodes = append(nodes, t.addNode(p))
	}
	t.addRoad(&road{class: service, district: r.district, nodes: append(nodes, ends[1]), oneWay: true, tags: tags{"service": "layby"}})
}

// cutAt puts a node on a road some metres along it.
func (t *town) cutAt(r *road, along float64) int {
	p, _ := geo.Polyline(t.line(r)).At(geo.Metres(along))
	id, _, u := t.nearestPiece(p, 2, func(s *piece) bool { return s.road == r })
	return t.cut(id, u)
}

// buildByways adds what leads nowhere for a learner: drives, farm tracks with
// gates, a private road through the infirmary, the island's lane.
func (t *town) buildByways() {
	random := t.stream("byways")
	for _, r := range append([]*road(nil), t.roads...) {
		long := lengthOf(t.line(r))
		switch {
		case r.district.name == countryside && !r.class.major() && r.spacing == 0 && r.class == unclassified && long > 400:
			for s := 180.0 + 200*random.Float64(); s < long-120; s += 500 + 400*random.Float64() {
				t.spur(r, s, 90+200*random.Float64(), 1-2*float64(random.IntN(2)), track, tags{"tracktype": "grade2"}, true)
			}
		case r.district.name == hillside && r.class == residential && long > 110 && random.Float64() < 0.4:
			for s := 35.0; s < long-30; s += 26 + 20*random.Float64() {
				t.spur(r, s, 14, 1-2*float64(random.IntN(2)), driveway, tags{"service": "driveway"}, false)
			}
		case r.district.name == works && long > 90:
			for s := 45.0; s < long-40; s += 70 + 30*random.Float64() {
				t.spur(r, s, 34, 1-2*float64(random.IntN(2)), service, tags{"access": "private"}, false)
			}
		}
	}
	// A lane on its own that the rest of the map does not reach.
	a, b, c := t.addNode(xy(-2350, -1020)), t.addNode(xy(-2200, -1060)), t.addNode(xy(-2040, -1030))
	t.addRoad(&road{name: "Decoy Lane", class: unclassified, district: districts[countryside], nodes: []int{a, b, c}})
}

// spur is a short way off a road to one side, if the land is free.
func (t *town) spur(r *road, along, long, side float64, c class, k tags, gate bool) {
	p, heading := geo.Polyline(t.line(r)).At(geo.Metres(along))
	if id, _ := t.nearestJunction(p, 12); id >= 0 {
		return
	}
	dir := toward(math.Pi/2 - float64(heading) + side*1.5)
	q := p.Add(dir.Scale(long))
	if closedLand(q) || closedLand(between(p, q, 0.5)) || t.blocked(p, q, nil) {
		return
	}
	if id, _, _ := t.nearestPiece(q, 12, nil); id >= 0 {
		return
	}
	start := t.cutAt(r, along)
	nodes := []int{start}
	if gate {
		g := t.addNode(p.Add(dir.Scale(9)))
		t.nodes[g].tags = tags{"barrier": "gate"}
		nodes = append(nodes, g)
	}
	t.addRoad(&road{class: c, district: r.district, nodes: append(nodes, t.addNode(q)), tags: k})
}
