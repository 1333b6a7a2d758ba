package laying

import (
	"github.com/paulmach/orb"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// rimWidth is how far inside its edge an extract is not to be believed about
// traffic, and rimStep the distance between the points of a stretch that are
// looked at. Our choice: 300 m is the depth of a block or two.
const (
	rimWidth = 300.0
	rimStep  = 150.0
)

// markRim marks the stretches near the extract's rim. The rim is told by its
// box; by the ends of roads that the file cuts; and, since a county's file is
// cut along a border inside its box and whole ways reach over it, by the loose
// ends of roads that are too important to end nowhere.
func (s *site) markRim() {
	c := &s.c
	g := s.newGrid(rimWidth)
	loose := map[cell][]orb.Point{}
	for v, node := range s.nodeOf {
		if leaving := c.Out[c.OutStart[v]:c.OutStart[v+1]]; len(leaving) == 1 && s.looseEnd(node) {
			n := &s.x.Nodes[node]
			g.cell(n.LonE7, n.LatE7).around(func(k cell) { loose[k] = append(loose[k], s.point(node)) })
		}
	}
	box := c.About.Bounds
	plane := geo.PlaneAt(box.Center())
	low, high := plane.To(box.Min), plane.To(box.Max)
	parallel(s.workers, len(c.StretchTail), func(lo, hi int) {
		last, ends := cell(-1), []orb.Point(nil) // those of the last cell: neighbours come in turn, mostly
		near := func(lon, lat int32) bool {
			p := orb.Point{float64(lon) / 1e7, float64(lat) / 1e7}
			if at := plane.To(p); min(at.X-low.X, high.X-at.X, at.Y-low.Y, high.Y-at.Y) < rimWidth {
				return true
			}
			if k := g.cell(lon, lat); k != last {
				last, ends = k, loose[k]
			}
			for _, end := range ends {
				if geo.Distance(p, end) <= rimWidth {
					return true
				}
			}
			return false
		}
		for t := lo; t < hi; t++ {
			if s.anyPoint(roadnet.StretchID(t), near) {
				c.StretchFlags[t] |= roadnet.FlagNearRim
			}
		}
	})
}

// looseEnd says whether the road that ends at a node goes on beyond the file.
func (s *site) looseEnd(node uint32) bool {
	e := s.other(node, ^linkEnd(0))
	road := s.x.Roads[s.roadOf[e.link()]]
	return s.cutAt(e) || road.Class >= extract.Motorway && road.Class <= extract.Tertiary
}

// anyPoint looks at the vertices of a stretch and at points between them, no
// further than rimStep apart.
func (s *site) anyPoint(t roadnet.StretchID, near func(lon, lat int32) bool) bool {
	c := &s.c
	for v := c.VertexStart[t]; v < c.VertexStart[t+1]; v++ {
		if near(c.VertexLonE7[v], c.VertexLatE7[v]) {
			return true
		}
		if v+1 == c.VertexStart[t+1] {
			break
		}
		parts := int64((s.vertexAlongMm[v+1]-s.vertexAlongMm[v])/(rimStep*1000)) + 1
		dx, dy := int64(c.VertexLonE7[v+1])-int64(c.VertexLonE7[v]), int64(c.VertexLatE7[v+1])-int64(c.VertexLatE7[v])
		for k := int64(1); k < parts; k++ {
			if near(c.VertexLonE7[v]+int32(dx*k/parts), c.VertexLatE7[v]+int32(dy*k/parts)) {
				return true
			}
		}
	}
	return false
}
