package assess

import (
	"bytes"
	"compress/gzip"
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"loopwright/data"
	"loopwright/internal/country"
	"loopwright/internal/demotown"
	"loopwright/internal/elevation"
	"loopwright/internal/indexing"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
	"loopwright/internal/traffic"
)

// measured is a network with how quiet its roads are.
func measured(t testing.TB, n *roadnet.Network, p *country.Profile) *roadnet.Network {
	t.Helper()
	paces, err := route.Paces()
	if err != nil {
		t.Fatal(err)
	}
	q := traffic.Measure(n, route.NewWeights(n, p, paces["near-test"]), traffic.FactsOf(n), 0)
	return n.WithTraffic(q.Encode())
}

// demoFile unpacks a file of the invented town.
func demoFile(t testing.TB, name string) string {
	t.Helper()
	text, err := data.Demo.ReadFile("demo/" + name)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), filepath.Base(name))
	if err := os.WriteFile(path, text, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// town lays the invented town with heights and traffic, and gives its truth by
// way and side.
func town(t testing.TB) (*roadnet.Network, map[int64][]*demotown.Record) {
	t.Helper()
	n, p := laid(t, demoFile(t, demotown.MapFile), "gb")
	ground, err := elevation.Open(filepath.Dir(demoFile(t, demotown.HeightsFile)))
	if err != nil {
		t.Fatal(err)
	}
	defer ground.Close()
	if n, err = indexing.AddHeights(context.Background(), n, ground, 0); err != nil {
		t.Fatal(err)
	}
	n = measured(t, n, p)
	packed, err := data.Demo.ReadFile("demo/" + demotown.TruthFile)
	if err != nil {
		t.Fatal(err)
	}
	r, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		t.Fatal(err)
	}
	records, err := demotown.ReadTruth(r)
	if err != nil {
		t.Fatal(err)
	}
	byWay := make(map[int64][]*demotown.Record)
	for i := range records {
		byWay[records[i].Way] = append(byWay[records[i].Way], records[i])
	}
	return n, byWay
}

// truth is the record of the driver who passes a place; nil where the town has
// none. It is that of the kerb on the driving side.
func truth(n *roadnet.Network, byWay map[int64][]*demotown.Record, p roadnet.Position) *demotown.Record {
	kerb := n.KerbAt(p, roadnet.Left)
	side := demotown.Left
	if kerb.Side == roadnet.Right {
		side = demotown.Right
	}
	for _, k := range byWay[int64(kerb.Way)] {
		if k.Side == side && kerb.Along >= k.From-1 && kerb.Along <= k.To+1 {
			return k
		}
	}
	return nil
}

// inTown are the exercises with their names in the truth.
var inTown = []townExercise{
	{"turn-in-the-road", demotown.TurnInTheRoad, 0.25, false},
	{"moving-off", demotown.MovingOff, 0.3, false},
	{"straight-reverse", demotown.StraightReverse, 0.2, false},
	{"parallel-park", demotown.ParallelPark, 0.4, true},
	{"pull-up-right", demotown.PullUpOnTheRight, 0.3, false},
	{"hill-start", demotown.HillStart, 0.4, false},
	{"emergency-stop", demotown.EmergencyStop, 0.15, false},
	{"moving-off-angle", demotown.MovingOffAtAnAngle, 0.45, true},
	{"moving-off-uphill", demotown.MovingOffUphill, 0.4, false},
	{"moving-off-downhill", demotown.MovingOffDownhill, 0.4, false},
	{"reverse-corner", demotown.ReverseRoundACorner, 0.3, false},
}

type townExercise struct {
	name     string
	truth    demotown.Exercise
	full     float64 // of the kerb, the most that the truth lets be taken
	wantsCar bool    // at the kerb, to park behind
}

// tried is one place with what is true of it.
type tried struct {
	place Place
	truth *demotown.Record
}

// tryTown assesses every kerb of the town for an exercise.
func tryTown(t testing.TB, n *roadnet.Network, byWay map[int64][]*demotown.Record, name string) []tried {
	t.Helper()
	ex, err := Named(name)
	if err != nil {
		t.Fatal(err)
	}
	a := New(n, profile(t, "gb"))
	var out []tried
	for s := range roadnet.StretchID(n.NumStretches()) {
		for _, p := range a.Places(ex, s) {
			if k := truth(n, byWay, p.Position); k != nil {
				out = append(out, tried{p, k})
			}
		}
	}
	return out
}

// asAssumed says whether everything that a place's findings only assume is
// truly as the exercise asks. Cars may stand to the share of the kerb that the
// truth's own judgement allows; the width has an upper end too, where a turn
// needs no reverse (9.7 m for a small hatch).
func asAssumed(x tried, e townExercise, w demotown.World) bool {
	k := x.truth
	marked := func(kinds ...string) bool {
		for _, side := range []*demotown.Record{k, k.OtherSide} {
			for _, m := range side.Marks {
				for _, kind := range kinds {
					if !m.Mapped && strings.Contains(m.Kind, kind) {
						return true
					}
				}
			}
		}
		return false
	}
	for _, f := range x.place.Findings {
		if f.Evidence != Assumed && f.Evidence != EvidenceUnknown {
			continue
		}
		ok := true
		switch f.Criterion {
		case "clear-width":
			ok = float64(k.Clear(w, 11)) >= *f.Limit.Min && (f.Limit.Max == nil || float64(k.Clear(w, 11)) <= *f.Limit.Max) && k.Clear(w, 11) < 9.5
		case "parked":
			ok = k.Full(w, 11) < e.full && k.OtherSide.Full(w, 11) < e.full && (!e.wantsCar || k.Parked[w][11] > 0)
		case "kerb":
			ok = !k.Barred && !k.OtherSide.Barred
		case "quiet":
			ok = k.Traffic == demotown.Own || k.Traffic == demotown.Light
		case "limit":
			ok = k.LimitMPH <= 30
		case "surface":
			ok = k.Surface == "asphalt"
		case "gradient":
			ok = k.Steepest <= 4
		case "calming":
			ok = !marked("hump", "table", "cushion", "choker", "refuge")
		case "crossing":
			ok = !marked("pelican", "zebra")
		case "bus-stop":
			ok = !marked("bus stop")
		}
		if !ok {
			return false
		}
	}
	return true
}

func TestTownReport(t *testing.T) {
	n, byWay := town(t)
	for _, e := range inTown {
		all := tryTown(t, n, byWay, e.name)
		for _, w := range []demotown.World{demotown.Narrow, demotown.Stated, demotown.Wide} {
			report(t, e, w, all)
		}
	}
}

func report(t *testing.T, e townExercise, w demotown.World, all []tried) {
	var count, hit [10]int
	var said [10]float64
	classCount, classHit := make(map[string]int), make(map[string]int)
	likely, likelyOK, assumed, assumedOK, suit, suitOK, base := 0, 0, 0, 0, 0, 0, 0
	var failures []string
	verdicts := map[Verdict]int{}
	for _, x := range all {
		verdicts[x.place.Verdict]++
		suits := x.truth.Suits(e.truth, w, 11)
		b := min(int(x.place.Chance*10), 9)
		count[b]++
		said[b] += x.place.Chance
		classCount[x.truth.Class]++
		if suits {
			hit[b]++
			classHit[x.truth.Class]++
			base++
		}
		if x.place.Verdict >= Likely {
			likely++
			if suits {
				likelyOK++
			}
			if asAssumed(x, e, w) {
				assumed++
				if suits {
					assumedOK++
				} else {
					k := x.truth
					failures = append(failures, fmt.Sprintf("%v: len %.0f straight %.0f room %.0f clear %.1f steep %.1f grad %.1f traffic %v lim %d full %.2f/%.2f sight %.0f/%.0f bus %v barred %v", x.place.Verdict, k.Length, k.Straight, 0.0, k.Clear(w, 11), k.Steepest, k.Gradient, k.Traffic, k.LimitMPH, k.Full(w, 11), k.OtherSide.Full(w, 11), k.SightAlong, k.OtherSide.SightAlong, k.BusRoute, k.Barred))
				}
			}
		}
		if x.place.Verdict == Suitable {
			suit++
			if suits {
				suitOK++
			}
		}
	}
	ours, byClass := 0.0, 0.0
	for _, x := range all {
		yes := 0.0
		if x.truth.Suits(e.truth, w, 11) {
			yes = 1
		}
		guess := float64(classHit[x.truth.Class]) / float64(classCount[x.truth.Class])
		ours += (x.place.Chance - yes) * (x.place.Chance - yes)
		byClass += (guess - yes) * (guess - yes)
	}
	m := float64(len(all))
	ranked := slices.Clone(all)
	slices.SortStableFunc(ranked, func(a, b tried) int { return Better(a.place, b.place) })
	top := 0
	for _, x := range ranked[:min(20, len(ranked))] {
		if w == demotown.Stated && !x.truth.Suits(e.truth, w, 11) {
			k := x.truth
			t.Logf("   TOP %.2f %.2f: len %.0f straight %.0f clear %.1f w %.1f steep %.1f traffic %v lim %d full %.2f/%.2f sight %.0f bus %v barred %v corner %.0f marks %v", x.place.Chance, x.place.MapFit, k.Length, k.Straight, k.Clear(w, 11), k.Width[w], k.Steepest, k.Traffic, k.LimitMPH, k.Full(w, 11), k.OtherSide.Full(w, 11), k.SightAlong, k.BusRoute, k.Barred, k.LeftCorner, k.Marks)
		}
		if x.truth.Suits(e.truth, w, 11) {
			top++
		}
	}
	line := ""
	for b := range count {
		if count[b] > 0 {
			line += fmt.Sprintf(" %.2f:%.2f(%d)", said[b]/float64(count[b]), float64(hit[b])/float64(count[b]), count[b])
		}
	}
	t.Logf("%s %v: base %.3f likely %d ok %.2f; as assumed %d ok %.2f; suitable %d ok %.2f; brier %.4f class %.4f; top20 %d; bins%s", e.name, w, float64(base)/m, likely, float64(likelyOK)/float64(max(likely, 1)), assumed, float64(assumedOK)/float64(max(assumed, 1)), suit, float64(suitOK)/float64(max(suit, 1)), ours/m, byClass/m, top, line)
	if w == demotown.Stated {
		t.Log(verdicts)
		for i, f := range failures {
			if i < 12 {
				t.Log("   ", f)
			}
		}
	}
	_ = math.Abs
}
