package roadnet

import (
	"cmp"
	"slices"
)

// Derive fills the columns that follow from others: the segments that leave
// each node, the pieces by way, and the spatial index. Where nothing was said
// of what stands beside the roads, nothing does.
func (c *Columns) Derive() {
	c.emptyBeside()
	c.deriveOut()
	c.deriveByWay()
	c.deriveTree()
}

func (c *Columns) deriveOut() {
	segments := SegmentID(2 * len(c.StretchTail))
	c.OutStart = make([]uint32, len(c.NodeLonE7)+1)
	for s := range segments {
		c.OutStart[c.tail(s)+1]++
	}
	for i := 1; i < len(c.OutStart); i++ {
		c.OutStart[i] += c.OutStart[i-1]
	}
	next := slices.Clone(c.OutStart)
	c.Out = make([]SegmentID, segments)
	for s := range segments {
		v := c.tail(s)
		c.Out[next[v]] = s
		next[v]++
	}
}

func (c *Columns) deriveByWay() {
	type key struct {
		way int64
		low uint32
		p   PieceID
	}
	keys := make([]key, 0, len(c.PieceWay))
	for s := range c.StretchTail {
		for p := PieceID(c.PieceStart[s]); p < PieceID(c.PieceStart[s+1]); p++ {
			low := c.PieceWayFromMm[p]
			if c.PieceReversed[p] != 0 {
				low -= min(low, c.pieceTo(StretchID(s), p)-c.PieceFromMm[p])
			}
			keys = append(keys, key{c.PieceWay[p], low, p})
		}
	}
	slices.SortFunc(keys, func(a, b key) int {
		if a.way != b.way {
			return cmp.Compare(a.way, b.way)
		}
		return cmp.Or(cmp.Compare(a.low, b.low), cmp.Compare(a.p, b.p))
	})
	c.PieceByWay = make([]PieceID, len(keys))
	for i, k := range keys {
		c.PieceByWay[i] = k.p
	}
}

func (c *Columns) emptyBeside() {
	stretches := len(c.StretchTail)
	for _, starts := range []struct {
		of      *[]uint32
		members int
	}{
		{&c.SiteShapeStart, 0}, {&c.GateStart, 0}, {&c.BuildingShapeStart, 0}, {&c.WallShapeStart, 0},
		{&c.StopStart, stretches}, {&c.BuildingStart, stretches}, {&c.WallStart, stretches},
	} {
		if *starts.of == nil {
			*starts.of = make([]uint32, starts.members+1)
		}
	}
	if c.KerbHomes == nil {
		c.KerbHomes, c.KerbGarages = make([]uint16, 2*stretches), make([]uint16, 2*stretches)
	}
}
