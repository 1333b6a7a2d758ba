package demotown

import (
	"math/rand/v2"

	"loopwright/internal/geo"
)

// featureKind is a thing on or beside the carriageway.
type featureKind int

const (
	unknownFeature featureKind = iota
	signals
	miniRoundabout
	stopSign
	giveWay
	pelican
	zebra
	refuge
	hump
	table
	cushion
	choker
	busStop
	levelCrossing
	schoolGate
	turningHead
	passingPlace
)

// String gives the name used in truth.csv.
func (k featureKind) String() string {
	switch k {
	case signals:
		return "signals"
	case miniRoundabout:
		return "mini-roundabout"
	case stopSign:
		return "stop"
	case giveWay:
		return "give way"
	case pelican:
		return "pelican"
	case zebra:
		return "zebra"
	case refuge:
		return "refuge"
	case hump:
		return "hump"
	case table:
		return "table"
	case cushion:
		return "cushion"
	case choker:
		return "choker"
	case busStop:
		return "bus stop"
	case levelCrossing:
		return "level crossing"
	case schoolGate:
		return "school gate"
	case turningHead:
		return "turning head"
	case passingPlace:
		return "passing place"
	}
	return "unknown"
}

func (k featureKind) calming() bool  { return k >= hump && k <= choker }
func (k featureKind) crossing() bool { return k == pelican || k == zebra }

// mapTags are the words of the map for a feature on the road.
func (k featureKind) mapTags() tags {
	switch k {
	case signals:
		return tags{"highway": "traffic_signals"}
	case miniRoundabout:
		return tags{"highway": "mini_roundabout"}
	case stopSign:
		return tags{"highway": "stop"}
	case giveWay:
		return tags{"highway": "give_way"}
	case pelican:
		return tags{"highway": "crossing", "crossing": "traffic_signals"}
	case zebra:
		return tags{"highway": "crossing", "crossing": "marked"}
	case refuge:
		return tags{"highway": "crossing", "crossing": "unmarked", "crossing:island": "yes"}
	case hump:
		return tags{"traffic_calming": "hump"}
	case table:
		return tags{"traffic_calming": "table"}
	case cushion:
		return tags{"traffic_calming": "cushion"}
	case choker:
		return tags{"traffic_calming": "choker"}
	case levelCrossing:
		return tags{"railway": "level_crossing", "crossing:barrier": "full"}
	case turningHead:
		return tags{"highway": "turning_circle"}
	case passingPlace:
		return tags{"highway": "passing_place"}
	case busStop:
		return tags{"highway": "bus_stop"}
	}
	return nil
}

// feature stands at a place of a road, on the map or not.
type feature struct {
	kind   featureKind
	at     geo.XY
	road   *road
	mapped bool
	left   bool   // beside the road: on the left of the road as drawn
	name   string // of a bus stop
}

var signalPlaces = []geo.XY{marketWest, marketEast, northGate, innerNorth, innerNorthEast, innerEast, outerNorth, crossingJn, southCross, innerWest, xy(640, 0)}

var miniPlaces = []geo.XY{outerWest, outerNorthWest, outerEast, xy(-980, -1180), xy(1180, -960), xy(-620, 1280), xy(700, 1040), xy(1690, 560), xy(-1440, 50), xy(1560, 70), xy(90, -1430)}

// placeFeatures puts the furniture of the roads.
func (t *town) placeFeatures() {
	random := t.stream("features")
	for _, p := range signalPlaces {
		t.atNode(signals, t.nodeAt(p), true)
	}
	for i, p := range miniPlaces {
		t.atNode(miniRoundabout, t.nodeAt(p), i != 7)
	}
	t.atNode(levelCrossing, t.nodeAt(xy(930, -345)), true)
	for _, r := range append([]*road(nil), t.roads...) {
		if !r.class.public() || r.ring {
			continue
		}
		long := lengthOf(t.line(r))
		t.placeHead(r, random)
		t.placeCalming(r, long, random)
		t.placeCrossings(r, long, random)
		if r.lane {
			for s := 90.0; s < long-60; s += 110 {
				t.place(passingPlace, r, s, random.Float64() < 0.7)
			}
		}
	}
	t.placeSigns(random)
	t.placeSchoolGates()
}

// atNode puts a feature on a node that is there.
func (t *town) atNode(k featureKind, id int, mapped bool) {
	f := &feature{kind: k, at: t.nodes[id].at, mapped: mapped}
	for _, r := range t.roads {
		for _, n := range r.nodes {
			if n == id && f.road == nil {
				f.road = r
			}
		}
	}
	if mapped && t.nodes[id].tags == nil {
		t.nodes[id].tags = k.mapTags()
	}
	t.features = append(t.features, f)
}

// place puts a feature on a road, some metres along it; on the map it gets a
// node of its own.
func (t *town) place(k featureKind, r *road, along float64, mapped bool) {
	at, _ := geo.Polyline(t.line(r)).At(geo.Metres(along))
	if mapped {
		id := t.cutAt(r, along)
		t.nodes[id].tags = k.mapTags()
	}
	t.features = append(t.features, &feature{kind: k, at: at, road: r, mapped: mapped})
}

func (t *town) placeHead(r *road, random *rand.Rand) {
	if end := r.nodes[len(r.nodes)-1]; r.head && t.nodes[end].arms == 1 && r.class != unbuilt {
		if q := r.district.name; q == postwar || q == newEstate || q == works || random.Float64() < 0.3 {
			t.atNode(turningHead, end, random.Float64() < 0.55)
		}
	}
}

// placeCalming humps whole streets. In the post-war estate and among the
// terraces nobody has mapped any of it.
func (t *town) placeCalming(r *road, long float64, random *rand.Rand) {
	share, kinds := r.district.calming, []featureKind{hump, table}
	switch {
	case r.name == "Brindlemoor Avenue" || r.name == "Ellinmoor Avenue" || r.name == "Merrack Avenue" || r.name == "Orchard Way":
		share, kinds = 1, []featureKind{cushion}
	case r.class.major():
		return
	case r.district.name == postwar:
		share, kinds = 0.1, []featureKind{hump, choker}
	case r.district.name == terraces:
		share, kinds = 0.14, []featureKind{hump, cushion}
	}
	if long < 90 || random.Float64() > share {
		return
	}
	k := kinds[random.IntN(len(kinds))]
	mapped := r.district.name != postwar && r.district.name != terraces
	for s := 38 + 15*random.Float64(); s < long-25; s += 62 + 22*random.Float64() {
		p, _ := geo.Polyline(t.line(r)).At(geo.Metres(s))
		if id, _ := t.nearestJunction(p, 14); id < 0 {
			t.place(k, r, s, mapped && random.Float64() < 0.9)
		}
	}
}

func (t *town) placeCrossings(r *road, long float64, random *rand.Rand) {
	var every float64
	var kinds []featureKind
	switch q := r.district.name; {
	case q == countryside || r.dual || r.spacing == 0 || r.class == trunk:
		return
	case q == centre && r.class.major():
		every, kinds = 130, []featureKind{pelican, zebra}
	case r.class.major():
		every, kinds = 320, []featureKind{pelican, zebra, refuge, refuge}
	case r.class == unclassified && q != works:
		every, kinds = 600, []featureKind{zebra, refuge}
	default:
		return
	}
	for s := every * (0.3 + 0.4*random.Float64()); s < long-30; s += every * (0.8 + 0.4*random.Float64()) {
		p, _ := geo.Polyline(t.line(r)).At(geo.Metres(s))
		if id, _ := t.nearestJunction(p, 16); id < 0 {
			t.place(kinds[random.IntN(len(kinds))], r, s, random.Float64() < 0.72)
		}
	}
}

// placeSigns puts stop and give-way signs 4 m before the mouths of side roads:
// stops where an old wall hides the main road, give-ways mapped only in the
// inter-war quarter.
func (t *town) placeSigns(random *rand.Rand) {
	stops := 0
	for _, r := range append([]*road(nil), t.roads...) {
		if r.class != residential || r.oneWay || len(r.nodes) < 2 || lengthOf(t.line(r)) < 40 {
			continue
		}
		q := r.district.name
		major := false
		for _, o := range t.roadsAt(r.nodes[0]) {
			major = major || o.class.major()
		}
		if !major {
			continue
		}
		switch {
		case stops < 8 && (q == centre || q == terraces || q == hillside) && random.Float64() < 0.3:
			t.place(stopSign, r, 5, stops%2 == 0)
			stops++
		default:
			t.place(giveWay, r, 5, q == interwar && random.Float64() < 0.7)
		}
	}
}

func (t *town) roadsAt(id int) []*road {
	var out []*road
	t.near(t.nodes[id].at, 1, func(_ int, s *piece) {
		if s.a == id || s.b == id {
			for _, r := range out {
				if r == s.road {
					return
				}
			}
			out = append(out, s.road)
		}
	})
	return out
}

// placeSchoolGates puts each school's gate on the nearest road.
func (t *town) placeSchoolGates() {
	for i := range grounds {
		g := &grounds[i]
		if g.kind != school {
			continue
		}
		mid := between(g.ring[0], g.ring[2], 0.5)
		id, _, u := t.nearestPiece(mid, 300, func(s *piece) bool { return s.road.class.public() && s.road.spacing > 0 })
		s := t.pieces[id]
		t.features = append(t.features, &feature{kind: schoolGate, at: between(t.nodes[s.a].at, t.nodes[s.b].at, u), road: s.road})
	}
}
