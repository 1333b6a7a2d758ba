package route_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"gonum.org/v1/gonum/graph"
	"gonum.org/v1/gonum/graph/path"
	"gonum.org/v1/gonum/graph/simple"

	"loopwright/internal/country"
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/indexing"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// rutland is a real county, indexed once for all tests and benchmarks here.
var rutland = sync.OnceValues(func() (*roadnet.Network, error) {
	return index(filepath.Join("..", "..", "..", "shared", "extracts", "rutland-uk_2022-07-20.osm.pbf"), "gb")
})

// delaware is a state with its cities, in the test data of a library that the
// module cache holds.
var delaware = sync.OnceValues(func() (*roadnet.Network, error) {
	dir, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/paulmach/osm").Output()
	if err != nil {
		return nil, fmt.Errorf("the module cache can't be asked: %w", err)
	}
	return index(filepath.Join(strings.TrimSpace(string(dir)), "testdata", "delaware-latest.osm.pbf"), "us")
})

func index(file, code string) (*roadnet.Network, error) {
	if _, err := os.Stat(file); err != nil {
		return nil, err
	}
	profile, err := country.ByCode(code)
	if err != nil {
		return nil, err
	}
	facts, err := extract.Read(context.Background(), file, extract.Options{Profile: profile})
	if err != nil {
		return nil, err
	}
	return indexing.Build(context.Background(), facts, profile, indexing.Options{})
}

// need skips where an extract is not at hand, and fails where it can't be indexed.
func need(tb testing.TB, get func() (*roadnet.Network, error)) *roadnet.Network {
	tb.Helper()
	n, err := get()
	if os.IsNotExist(err) {
		tb.Skipf("skipped: the extract is not at hand: %v", err)
	}
	if err != nil {
		tb.Fatal(err)
	}
	return n
}

// drivablePosition is a random point of a segment that is open.
func drivablePosition(r *rand.Rand, w *route.Weights) roadnet.Position {
	for {
		if p := anyPosition(r, w.Network()); w.Open(p.Segment) {
			return p
		}
	}
}

// TestRutlandAgainstGonum drives between 200 random pairs of positions, both
// ways of searching, with and without turning round, and reads each path again.
func TestRutlandAgainstGonum(t *testing.T) {
	n := need(t, rutland)
	w := middleWeights(t, n, "gb")
	r := rand.New(rand.NewPCG(*seedFlag, 3))
	oracles := [2]*oracle{newOracle(w, false), newOracle(w, true)}
	ahead, back := route.NewFinder(w), route.NewFinder(w)
	reached, metres, ms := 0, geo.Metres(0), 0.0
	for i := range 20 {
		origin := drivablePosition(r, w)
		opts := route.Options{UTurns: i%2 == 1}
		want := oracles[i%2].from(origin)
		from := ahead.From(origin, anyTime, opts)
		for range 10 {
			target := drivablePosition(r, w)
			wantMs, ok := want(target)
			got, found := from.Ms(target)
			into, foundBack := back.Into(target, anyTime, opts).Ms(origin)
			if found != ok || foundBack != ok || ok && (got != wantMs || into != wantMs) {
				t.Fatalf("seed %d: %v → %v: From %d, %t, Into %d, %t, want %d, %t", *seedFlag, origin, target, got, found, into, foundBack, wantMs, ok)
			}
			if ok {
				drive, _ := from.Path(target)
				checkPath(t, w, drive, origin, target, wantMs, opts)
				reached++
				metres += drive.Length
				ms += float64(drive.Ms)
			}
		}
	}
	if reached < 50 { // a start in a no-through road reaches nothing where turning round is not allowed
		t.Errorf("seed %d: only %d of 200 pairs reach each other", *seedFlag, reached)
	}
	// Mean speeds over long drives in the country: under the 60 mph limit, and
	// above what town traffic allows. Common knowledge, not a publication.
	mph := geo.MetresPerSecond(float64(metres) / ms * 1000).MilesPerHour()
	t.Logf("%d of 200 pairs reach each other; mean %.1f km at %.1f mph", reached, float64(metres)/1000/float64(reached), mph)
	if mph < 20 || mph > 48 {
		t.Errorf("the mean speed is %.1f mph", mph)
	}
}

// within are random positions within some minutes of a first one.
func within(r *rand.Rand, w *route.Weights, minutes geo.Seconds, count int) []roadnet.Position {
	f := route.NewFinder(w)
	for {
		out := []roadnet.Position{drivablePosition(r, w)}
		from := f.From(out[0], minutes*60, route.Options{})
		for range 400 * count {
			if p := drivablePosition(r, w); len(out) < count {
				if _, ok := from.Ms(p); ok {
					out = append(out, p)
				}
			}
		}
		if len(out) == count {
			return out
		}
	}
}

// BenchmarkMatrix times all drives among 100 positions within 15 minutes of the
// first, and gonum's Dijkstra from ten of them on the same graph of states,
// without zones. The metrics are the mean of one search of ours, bounded by 30
// minutes and unbounded, and how many times as long gonum's takes; weights and
// graph are made beforehand.
func BenchmarkMatrix(b *testing.B) {
	for _, c := range []struct {
		name, country string
		get           func() (*roadnet.Network, error)
	}{{"rutland", "gb", rutland}, {"delaware", "us", delaware}} {
		b.Run(c.name, func(b *testing.B) {
			w := middleWeights(b, need(b, c.get), c.country)
			positions := within(rand.New(rand.NewPCG(1, 4)), w, 15, 100)
			f := route.NewFinder(w)
			for b.Loop() {
				f.Matrix(positions, positions, 30*60, route.Options{})
			}
			ours := b.Elapsed().Seconds() / float64(b.N) / float64(len(positions))
			some := positions[:10]
			whole := each(some, func(p roadnet.Position) { f.From(p, anyTime, route.Options{}) })
			g := plainGraph(w)
			floor := each(some, func(p roadnet.Position) { path.DijkstraFrom(simple.Node(p.Segment), g) })
			b.ReportMetric(ours*1e3, "ms/search")
			b.ReportMetric(whole*1e3, "ms/unbounded")
			b.ReportMetric(floor/ours, "gonum/search")
			b.ReportMetric(floor/whole, "gonum/unbounded")
		})
	}
}

// each is the mean time, in seconds, of a search from each of some positions.
func each(positions []roadnet.Position, search func(roadnet.Position)) float64 {
	start := time.Now()
	for _, p := range positions {
		search(p)
	}
	return time.Since(start).Seconds() / float64(len(positions))
}

// plainGraph is the states and turns as gonum reads them.
func plainGraph(w *route.Weights) graph.Graph {
	n := w.Network()
	g := simple.NewWeightedDirectedGraph(0, 0)
	for v := range n.NumStates() {
		if g.Node(int64(v)) == nil {
			g.AddNode(simple.Node(v))
		}
		from := n.StateSegment(roadnet.StateID(v))
		lo, hi := n.TurnRange(roadnet.StateID(v))
		for t := lo; t < hi; t++ {
			turn := n.TurnAt(t)
			if to := n.StateSegment(turn.To); w.Open(from) && w.Open(to) && !turn.U && int(turn.To) != v {
				g.SetWeightedEdge(g.NewWeightedEdge(simple.Node(v), simple.Node(turn.To), float64(w.SegmentMs(from)+w.TurnMs(t))))
			}
		}
	}
	return g
}

// BenchmarkWeights times the making of weights, and of a copy with a road barred.
func BenchmarkWeights(b *testing.B) {
	n := need(b, delaware)
	w := middleWeights(b, n, "us")
	b.Run("new", func(b *testing.B) {
		for b.Loop() {
			middleWeights(b, n, "us")
		}
	})
	b.Run("bar", func(b *testing.B) {
		for b.Loop() {
			w.Bar(0)
		}
	})
}
