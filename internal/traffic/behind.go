package traffic

// behind is what lies beyond a block as seen from the trunk, the block itself
// included.
type behind struct {
	trunk bool // nothing: traffic of everywhere may pass
	whole bool // all that lies behind passes along it: a bridge
	apart bool // in a small part that the map joins to no other road
	load  load
}

// load is what ties and vertices carry, and what is summed over all that lies
// behind a block.
type load struct {
	homes    float64 // mapped or estimated
	guessed  float64 // of these, estimated
	visits   float64 // what schools and shops draw, in homes' worth
	rimRoads int     // stretches near the rim
}

func (l *load) add(m load) {
	l.homes += m.homes
	l.guessed += m.guessed
	l.visits += m.visits
	l.rimRoads += m.rimRoads
}

// islandFrom is the length of road, in metres, from which on a part of the map
// that is joined to no other is a place of its own, such as an island; in a
// smaller one the road that leads there is not mapped. Our choice.
const islandFrom = 5000.0

// hang takes the tree of blocks and cut vertices (Harary, "Graph theory",
// 1969, chapter 4) of each connected part by its trunk, the block of greatest
// length, and adds up what lies behind every other block.
func (b *blocks) hang(at [][]half, ties []tie, length []float64, tieLoads, vertexLoads []load) []behind {
	out := make([]behind, len(b.ties))
	size := make([]float64, len(b.ties))
	for k, members := range b.ties {
		for _, t := range members {
			size[k] += length[t]
			out[k].load.add(tieLoads[t])
		}
	}
	survey, walk := newVisited(b, at), newVisited(b, at)
	for first := range b.ties {
		if survey.block[first] {
			continue
		}
		trunk, whole := uint32(first), 0.0
		for _, s := range b.outward(uint32(first), at, ties, survey, func(uint32, uint32) {}) {
			whole += size[s.block]
			if size[s.block] > size[trunk] || size[s.block] == size[trunk] && s.block < trunk {
				trunk = s.block
			}
		}
		out[trunk].trunk = true
		order := b.outward(trunk, at, ties, walk, func(k, v uint32) { out[k].load.add(vertexLoads[v]) })
		for i := len(order) - 1; i > 0; i-- {
			out[order[i].parent].load.add(out[order[i].block].load)
		}
		for _, s := range order {
			out[s.block].apart = whole < islandFrom
			out[s.block].whole = b.bridge(ties, b.ties[s.block][0])
		}
	}
	return out
}

// visited marks the blocks and vertices where a walk has been.
type visited struct{ block, vertex []bool }

func newVisited(b *blocks, at [][]half) visited {
	return visited{make([]bool, len(b.ties)), make([]bool, len(at))}
}

// outwardStep is a block and the one through which it was reached.
type outwardStep struct{ block, parent uint32 }

// outward walks from one block to all of its connected part, nearest first,
// and calls first once for every vertex with the block that reaches it first.
func (b *blocks) outward(from uint32, at [][]half, ties []tie, seen visited, first func(k, v uint32)) []outwardStep {
	order := []outwardStep{{from, from}}
	seen.block[from] = true
	for i := 0; i < len(order); i++ {
		k := order[i].block
		for _, t := range b.ties[k] {
			for _, v := range [2]uint32{ties[t].a, ties[t].b} {
				if seen.vertex[v] {
					continue
				}
				seen.vertex[v] = true
				first(k, v)
				for _, h := range at[v] {
					if next := b.of[h.tie]; !seen.block[next] {
						seen.block[next] = true
						order = append(order, outwardStep{next, k})
					}
				}
			}
		}
	}
	return order
}
