package route_test

import (
	"math/rand/v2"
	"reflect"
	"testing"

	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// A search that ends at its targets finds what the search to the bound finds:
// the same drives, state by state, and the same times.
func TestAimedSearchFindsTheSame(t *testing.T) {
	drives := 0
	eachRandom(t, func(t *testing.T, r *rand.Rand, p *plan, w *route.Weights) {
		n := w.Network()
		whole, aimed := route.NewFinder(w), route.NewFinder(w)
		for range 30 {
			opts := route.Options{UTurns: r.IntN(2) == 0}
			origin := anyPosition(r, n)
			targets := make([]roadnet.Position, 1+r.IntN(6))
			for i := range targets {
				targets[i] = anyPosition(r, n)
			}
			tree := whole.From(origin, anyTime, opts)
			row := aimed.Matrix([]roadnet.Position{origin}, targets, anyTime, opts)[0]
			for i, target := range targets {
				want, ok := tree.Path(target)
				got, found := aimed.Path(origin, target, anyTime, opts)
				if found != ok || !reflect.DeepEqual(got, want) {
					t.Fatalf("Path from %v to %v is %v, %t; of the whole tree %v, %t", origin, target, got, found, want, ok)
				}
				if ok && row[i] != want.Ms || !ok && row[i] != roadnet.None {
					t.Fatalf("Matrix from %v to %v has %d, want %d, %t", origin, target, row[i], want.Ms, ok)
				}
				if ok {
					drives++
				}
			}
		}
	})
	if drives < 500 {
		t.Errorf("only %d drives: the networks test too little", drives)
	}
}
