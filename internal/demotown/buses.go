package demotown

import (
	"strconv"

	"loopwright/internal/geo"
)

// busLine is a bus route there or back.
type busLine struct {
	ref   string
	arms  []arm
	nodes []int // where each arm starts
}

// busPlaces are the corners that each route calls at, in order.
var busPlaces = []struct {
	ref   string
	stops []geo.XY
}{
	{"1", []geo.XY{xy(-2050, 1330), outerNorthWest, innerNorthWest, marketWest, market, crossingJn, outerEast, eastRoundaboutEdge}},
	{"2", []geo.XY{market, innerNorth, outerNorth, xy(700, 1040), outerNorthEast, xy(1430, 850), xy(1690, 560), outerEast}},
	{"3", []geo.XY{northGate, innerWest, outerWest, xy(-1600, 380), outerNorthWest, xy(-620, 1280), outerNorth}},
	{"4", []geo.XY{market, southCross, xy(-640, -950), xy(-980, -1180), xy(-560, -1590), xy(90, -1430), xy(780, -1190), xy(830, -880), southCross}},
}

var eastRoundaboutEdge = xy(2760, 60)

// runBuses finds the routes both ways and puts a stop about every 320 m, on
// the left as the bus goes. Nobody has mapped the stops of the inter-war
// quarter.
func (t *town) runBuses() {
	d := t.newDriver()
	for _, b := range busPlaces {
		there := t.busRun(d, b.ref, b.stops)
		back := make([]geo.XY, len(b.stops))
		for i, p := range b.stops {
			back[len(back)-1-i] = p
		}
		for _, l := range [2]*busLine{there, t.busRun(d, b.ref, back)} {
			t.buses = append(t.buses, l)
			t.putStops(l)
		}
	}
}

func (t *town) busRun(d *driver, ref string, stops []geo.XY) *busLine {
	l := &busLine{ref: ref}
	for i := 1; i < len(stops); i++ {
		arms, nodes := d.path(t.publicNode(stops[i-1]), t.publicNode(stops[i]))
		l.arms, l.nodes = append(l.arms, arms...), append(l.nodes, nodes...)
	}
	for _, a := range l.arms {
		a.road.bus = true
	}
	return l
}

// publicNode is the node of a public road nearest to a place of the plan, which
// a roundabout may have swallowed.
func (t *town) publicNode(p geo.XY) int {
	id, _, _ := t.nearestPiece(p, 80, func(s *piece) bool { return s.road.class.public() && !s.road.dual })
	s := t.pieces[id]
	if distance(p, t.nodes[s.b].at) < distance(p, t.nodes[s.a].at) {
		return s.b
	}
	return s.a
}

func (t *town) putStops(l *busLine) {
	since := 200.0
	for i, a := range l.arms {
		p, q := t.nodes[l.nodes[i]].at, t.nodes[a.to].at
		since += distance(p, q)
		if since < 320 || a.road.ring || a.road.limit > 40 {
			continue
		}
		at := between(p, q, 0.5)
		if id, _ := t.nearestJunction(at, 15); id >= 0 || t.stopNear(at, l, p, q) {
			continue
		}
		since = 0
		forward := a.road.nodes[a.index] == l.nodes[i]
		t.features = append(t.features, &feature{kind: busStop, at: at, road: a.road, left: forward,
			mapped: districtAt(at).name != interwar, name: a.road.name + " " + strconv.Itoa(len(t.features)%9+1)})
	}
}

// stopNear says whether a stop on the same side stands within 120 m already.
func (t *town) stopNear(at geo.XY, l *busLine, p, q geo.XY) bool {
	for _, f := range t.features {
		if f.kind == busStop && distance(f.at, at) < 120 && t.beside(f, 4).Sub(p).Cross(q.Sub(p)) < 0 {
			return true
		}
	}
	return false
}

// drawBuses maps the routes as relations of ways in the order of the journey,
// the stops of the map among them. One member of the first route lies beyond
// the edge of the extract.
func (t *town) drawBuses(m *mapped) {
	for i, l := range t.buses {
		var members []member
		last := int64(0)
		for _, a := range l.arms {
			if id := t.wayOf(a.road, a.index); id != last {
				members = append(members, member{wayMember, id, ""})
				last = id
			}
		}
		if i == 0 {
			members = append(members, member{wayMember, missingWay, ""})
		}
		m.addRelation(members, tags{"type": "route", "route": "bus", "ref": l.ref, "name": "Bus " + l.ref})
	}
}

// wayOf is the way that holds the part of a road after one of its nodes.
func (t *town) wayOf(r *road, index int) int64 {
	for _, w := range t.ways[r] {
		if index < w.to {
			return w.id
		}
	}
	panic("bug in demotown: part of a road on no way")
}
