package handover

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/geo"
	"loopwright/internal/indexing/indexingtest"
	"loopwright/internal/lesson"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// maps are the invented town and, where it is at hand, a real county. least is
// how many of the circuits planned there must be fit to be sent to anyone: our
// measure, so that the promise is not kept by refusing.
var maps = []struct {
	name, path string
	least      int
}{
	{"town", "../../data/demo/town.osm.pbf", 8},
	{"rutland", "../../../shared/extracts/rutland-uk_2022-07-20.osm.pbf", 5},
}

const seed = 20

// planned is a map with circuits from seeded homes of it.
type planned struct {
	n        *roadnet.Network
	p        *country.Profile
	a        *assess.Assessor
	circuits []*circuit.Circuit
}

var made = map[string]*planned{}

// plans are made once for all tests.
func plans(t *testing.T, path string) *planned {
	t.Helper()
	if made[path] != nil {
		return made[path]
	}
	if _, err := os.Stat(path); err != nil {
		t.Skipf("the extract %s is not at hand", path)
	}
	n, p := indexingtest.Lay(t, path, "gb")
	m := &planned{n: n, p: p, a: assess.New(n, p)}
	r := rand.New(rand.NewPCG(seed, 1))
	homes := homesOf(n)
	for range 24 {
		s := roadnet.StretchID(r.IntN(n.NumStretches()))
		for homes[s] == 0 || n.NearRim(s) || n.Zone(s) != 0 || !n.Drivable(s.Segment(true)) {
			s = roadnet.StretchID(r.IntN(n.NumStretches()))
		}
		if c := m.from(roadnet.Position{Segment: s.Segment(true), Along: n.Length(s) * geo.Metres(r.Float64())}); c != nil {
			m.circuits = append(m.circuits, c)
		}
	}
	t.Logf("seed %d: %d plans of 24 homes", seed, len(m.circuits))
	made[path] = m
	return m
}

// from plans a lesson from a home, nil where none can be had.
func (m *planned) from(at roadnet.Position) *circuit.Circuit {
	c, err := lesson.Plan(m.n, m.p, m.a, lesson.Request{
		From: at, To: at, FromWords: fmt.Sprint("home ", at), ToWords: fmt.Sprint("home ", at),
		Exercise: "turn-in-the-road", Minutes: 60, When: time.Date(2027, 3, 4, 10, 0, 0, 0, time.UTC), Seed: 1,
	})
	if err != nil {
		return nil
	}
	return c
}

func encoded(t *testing.T, c *circuit.Circuit) []byte {
	t.Helper()
	b, err := circuit.Encode(c)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// What is promised of a circuit for anyone, on circuits of whole maps: its ends
// lie 100 m or more from the home on roads that lead through, it holds on its
// map, and it says nothing of learner and home.
func TestForAnyoneKeepsItsPromise(t *testing.T) {
	for _, m := range maps {
		t.Run(m.name, func(t *testing.T) {
			made := plans(t, m.path)
			n, p, all := made.n, made.p, made.circuits
			sent := 0
			for _, c := range all {
				known := *c
				known.Learner = &circuit.LearnerRecord{Reference: "ZQ-99"}
				a, err := ForAnyone(n, p, &known)
				var open *NotHidden
				if errors.As(err, &open) {
					continue
				}
				if err != nil {
					t.Error(err)
					continue
				}
				sent++
				for _, b := range lesson.Check(n, p, a) {
					t.Errorf("the excerpt no longer holds: %v", b)
				}
				for _, end := range []circuit.Stop{a.Start, a.Finish} {
					for _, home := range []circuit.Stop{c.Start, c.Finish} {
						if d := geo.Distance(end.At, home.At); d < 100 {
							t.Errorf("an end lies %.0f m from the home", d)
						}
					}
				}
				for _, l := range []circuit.Leg{a.Legs[0], a.Legs[len(a.Legs)-1]} {
					line := l.Line[:2]
					if l.Order > 1 {
						line = l.Line[len(l.Line)-2:]
					}
					s, _, _, _, _ := n.Nearest(line.Bound().Center(), 5, nil)
					if l.Order == 1 && !n.InCore(s) {
						t.Errorf("it begins in a road without a way through")
					}
				}
				file := string(encoded(t, a))
				for _, secret := range []string{"ZQ-99", "home {", c.Start.Kerb, c.Finish.Kerb, `"bound"`, `"learner":`} {
					if strings.Contains(file, secret) {
						t.Errorf("the file has %q", secret)
					}
				}
			}
			t.Logf("%d of %d are fit to be sent", sent, len(all))
			if sent < m.least {
				t.Errorf("%d of %d are fit to be sent, want %d", sent, len(all), m.least)
			}
		})
	}
}

// Twenty homes or more of the neighbourhood, each taking its own quickest way
// to the first road to judge, begin at the same junction. Each home's way is
// searched for by itself, from the home, where the program searches once, from
// the road to judge.
func TestTwentyHomesBeginAlike(t *testing.T) {
	for _, m := range maps {
		t.Run(m.name, func(t *testing.T) {
			made := plans(t, m.path)
			n, p, all := made.n, made.p, made.circuits
			tried, fewest := 0, math.MaxInt
			for _, c := range all {
				if tried == 4 {
					break
				}
				if _, err := ForAnyone(n, p, c); err != nil {
					continue
				}
				paths, err := lesson.Paths(n, p, c)
				if err != nil {
					t.Fatal(err)
				}
				paces, err := route.Paces()
				if err != nil {
					t.Fatal(err)
				}
				h := &hider{n: n, w: route.NewWeights(n, p, paces[route.DefaultStage]), c: c, paths: paths, hoods: neighbourhoodsOf(n)}
				at, err := h.begin()
				if err != nil {
					t.Fatal(err)
				}
				begun := paths[at.Leg].Segments[at.Index]
				last, err := h.practised()
				if err != nil {
					t.Fatal(err)
				}
				seats := h.drive(0, last+1)
				first, _ := h.judged(seats)
				if i := slices.IndexFunc(seats, func(s seat) bool { return s.segment == begun }); i > first {
					continue // beyond the first road to judge: there all homes are alike
				}
				tried++
				alike := 0
				finder := route.NewFinder(h.w)
				for _, home := range h.hoods.positions(h.w, h.hoods.at(paths[0].From)) {
					way, ok := finder.From(home, farBack, route.Options{}).Path(roadnet.Position{Segment: seats[first].segment, Along: 1})
					if !ok {
						continue
					}
					other := *h
					other.paths = slices.Clone(paths[:last+1])
					other.paths[0] = way
					for i := 1; i <= last; i++ {
						other.paths[i] = route.Path{}
					}
					if mark, err := other.begin(); err == nil && other.paths[mark.Leg].Segments[mark.Index] == begun {
						alike++
					}
				}
				fewest = min(fewest, alike)
				if alike < 20 {
					t.Errorf("%d homes begin alike, want 20", alike)
				}
			}
			t.Logf("%d circuits, at the fewest %d homes begin alike", tried, fewest)
			if tried == 0 {
				t.Error("no circuit begins before its first road to judge")
			}
		})
	}
}

// Two plans that differ only in what is left out give the same bytes: all that
// a plan says of its hidden part is changed here, and every clock moved.
func TestNonInterference(t *testing.T) {
	made := plans(t, maps[0].path)
	n, p, all := made.n, made.p, made.circuits
	compared := 0
	for _, c := range all {
		a, err := ForAnyone(n, p, c)
		if err != nil {
			continue
		}
		compared++
		other := disguised(c, 37.123)
		b, err := ForAnyone(n, p, other)
		if err != nil {
			t.Errorf("the other plan: %v", err)
			continue
		}
		x, y := encoded(t, a), encoded(t, b)
		if !bytes.Equal(x, y) {
			t.Errorf("the files differ: %s", firstDifference(x, y))
		}
		if g, h := gpxOf(t, a), gpxOf(t, b); !bytes.Equal(g, h) {
			t.Errorf("the GPX files differ: %s", firstDifference(g, h))
		}
	}
	if compared < 8 {
		t.Errorf("%d plans compared, want 8", compared)
	}
}

// From another home of the neighbourhood whose drive comes to the same junction,
// and goes on alike, comes the same file.
func TestOtherHomesGiveTheSameBytes(t *testing.T) {
	made := plans(t, maps[0].path)
	n, p, all := made.n, made.p, made.circuits
	hoods := neighbourhoodsOf(n)
	paces, err := route.Paces()
	if err != nil {
		t.Fatal(err)
	}
	w := route.NewWeights(n, p, paces[route.DefaultStage])
	same := 0
	for _, c := range all {
		a, err := ForAnyone(n, p, c)
		if err != nil {
			continue
		}
		paths, err := lesson.Paths(n, p, c)
		if err != nil {
			t.Fatal(err)
		}
		for i, home := range hoods.positions(w, hoods.at(paths[0].From)) {
			if i%10 != 0 {
				continue
			}
			d := made.from(home)
			if d == nil {
				continue
			}
			b, err := ForAnyone(n, p, d)
			if err != nil || !goesOnAlike(a, b) {
				continue
			}
			same++
			if x, y := encoded(t, a), encoded(t, b); !bytes.Equal(x, y) {
				t.Errorf("from another home the file differs: %s", firstDifference(x, y))
			}
		}
		if same >= 6 {
			break
		}
	}
	t.Logf("%d plans from other homes go on alike", same)
	if same < 5 {
		t.Errorf("%d plans from other homes go on alike, want 5", same)
	}
}

// goesOnAlike says whether two plans were the same beyond what is left out:
// the ways driven, the stops and what is done there.
func goesOnAlike(a, b *circuit.Circuit) bool {
	if len(a.Legs) != len(b.Legs) || len(a.PullUps) != len(b.PullUps) || a.Practice.Kerb != b.Practice.Kerb || a.Practice.Goes != b.Practice.Goes ||
		a.Practice.Minutes != b.Practice.Minutes || len(a.Backups) != len(b.Backups) || a.Legs[0].Line[0] != b.Legs[0].Line[0] || len(a.Examples) != len(b.Examples) {
		return false
	}
	for i := range a.Legs {
		if !slices.Equal(a.Legs[i].Ways, b.Legs[i].Ways) {
			return false
		}
	}
	for i := range a.PullUps {
		if a.PullUps[i].Kerb != b.PullUps[i].Kerb || a.PullUps[i].Minutes != b.PullUps[i].Minutes {
			return false
		}
	}
	for i := range a.Backups {
		if a.Backups[i].Kerb != b.Backups[i].Kerb || a.Backups[i].Goes != b.Backups[i].Goes {
			return false
		}
	}
	for i := range a.Examples {
		if !slices.Equal(a.Examples[i].Line, b.Examples[i].Line) {
			return false
		}
	}
	return true
}

// disguised is a plan that says another thing wherever it speaks of its hidden
// ends, with every clock moved on.
func disguised(c *circuit.Circuit, by float64) *circuit.Circuit {
	d := *c
	d.Request.Avoid, d.Request.Without, d.Request.PractiseAt = []string{"roundabouts"}, []string{"w1+1l"}, "w1+1l"
	d.Request.From, d.Request.To, d.Request.Minutes, d.Request.InHand = "elsewhere", "elsewhere", c.Request.Minutes+7, 9
	d.Start.Road, d.Start.Towards, d.Start.Kerb, d.Start.Minutes = "Other Road", "Another", "w1+1l", c.Start.Minutes+by/60
	d.Finish.Road, d.Finish.Kerb, d.Finish.Minutes = "Other Road", "w1+1l", 1
	d.Learner = &circuit.LearnerRecord{Reference: "other"}
	d.Bound = &circuit.Bound{Score: 1, Best: 2, Gap: 3}
	d.Steps, d.WaysBack, d.Around = nil, nil, nil
	d.DriveS, d.LengthM = d.DriveS+by, d.LengthM+by
	d.Legs, d.PullUps, d.Examples = slices.Clone(c.Legs), slices.Clone(c.PullUps), slices.Clone(c.Examples)
	d.Backups, d.Timeline = slices.Clone(c.Backups), slices.Clone(c.Timeline)
	for i := range d.Legs {
		d.Legs[i].AtS += by
	}
	for i := range d.PullUps {
		d.PullUps[i].AtS += by
	}
	for i := range d.Examples {
		d.Examples[i].AtS += by
	}
	for i := range d.Backups {
		d.Backups[i].AtS += by
	}
	for i := range d.Timeline {
		d.Timeline[i].AtS += by
	}
	d.Practice.AtS += by
	if d.Second != nil {
		second := *d.Second
		second.AtS += by
		d.Second = &second
	}
	d.Finish.AtS += by
	return &d
}

func gpxOf(t *testing.T, c *circuit.Circuit) []byte {
	t.Helper()
	b, err := GPX(c)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func firstDifference(a, b []byte) string {
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return fmt.Sprintf("%q and %q", a[max(0, i-60):min(len(a), i+60)], b[max(0, i-60):min(len(b), i+60)])
		}
	}
	return fmt.Sprintf("%d and %d bytes", len(a), len(b))
}

// Neighbourhoods part all stretches, none of those with homes has too few, and
// no-through trees are not parted.
func TestNeighbourhoodsPartTheNetwork(t *testing.T) {
	n := plans(t, maps[0].path).n
	h := neighbourhoodsOf(n)
	seen := 0
	for i, hood := range h.all {
		homes := 0
		for _, s := range hood.stretches {
			homes += h.homes[s]
			if h.of[s] != i {
				t.Errorf("stretch %d is in two neighbourhoods", s)
			}
		}
		seen += len(hood.stretches)
		if homes != hood.homes || homes != 0 && homes < neighbourhoodHomes {
			t.Errorf("neighbourhood %d has %d homes, counted %d", i, hood.homes, homes)
		}
	}
	if seen != n.NumStretches() {
		t.Errorf("%d stretches are in neighbourhoods, want %d", seen, n.NumStretches())
	}
	for v := range roadnet.NodeID(n.NumNodes()) {
		tree := -1
		for _, s := range n.Out(v) {
			if t := s.Stretch(); !n.InCore(t) {
				if tree >= 0 && h.of[t] != tree && !slices.ContainsFunc(n.Out(v), func(o roadnet.SegmentID) bool { return n.InCore(o.Stretch()) }) {
					tree = math.MinInt
					break
				}
				tree = h.of[t]
			}
		}
		if tree == math.MinInt {
			t.Errorf("a no-through tree is parted at node %d", v)
		}
	}
}

// The Hilbert curve visits every cell once and goes from neighbour to neighbour
// (its definition; Hilbert 1891).
func TestHilbertCurve(t *testing.T) {
	n := plans(t, maps[0].path).n
	box := n.About().Bounds
	r := rand.New(rand.NewPCG(seed, 2))
	const cells = 1<<16 - 1
	at := func(x, y int) uint64 {
		p := box.Min
		p[0] += (float64(x) + 0.5) / cells * (box.Max.Lon() - box.Min.Lon())
		p[1] += (float64(y) + 0.5) / cells * (box.Max.Lat() - box.Min.Lat())
		return along(box, p)
	}
	for range 2000 {
		x, y := 1+r.IntN(cells-2), 1+r.IntN(cells-2)
		d, steps := at(x, y), 0
		for _, o := range []uint64{at(x-1, y), at(x+1, y), at(x, y-1), at(x, y+1)} {
			if o == d+1 || o+1 == d {
				steps++
			}
			if o == d {
				t.Fatalf("two cells by %d, %d have one place on the curve", x, y)
			}
		}
		if steps != 2 {
			t.Fatalf("cell %d, %d has %d of its neighbours next to it on the curve, want 2", x, y, steps)
		}
	}
}
