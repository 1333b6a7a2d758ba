package assess

import (
	"fmt"
	"sync"
	"testing"

	"loopwright/internal/country"
	"loopwright/internal/indexing/indexingtest"
	"loopwright/internal/roadnet"
)

func rutland(t testing.TB) (*roadnet.Network, *country.Profile) {
	return indexingtest.Lay(t, indexingtest.Shared(t, indexingtest.Rutland2022), "gb")
}

func delaware(t testing.TB) (*roadnet.Network, *country.Profile) {
	return indexingtest.Lay(t, indexingtest.InModule(t, "delaware-latest.osm.pbf"), "us")
}

// BenchmarkScan is one stretch at both kerbs for the turn in the road. The
// floor is the smoothing of its line, which no way of judging bends can spare.
func BenchmarkScan(b *testing.B) {
	n, p := rutland(b)
	a := New(n, p)
	ex, err := Named("turn-in-the-road")
	if err != nil {
		b.Fatal(err)
	}
	b.Run("floor", func(b *testing.B) {
		b.ReportAllocs()
		for i := range b.N {
			a.site.drawn.follow(n, roadnet.StretchID(i%n.NumStretches()))
		}
	})
	b.Run("scan", func(b *testing.B) {
		b.ReportAllocs()
		for i := range b.N {
			a.Scan(ex, roadnet.StretchID(i%n.NumStretches()))
		}
	})
	b.Run("places", func(b *testing.B) {
		b.ReportAllocs()
		for i := range b.N {
			a.Places(ex, roadnet.StretchID(i%n.NumStretches()))
		}
	})
	b.Run("examples", func(b *testing.B) {
		b.ReportAllocs()
		for i := range b.N {
			a.Examples(ex, roadnet.SegmentID(i%n.NumSegments()))
		}
	})
}

// BenchmarkDelaware is every stretch of the state for every exercise, with one
// worker, the floor, and with two.
func BenchmarkDelaware(b *testing.B) {
	n, p := delaware(b)
	for _, workers := range []int{1, 2} {
		b.Run(fmt.Sprintf("workers-%d", workers), func(b *testing.B) {
			for range b.N {
				var group sync.WaitGroup
				for w := range workers {
					a := New(n, p)
					group.Go(func() {
						for s := w; s < n.NumStretches(); s += workers {
							for _, ex := range Exercises() {
								a.Scan(ex, roadnet.StretchID(s))
							}
						}
					})
				}
				group.Wait()
			}
		})
	}
}
