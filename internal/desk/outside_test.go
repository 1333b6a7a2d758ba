package desk_test

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"loopwright/internal/desk"
	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
	"loopwright/internal/witness"
)

var seed = flag.Uint64("seed", 1, "seed of the random starts")

// osmTestdata is the folder of Delaware and Andorra in the module cache: they
// are test data of github.com/paulmach/osm v0.8.0.
var osmTestdata = sync.OnceValue(func() string {
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/paulmach/osm").Output()
	if err != nil {
		return ""
	}
	return filepath.Join(strings.TrimSpace(string(out)), "testdata")
})

// towns are real extracts; least is how many of twenty starts must have a
// circuit with two noes and a yes in an hour.
var towns = []struct {
	file, country string
	least         int
}{
	{"../../../shared/extracts/rutland-uk_2022-07-20.osm.pbf", "", 18},
	{"../../../shared/extracts/rutland-uk_2018-02-27.osm.pbf", "", 18},
	{"../../../shared/extracts/monaco_2023-11-21.osm.pbf", "right", 0},
	{"../../../shared/extracts/berlin-neukoelln_2024-03-28.osm", "de", 0},
	{"delaware-latest.osm.pbf", "us", 15},
	{"andorra-latest.osm.bz2", "right", 0},
}

// From twenty seeded starts in the towns of each real extract, plan makes a
// circuit or says which wish can't be met. Every circuit keeps its musts, and is
// walked against the raw extract by a witness that shares no code with us.
func TestCircuitsOfRealExtractsFromOutside(t *testing.T) {
	if _, err := exec.LookPath("osmium"); err != nil {
		t.Skip("osmium-tool is not installed: circuits can't be walked from outside")
	}
	for _, town := range towns {
		t.Run(filepath.Base(town.file), func(t *testing.T) {
			path := town.file
			if !strings.Contains(path, "/") {
				path = filepath.Join(osmTestdata(), path)
			}
			if _, err := os.Stat(path); err != nil {
				t.Skipf("extract not at hand: %v", err)
			}
			index := filepath.Join(t.TempDir(), "town.idx")
			if _, err := desk.Index(context.Background(), desk.IndexRequest{Extract: path, Out: index, Country: town.country}); err != nil {
				t.Fatal(err)
			}
			raw, err := witness.Open(path)
			if err != nil {
				t.Fatal(err)
			}
			d, err := desk.Open(index)
			if err != nil {
				t.Fatal(err)
			}
			defer d.Close()
			planned, refused := 0, 0
			for _, from := range starts(t, index, 20) {
				p, err := d.Plan(desk.PlanRequest{From: from, Exercise: "turn-in-the-road", Minutes: 60, When: "2027-03-04T10:00:00Z", Seed: 1})
				var f *desk.Fault
				switch {
				case err == nil:
				case errors.As(err, &f) && f.Kind == desk.AnswerIsNo && f.BestPossible != nil:
					t.Logf("%s: %v", from, err)
					refused++
					continue
				default:
					t.Errorf("from %s: %v", from, err)
					continue
				}
				planned++
				file := filepath.Join(t.TempDir(), "lesson.geojson")
				if err := desk.WriteFile(file, p.File); err != nil {
					t.Fatal(err)
				}
				if c, err := d.Check(file); err != nil {
					t.Errorf("from %s: %v: %v", from, err, c)
				}
				for _, fault := range raw.Walk(p.File) {
					t.Errorf("from %s: the raw map says: %s", from, fault)
				}
			}
			t.Logf("seed %d: %d of %d starts have a circuit, %d are told which wish can't be met", *seed, planned, planned+refused, refused)
			if planned < town.least {
				t.Errorf("%d circuits, want %d", planned, town.least)
			}
		})
	}
}

// starts draws public residential roads near the middles of settlements; where
// the extract names none, anywhere in it.
func starts(t *testing.T, index string, count int) []string {
	t.Helper()
	n, err := roadnet.Open(index)
	if err != nil {
		t.Fatal(err)
	}
	defer n.Close()
	rng := rand.New(rand.NewPCG(*seed, 60))
	var pool []roadnet.StretchID
	for s := range roadnet.StretchID(n.NumStretches()) {
		if n.PieceAt(s, 0).Attributes.Class == extract.Residential && n.InCore(s) && n.Zone(s) == 0 && n.Length(s) > 40 && !n.NearRim(s) {
			pool = append(pool, s)
		}
	}
	if len(pool) == 0 {
		for s := range roadnet.StretchID(n.NumStretches()) {
			if n.PieceAt(s, 0).Attributes.Class == extract.Residential && n.Length(s) > 40 {
				pool = append(pool, s)
			}
		}
	}
	var out []string
	for range count {
		s := pool[rng.IntN(len(pool))]
		at, _ := n.At(roadnet.Position{Segment: s.Segment(true), Along: n.Length(s) / 2})
		out = append(out, fmt.Sprintf("%.6f,%.6f", at.Lat(), at.Lon()))
	}
	return out
}
