package demotown

import (
	"math"
	"strconv"

	"loopwright/internal/geo"
)

// townName is invented, as every name here is.
const townName = "Ottenbridge"

// drawSurroundings maps what is not road: water, rails, grounds, buildings.
func (t *town) drawSurroundings(m *mapped) {
	m.addNode(xy(-20, 60), tags{"place": "town", "name": townName, "population": "41000"})
	m.addLine(river, tags{"waterway": "river", "name": "River Otten"})
	m.addRing(bank(river, riverWidth), tags{"natural": "water", "water": "river", "name": "River Otten"})
	t.drawRailway(m)
	for i := range grounds {
		g := &grounds[i]
		if k := g.groundTags(); k != nil {
			m.addRing(g.ring, k)
		}
	}
	for _, ring := range woods {
		m.addRing(ring, tags{"natural": "wood"})
	}
	random := t.stream("addresses")
	for _, b := range t.blocks {
		if b.mapped {
			m.addRing(b.ring, b.blockTags(random))
		}
	}
	t.drawPlaces(m)
	t.drawSchoolGates(m)
}

// drawSchoolGates maps the gates of two of the three schools, where the ground
// comes nearest to the road.
func (t *town) drawSchoolGates(m *mapped) {
	drawn := 0
	for _, f := range t.features {
		if f.kind != schoolGate || drawn == 2 {
			continue
		}
		drawn++
		best, at := math.Inf(1), f.at
		for i := range grounds {
			ring := grounds[i].ring
			if grounds[i].kind != school {
				continue
			}
			for k := range ring {
				a, b := ring[k], ring[(k+1)%len(ring)]
				if away, u := toSegment(f.at, a, b); away < best {
					best, at = away, between(a, b, u)
				}
			}
		}
		m.addNode(at, tags{"barrier": "gate", "entrance": "main"})
	}
}

// bank is the outline of a line of some width.
func bank(line []geo.XY, width float64) []geo.XY {
	ring := offset(line, width/2)
	right := offset(line, -width/2)
	for i := len(right) - 1; i >= 0; i-- {
		ring = append(ring, right[i])
	}
	return ring
}

// drawRailway shares the node of the level crossing with its road.
func (t *town) drawRailway(m *mapped) {
	level := xy(930, -345)
	refs := make([]int64, 0, len(railway))
	for _, p := range railway {
		if p == level {
			refs = append(refs, t.ids[t.nodeAt(p)])
			continue
		}
		refs = append(refs, m.addNode(p, nil))
	}
	m.addWay(refs, tags{"railway": "rail", "gauge": "1435", "electrified": "no"})
	m.addNode(xy(330, -388), tags{"railway": "station", "name": townName, "public_transport": "station"})
}

func (g *ground) groundTags() tags {
	switch g.kind {
	case school:
		return tags{"amenity": "school", "name": g.name}
	case hospital:
		return tags{"amenity": "hospital", "name": g.name}
	case park:
		return tags{"leisure": "park", "name": g.name}
	case pitches:
		return tags{"leisure": "recreation_ground", "name": g.name}
	case allotments:
		return tags{"landuse": "allotments", "name": g.name}
	case cemetery:
		return tags{"landuse": "cemetery", "name": g.name}
	}
	return nil
}

// poi is a place that a direction may name.
type poi struct {
	at   geo.XY
	tags tags
}

var pois = []poi{
	{xy(-70, 45), tags{"amenity": "place_of_worship", "religion": "christian", "name": "Minster Church"}},
	{xy(-1000, 140), tags{"amenity": "place_of_worship", "religion": "christian", "name": "Westlands Chapel"}},
	{xy(140, -1090), tags{"amenity": "place_of_worship", "religion": "christian", "name": "Beacon Hill Church"}},
	{xy(150, 32), tags{"amenity": "pub", "name": "The Drover's Rest"}},
	{xy(-655, 104), tags{"amenity": "pub", "name": "The Painted Heron"}},
	{xy(1140, 34), tags{"amenity": "pub", "name": "The Level Gate"}},
	{xy(60, -905), tags{"amenity": "pub", "name": "The Ferryman"}},
	{xy(790, 545), tags{"amenity": "pub", "name": "The Lamplighter"}},
	{xy(-1680, 130), tags{"amenity": "fuel", "name": "Wimmerleigh Filling Station"}},
	{xy(1920, 120), tags{"amenity": "fuel", "name": "Saxmoor Filling Station"}},
	{xy(60, 690), tags{"amenity": "fire_station"}},
	{xy(-90, 130), tags{"amenity": "post_office"}},
	{xy(-120, 25), tags{"amenity": "townhall"}},
	{xy(2060, 190), tags{"shop": "supermarket", "name": "Saxmoor Superstore"}},
}

// drawPlaces maps what stands beside the road: pubs, churches, post boxes, and
// the bus stops, each 4 m from the middle of the road as most are drawn.
func (t *town) drawPlaces(m *mapped) {
	for _, p := range pois {
		m.addNode(p.at, p.tags)
	}
	random := t.stream("post boxes")
	boxes := 0
	for _, i := range random.Perm(len(t.homes)) {
		if h := t.homes[i]; boxes < 34 {
			m.addNode(h.front[0], tags{"amenity": "post_box", "ref": "QX1 " + strconv.Itoa(100+boxes)})
			boxes++
		}
	}
	for _, f := range t.features {
		if f.kind != busStop || !f.mapped {
			continue
		}
		k := tags{"highway": "bus_stop", "public_transport": "platform", "name": f.name}
		m.addNode(t.beside(f, 4.5), k)
	}
}

// beside is a place some metres from the middle of a feature's road.
func (t *town) beside(f *feature, away float64) geo.XY {
	line := geo.Polyline(t.line(f.road))
	along, _, _ := line.Nearest(f.at)
	_, heading := line.At(along)
	side := leftOf(geo.Towards(heading))
	if !f.left {
		away = -away
	}
	return f.at.Add(side.Scale(away))
}
