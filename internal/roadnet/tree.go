package roadnet

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"loopwright/internal/geo"
)

// The spatial index is an R-tree packed along a Hilbert curve: Kamel and
// Faloutsos, "On packing R-trees", 1993, doi:10.1145/170088.170403, with the
// curve through the boxes' middles. Ours is an implicit tree: level 0 is one
// box per stretch in curve order, each box of the next level encloses the next
// treeFan boxes of the one below, and the last level is a single box. The
// curve is computed as in Warren, "Hacker's Delight", 2nd edition 2012, 16-3.

const treeFan = 16

// treeSize is the number of boxes over n stretches.
func treeSize(n int) int {
	if n == 0 {
		return 0
	}
	size := n
	for n > 1 {
		n = (n + treeFan - 1) / treeFan
		size += n
	}
	return size
}

func (c *Columns) deriveTree() {
	n := len(c.StretchTail)
	boxes := make([]Box, n)
	type key struct {
		curve uint32
		s     StretchID
	}
	keys := make([]key, n)
	for s := range boxes {
		lo, hi := c.VertexStart[s], c.VertexStart[s+1]
		b := Box{math.MaxInt32, math.MaxInt32, math.MinInt32, math.MinInt32}
		for v := lo; v < hi; v++ {
			b = b.with(Box{c.VertexLonE7[v], c.VertexLatE7[v], c.VertexLonE7[v], c.VertexLatE7[v]})
		}
		boxes[s] = b
		x := (int64(b.West)+int64(b.East))/2 + 1<<31
		y := (int64(b.South)+int64(b.North))/2 + 1<<31
		keys[s] = key{hilbert(uint32(x>>16), uint32(y>>16)), StretchID(s)}
	}
	slices.SortFunc(keys, func(a, b key) int { return cmp.Or(cmp.Compare(a.curve, b.curve), cmp.Compare(a.s, b.s)) })
	c.TreeOrder = make([]StretchID, n)
	c.TreeBoxes = make([]Box, 0, treeSize(n))
	for i, k := range keys {
		c.TreeOrder[i] = k.s
		c.TreeBoxes = append(c.TreeBoxes, boxes[k.s])
	}
	for lo, hi := 0, n; hi-lo > 1; {
		for i := lo; i < hi; i += treeFan {
			b := c.TreeBoxes[i]
			for _, o := range c.TreeBoxes[i+1 : min(i+treeFan, hi)] {
				b = b.with(o)
			}
			c.TreeBoxes = append(c.TreeBoxes, b)
		}
		lo, hi = hi, len(c.TreeBoxes)
	}
}

func (b Box) with(o Box) Box {
	return Box{min(b.West, o.West), min(b.South, o.South), max(b.East, o.East), max(b.North, o.North)}
}

func (b Box) meets(o Box) bool {
	return b.West <= o.East && o.West <= b.East && b.South <= o.North && o.South <= b.North
}

// hilbert is the distance along a Hilbert curve of order 16.
func hilbert(x, y uint32) uint32 {
	var d uint32
	for s := uint32(1 << 15); s > 0; s >>= 1 {
		var rx, ry uint32
		if x&s != 0 {
			rx = 1
		}
		if y&s != 0 {
			ry = 1
		}
		d += s * s * (3*rx ^ ry)
		if ry == 0 {
			if rx == 1 {
				x, y = s-1-x&(s-1), s-1-y&(s-1)
			}
			x, y = y, x
		}
	}
	return d
}

// walkTree visits the leaves whose boxes, and whose ancestors' boxes, pass; it
// stops when visit says so. Levels are told from the number of stretches.
func (n *Network) walkTree(pass func(Box) bool, visit func(StretchID) bool) {
	c := &n.c
	if len(c.TreeOrder) == 0 {
		return
	}
	var starts []int // of each level
	for at, size := 0, len(c.TreeOrder); ; size = (size + treeFan - 1) / treeFan {
		starts = append(starts, at)
		at += size
		if size == 1 {
			break
		}
	}
	starts = append(starts, len(c.TreeBoxes))
	var down func(level, i int) bool
	down = func(level, i int) bool {
		if !pass(c.TreeBoxes[starts[level]+i]) {
			return true
		}
		if level == 0 {
			return visit(c.TreeOrder[i])
		}
		size := starts[level] - starts[level-1]
		for j := i * treeFan; j < min((i+1)*treeFan, size); j++ {
			if !down(level-1, j) {
				return false
			}
		}
		return true
	}
	down(len(starts)-2, 0)
}

// Within visits every stretch whose bounding box meets b, until visit returns
// false. The order is the tree's: fixed, but without meaning.
func (n *Network) Within(b orb.Bound, visit func(StretchID) bool) {
	want := Box{e7(b.Min.Lon()), e7(b.Min.Lat()), e7(b.Max.Lon()), e7(b.Max.Lat())}
	n.walkTree(want.meets, visit)
}

// Nearest finds the point nearest to p on a stretch that accept takes (nil
// takes all), at most so far away: along from the stretch's start, away from
// p, and whether p lies left of the stretch. Of equally near ones the least
// number wins. Distances are on the plane that touches the earth at p.
func (n *Network) Nearest(p orb.Point, within geo.Metres, accept func(StretchID) bool) (s StretchID, along, away geo.Metres, left bool, ok bool) {
	plane := geo.PlaneAt(p)
	away = within
	distance := func(b Box) geo.Metres {
		west, east := point(b.West, b.South), point(b.East, b.North)
		low, high := plane.To(west), plane.To(east)
		return geo.XY{X: max(low.X, 0, -high.X), Y: max(low.Y, 0, -high.Y)}.Norm()
	}
	pass := func(b Box) bool { return distance(b) <= away }
	n.walkTree(pass, func(t StretchID) bool {
		if accept != nil && !accept(t) {
			return true
		}
		line := plane.Line(n.Line(t.Segment(true)))
		at, a, l := line.Nearest(geo.XY{})
		if a > away || ok && a == away && t > s {
			return true
		}
		if length := line.Length(); length > 0 {
			at *= n.Length(t) / length
		}
		s, along, away, left, ok = t, min(at, n.Length(t)), a, l, true
		return true
	})
	if !ok {
		return 0, 0, 0, false, false
	}
	return s, along, away, left, true
}
