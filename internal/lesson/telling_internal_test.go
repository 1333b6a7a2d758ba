package lesson

import (
	"fmt"
	"math"
	"testing"
	"time"

	"loopwright/internal/assess"
	"loopwright/internal/country"
	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
	"loopwright/internal/route"
)

// A turn off a main road, with the way back round a block of some length: what it
// costs to miss it is nothing for a short one, and goes by the minutes that are
// lost for a longer one, those of a whole search at the most.
func TestATurnThatIsDearToMend(t *testing.T) {
	gb, err := country.ByCode("gb")
	if err != nil {
		t.Fatal(err)
	}
	costs := map[int]float64{}
	for _, far := range []int{120, 700, 9000} {
		n := roadnettest.Parse(t, fmt.Sprintf(`
			A 0,0
			B 300,0
			C %d,0
			D 300,-200
			E %d,-200
			F 300,-500
			A-B Main Road residential 30mph
			B-C-E-D Main Street residential 30mph
			B-D Side Road residential 30mph
			D-F Lower Road residential 30mph
		`, 300+far, 300+far))
		from := roadnet.Position{Along: 20, Segment: along(t, n, "Main Road")}
		to := roadnet.Position{Along: 250, Segment: along(t, n, "Lower Road")}
		pl, err := newPlanner(n, gb, assess.New(n, gb), Request{
			From: from, To: from, Exercise: "turn-in-the-road", Minutes: 60, When: time.Date(2027, 3, 4, 10, 0, 0, 0, time.UTC),
		})
		if err != nil {
			t.Fatal(err)
		}
		path, ok := pl.forward.From(from, 600, route.Options{}).Path(to)
		if !ok {
			t.Fatal("no way")
		}
		d, _, ok := join(pl.w, route.Options{}, []route.Path{path})
		if !ok {
			t.Fatal("no drive")
		}
		costs[far] = pl.dear(pl.telling([]leg{{d: d, a: d.start(), b: d.end()}}))

		// By itself: the whole way round to the end, less the drive's own.
		round, ok := pl.forward.From(roadnet.Position{Segment: along(t, n, "Main Street")}, 3600, route.Options{}).Ms(to)
		if !ok {
			t.Fatal("no way round")
		}
		own := d.at(d.end()) - d.at(spot{1, 0})
		lost := min(float64(int64(round)-own)/1000, float64(mostBack))
		w := pl.table.Weights.Missed
		if want := w.Minute * max(lost-w.FromS, 0) / 60; math.Abs(costs[far]-want) > 0.1*want+1e-9 {
			t.Errorf("round a block of %d m: missing the turn costs %v, want %v for %.0f s", far, costs[far], want, lost)
		}
	}
	if costs[120] != 0 || costs[700] <= 0 || costs[9000] <= costs[700] {
		t.Errorf("costs by the length of the block: %v", costs)
	}
}

// along is the first segment of a road, as it is drawn.
func along(t *testing.T, n *roadnet.Network, road string) roadnet.SegmentID {
	t.Helper()
	for s := range roadnet.StretchID(n.NumStretches()) {
		if n.Name(n.NameOf(s)) == road {
			return s.Segment(true)
		}
	}
	t.Fatalf("no %s", road)
	return 0
}
