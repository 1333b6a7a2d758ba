package traffic

import (
	"math/rand/v2"
	"testing"
)

func randomTies(r *rand.Rand) (int, []tie) {
	vertices := 1 + r.IntN(25)
	ties := make([]tie, r.IntN(2*vertices))
	for i := range ties {
		ties[i] = tie{r.Uint32N(uint32(vertices)), r.Uint32N(uint32(vertices))}
	}
	return vertices, ties
}

// reach is the vertices joined to one when some ties are taken away.
func reach(from uint32, vertices int, ties []tie, gone func(t int) bool) []bool {
	seen := make([]bool, vertices)
	seen[from] = true
	for again := true; again; {
		again = false
		for i, t := range ties {
			if !gone(i) && seen[t.a] != seen[t.b] {
				seen[t.a], seen[t.b], again = true, true, true
			}
		}
	}
	return seen
}

// A tie is a bridge where its ends fall apart without it.
func TestBridgesEqualRemoval(t *testing.T) {
	bridges := 0
	for trial := range uint64(500) {
		vertices, ties := randomTies(rand.New(rand.NewPCG(*seedFlag, trial)))
		b := blocksOf(vertices, joined(vertices, ties), ties)
		for i, x := range ties {
			want := !reach(x.a, vertices, ties, func(k int) bool { return k == i })[x.b]
			if got := b.bridge(ties, uint32(i)); got != want {
				t.Fatalf("seed %d trial %d: tie %d of %v: bridge is %v, want %v", *seedFlag, trial, i, ties, got, want)
			}
			if want {
				bridges++
			}
		}
	}
	if bridges == 0 {
		t.Error("no bridge in any graph")
	}
}

// Two ties are in one block where no vertex taken away parts them: where, for
// every vertex, what is left of them is joined without it.
func TestBlocksEqualRemovalOfVertices(t *testing.T) {
	for trial := range uint64(150) {
		vertices, ties := randomTies(rand.New(rand.NewPCG(*seedFlag, 1000+trial)))
		b := blocksOf(vertices, joined(vertices, ties), ties)
		for i := range ties {
			for k := range i {
				if got, want := b.of[i] == b.of[k], together(vertices, ties, i, k); got != want {
					t.Fatalf("seed %d trial %d: ties %d and %d of %v in one block: %v, want %v", *seedFlag, trial, i, k, ties, got, want)
				}
			}
		}
	}
}

func together(vertices int, ties []tie, i, k int) bool {
	x, y := ties[i], ties[k]
	if x.a == x.b || y.a == y.b {
		return false
	}
	for v := range uint32(vertices) {
		without := func(t int) bool { return ties[t].a == v || ties[t].b == v }
		p, q := x.a, y.a
		if p == v {
			p = x.b
		}
		if q == v {
			q = y.b
		}
		if !reach(p, vertices, ties, without)[q] {
			return false
		}
	}
	// Ties that no vertex parts may still lie on both sides of a bridge.
	for t := range ties {
		if !reach(x.a, vertices, ties, func(g int) bool { return g == t })[y.a] || t == i && !reach(x.a, vertices, ties, func(g int) bool { return g == t })[x.b] ||
			t == k && !reach(y.a, vertices, ties, func(g int) bool { return g == t })[y.b] {
			return false
		}
	}
	return true
}

// What lies behind a bridge is what falls off the trunk without it.
func TestBehindABridgeIsWhatFallsOff(t *testing.T) {
	checked := 0
	for trial := range uint64(300) {
		r := rand.New(rand.NewPCG(*seedFlag, 2000+trial))
		vertices, ties := randomTies(r)
		length := make([]float64, len(ties))
		onTies, onVertices := make([]load, len(ties)), make([]load, vertices)
		for i := range ties {
			length[i] = float64(1 + r.IntN(100))
			onTies[i] = load{homes: float64(r.IntN(10)), guessed: float64(r.IntN(10)), visits: float64(r.IntN(10)), rimRoads: r.IntN(2)}
		}
		for v := range onVertices {
			onVertices[v] = load{homes: float64(r.IntN(10)), rimRoads: r.IntN(2)}
		}
		at := joined(vertices, ties)
		b := blocksOf(vertices, at, ties)
		found := b.hang(at, ties, length, onTies, onVertices)
		for i, x := range ties {
			if !b.bridge(ties, uint32(i)) || found[b.of[i]].trunk {
				continue
			}
			trunk := uint32(0)
			whole := reach(x.a, vertices, ties, func(int) bool { return false })
			for k := range ties {
				if found[b.of[k]].trunk && whole[ties[k].a] {
					trunk = ties[k].a
				}
			}
			kept := reach(trunk, vertices, ties, func(k int) bool { return k == i })
			var want load
			for k, y := range ties {
				if whole[y.a] && (k == i || !kept[y.a]) {
					want.add(onTies[k])
				}
			}
			for v := range onVertices {
				if whole[v] && !kept[v] {
					want.add(onVertices[v])
				}
			}
			if got := found[b.of[i]].load; got != want {
				t.Fatalf("seed %d trial %d: behind tie %d of %v: %+v, want %+v", *seedFlag, trial, i, ties, got, want)
			}
			checked++
		}
	}
	if checked == 0 {
		t.Error("no bridge hung from a trunk")
	}
}
