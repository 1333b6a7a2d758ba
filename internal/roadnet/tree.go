package roadnet

import (
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
	boxes := make([]Box, len(c.StretchTail))
	for s := range boxes {
		lo, hi := c.VertexStart[s], c.VertexStart[s+1]
		boxes[s] = BoxOf(c.VertexLonE7[lo:hi], c.VertexLatE7[lo:hi])
	}
	order := TreeOrder(boxes)
	c.TreeOrder = make([]StretchID, len(order))
	leaves := make([]Box, len(order))
	for i, k := range order {
		c.TreeOrder[i], leaves[i] = StretchID(k), boxes[k]
	}
	c.TreeBoxes = PackTree(leaves)
}

// BoxOf is the box round positions.
func BoxOf(lon, lat []int32) Box {
	b := Box{math.MaxInt32, math.MaxInt32, math.MinInt32, math.MinInt32}
	for i := range lon {
		b = b.with(Box{lon[i], lat[i], lon[i], lat[i]})
	}
	return b
}

// TreeOrder is the order in which boxes become leaves: along the curve.
func TreeOrder(boxes []Box) []uint32 {
	keys := make([]uint64, len(boxes)) // place on the curve, then number
	for i, b := range boxes {
		x := (int64(b.West)+int64(b.East))/2 + 1<<31
		y := (int64(b.South)+int64(b.North))/2 + 1<<31
		keys[i] = uint64(hilbert(uint32(x>>16), uint32(y>>16)))<<32 | uint64(i)
	}
	slices.Sort(keys)
	order := make([]uint32, len(boxes))
	for i, k := range keys {
		order[i] = uint32(k)
	}
	return order
}

// PackTree adds the upper levels to the leaves of a tree.
func PackTree(leaves []Box) []Box {
	tree := make([]Box, 0, treeSize(len(leaves)))
	tree = append(tree, leaves...)
	for lo, hi := 0, len(tree); hi-lo > 1; {
		for i := lo; i < hi; i += treeFan {
			b := tree[i]
			for _, o := range tree[i+1 : min(i+treeFan, hi)] {
				b = b.with(o)
			}
			tree = append(tree, b)
		}
		lo, hi = hi, len(tree)
	}
	return tree
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

// walkTree visits the leaves whose boxes, and whose ancestors' boxes, pass, by
// their place; it stops when visit says so. Levels are told from the number of
// leaves.
func walkTree(tree []Box, leaves int, pass func(Box) bool, visit func(leaf int) bool) {
	if leaves == 0 {
		return
	}
	var starts []int // of each level
	for at, size := 0, leaves; ; size = (size + treeFan - 1) / treeFan {
		starts = append(starts, at)
		at += size
		if size == 1 {
			break
		}
	}
	starts = append(starts, len(tree))
	var down func(level, i int) bool
	down = func(level, i int) bool {
		if !pass(tree[starts[level]+i]) {
			return true
		}
		if level == 0 {
			return visit(i)
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

// away is how far the plane's origin lies from a box, 0 within it.
func (b Box) away(plane geo.Plane) geo.Metres {
	low, high := plane.To(point(b.West, b.South)), plane.To(point(b.East, b.North))
	return geo.XY{X: max(low.X, 0, -high.X), Y: max(low.Y, 0, -high.Y)}.Norm()
}

// Within visits every stretch whose bounding box meets b, until visit returns
// false. The order is the tree's: fixed, but without meaning.
func (n *Network) Within(b orb.Bound, visit func(StretchID) bool) {
	want := Box{e7(b.Min.Lon()), e7(b.Min.Lat()), e7(b.Max.Lon()), e7(b.Max.Lat())}
	walkTree(n.c.TreeBoxes, n.NumStretches(), want.meets, func(leaf int) bool { return visit(n.c.TreeOrder[leaf]) })
}

// Nearest finds the point nearest to p on a stretch that accept takes (nil
// takes all), at most so far away: along from the stretch's start, away from
// p, and whether p lies left of the stretch. Of equally near ones the least
// number wins. Distances are on the plane that touches the earth at p.
func (n *Network) Nearest(p orb.Point, within geo.Metres, accept func(StretchID) bool) (s StretchID, along, away geo.Metres, left bool, ok bool) {
	plane := geo.PlaneAt(p)
	away = within
	pass := func(b Box) bool { return b.away(plane) <= away }
	walkTree(n.c.TreeBoxes, n.NumStretches(), pass, func(leaf int) bool {
		t := n.c.TreeOrder[leaf]
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
