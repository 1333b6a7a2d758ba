package lesson_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"testing"

	"github.com/paulmach/osm"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/indexing/indexingtest"
	"loopwright/internal/lesson"
	"loopwright/internal/roadnet"
	"loopwright/internal/witness"
)

// townRoads are the raw roads and restrictions of the invented town, by
// osmium-tool; without it the test is skipped.
func townRoads(t *testing.T) *osm.OSM {
	t.Helper()
	if _, err := exec.LookPath("osmium"); err != nil {
		t.Skipf("osmium-tool is not at hand: %v", err)
	}
	raw := filepath.Join(t.TempDir(), "roads.osm")
	if out, err := exec.Command("osmium", "tags-filter", "-o", raw, town.file(t), "w/highway", "r/type=restriction").CombinedOutput(); err != nil {
		t.Fatalf("osmium tags-filter: %v: %s", err, out)
	}
	text, err := os.ReadFile(raw)
	if err != nil {
		t.Fatal(err)
	}
	o := &osm.OSM{}
	if err := xml.Unmarshal(text, o); err != nil {
		t.Fatal(err)
	}
	return o
}

// mutant is a map with more restrictions, one-ways and closed roads than another.
type mutant struct {
	*osm.OSM
	rng  *rand.Rand
	ways map[osm.WayID]*osm.Way
	at   map[osm.NodeID][]*osm.Way // that begin or end there
	next osm.RelationID
}

func mutantOf(o *osm.OSM, rng *rand.Rand) *mutant {
	m := &mutant{
		OSM: &osm.OSM{Nodes: o.Nodes, Relations: slices.Clone(o.Relations)}, rng: rng,
		ways: map[osm.WayID]*osm.Way{}, at: map[osm.NodeID][]*osm.Way{}, next: 1 << 40,
	}
	for _, w := range o.Ways {
		own := *w
		own.Tags = slices.Clone(w.Tags)
		m.Ways = append(m.Ways, &own)
		m.ways[own.ID] = &own
		for _, end := range ends(&own) {
			m.at[end] = append(m.at[end], &own)
		}
	}
	return m
}

func ends(w *osm.Way) [2]osm.NodeID {
	return [2]osm.NodeID{w.Nodes[0].ID, w.Nodes[len(w.Nodes)-1].ID}
}

// common is the node at which two ways end; 0 for none.
func common(a, b *osm.Way) osm.NodeID {
	for _, x := range ends(a) {
		if e := ends(b); a != b && (x == e[0] || x == e[1]) {
			return x
		}
	}
	return 0
}

// set gives a way a tag, in place of the one it had.
func set(w *osm.Way, key, value string) {
	w.Tags = append(slices.DeleteFunc(w.Tags, func(t osm.Tag) bool { return t.Key == key }), osm.Tag{Key: key, Value: value})
}

// spoil changes one thing about a way that some drive goes along, or about how it
// goes on from there to the next.
func (m *mutant) spoil(along []*osm.Way, i int) {
	w := along[i]
	switch m.rng.IntN(6) {
	case 0:
		if w.Tags.Find("junction") == "" {
			set(w, "oneway", []string{"yes", "-1"}[m.rng.IntN(2)])
		}
	case 1:
		set(w, []string{"access", "motor_vehicle", "vehicle"}[m.rng.IntN(3)], []string{"private", "no", "destination"}[m.rng.IntN(3)])
	case 2, 3:
		if i+1 < len(along) {
			m.restrict(m.banned(w, along[i+1]), w, along[i+1])
		}
	case 4: // another way than the drive's
		if i+1 < len(along) {
			if via := common(w, along[i+1]); via != 0 {
				if others := m.at[via]; len(others) > 2 {
					m.restrict([]string{"only_left_turn", "only_straight_on"}[m.rng.IntN(2)], w, others[m.rng.IntN(len(others))])
				}
			}
		}
	case 5: // over a whole way
		if i+2 < len(along) && common(w, along[i+1]) != 0 && common(along[i+1], along[i+2]) != 0 && w != along[i+2] {
			m.relation(m.banned(along[i+1], along[i+2]), w, osm.Member{Type: osm.TypeWay, Ref: int64(along[i+1].ID), Role: "via"}, along[i+2])
		}
	}
}

// banned is a kind of ban from one way to another. Where nothing else meets there,
// going on along the road is no turning round, whatever a relation says.
func (m *mutant) banned(from, to *osm.Way) string {
	kinds := []string{"no_left_turn", "no_right_turn", "no_straight_on", "no_u_turn"}
	if len(m.at[common(from, to)]) < 3 {
		kinds = kinds[:3]
	}
	return kinds[m.rng.IntN(len(kinds))]
}

func (m *mutant) restrict(kind string, from, to *osm.Way) {
	if via := common(from, to); via != 0 {
		m.relation(kind, from, osm.Member{Type: osm.TypeNode, Ref: int64(via), Role: "via"}, to)
	}
}

func (m *mutant) relation(kind string, from *osm.Way, via osm.Member, to *osm.Way) {
	m.next++
	m.Relations = append(m.Relations, &osm.Relation{
		ID: m.next, Visible: true, Tags: osm.Tags{{Key: "type", Value: "restriction"}, {Key: "restriction", Value: kind}},
		Members: osm.Members{{Type: osm.TypeWay, Ref: int64(from.ID), Role: "from"}, via, {Type: osm.TypeWay, Ref: int64(to.ID), Role: "to"}},
	})
}

// lay indexes a mutant, and reads it from outside.
func (m *mutant) lay(t *testing.T) (*roadnet.Network, *country.Profile, *witness.Witness) {
	t.Helper()
	text, err := xml.Marshal(m.OSM)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "mutant.osm")
	if err := os.WriteFile(path, text, 0o600); err != nil {
		t.Fatal(err)
	}
	n, p := indexingtest.Lay(t, path, "gb")
	outside, err := witness.Read(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return n, p, outside
}

// wander is a run of ways that follow one another.
func (m *mutant) wander() []*osm.Way {
	run := []*osm.Way{m.Ways[m.rng.IntN(len(m.Ways))]}
	for range 3 {
		end := ends(run[len(run)-1])[m.rng.IntN(2)]
		run = append(run, m.at[end][m.rng.IntN(len(m.at[end]))])
	}
	return run
}

// mutated is how the requests on mutants went.
type mutated struct {
	asked, met  int
	old, bitten int // circuits of the map before it was changed, and those that are illegal now
}

// askMutants plans seeded requests of every kind on maps that were changed in many
// places, most of them on the way of circuits that were planned before. Every
// circuit passes Check and is legal by the raw map, and one in ten is the same to
// the byte with one worker and with eight.
func askMutants(t *testing.T, seed uint64, mutants, requests int) {
	t.Logf("seed %d", seed)
	var out mutated
	roads := townRoads(t)
	before, p, _ := mutantOf(roads, nil).lay(t)
	a := assess.New(before, p)
	kinds := lessonKinds()
	for i := range uint64(mutants) {
		rng := rand.New(rand.NewPCG(seed, i))
		m := mutantOf(roads, rng)
		var old [][]byte
		for _, at := range starts(before, rng.Uint64(), 2) {
			c, err := lesson.Plan(before, p, a, request(at))
			if err != nil {
				continue
			}
			var along []*osm.Way
			for _, l := range c.Legs {
				for _, id := range l.Ways {
					along = append(along, m.ways[osm.WayID(max(id, -id))])
				}
			}
			for range 4 {
				m.spoil(along, rng.IntN(len(along)))
			}
			file, err := circuit.Encode(c)
			if err != nil {
				t.Fatal(err)
			}
			old = append(old, file)
		}
		for range 12 {
			m.spoil(m.wander(), 0)
		}
		n, p, outside := m.lay(t)
		for _, file := range old {
			out.old++
			if len(outside.Walk(file)) > 0 {
				out.bitten++
			}
		}
		now := assess.New(n, p)
		for k, at := range starts(n, rng.Uint64(), requests) {
			kind := circuit.RoadsToJudge
			if k%3 == 2 {
				kind = kinds[rng.IntN(len(kinds))]
			}
			q, err := asking(rng, n, kind, k, at)
			if err != nil {
				t.Fatal(err)
			}
			if kind == circuit.RoadsToJudge {
				q.Wishes, q.Minutes = lesson.Wishes{}, float64(30+15*rng.IntN(5))
			}
			out.asked++
			c, err := lesson.Plan(n, p, now, q)
			var unmet *lesson.Unmet
			if errors.As(err, &unmet) {
				continue
			}
			if err != nil {
				t.Errorf("mutant %d, request %d: %v", i, k, err)
				continue
			}
			out.met++
			sound(t, n, p, outside, c, fmt.Sprintf("mutant %d, request %d, %s", i, k, kind))
			if out.asked%10 == 0 {
				file, err := circuit.Encode(c)
				if err != nil {
					t.Fatal(err)
				}
				for _, workers := range []int{1, 8} {
					if again := with(t, workers, n, p, q); !bytes.Equal(again, file) {
						t.Errorf("mutant %d, request %d, %s: another circuit with %d workers", i, k, kind, workers)
					}
				}
			}
		}
	}
	t.Logf("%d circuits of %d requests on %d mutants; of %d circuits from before, %d are illegal there", out.met, out.asked, mutants, out.old, out.bitten)
	if out.bitten*3 < out.old {
		t.Errorf("of %d circuits from before only %d are illegal on the mutants: they change too little", out.old, out.bitten)
	}
	if out.met*2 < out.asked {
		t.Errorf("only %d of %d requests are met: too few to tell", out.met, out.asked)
	}
}

// with plans with so many workers.
func with(t *testing.T, workers int, n *roadnet.Network, p *country.Profile, q lesson.Request) []byte {
	t.Helper()
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(workers))
	c, err := lesson.Plan(n, p, assess.New(n, p), q)
	if err != nil {
		t.Fatal(err)
	}
	file, err := circuit.Encode(c)
	if err != nil {
		t.Fatal(err)
	}
	return file
}

// A few of the mutants of the long test.
func TestMutants(t *testing.T) {
	if testing.Short() {
		t.Skip("the plans take too long under the race detector")
	}
	askMutants(t, *lesson.Seed, 2, 8)
}
