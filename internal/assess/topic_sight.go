package assess

import (
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// farthestEmerging is as far as the view at a junction is followed: more than
// any test of openness asks.
const farthestEmerging geo.Metres = 60

// emergingSight is how far a driver sees along the road that a segment meets,
// the lesser of both ways, with eyes so far back from its edge. mapped is false
// where nothing that could block the view is on the map.
func (a *Assessor) emergingSight(from roadnet.SegmentID, back geo.Metres) (seen geo.Metres, mapped bool) {
	n := a.net
	at := n.NodeAt(n.Head(from))
	plane := geo.PlaneAt(at)
	length := n.Length(from.Stretch())
	walls := a.blocks(plane, from.Stretch(), nil)
	var arms []roadnet.SegmentID
	half := geo.Metres(0)
	for _, out := range n.Out(n.Head(from)) {
		if out.Stretch() == from.Stretch() {
			continue
		}
		arms = append(arms, out)
		walls = a.blocks(plane, out.Stretch(), walls)
		half = max(half, a.profile.Carriageway[classNames[n.PieceAt(out.Stretch(), 0).Attributes.Class].tag].Mean/2)
	}
	if len(walls) == 0 {
		return 0, false
	}
	pos, _ := n.At(roadnet.Position{Segment: from, Along: max(length-half-back, 0)})
	eye := plane.To(pos)
	seen = farthestEmerging
	for _, arm := range arms {
		reach := geo.Metres(0)
		for d := geo.Metres(5); d <= farthestEmerging; d += 5 {
			if d > n.Length(arm.Stretch()) {
				reach = farthestEmerging // the road ends in view, or goes on beyond the next junction
				break
			}
			p, _ := n.At(roadnet.Position{Segment: arm, Along: d})
			if blocked(walls, eye, plane.To(p)) {
				break
			}
			reach = d
		}
		seen = min(seen, reach)
	}
	return seen, true
}

// edge is a straight piece of a building's or a wall's outline.
type edge struct{ a, b geo.XY }

// blocks adds the outlines of what blocks the view near a stretch.
func (a *Assessor) blocks(plane geo.Plane, s roadnet.StretchID, to []edge) []edge {
	add := func(lon, lat []int32) {
		for i := 1; i < len(lon); i++ {
			p, q := plane.To(pointE7(lon[i-1], lat[i-1])), plane.To(pointE7(lon[i], lat[i]))
			if min(p.Norm(), q.Norm()) < 2*farthestEmerging {
				to = append(to, edge{p, q})
			}
		}
	}
	a.net.BuildingsNear(s, func(b roadnet.Building) bool {
		if b.Kind != extract.BuildingRoof {
			add(b.LonE7, b.LatE7)
		}
		return true
	})
	const eyeHeight geo.Metres = 1.05 // of a driver: Manual for Streets 7.6.3, from memory
	a.net.WallsNear(s, func(w roadnet.Wall) bool {
		if w.Height == 0 || w.Height > eyeHeight {
			add(w.LonE7, w.LatE7)
		}
		return true
	})
	return to
}

// blocked says whether some edge crosses the straight line from p to q.
func blocked(edges []edge, p, q geo.XY) bool {
	d := q.Sub(p)
	for _, e := range edges {
		f := e.b.Sub(e.a)
		if d.Cross(e.a.Sub(p))*d.Cross(e.b.Sub(p)) < 0 && f.Cross(p.Sub(e.a))*f.Cross(q.Sub(e.a)) < 0 {
			return true
		}
	}
	return false
}
