package laying

import (
	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
)

// findZones numbers the connected destination-only zones from 1, in the order
// of their first stretch. A stretch is of a zone if either direction is
// destination-only. Two such stretches are of one zone if they share a node
// where nothing else ends: across a public road's node, going from one to the
// other would be driving through.
func (s *site) findZones() {
	c := &s.c
	stretches := len(c.StretchTail)
	c.StretchZone = make([]uint32, stretches)
	only := func(t roadnet.StretchID) bool {
		return c.SegmentUse[t.Segment(true)] == extract.Destination || c.SegmentUse[t.Segment(false)] == extract.Destination
	}
	sets := newSets(stretches)
	for v := range c.NodeLonE7 {
		leaving := c.Out[c.OutStart[v]:c.OutStart[v+1]]
		all := true
		for _, segment := range leaving {
			all = all && only(segment.Stretch())
		}
		if !all || c.NodeFeatures[v]&extract.BarrierShut != 0 {
			continue
		}
		for _, segment := range leaving[1:] {
			sets.join(int(leaving[0].Stretch()), int(segment.Stretch()))
		}
	}
	number := map[int]uint32{}
	for t := range stretches {
		if !only(roadnet.StretchID(t)) {
			continue
		}
		root := sets.find(t)
		if number[root] == 0 {
			number[root] = uint32(len(number)) + 1
		}
		c.StretchZone[t] = number[root]
	}
}

// sets is a partition: Tarjan, "Efficiency of a good but not linear set union
// algorithm", 1975, with halving of paths. The least member stands for a set.
type sets []uint32

func newSets(n int) sets {
	out := make(sets, n)
	for i := range out {
		out[i] = uint32(i)
	}
	return out
}

func (x sets) find(i int) int {
	for int(x[i]) != i {
		x[i] = x[x[i]]
		i = int(x[i])
	}
	return i
}

// join gives the root of the joined set.
func (x sets) join(a, b int) int {
	a, b = x.find(a), x.find(b)
	if a > b {
		a, b = b, a
	}
	x[b] = uint32(a)
	return a
}
