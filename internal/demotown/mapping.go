package demotown

import "loopwright/internal/geo"

// draw makes the map of the town. It leaves out what mappers have not seen.
func (t *town) draw() *mapped {
	m := &mapped{plane: geo.PlaneAt(middle)}
	t.ids = make([]int64, len(t.nodes))
	for i, n := range t.nodes {
		if n.arms > 0 {
			t.ids[i] = m.addNode(n.at, n.tags)
		}
	}
	t.drawRoads(m)
	t.drawCarParks(m)
	t.drawSurroundings(m)
	t.drawBans(m)
	t.drawBuses(m)
	return m
}
