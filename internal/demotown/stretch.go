package demotown

import (
	"math"

	"loopwright/internal/geo"
)

// stretch is the road between two neighbouring junctions, with all that is
// true of it. It runs from its first node; left and right are as seen along it.
type stretch struct {
	id    int
	runs  []run
	nodes []int
	line  geo.Polyline
	road  *road // of its longest run
	pass  [2]passing
	ends  [2]ending // behind and ahead
	width [worlds]float64
	drawn float64    // journeys that pass, one way
	flow  float64    // vehicles an hour at eleven in the morning, both ways
	mean  float64    // gradient in percent, uphill positive, along it
	steep float64    // steepest over 30 m, without its sign
	sight [2]float64 // least that is seen ahead along it, and against it
	bends float64    // most heading change over 30 m, degrees
	marks []mark
	bays  int
	lot   *lot
}

// run is a part of a stretch on one road: from and to are places in
// road.nodes, from > to where the stretch runs against the road.
type run struct {
	road     *road
	from, to int
}

// mark is a feature with its place along the stretch.
type mark struct {
	*feature
	along float64
	left  bool
}

// passing is one side of a stretch: what a driver passes on the near side.
type passing struct {
	homes, drives, hedges int
	kerb                  float64 // metres where a car can stand
	barred                bool    // yellow lines
	parked                [worlds][24]int
}

// findStretches walks the public roads from junction to junction, and adds the
// aisles of the car parks.
func (t *town) findStretches() {
	arms := t.publicArms()
	seen := map[[2]int]bool{}
	start := func(node int) {
		for _, r := range t.roadsAt(node) {
			if !r.class.public() {
				continue
			}
			for i, id := range r.nodes {
				if id != node {
					continue
				}
				for _, step := range [2]int{1, -1} {
					if j := i + step; j >= 0 && j < len(r.nodes) && !seen[[2]int{node, r.nodes[j]}] {
						t.follow(r, i, step, arms, seen)
					}
				}
			}
		}
	}
	for id := range t.nodes {
		if arms[id] > 0 && t.divides(id, arms) {
			start(id)
		}
	}
	for _, p := range t.lots {
		for _, r := range p.ways {
			if r.class == aisle {
				s := &stretch{id: len(t.stretches), runs: []run{{r, 0, len(r.nodes) - 1}}, nodes: r.nodes, line: t.line(r), road: r, bays: p.capacity / 2, lot: p}
				t.stretches = append(t.stretches, s)
			}
		}
	}
}

// publicArms counts, for each node, the arms of roads that are open to all.
func (t *town) publicArms() []int {
	arms := make([]int, len(t.nodes))
	for _, r := range t.roads {
		if !r.class.public() {
			continue
		}
		for i := 1; i < len(r.nodes); i++ {
			arms[r.nodes[i-1]]++
			arms[r.nodes[i]]++
		}
	}
	return arms
}

// divides says whether a stretch ends at a node.
func (t *town) divides(id int, arms []int) bool {
	return arms[id] != 2 || t.control[id] != unknownFeature
}

// follow walks one stretch to its end and keeps it.
func (t *town) follow(r *road, at, step int, arms []int, seen map[[2]int]bool) {
	s := &stretch{id: len(t.stretches), nodes: []int{r.nodes[at]}}
	from := at
	for {
		a, b := r.nodes[at], r.nodes[at+step]
		seen[[2]int{a, b}], seen[[2]int{b, a}] = true, true
		s.nodes = append(s.nodes, b)
		at += step
		end := t.divides(b, arms)
		if !end && at+step >= 0 && at+step < len(r.nodes) {
			continue
		}
		s.runs = append(s.runs, run{r, from, at})
		if end {
			break
		}
		next, i := t.carry(r, b)
		if next == nil {
			break
		}
		r, at, from = next, i, i
		step = 1
		if i > 0 {
			step = -1
		}
	}
	for _, id := range s.nodes {
		s.line = append(s.line, t.nodes[id].at)
	}
	best := 0.0
	for _, u := range s.runs {
		if l := math.Abs(t.along(u.road, u.to) - t.along(u.road, u.from)); l > best {
			best, s.road = l, u.road
		}
	}
	t.stretches = append(t.stretches, s)
}

// carry finds the other public road that ends where r ends.
func (t *town) carry(r *road, node int) (*road, int) {
	for _, o := range t.roadsAt(node) {
		if o == r || !o.class.public() {
			continue
		}
		if o.nodes[0] == node {
			return o, 0
		}
		if last := len(o.nodes) - 1; o.nodes[last] == node {
			return o, last
		}
	}
	return nil, 0
}

func (s *stretch) length() float64 { return float64(s.line.Length()) }

// shape measures gradient and bend.
func (t *town) shape(s *stretch) {
	long := s.length()
	at := func(m float64) float64 {
		p, _ := s.line.At(geo.Metres(m))
		return t.roadHeight(s, p, m)
	}
	s.mean = 100 * (at(long) - at(0)) / math.Max(long, 1)
	for m := 0.0; m+30 <= long; m += 5 {
		s.steep = math.Max(s.steep, 100*math.Abs(at(m+30)-at(m))/30)
	}
	if long < 30 {
		s.steep = math.Abs(s.mean)
	}
	s.sight = [2]float64{t.lookAlong(s, s.line), t.lookAlong(s, s.line.Reversed())}
	smooth := s.line.Resample(3)
	for i := 5; i+5 < len(smooth); i++ {
		a, b := angle(smooth[i].Sub(smooth[i-5])), angle(smooth[i+5].Sub(smooth[i]))
		s.bends = math.Max(s.bends, math.Abs(bend(a, b))/degree)
	}
}

// lookAlong measures how far a driver sees along the stretch at the worst place
// of it, up to farthestSight or its end: eye 1.05 m and object 0.6 m over the
// road (Manual for Streets, DfT 2007, section 7.6, from memory), past houses,
// front hedges and brows.
func (t *town) lookAlong(s *stretch, line geo.Polyline) float64 {
	const eye, object = 1.05, 0.6
	long := float64(line.Length())
	worst := farthestSight
	for m := 10.0; m < long-10; m += 20 {
		p, heading := line.At(geo.Metres(m))
		p = p.Add(leftOf(geo.Towards(heading)).Scale(1.6))
		base, seen := height(p)+eye, 0.0
		for d := 8.0; ; d += 8 {
			if d > farthestSight || m+d > long {
				seen = farthestSight
				break
			}
			q, _ := line.At(geo.Metres(m + d))
			top := height(q) + object
			under, _ := line.At(geo.Metres(m + d/2))
			if height(under) > (base+top)/2 && !s.road.bridge || t.hidden(p, q) {
				break
			}
			seen = d
		}
		worst = math.Min(worst, seen)
	}
	return worst
}

// roadHeight is the height of the carriageway: the land's, but straight from
// end to end on a bridge.
func (t *town) roadHeight(s *stretch, p geo.XY, along float64) float64 {
	if s.road.bridge {
		f := along / s.length()
		return height(s.line[0])*(1-f) + height(s.line[len(s.line)-1])*f
	}
	return height(p)
}
