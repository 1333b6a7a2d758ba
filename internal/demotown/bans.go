package demotown

import (
	"math"

	"loopwright/internal/geo"
)

// ban is a turn restriction: from one road over a node, or over a short road,
// into another.
type ban struct {
	from, to *road
	via      int
	viaRoad  *road // nil for a restriction over a node
	tags     tags
}

// banKinds are the fifteen restrictions in the order in which places are found
// for them. The two over a way close the gaps in the by-pass to U-turns.
var banKinds = []struct {
	turn string // which way the banned or commanded turn goes
	out  bool   // out of a side road, else into it
	tags tags
}{
	{"right", true, tags{"restriction": "no_right_turn"}},
	{"right", true, tags{"restriction": "no_right_turn"}},
	{"right", true, tags{"restriction": "no_right_turn"}},
	{"right", true, tags{"restriction": "no_right_turn", "except": "bus"}},
	{"right", true, tags{"restriction:conditional": "no_right_turn @ (Mo-Fr 07:30-09:30)"}},
	{"right", true, tags{"restriction:conditional": "no_right_turn @ (Mo-Sa 07:00-19:00)"}},
	{"left", true, tags{"restriction": "only_left_turn"}},
	{"left", true, tags{"restriction": "only_left_turn"}},
	{"right", false, tags{"restriction": "no_right_turn"}},
	{"right", false, tags{"restriction": "no_right_turn"}},
	{"left", false, tags{"restriction": "no_left_turn"}},
	{"ahead", false, tags{"restriction": "only_straight_on"}},
	{"left", true, tags{"restriction": "no_left_turn"}},
}

// setBans finds T junctions of side streets with the main roads of the town
// and restricts turns there.
func (t *town) setBans() {
	random := t.stream("bans")
	next, used := 0, map[*road]bool{}
	for _, i := range random.Perm(len(t.roads)) {
		side := t.roads[i]
		if next == len(banKinds) {
			break
		}
		q := side.district.name
		if side.class != residential || side.head || side.oneWay || used[side] || (q != centre && q != terraces && q != interwar) {
			continue
		}
		via := side.nodes[0]
		if t.nodes[via].arms != 3 || !t.onMain(via) {
			continue
		}
		kind := banKinds[next]
		t.divideAt(via)
		t.rebuild()
		if b := t.banAt(side, via, kind.turn, kind.out); b != nil {
			b.tags = kind.tags
			t.bans = append(t.bans, b)
			used[side] = true
			next++
		}
	}
	for _, link := range t.gapLinks() {
		for _, id := range link.nodes {
			t.divideAt(id)
		}
		t.rebuild()
		if b := t.gapBan(link); b != nil {
			t.bans = append(t.bans, b)
		}
	}
}

func (t *town) onMain(id int) bool {
	for _, r := range t.roadsAt(id) {
		if r.class == secondary || r.class == tertiary {
			return !r.oneWay
		}
	}
	return false
}

// banAt makes the restriction at a T junction whose roads all end there.
func (t *town) banAt(side *road, via int, turn string, out bool) *ban {
	for _, from := range t.roadsAt(via) {
		if (from == side) != out || from.oneWay {
			continue
		}
		for _, to := range t.roadsAt(via) {
			if to == from || to.oneWay || (!out && turn != "ahead" && to != side) || (turn == "ahead" && to == side) {
				continue
			}
			swing := bend(t.leaving(from, via)+math.Pi, t.leaving(to, via))
			switch {
			case turn == "right" && swing < -45*degree, turn == "left" && swing > 45*degree, turn == "ahead" && math.Abs(swing) < 40*degree:
				return &ban{from: from, to: to, via: via}
			}
		}
	}
	return nil
}

// leaving is the direction of a road as it leaves the node at its end.
func (t *town) leaving(r *road, id int) float64 {
	a, b := r.nodes[0], r.nodes[1]
	if last := len(r.nodes) - 1; r.nodes[last] == id {
		a, b = r.nodes[last], r.nodes[last-1]
	}
	return angle(t.nodes[b].at.Sub(t.nodes[a].at))
}

// gapLinks are the short roads through the central reservation.
func (t *town) gapLinks() []*road {
	var out []*road
	for _, r := range t.roads {
		if r.class == trunk && r.name == "" && !r.ring {
			out = append(out, r)
		}
	}
	return out
}

// gapBan forbids the U-turn from the far carriageway through the gap.
func (t *town) gapBan(link *road) *ban {
	a, b := link.nodes[0], link.nodes[1]
	var from, to *road
	for _, r := range t.roadsAt(b) {
		if r.dual && r.nodes[len(r.nodes)-1] == b {
			from = r
		}
	}
	for _, r := range t.roadsAt(a) {
		if r.dual && r.nodes[0] == a {
			to = r
		}
	}
	if from == nil || to == nil {
		return nil
	}
	return &ban{from: from, to: to, viaRoad: link, tags: tags{"restriction": "no_u_turn"}}
}

// drawBans maps the restrictions, once the ways have their numbers.
func (t *town) drawBans(m *mapped) {
	for _, b := range t.bans {
		k := tags{"type": "restriction"}
		for key, v := range b.tags {
			k[key] = v
		}
		via, near := member{nodeMember, 0, "via"}, [2]int{b.via, b.via}
		if b.viaRoad != nil {
			via, near = member{wayMember, t.ways[b.viaRoad][0].id, "via"}, [2]int{b.viaRoad.nodes[1], b.viaRoad.nodes[0]}
		} else {
			via.ref = t.ids[b.via]
		}
		m.addRelation([]member{{wayMember, t.wayAt(b.from, near[0]), "from"}, via, {wayMember, t.wayAt(b.to, near[1]), "to"}}, k)
	}
}

// wayAt is the way of a road that ends at a node.
func (t *town) wayAt(r *road, id int) int64 {
	parts := t.ways[r]
	if r.nodes[0] == id {
		return parts[0].id
	}
	return parts[len(parts)-1].id
}

// along is where a node lies on a road, in metres from its first node.
func (t *town) along(r *road, index int) float64 {
	return float64(geo.Polyline(t.line(r)[:index+1]).Length())
}
