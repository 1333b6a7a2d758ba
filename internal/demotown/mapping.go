package demotown

import (
	"strconv"

	"loopwright/internal/geo"
)

// draw makes the map of the town.
func (t *town) draw() *mapped {
	m := &mapped{plane: geo.PlaneAt(middle)}
	for i := range t.nodes {
		m.addNode(t.nodes[i].at, t.nodes[i].tags)
	}
	m.network = len(t.nodes)
	t.drawRoads(m)
	return m
}

// drawRoads draws every road as one way or several.
func (t *town) drawRoads(m *mapped) {
	for _, r := range t.roads {
		refs := make([]int64, len(r.nodes))
		for i, id := range r.nodes {
			refs[i] = int64(firstNode + id)
		}
		m.addWay(refs, t.roadTags(r))
	}
}

func (t *town) roadTags(r *road) tags {
	out := tags{"highway": r.class.String()}
	if r.name != "" {
		out["name"] = r.name
	}
	if r.oneWay && !r.ring {
		out["oneway"] = "yes"
	}
	if r.ring {
		out["junction"] = "roundabout"
	}
	if r.bridge {
		out["bridge"], out["layer"] = "yes", "1"
	}
	if r.dual {
		out["dual_carriageway"] = "yes"
	}
	out["maxspeed"] = strconv.Itoa(r.district.limit) + " mph"
	for k, v := range r.tags {
		out[k] = v
	}
	return out
}
