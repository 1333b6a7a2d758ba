package laying

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// Figures of what a driver takes for one junction; all are our choice.
const (
	staggered    = 12.0 // m between two side roads that are met as one: a car and its gap each way
	acrossHalves = 30.0 // m between the halves of a dual carriageway, along the road that crosses
	flareReach   = 60.0 // m from a roundabout's ring to where its approach parts
	widest       = 30.0 // m, diagonal of a junction's nodes
	widestDual   = 45.0 // m, the same where halves of a dual carriageway are crossed
	ringMargin   = 40.0 // m beyond the diagonal of a roundabout's ring
)

// findJunctions joins nodes to junctions as a driver sees them: the nodes of a
// roundabout's ring; where its approaches part; nodes a few metres apart; the
// nodes on both halves of a dual carriageway. Links between nodes are taken
// shortest first, and none that would make a junction wider than the figures
// above, so that a row of side roads does not become one.
func (s *site) findJunctions() {
	j := &junctionMaker{site: s, sets: newSets(len(s.nodeOf)), extent: make([]extent, len(s.nodeOf))}
	c := &s.c
	for v := range j.extent {
		p := orb.Point{float64(c.NodeLonE7[v]) / 1e7, float64(c.NodeLatE7[v]) / 1e7}
		j.extent[v] = extent{low: p, high: p}
	}
	j.look()
	j.joinRings()
	j.joinNear()
	j.findInner()
	j.store()
}

// extent is the box of a set of nodes, by the set's root.
type extent struct {
	low, high orb.Point
	ring      geo.Metres // diagonal of the roundabout ring in it, else 0
	isRing    bool
}

func (e extent) diagonal() geo.Metres { return geo.Distance(e.low, e.high) }

func (e extent) with(o extent) extent {
	return extent{
		low:    orb.Point{math.Min(e.low.Lon(), o.low.Lon()), math.Min(e.low.Lat(), o.low.Lat())},
		high:   orb.Point{math.Max(e.high.Lon(), o.high.Lon()), math.Max(e.high.Lat(), o.high.Lat())},
		ring:   max(e.ring, o.ring),
		isRing: e.isRing || o.isRing,
	}
}

type junctionMaker struct {
	*site
	sets   sets
	extent []extent // by root
	ring   []bool   // by stretch: part of a roundabout's ring
	dual   []bool   // by stretch
	onDual []bool   // by node: an end of a half of a dual carriageway
	inner  []bool   // by stretch: within a junction
}

// look finds what each stretch and node is.
func (j *junctionMaker) look() {
	c := &j.c
	stretches := len(c.StretchTail)
	j.ring, j.dual, j.inner = make([]bool, stretches), make([]bool, stretches), make([]bool, stretches)
	j.onDual = make([]bool, len(j.nodeOf))
	for t := range stretches {
		all, any := roadnet.AttributeFlags(math.MaxUint16), roadnet.AttributeFlags(0)
		for p := c.PieceStart[t]; p < c.PieceStart[t+1]; p++ {
			flags := c.AttributeRows[c.PieceAttributes[p]].Flags
			all, any = all&flags, any|flags
		}
		j.ring[t] = all&roadnet.Roundabout != 0
		j.dual[t] = any&roadnet.DualCarriageway != 0
		if j.dual[t] {
			j.onDual[c.StretchTail[t]], j.onDual[c.StretchHead[t]] = true, true
		}
	}
}

// meeting says whether traffic may meet at a node.
func (j *junctionMaker) meeting(v roadnet.NodeID) bool {
	return j.c.OutStart[v+1]-j.c.OutStart[v] >= 3 || j.c.NodeFeatures[v]&extract.MiniRoundabout != 0
}

func (j *junctionMaker) joinRings() {
	c := &j.c
	for t, ring := range j.ring {
		if ring {
			j.join(int(c.StretchTail[t]), int(c.StretchHead[t]), true)
		}
	}
	for v := range j.extent {
		if e := &j.extent[v]; e.isRing {
			e.ring = e.diagonal()
		}
	}
}

func (j *junctionMaker) join(a, b int, ring bool) {
	a, b = j.sets.find(a), j.sets.find(b)
	e := j.extent[a].with(j.extent[b])
	e.isRing = e.isRing || ring
	j.extent[j.sets.join(a, b)] = e
}

// joinNear joins the ends of short stretches, shortest first.
func (j *junctionMaker) joinNear() {
	c := &j.c
	var near []roadnet.StretchID
	for t := range c.StretchTail {
		t := roadnet.StretchID(t)
		if !j.ring[t] && float64(c.StretchLengthMm[t]) <= flareReach*1000 && c.StretchTail[t] != c.StretchHead[t] &&
			j.meeting(c.StretchTail[t]) && j.meeting(c.StretchHead[t]) {
			near = append(near, t)
		}
	}
	slices.SortStableFunc(near, func(a, b roadnet.StretchID) int { return cmp.Compare(c.StretchLengthMm[a], c.StretchLengthMm[b]) })
	for _, t := range near {
		a, b := j.sets.find(int(c.StretchTail[t])), j.sets.find(int(c.StretchHead[t]))
		if a != b && j.oneJunction(t, j.extent[a], j.extent[b]) {
			j.join(a, b, false)
		}
	}
}

// findInner marks the stretches within junctions: from one node to another of
// the same, and no longer than half a circle over its diagonal.
func (j *junctionMaker) findInner() {
	c := &j.c
	for t := range j.inner {
		a, b := int(c.StretchTail[t]), int(c.StretchHead[t])
		if root := j.sets.find(a); a != b && root == j.sets.find(b) {
			j.inner[t] = float64(c.StretchLengthMm[t])/1000 <= float64(j.extent[root].diagonal())*math.Pi/2
		}
		j.inner[t] = j.inner[t] || j.ring[t]
	}
}

// oneJunction says whether the stretch between two nodes lies within one
// junction to a driver.
func (j *junctionMaker) oneJunction(t roadnet.StretchID, a, b extent) bool {
	c := &j.c
	length := float64(c.StretchLengthMm[t]) / 1000
	tail, head := c.StretchTail[t], c.StretchHead[t]
	limit := geo.Metres(widest)
	wide := staggered
	if j.onDual[tail] && j.onDual[head] && !j.dual[t] {
		limit, wide = widestDual, acrossHalves
	}
	if ring := max(a.ring, b.ring); ring > 0 {
		limit = ring + ringMargin
		if a.isRing != b.isRing && (a.isRing && j.parts(head) || b.isRing && j.parts(tail)) {
			wide = flareReach
		}
	}
	return length <= wide && a.with(b).diagonal() <= limit
}

// parts says whether a road parts at a node to the two arms of a splitter
// island: three arms, one of them only to leave by, one only to come by.
func (j *junctionMaker) parts(v roadnet.NodeID) bool {
	leaving := j.c.Out[j.c.OutStart[v]:j.c.OutStart[v+1]]
	if len(leaving) != 3 {
		return false
	}
	away, towards := 0, 0
	for _, segment := range leaving {
		switch out, in := j.ways(segment); {
		case out && !in:
			away++
		case in && !out:
			towards++
		}
	}
	return away == 1 && towards == 1
}

// ways says whether cars may leave along a segment and come back by it.
func (j *junctionMaker) ways(segment roadnet.SegmentID) (out, in bool) {
	return roadnet.Drivable(j.c.SegmentUse[segment]), roadnet.Drivable(j.c.SegmentUse[segment.Opposite()])
}

// store numbers the junctions by their first node and describes each.
func (j *junctionMaker) store() {
	c := &j.c
	c.NodeJunction = make([]roadnet.JunctionID, len(j.nodeOf))
	number := make([]roadnet.JunctionID, len(j.nodeOf)) // by root
	count := roadnet.JunctionID(0)
	for v := range j.nodeOf {
		root := j.sets.find(v)
		if root == v {
			number[root] = count
			count++
		}
		c.NodeJunction[v] = number[root]
	}
	c.JunctionNodeStart = make([]uint32, count+1)
	for _, n := range c.NodeJunction {
		c.JunctionNodeStart[n+1]++
	}
	for i := 1; i < len(c.JunctionNodeStart); i++ {
		c.JunctionNodeStart[i] += c.JunctionNodeStart[i-1]
	}
	c.JunctionNode = make([]roadnet.NodeID, len(j.nodeOf))
	next := slices.Clone(c.JunctionNodeStart)
	for v, n := range c.NodeJunction {
		c.JunctionNode[next[n]] = roadnet.NodeID(v)
		next[n]++
	}
	for n := range count {
		j.describe(c.JunctionNode[c.JunctionNodeStart[n]:c.JunctionNodeStart[n+1]])
	}
}

func (j *junctionMaker) describe(nodes []roadnet.NodeID) {
	c := &j.c
	var lon, lat int64
	for _, v := range nodes {
		lon, lat = lon+int64(c.NodeLonE7[v]), lat+int64(c.NodeLatE7[v])
	}
	lonE7, latE7 := int32(lon/int64(len(nodes))), int32(lat/int64(len(nodes)))
	arms := arms{junctionMaker: j, middle: orb.Point{float64(lonE7) / 1e7, float64(latE7) / 1e7}}
	features, ring := extract.Feature(0), false
	for _, v := range nodes {
		features |= c.NodeFeatures[v]
		for _, segment := range c.Out[c.OutStart[v]:c.OutStart[v+1]] {
			ring = ring || j.ring[segment.Stretch()]
			arms.add(segment)
		}
	}
	count := arms.count()
	kind := roadnet.NoJunction
	switch {
	case ring:
		kind = roadnet.RoundaboutJunction
	case features&extract.MiniRoundabout != 0:
		kind = roadnet.MiniRoundaboutJunction
	case count >= 3 && (features&extract.Signals != 0 || arms.signals >= 2):
		kind = roadnet.SignalsJunction
	case count >= 3:
		kind = roadnet.PlainJunction
	}
	c.JunctionKinds = append(c.JunctionKinds, kind)
	c.JunctionArms = append(c.JunctionArms, uint8(min(count, 255)))
	c.JunctionLonE7, c.JunctionLatE7 = append(c.JunctionLonE7, lonE7), append(c.JunctionLatE7, latE7)
}
