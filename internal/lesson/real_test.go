package lesson_test

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"os/exec"
	"strings"
	"testing"
	"time"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/extract"
	"loopwright/internal/indexing/indexingtest"
	"loopwright/internal/lesson"
	"loopwright/internal/roadnet"
	"loopwright/internal/witness"
)

// real is a real extract, where it is at hand.
type real struct {
	name       string
	in         func(t testing.TB, path string) string // where it lies
	path, code string
	least      int // of twenty starts that have a circuit with two noes and a yes in an hour; the aim of this project
}

var reals = []real{
	{"rutland", indexingtest.Shared, indexingtest.Rutland2022, "gb", 18},
	{"rutland 2018", indexingtest.Shared, indexingtest.Rutland2018, "gb", 15},
	{"neukoelln", indexingtest.Shared, indexingtest.Neukolln, "de", 0},
	{"andorra", indexingtest.InModule, "andorra-latest.osm.bz2", "right", 0},
	{"monaco", indexingtest.Shared, "monaco_2023-11-21.osm.pbf", "right", 0},
	{"delaware", indexingtest.InModule, "delaware-latest.osm.pbf", "us", 15},
}

// file is where the extract lies; where it is not at hand, the test is skipped.
func (r real) file(t testing.TB) string {
	t.Helper()
	return r.in(t, r.path)
}

// witness reads the raw map, where osmium-tool is at hand; else nil.
func (r real) witness(t testing.TB) *witness.Witness {
	t.Helper()
	if _, err := exec.LookPath("osmium"); err != nil {
		t.Logf("osmium-tool is not at hand: no walk from outside")
		return nil
	}
	w, err := witness.Open(r.file(t))
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// open indexes a real extract, or skips.
func (r real) open(t testing.TB) (*roadnet.Network, *country.Profile) {
	t.Helper()
	return indexingtest.Lay(t, r.file(t), r.code)
}

// starts draws drivable positions in built-up places: public residential roads
// of the through core within a mile of a named town, village or suburb.
func starts(n *roadnet.Network, seed uint64, count int) []roadnet.Position {
	rng := rand.New(rand.NewPCG(seed, 20))
	var out []roadnet.Position
	for tries := 0; len(out) < count && tries < 1e6; tries++ {
		s := roadnet.StretchID(rng.IntN(n.NumStretches()))
		piece := n.PieceAt(s, n.Length(s)/2)
		if piece.Attributes.Class != extract.Residential || !n.InCore(s) || n.Length(s) < 40 || n.Zone(s) != 0 {
			continue
		}
		seg := s.Segment(rng.IntN(2) == 0)
		if n.Use(seg) != extract.Through {
			continue
		}
		out = append(out, roadnet.Position{Segment: seg, Along: n.Length(s) / 2})
	}
	return out
}

var when = time.Date(2027, 3, 4, 10, 0, 0, 0, time.UTC)

func request(at roadnet.Position) lesson.Request {
	return lesson.Request{From: at, To: at, FromWords: "start", ToWords: "start", Exercise: "turn-in-the-road", Minutes: 60, When: when, Seed: 1}
}

// From twenty seeded starts in each real extract every plan is a circuit that
// Check passes and that is legal by the raw map, read from outside, or an answer
// that says which wish can't be met; and on the roads of a county and a state most
// wishes are met.
func TestRealStarts(t *testing.T) {
	if testing.Short() {
		t.Skip("plans from every start of every extract at hand take minutes under the race detector")
	}
	for _, r := range reals {
		t.Run(r.name, func(t *testing.T) {
			n, p := r.open(t)
			a := assess.New(n, p)
			outside := r.witness(t)
			met := 0
			const seed = 2027
			t.Logf("seed %d", seed)
			for i, at := range starts(n, seed, 20) {
				began := time.Now()
				c, err := lesson.Plan(n, p, a, request(at))
				took := time.Since(began)
				var unmet *lesson.Unmet
				switch {
				case errors.As(err, &unmet):
					t.Logf("start %d: %v", i, err)
					continue
				case err != nil:
					t.Errorf("start %d: %v", i, err)
					continue
				}
				met++
				c = sound(t, n, p, outside, c, fmt.Sprint("start ", i))
				t.Logf("start %d: %v, drive %.0f s, %d goes in %s (%v), %d backups, %s", i, took, c.DriveS, c.Practice.Goes, c.Practice.Road, c.Practice.Verdict, len(c.Backups), examples(c))
			}
			t.Logf("%s: %d of 20", r.name, met)
			if met < r.least {
				t.Errorf("%s: %d of 20 starts have a circuit, want %d", r.name, met, r.least)
			}
		})
	}
}

func examples(c *circuit.Circuit) string {
	var out []string
	for _, e := range c.Examples {
		out = append(out, e.Reason+" in "+e.Road)
	}
	return strings.Join(out, "; ")
}

// sound holds a circuit, as it is read back from its file, to Check and, where
// that can be read, to the raw map from outside. It gives what was read.
func sound(t testing.TB, n *roadnet.Network, p *country.Profile, outside *witness.Witness, c *circuit.Circuit, which string) *circuit.Circuit {
	t.Helper()
	back := through(t, c)
	for _, b := range lesson.Check(n, p, back) {
		t.Errorf("%s: %v", which, b)
	}
	walked(t, outside, c, which)
	return back
}

// walked drives a circuit on the raw map, where that can be read.
func walked(t testing.TB, outside *witness.Witness, c *circuit.Circuit, which string) {
	t.Helper()
	if outside == nil {
		return
	}
	file, err := circuit.Encode(c)
	if err != nil {
		t.Fatal(err)
	}
	for _, fault := range outside.Walk(file) {
		t.Errorf("%s: by the raw map: %s", which, fault)
	}
}

// through writes a circuit to its file and reads it back, so that what is
// checked is what a colleague gets.
func through(t testing.TB, c *circuit.Circuit) *circuit.Circuit {
	t.Helper()
	b, err := circuit.Encode(c)
	if err != nil {
		t.Fatal(err)
	}
	back, err := circuit.Decode(b)
	if err != nil {
		t.Fatal(err)
	}
	return back
}
