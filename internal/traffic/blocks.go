package traffic

// tie is one road between two vertices of an undirected graph; parallel ties
// and loops are allowed.
type tie struct{ a, b uint32 }

// blocks are the biconnected parts of a graph: each tie is in one block, and
// two blocks share at most one vertex. A bridge is a block of a single tie that
// is no loop: without it the graph falls apart.
type blocks struct {
	of   []uint32   // by tie: its block
	ties [][]uint32 // by block: its ties
}

// bridge says whether a tie is the only way between its ends.
func (b *blocks) bridge(ties []tie, t uint32) bool {
	return len(b.ties[b.of[t]]) == 1 && ties[t].a != ties[t].b
}

// half is one end of a tie, in the list of its vertex.
type half struct{ tie, to uint32 }

// joined lists the ties at each vertex, by tie; a loop once.
func joined(vertices int, ties []tie) [][]half {
	out := make([][]half, vertices)
	for i, t := range ties {
		out[t.a] = append(out[t.a], half{uint32(i), t.b})
		if t.a != t.b {
			out[t.b] = append(out[t.b], half{uint32(i), t.a})
		}
	}
	return out
}

// blocksOf divides a graph into blocks.
//
// Hopcroft and Tarjan, "Algorithm 447: efficient algorithms for graph
// manipulation", Communications of the ACM 16 (1973): a depth-first search
// with low points and a stack of ties. Differences: without recursion, since a
// country's roads are deeper than a stack; with parallel ties, by leaving a
// vertex through the very tie, not to the very vertex, that it was reached by;
// a loop is a block of its own.
func blocksOf(vertices int, at [][]half, ties []tie) *blocks {
	b := &blocks{of: make([]uint32, len(ties))}
	const unseen = 0
	number, low := make([]uint32, vertices), make([]uint32, vertices)
	done := make([]bool, len(ties))
	type frame struct {
		v, by uint32 // vertex, and the tie that led to it
		next  int
	}
	var walk []frame
	var stack []uint32
	close := func(ts []uint32) {
		for _, t := range ts {
			b.of[t] = uint32(len(b.ties))
		}
		b.ties = append(b.ties, append([]uint32(nil), ts...))
	}
	count := uint32(0)
	enter := func(v, by uint32) {
		count++
		number[v], low[v] = count, count
		walk = append(walk, frame{v, by, 0})
	}
	for root := range uint32(vertices) {
		if number[root] != unseen {
			continue
		}
		enter(root, ^uint32(0))
		for len(walk) > 0 {
			f := &walk[len(walk)-1]
			if f.next < len(at[f.v]) {
				h := at[f.v][f.next]
				f.next++
				switch {
				case done[h.tie]:
				case h.to == f.v:
					done[h.tie] = true
					close([]uint32{h.tie})
				case number[h.to] == unseen:
					done[h.tie] = true
					stack = append(stack, h.tie)
					enter(h.to, h.tie)
				default:
					done[h.tie] = true
					stack = append(stack, h.tie)
					low[f.v] = min(low[f.v], number[h.to])
				}
				continue
			}
			v, by := f.v, f.by
			walk = walk[:len(walk)-1]
			if len(walk) == 0 {
				break
			}
			u := walk[len(walk)-1].v
			low[u] = min(low[u], low[v])
			if low[v] < number[u] {
				continue
			}
			k := len(stack) - 1
			for stack[k] != by {
				k--
			}
			close(stack[k:])
			stack = stack[:k]
		}
	}
	return b
}
