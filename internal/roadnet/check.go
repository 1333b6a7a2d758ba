package roadnet

import "fmt"

// check holds the columns against the invariants of the format page, in one
// pass over each.
func (c *Columns) check() error {
	k := checker{}
	nodes, stretches := len(c.NodeLonE7), len(c.StretchTail)
	segments, states, junctions := 2*stretches, len(c.StateSegment), len(c.JunctionKinds)
	pieces, turns, mouths, things := len(c.PieceWay), len(c.TurnTo), len(c.MouthAlongMm), len(c.ThingAlongMm)
	vertices, names := len(c.VertexLonE7), len(c.NameStart)-1
	settlements, addresses := len(c.SettlementName), len(c.AddressLonE7)

	k.length("node-lat", len(c.NodeLatE7), nodes)
	k.length("node-osm", len(c.NodeOSM), nodes)
	k.length("node-features", len(c.NodeFeatures), nodes)
	below(&k, "node-junction", c.NodeJunction, junctions, nodes)
	k.starts("out-start", c.OutStart, nodes, len(c.Out))
	below(&k, "out", c.Out, segments, segments)

	below(&k, "stretch-tail", c.StretchTail, nodes, stretches)
	below(&k, "stretch-head", c.StretchHead, nodes, stretches)
	k.length("stretch-length", len(c.StretchLengthMm), stretches)
	k.length("stretch-zone", len(c.StretchZone), stretches)
	k.length("stretch-flags", len(c.StretchFlags), stretches)
	below(&k, "stretch-name", c.StretchName, names, stretches)
	below(&k, "stretch-ref", c.StretchRef, names, stretches)
	k.starts("vertex-start", c.VertexStart, stretches, vertices)
	k.starts("piece-start", c.PieceStart, stretches, pieces)
	k.starts("mouth-start", c.MouthStart, stretches, mouths)
	k.starts("thing-start", c.ThingStart, stretches, things)
	k.length("segment-use", len(c.SegmentUse), segments)
	k.length("vertex-lat", len(c.VertexLatE7), vertices)

	k.length("piece-reversed", len(c.PieceReversed), pieces)
	k.length("piece-from", len(c.PieceFromMm), pieces)
	k.length("piece-way-from", len(c.PieceWayFromMm), pieces)
	k.length("piece-node", len(c.PieceFirstNode), pieces)
	k.length("piece-vertex", len(c.PieceVertex), pieces)
	below(&k, "piece-name", c.PieceName, names, pieces)
	below(&k, "piece-ref", c.PieceRef, names, pieces)
	below(&k, "piece-attributes", c.PieceAttributes, len(c.AttributeRows), pieces)
	below(&k, "piece-by-way", c.PieceByWay, pieces, pieces)

	if states < segments {
		k.fail("state-segment", "%d states for %d segments", states, segments)
	}
	below(&k, "state-segment", c.StateSegment, segments, states)
	k.starts("turn-start", c.TurnStart, states, turns)
	below(&k, "turn-to", c.TurnTo, states, turns)
	k.length("turn-angle", len(c.TurnAngle), turns)
	k.length("turn-u", len(c.TurnU), turns)

	k.length("junction-arms", len(c.JunctionArms), junctions)
	k.length("junction-lon", len(c.JunctionLonE7), junctions)
	k.length("junction-lat", len(c.JunctionLatE7), junctions)
	k.starts("junct-node-start", c.JunctionNodeStart, junctions, len(c.JunctionNode))
	below(&k, "junction-node", c.JunctionNode, nodes, nodes)

	if len(c.HeightStart) > 0 {
		k.starts("height-start", c.HeightStart, stretches, len(c.HeightCm))
		k.length("height-error", len(c.HeightErrorCm), heightErrors*stretches)
	} else {
		k.length("height", len(c.HeightCm), 0)
		k.length("height-error", len(c.HeightErrorCm), 0)
	}

	k.length("mouth-side", len(c.MouthSide), mouths)
	k.length("mouth-kind", len(c.MouthKinds), mouths)
	k.length("mouth-counts", len(c.MouthCounts), mouths)
	k.length("mouth-way", len(c.MouthWay), mouths)
	k.length("thing-features", len(c.ThingFeatures), things)
	k.length("thing-direction", len(c.ThingDirection), things)

	if names < 1 {
		k.fail("name-start", "the empty name is not there")
	}
	k.starts("name-start", c.NameStart, names, len(c.NameBytes))
	below(&k, "settle-name", c.SettlementName, names, settlements)
	k.length("settle-lon", len(c.SettlementLonE7), settlements)
	k.length("settle-lat", len(c.SettlementLatE7), settlements)
	k.length("settle-rank", len(c.SettlementRank), settlements)
	k.length("address-lat", len(c.AddressLatE7), addresses)
	below(&k, "address-postcode", c.AddressPostcode, names, addresses)
	below(&k, "address-street", c.AddressStreet, names, addresses)
	below(&k, "address-house", c.AddressHouse, names, addresses)

	c.checkBeside(&k, stretches, names)
	below(&k, "tree-order", c.TreeOrder, stretches, stretches)
	if want := treeSize(stretches); len(c.TreeBoxes) != want {
		k.fail("tree-boxes", "%d boxes, not %d", len(c.TreeBoxes), want)
	}
	if k.err == nil {
		c.checkMeaning(&k)
	}
	return k.err
}

// checkMeaning checks what ties columns together, once their ranges hold.
func (c *Columns) checkMeaning(k *checker) {
	segments := SegmentID(2 * len(c.StretchTail))
	for s := range SegmentID(len(c.StateSegment)) {
		if s < segments && c.StateSegment[s] != s {
			k.fail("state-segment", "state %d is not its own segment", s)
			return
		}
	}
	for s := range c.StretchTail {
		s := StretchID(s)
		lo, hi := c.VertexStart[s], c.VertexStart[s+1]
		if hi-lo < 2 {
			k.fail("vertex-start", "stretch %d has %d vertices", s, hi-lo)
			return
		}
		for _, end := range [2]struct {
			vertex uint32
			node   NodeID
		}{{lo, c.StretchTail[s]}, {hi - 1, c.StretchHead[s]}} {
			if c.VertexLonE7[end.vertex] != c.NodeLonE7[end.node] || c.VertexLatE7[end.vertex] != c.NodeLatE7[end.node] {
				k.fail("vertex-start", "stretch %d does not end at its node %d", s, end.node)
				return
			}
		}
		length := c.StretchLengthMm[s]
		lo, hi = c.PieceStart[s], c.PieceStart[s+1]
		if lo == hi || c.PieceFromMm[lo] != 0 {
			k.fail("piece-start", "stretch %d does not begin with a piece", s)
			return
		}
		k.rising("piece-from", c.PieceFromMm[lo:hi], length, s)
		k.rising("mouth-along", c.MouthAlongMm[c.MouthStart[s]:c.MouthStart[s+1]], length, s)
		k.rising("thing-along", c.ThingAlongMm[c.ThingStart[s]:c.ThingStart[s+1]], length, s)
		for p := lo; p < hi; p++ {
			if c.PieceVertex[p] >= c.VertexStart[s+1]-c.VertexStart[s] {
				k.fail("piece-vertex", "piece %d begins beyond its stretch", p)
			}
		}
	}
	for state, s := range c.StateSegment {
		head := c.head(s)
		for t := c.TurnStart[state]; t < c.TurnStart[state+1]; t++ {
			if to := c.StateSegment[c.TurnTo[t]]; c.tail(to) != head {
				k.fail("turn-to", "turn %d leads from segment %d to segment %d, which do not meet", t, s, to)
				return
			}
		}
	}
	for n := range c.NodeLonE7 {
		for _, s := range c.Out[c.OutStart[n]:c.OutStart[n+1]] {
			if c.tail(s) != NodeID(n) {
				k.fail("out", "segment %d does not leave node %d", s, n)
				return
			}
		}
	}
	for j := range c.JunctionKinds {
		for _, n := range c.JunctionNode[c.JunctionNodeStart[j]:c.JunctionNodeStart[j+1]] {
			if c.NodeJunction[n] != JunctionID(j) {
				k.fail("junction-node", "node %d is not of junction %d", n, j)
				return
			}
		}
	}
	for i := 1; i < len(c.PieceByWay); i++ {
		a, b := c.PieceByWay[i-1], c.PieceByWay[i]
		if !c.pieceBefore(a, b) {
			k.fail("piece-by-way", "pieces %d and %d are out of order", a, b)
			return
		}
	}
}

// pieceBefore orders pieces by way, metres along it, and number.
func (c *Columns) pieceBefore(a, b PieceID) bool {
	if c.PieceWay[a] != c.PieceWay[b] {
		return c.PieceWay[a] < c.PieceWay[b]
	}
	if x, y := c.pieceLow(a), c.pieceLow(b); x != y {
		return x < y
	}
	return a < b
}

func (c *Columns) tail(s SegmentID) NodeID {
	if s.Forward() {
		return c.StretchTail[s.Stretch()]
	}
	return c.StretchHead[s.Stretch()]
}

func (c *Columns) head(s SegmentID) NodeID { return c.tail(s.Opposite()) }

// checker keeps the first fault.
type checker struct{ err error }

func (k *checker) fail(section, format string, args ...any) {
	if k.err == nil {
		k.err = fmt.Errorf("%w: section %q: "+format, append([]any{ErrDamaged, section}, args...)...)
	}
}

func (k *checker) length(section string, got, want int) {
	if got != want {
		k.fail(section, "%d elements, not %d", got, want)
	}
}

func (k *checker) starts(section string, starts []uint32, members, rows int) {
	k.length(section, len(starts), members+1)
	if k.err != nil {
		return
	}
	before := uint32(0)
	for i, s := range starts {
		if s < before || i == 0 && s != 0 {
			k.fail(section, "element %d falls to %d", i, s)
			return
		}
		before = s
	}
	if int64(before) != int64(rows) {
		k.fail(section, "it ends at row %d of %d", before, rows)
	}
}

func (k *checker) rising(section string, mm []uint32, length uint32, s StretchID) {
	before := uint32(0)
	for _, v := range mm {
		if v < before || v > length {
			k.fail(section, "stretch %d: %d mm is out of order", s, v)
			return
		}
		before = v
	}
}

// below checks that a column has its length and stays under a limit.
func below[T ~uint32](k *checker, section string, column []T, limit, length int) {
	k.length(section, len(column), length)
	for i, v := range column {
		if int64(v) >= int64(limit) {
			k.fail(section, "element %d is %d, of %d", i, v, limit)
			return
		}
	}
}
