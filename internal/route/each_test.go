package route_test

import (
	"math/rand/v2"
	"testing"

	"loopwright/internal/geo"
	"loopwright/internal/route"
)

// One search from, or into, several ends gives the least of the times that a
// search for each gives, within the bound.
func TestEachIsTheLeastOfAll(t *testing.T) {
	compared, reached := 0, 0
	eachRandom(t, func(t *testing.T, r *rand.Rand, p *plan, w *route.Weights) {
		n := w.Network()
		one, each := route.NewFinder(w), route.NewFinder(w)
		for i := range 12 {
			opts := route.Options{UTurns: i%2 == 0}
			bound := geo.Seconds(r.IntN(600))
			ends := make([]route.End, 1+r.IntN(5))
			for k := range ends {
				ends[k] = route.End{At: anyPosition(r, n), Ms: r.Uint32N(120_000)}
			}
			for _, backward := range []bool{false, true} {
				search, single := each.FromEach, one.From
				if backward {
					search, single = each.IntoEach, one.Into
				}
				times := search(ends, bound, opts)
				for range 20 {
					at := anyPosition(r, n)
					if r.IntN(4) == 0 {
						at.Segment = ends[0].At.Segment
						at.Along = min(at.Along, n.Length(at.Segment.Stretch()))
					}
					want, found := uint32(0), false
					for _, e := range ends {
						ms, ok := single(e.At, anyTime, opts).Ms(at)
						if ms += e.Ms; ok && float64(ms) <= 1000*float64(bound) && (!found || ms < want) {
							want, found = ms, true
						}
					}
					got, ok := times.Ms(at)
					if ok != found || ok && got != want {
						t.Errorf("backward %v: %v is %d ms away, %v; want %d, %v", backward, at, got, ok, want, found)
					}
					compared++
					if ok {
						reached++
					}
				}
			}
		}
	})
	if reached < compared/20 {
		t.Errorf("only %d of %d positions are reached: too few to tell", reached, compared)
	}
}
