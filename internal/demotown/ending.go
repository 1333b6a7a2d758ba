package demotown

import (
	"fmt"
	"math"

	"loopwright/internal/geo"
)

// ending is what a driver meets at one end of a stretch.
type ending struct {
	kind   junctionKind
	arms   int
	sight  [2]float64 // to the left and right along the road that is met, from 2.4 m back; −1 where nothing is to be crossed
	corner [2]float64 // kerb radius at the left and right corner, 0 where there is none
	signed bool       // a direction sign stands before it
}

// junctionKind is a kind of junction as it is driven from one arm.
type junctionKind int

const (
	unknownJunction junctionKind = iota
	roadEnd
	sideRoad // this arm goes through; a side road joins
	stem     // this arm ends at the road that is met
	crossroads
	staggered
	atMiniRoundabout
	atRoundabout
	atSignals
)

// String gives the name used in truth.csv.
func (k junctionKind) String() string {
	switch k {
	case roadEnd:
		return "end"
	case sideRoad:
		return "side road"
	case stem:
		return "t"
	case crossroads:
		return "crossroads"
	case staggered:
		return "staggered"
	case atMiniRoundabout:
		return "mini-roundabout"
	case atRoundabout:
		return "roundabout"
	case atSignals:
		return "signals"
	}
	return "unknown"
}

const farthestSight = 90.0 // metres; farther is written as this

// setControls remembers which nodes hold signals, mini-roundabouts and the like.
func (t *town) setControls() {
	t.control = make([]featureKind, len(t.nodes))
	for _, f := range t.features {
		if f.kind != signals && f.kind != miniRoundabout {
			continue
		}
		for i := range t.nodes {
			if t.nodes[i].at == f.at {
				t.control[i] = f.kind
			}
		}
	}
}

// setEndings looks at both ends of every stretch.
func (t *town) setEndings() {
	t.stretchesOn = map[*road][]*stretch{}
	for _, s := range t.stretches {
		for _, u := range s.runs {
			t.stretchesOn[u.road] = append(t.stretchesOn[u.road], s)
		}
	}
	arms := t.publicArms()
	for _, s := range t.stretches {
		if s.lot != nil {
			continue
		}
		last := len(s.nodes) - 1
		s.ends[0] = t.ending(s, s.nodes[0], s.nodes[1], arms)
		s.ends[1] = t.ending(s, s.nodes[last], s.nodes[last-1], arms)
	}
}

// ending looks at the node at, met from the node before.
func (t *town) ending(s *stretch, at, before int, arms []int) ending {
	e := ending{arms: arms[at], sight: [2]float64{-1, -1}}
	in := angle(t.nodes[at].at.Sub(t.nodes[before].at))
	ring := false
	for _, r := range t.roadsAt(at) {
		ring = ring || r.ring
	}
	ways := t.armsAhead(at, before)
	ahead := false
	for _, w := range ways {
		ahead = ahead || math.Abs(bend(in, w.angle)) < 35*degree
	}
	switch {
	case ring:
		e.kind = atRoundabout
	case t.control[at] == signals:
		e.kind = atSignals
	case t.control[at] == miniRoundabout:
		e.kind = atMiniRoundabout
	case arms[at] <= 2:
		e.kind = roadEnd
	case arms[at] >= 4:
		e.kind = crossroads
	case !ahead:
		e.kind = stem
		if t.facing(at, arms) {
			e.kind = staggered
		}
	default:
		e.kind = sideRoad
	}
	if e.kind == stem || e.kind == staggered || e.kind == crossroads {
		e.sight = t.sight(at, in, ways)
	}
	random := t.stream(fmt.Sprint("corner ", at, before))
	d := districtAt(t.nodes[before].at)
	for i := range e.sight {
		if wall := 7 + 31*random.Float64(); e.sight[i] > wall && random.Float64() < d.blind {
			e.sight[i] = math.Round(wall)
		}
	}
	for i, turn := range [2]float64{1, -1} {
		for _, w := range ways {
			if swing := bend(in, w.angle) * turn; swing > 50*degree && swing < 130*degree && w.road.class.public() {
				e.corner[i] = 4 + 5*random.Float64()
			}
		}
	}
	e.signed = (e.kind == atRoundabout || e.kind == atSignals) && s.road.class.major() && s.road.class != tertiary
	return e
}

// way is an arm of a junction as a driver sees it.
type way struct {
	road  *road
	angle float64
}

// armsAhead are the public arms of a node but the one from before.
func (t *town) armsAhead(at, before int) []way {
	var out []way
	for _, r := range t.roadsAt(at) {
		if !r.class.public() {
			continue
		}
		for i, id := range r.nodes {
			if id != at {
				continue
			}
			for _, j := range [2]int{i - 1, i + 1} {
				if j >= 0 && j < len(r.nodes) && r.nodes[j] != before {
					out = append(out, way{r, angle(t.nodes[r.nodes[j]].at.Sub(t.nodes[at].at))})
				}
			}
		}
	}
	return out
}

// facing says whether another side road joins within 40 m, as in a staggered
// crossroads.
func (t *town) facing(at int, arms []int) bool {
	found := false
	t.near(t.nodes[at].at, 40, func(_ int, s *piece) {
		for _, k := range [2]int{s.a, s.b} {
			if k != at && arms[k] == 3 && distance(t.nodes[k].at, t.nodes[at].at) < 40 && s.road.class.public() {
				for _, r := range t.roadsAt(at) {
					found = found || (r == s.road && t.on(r, k))
				}
			}
		}
	})
	return found
}

// sight walks along the road that is met, to the left and to the right, until
// a house or a front hedge hides it from a driver 2.4 m behind the give-way line
// (the x-distance of Manual for Streets, DfT 2007, section 7.7, from memory).
func (t *town) sight(at int, in float64, ways []way) [2]float64 {
	out := [2]float64{-1, -1}
	for i, turn := range [2]float64{1, -1} {
		for _, w := range ways {
			swing := bend(in, w.angle) * turn
			if swing < 40*degree || swing > 145*degree {
				continue
			}
			back := roadWidth(w.road)/2 + 2.4
			eye := t.nodes[at].at.Sub(toward(in).Scale(back))
			far := 0.0
			line := geo.Polyline(t.line(w.road))
			from, _, _ := line.Nearest(t.nodes[at].at)
			_, heading := line.At(from)
			sign := 1.0
			if math.Cos(math.Pi/2-float64(heading)-w.angle) < 0 {
				sign = -1
			}
			for m := 3.0; m <= farthestSight; m += 3 {
				q := from + geo.Metres(sign*m)
				if q < 0 || q > line.Length() {
					far = farthestSight
					break
				}
				p, _ := line.At(q)
				if t.hidden(eye, p) {
					break
				}
				far = m
			}
			out[i] = far
		}
	}
	return out
}

// hidden says whether a building or a hedge stands between two positions.
func (t *town) hidden(p, q geo.XY) bool {
	reach := distance(p, q)/2 + 25
	mid := between(p, q, 0.5)
	lo, hi := cellOf(geo.XY{X: mid.X - reach, Y: mid.Y - reach}), cellOf(geo.XY{X: mid.X + reach, Y: mid.Y + reach})
	for x := lo.x; x <= hi.x; x++ {
		for y := lo.y; y <= hi.y; y++ {
			for _, i := range t.blockCells[cell{x, y}] {
				b := t.blocks[i]
				for k := range b.ring {
					if _, _, ok := crossing(p, q, b.ring[k], b.ring[(k+1)%4]); ok {
						return true
					}
				}
				for _, h := range b.homes {
					if h.hedge {
						if _, _, ok := crossing(p, q, h.front[0], h.front[1]); ok {
							return true
						}
					}
				}
			}
		}
	}
	return false
}
