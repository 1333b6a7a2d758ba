package assess

import (
	"bytes"
	"compress/gzip"
	"math"
	"os"
	"path/filepath"
	"testing"

	"loopwright/data"
	"loopwright/internal/demotown"
	"loopwright/internal/roadnet"
)

// town lays the invented town, with its truth by way and side.
func town(t testing.TB) (*roadnet.Network, map[int64][]*demotown.Record) {
	t.Helper()
	text, err := data.Demo.ReadFile("demo/town.osm.pbf")
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "town.osm.pbf")
	if err := os.WriteFile(path, text, 0o600); err != nil {
		t.Fatal(err)
	}
	n, _ := laid(t, path, "gb")
	packed, err := data.Demo.ReadFile("demo/truth.csv.gz")
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

// truth is the record of the kerb at a place; nil where the town has none.
func truth(n *roadnet.Network, byWay map[int64][]*demotown.Record, p Place) *demotown.Record {
	kerb := n.KerbAt(p.Position, p.Side)
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

// tried is one place with what is true of it.
type tried struct {
	place Place
	truth *demotown.Record
	suits bool
}

// tryTown assesses every kerb of the town for an exercise: the truth is that of
// a working day at eleven.
func tryTown(t testing.TB, n *roadnet.Network, byWay map[int64][]*demotown.Record, name string, e demotown.Exercise, w demotown.World) []tried {
	t.Helper()
	ex, err := Named(name)
	if err != nil {
		t.Fatal(err)
	}
	a := New(n, profile(t, "gb"))
	var out []tried
	for s := range roadnet.StretchID(n.NumStretches()) {
		for _, p := range a.Scan(ex, s) {
			if k := truth(n, byWay, p); k != nil {
				out = append(out, tried{p, k, k.Suits(e, w, 11)})
			}
		}
	}
	if len(out) < 1000 {
		t.Fatalf("only %d kerbs of the town have a truth", len(out))
	}
	return out
}

// Of every hundred places or more with like chances for the turn in the road,
// as many truly suit as the chances say, within 8 points or Wilson's interval
// at 95 %; and the chances tell more than the class of the road alone does. The
// town's truth is drawn and judged by rules apart from the table.
func TestTurnIsCalibratedInTheTown(t *testing.T) {
	n, byWay := town(t)
	all := tryTown(t, n, byWay, "turn-in-the-road", demotown.TurnInTheRoad, demotown.Stated)
	var count, hit [10]int
	var said [10]float64
	classCount, classHit := make(map[string]int), make(map[string]int)
	for _, x := range all {
		b := min(int(x.place.Chance*10), 9)
		count[b]++
		said[b] += x.place.Chance
		classCount[x.truth.Class]++
		if x.suits {
			hit[b]++
			classHit[x.truth.Class]++
		}
	}
	for b := range count {
		if count[b] < 100 {
			continue
		}
		m := float64(count[b])
		chance, share := said[b]/m, float64(hit[b])/m
		const z = 1.96
		middle := (share + z*z/(2*m)) / (1 + z*z/m)
		half := z / (1 + z*z/m) * math.Sqrt(share*(1-share)/m+z*z/(4*m*m))
		t.Logf("said %.3f, true %.3f of %d", chance, share, count[b])
		if math.Abs(chance-share) > 0.08 && math.Abs(chance-middle) > half {
			t.Errorf("places said to suit with %.2f truly do with %.2f [%.2f, %.2f] of %d", chance, share, middle-half, middle+half, count[b])
		}
	}
	ours, byClass := 0.0, 0.0
	for _, x := range all {
		yes := 0.0
		if x.suits {
			yes = 1
		}
		guess := float64(classHit[x.truth.Class]) / float64(classCount[x.truth.Class])
		ours += (x.place.Chance - yes) * (x.place.Chance - yes)
		byClass += (guess - yes) * (guess - yes)
	}
	t.Logf("Brier score %.4f, of the true shares of each class %.4f", ours/float64(len(all)), byClass/float64(len(all)))
	if ours >= byClass {
		t.Errorf("Brier score %.4f is no better than the class alone, %.4f", ours/float64(len(all)), byClass/float64(len(all)))
	}
}

// Once what was assumed is as assumed, nine in ten of the places called likely
// or suitable for the turn in the road truly suit, in every world. The width is
// as assumed where it takes a reverse to turn: at 9.7 m (the manoeuvre's own
// figure for a small hatch) there is nothing left to practise.
func TestLikelyTurnsTrulySuit(t *testing.T) {
	n, byWay := town(t)
	for _, w := range []demotown.World{demotown.Narrow, demotown.Stated, demotown.Wide} {
		suits, total := 0, 0
		for _, x := range tryTown(t, n, byWay, "turn-in-the-road", demotown.TurnInTheRoad, w) {
			k := x.truth
			asAssumed := k.Clear(w, 11) >= 6.1 && k.Clear(w, 11) < 9.5 && k.Steepest <= 5 && (k.Traffic == demotown.Own || k.Traffic == demotown.Light) &&
				k.LimitMPH <= 30 && !k.Barred && k.Full(w, 11) < 0.25 && k.OtherSide.Full(w, 11) < 0.25
			for _, side := range []*demotown.Record{k, k.OtherSide} {
				for _, m := range side.Marks {
					asAssumed = asAssumed && m.Mapped
				}
			}
			if x.place.Verdict < Likely || !asAssumed {
				continue
			}
			total++
			if x.suits {
				suits++
			}
		}
		t.Logf("%v world: %d of %d", w, suits, total)
		if total < 20 || float64(suits) < 0.9*float64(total) {
			t.Errorf("%v world: %d of %d places called likely truly suit, want nine in ten", w, suits, total)
		}
	}
}
