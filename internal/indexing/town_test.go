package indexing_test

import (
	"bytes"
	"compress/gzip"
	"math"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"loopwright/data"
	"loopwright/internal/demotown"
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// town is the network of the invented town and what is true of it.
func town(t *testing.T) (*roadnet.Network, []*demotown.Record) {
	t.Helper()
	packed, err := data.Demo.ReadFile("demo/" + demotown.TruthFile)
	if err != nil {
		t.Fatal(err)
	}
	truth, err := readTruth(packed)
	if err != nil {
		t.Fatal(err)
	}
	text, err := data.Demo.ReadFile("demo/" + demotown.MapFile)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), demotown.MapFile)
	if err := os.WriteFile(path, text, 0o600); err != nil {
		t.Fatal(err)
	}
	return real{"the town", path, "gb"}.build(t, 0), truth
}

var truthOnce sync.Once
var truthRead []*demotown.Record

func readTruth(packed []byte) (out []*demotown.Record, err error) {
	truthOnce.Do(func() {
		var r *gzip.Reader
		if r, err = gzip.NewReader(bytes.NewReader(packed)); err == nil {
			truthRead, err = demotown.ReadTruth(r)
		}
	})
	return truthRead, err
}

// kerbOf is the stretch and its side that a line of the truth is about.
func kerbOf(n *roadnet.Network, k *demotown.Record) (roadnet.StretchID, roadnet.Side, bool) {
	side := roadnet.Left
	if k.Side == demotown.Right {
		side = roadnet.Right
	}
	p, seen, err := n.LocateKerb(roadnet.Kerb{Way: extract.WayID(k.Way), Along: geo.Metres(math.Round(float64(k.From+k.To) / 2)), Side: side})
	if err != nil {
		return 0, 0, false
	}
	if !p.Segment.Forward() {
		seen = seen.Opposite()
	}
	return p.Segment.Stretch(), seen, true
}

// Homes are counted on the stretch and the side where they truly stand.
func TestHomesOfTheTown(t *testing.T) {
	n, truth := town(t)
	type kerb struct {
		s    roadnet.StretchID
		side roadnet.Side
	}
	homes := map[kerb]float64{}
	drawn := map[kerb]int{} // stretches of the truth in one of ours
	for i, k := range truth {
		s, side, ok := kerbOf(n, k)
		if !ok || k.Bays > 0 || i > 1 && truth[i-2].Stretch == k.Stretch {
			continue
		}
		homes[kerb{s, side}] += float64(k.Homes)
		drawn[kerb{s, side}]++
	}
	var all, mapped, missed, wrongSide, other, kerbs float64
	for k, want := range homes {
		if drawn[k] != 1 {
			continue
		}
		kerbs++
		got := float64(n.HomesOn(k.s, k.side))
		all, mapped = all+want, mapped+got
		missed += math.Abs(want - got)
		there := homes[kerb{k.s, k.side.Opposite()}]
		wrongSide += math.Abs(there - got)
		other += got - math.Min(got, want)
	}
	t.Logf("%.0f kerbs with %.0f homes: %.0f mapped, %.0f wrongly placed, absolute differences %.0f (%.0f with the sides changed)",
		kerbs, all, mapped, other, missed, wrongSide)
	if other > 0.05*all {
		t.Errorf("%.0f of %.0f homes stand where there are none", other, all)
	}
	if mapped > all {
		t.Errorf("%.0f homes are mapped, of truly %.0f", mapped, all)
	}
	if missed > wrongSide {
		t.Errorf("homes differ from the truth by %.0f, and by %.0f with the sides changed", missed, wrongSide)
	}
}

// Every mapped bus stop is on the stretch and the side where it truly is.
func TestStopsOfTheTown(t *testing.T) {
	n, truth := town(t)
	stops, right := 0, 0
	for i, k := range truth {
		if i > 1 && truth[i-2].Stretch == k.Stretch {
			continue
		}
		s, side, ok := kerbOf(n, k)
		for _, m := range k.Marks {
			if m.Kind != "bus stop" || !m.Mapped {
				continue
			}
			stops++
			if !ok {
				continue
			}
			for _, stop := range n.StopsOn(s) {
				along := stop.Along
				if side == roadnet.Right { // the truth counts from where its driver enters
					along = n.Length(s) - along
				}
				if stop.Side == side && math.Abs(float64(along-m.Along)) < 12 {
					right++
					break
				}
			}
		}
	}
	t.Logf("%d of %d bus stops are where they are", right, stops)
	if stops < 50 || right < stops*95/100 {
		t.Errorf("%d of %d bus stops are on their stretch and side", right, stops)
	}
}

// The car parks of the town, their charges and bars as the plan of the town has
// them, each with its two aisles and a way in.
func TestCarParksOfTheTown(t *testing.T) {
	n, _ := town(t)
	paid, bars, bays, public := 0, 0, 0, 0
	for i := range n.NumCarParks() {
		p := n.CarPark(i)
		if !p.HasEntrance || p.Side == roadnet.SideUnknown || p.DriveIn > 150 {
			t.Errorf("%s: entered from %+v on the %v, %.0f m away", p.Site.Name, p.Entrance, p.Side, p.DriveIn)
		}
		if p.Aisles < 100 || p.Aisles < 2*p.LongestAisle-1 || p.Capacity < 80 {
			t.Errorf("%s: %.0f m of aisle, %.0f m the longest, for %d cars", p.Site.Name, p.Aisles, p.LongestAisle, p.Capacity)
		}
		if p.Use == extract.Through {
			public++
		}
		if p.Fee == extract.Yes && p.FeeWhen == "Mo-Sa 08:00-18:00" {
			paid++
		}
		if math.Abs(float64(p.MaxHeight)-2.1) < 0.01 {
			bars++
		}
		bays += p.Bays
	}
	if n.NumCarParks() != 8 || public != 5 || paid != 2 || bars != 1 || bays != 244 {
		t.Errorf("%d car parks, %d public, %d charge, %d under a bar of 2.1 m, %d bays drawn; want 8, 5, 2, 1, 244",
			n.NumCarParks(), public, paid, bars, bays)
	}
}

// Where the town's mappers have drawn less, the map is told to be less
// complete: nobody has drawn the calming of two quarters, nor the bus stops of
// a third.
func TestCompletenessOfTheTown(t *testing.T) {
	n, truth := town(t)
	for _, c := range []struct {
		fact  roadnet.FactKind
		marks map[string]bool
	}{
		{roadnet.FactCalming, map[string]bool{"hump": true, "table": true, "cushion": true, "choker": true}},
		{roadnet.FactStop, map[string]bool{"bus stop": true}},
	} {
		var drawn, missing, sumDrawn, sumMissing float64
		for _, k := range truth {
			s, _, ok := kerbOf(n, k)
			for _, m := range k.Marks {
				if !ok || !c.marks[m.Kind] {
					continue
				}
				at, _ := n.At(roadnet.Position{Segment: s.Segment(true), Along: n.Length(s) / 2})
				if m.Mapped {
					drawn, sumDrawn = drawn+1, sumDrawn+n.Completeness(c.fact, at)
				} else {
					missing, sumMissing = missing+1, sumMissing+n.Completeness(c.fact, at)
				}
			}
		}
		t.Logf("%v: %.0f drawn, about them %.2f is; %.0f not, about them %.2f", c.fact, drawn, sumDrawn/drawn, missing, sumMissing/missing)
		if drawn < 20 || missing < 20 || sumDrawn/drawn < sumMissing/missing+0.1 {
			t.Errorf("%v: the map is told to be %.2f complete where they are drawn and %.2f where they are not", c.fact, sumDrawn/drawn, sumMissing/missing)
		}
	}
}
