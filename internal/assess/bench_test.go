package assess

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"loopwright/internal/country"
	"loopwright/internal/extract"
	"loopwright/internal/indexing"
	"loopwright/internal/roadnet"
)

// laid reads and lays an extract; the test is skipped where it is absent.
func laid(t testing.TB, path, code string) (*roadnet.Network, *country.Profile) {
	t.Helper()
	if _, err := os.Stat(path); err != nil {
		t.Skipf("no extract at %s", path)
	}
	p, err := country.ByCode(code)
	if err != nil {
		t.Fatal(err)
	}
	x, err := extract.Read(context.Background(), path, extract.Options{Profile: p})
	if err != nil {
		t.Fatal(err)
	}
	n, err := indexing.Build(context.Background(), x, p, indexing.Options{ExtractPath: path})
	if err != nil {
		t.Fatal(err)
	}
	return n, p
}

func rutland(t testing.TB) (*roadnet.Network, *country.Profile) {
	return laid(t, filepath.Join("..", "..", "..", "shared", "extracts", "rutland-uk_2022-07-20.osm.pbf"), "gb")
}

func delaware(t testing.TB) (*roadnet.Network, *country.Profile) {
	dir, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/paulmach/osm").Output()
	if err != nil {
		t.Skipf("no module cache: %v", err)
	}
	return laid(t, filepath.Join(strings.TrimSpace(string(dir)), "testdata", "delaware-latest.osm.pbf"), "us")
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
			a.site.line.follow(n, roadnet.StretchID(i%n.NumStretches()))
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
