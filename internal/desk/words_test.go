package desk_test

import (
	"context"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"loopwright/internal/circuit"
	"loopwright/internal/desk"
	"loopwright/internal/witness"
)

// spokenTowns are where circuits are driven on their words alone: count of them
// in each.
var spokenTowns = []struct {
	name, file string
	count      int
}{
	{"town", "../../data/demo/town.osm.pbf", 50},
	{"rutland", "../../../shared/extracts/rutland-uk_2022-07-20.osm.pbf", 50},
}

// spokenCircuits plans circuits from seeded starts of a map.
func spokenCircuits(t *testing.T, path string, count int, learner *circuit.LearnerRecord) ([]*circuit.Circuit, *witness.Witness) {
	t.Helper()
	if _, err := exec.LookPath("osmium"); err != nil {
		t.Skip("osmium-tool is not installed: circuits can't be driven from outside")
	}
	if _, err := os.Stat(path); err != nil {
		t.Skipf("extract not at hand: %v", err)
	}
	index := filepath.Join(t.TempDir(), "town.idx")
	if _, err := desk.Index(context.Background(), desk.IndexRequest{Extract: path, Out: index, Country: "gb"}); err != nil {
		t.Fatal(err)
	}
	raw, err := witness.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	d := opened(t, index)
	var out []*circuit.Circuit
	for _, from := range starts(t, index, 2*count) {
		if len(out) == count {
			break
		}
		p, err := d.Plan(desk.PlanRequest{From: from, Exercise: "turn-in-the-road", Minutes: 60, When: "2027-03-04T10:00:00Z", Seed: 1, Learner: learner})
		if err == nil {
			out = append(out, p.Circuit)
		}
	}
	if len(out) < count {
		t.Errorf("%d circuits, want %d", len(out), count)
	}
	return out, raw
}

func obeyed(t *testing.T, raw *witness.Witness, c *circuit.Circuit) witness.Obeyed {
	t.Helper()
	file, err := circuit.Encode(c)
	if err != nil {
		t.Fatal(err)
	}
	o, err := raw.Obey(file, true)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// A driver who knows only the words, and sees only the raw map, arrives: every
// step of 100 circuits leads into the road that the plan drives. And of 200
// sentences with another number, side or exit, every one leads astray.
func TestDriverArrivesOnWordsAlone(t *testing.T) {
	if testing.Short() {
		t.Skip("plans 100 circuits: left out of short runs")
	}
	for _, town := range spokenTowns {
		t.Run(town.name, func(t *testing.T) {
			circuits, raw := spokenCircuits(t, town.file, town.count, nil)
			sentences, faults := 0, 0
			for _, c := range circuits {
				o := obeyed(t, raw, c)
				sentences += o.Sentences
				for _, f := range o.Faults {
					faults++
					t.Errorf("from %s: %q: %s", c.Request.From, f.Say, f.Why)
				}
			}
			r := rand.New(rand.NewPCG(*seed, 7))
			mutants, missed := 0, 0
			for mutants < 100 {
				c := circuits[r.IntN(len(circuits))]
				k := r.IntN(len(c.Steps))
				say, ok := mutated(r, c.Steps[k].Say)
				if !ok {
					continue
				}
				mutants++
				changed := *c
				changed.Steps = append([]circuit.Step(nil), c.Steps...)
				changed.Steps[k].Say = say
				if len(obeyed(t, raw, &changed).Faults) <= len(obeyed(t, raw, c).Faults) {
					missed++
					t.Errorf("from %s: %q in place of %q arrives all the same", c.Request.From, say, c.Steps[k].Say)
				}
			}
			t.Logf("seed %d: %d sentences of %d circuits, %d lead astray; %d mutants, %d not caught", *seed, sentences, len(circuits), faults, mutants, missed)
		})
	}
}

// A learner near the test who is told of my side and your side, and to follow
// signs, arrives too: by the numbers of the roads on the raw map.
func TestDriverArrivesBySigns(t *testing.T) {
	learner := &circuit.LearnerRecord{Reference: "ZQ-3", Level: "near-test", Needs: []string{"my side, your side"}}
	circuits, raw := spokenCircuits(t, spokenTowns[1].file, 10, learner)
	signs, sides := 0, 0
	for _, c := range circuits {
		for _, f := range obeyed(t, raw, c).Faults {
			t.Errorf("from %s: %q: %s", c.Request.From, f.Say, f.Why)
		}
		for _, s := range c.Steps {
			if strings.Contains(s.Say, "follow the signs for") {
				signs++
			}
			if strings.Contains(s.Say, "my side") {
				sides++
			}
		}
	}
	t.Logf("%d directions by signs, %d with my side", signs, sides)
	if signs == 0 || sides == 0 {
		t.Error("none was given by signs, or none with my side")
	}
}

var (
	counted = []string{"next", "second", "third", "fourth"}
	exits   = []string{"first", "second", "third", "fourth", "fifth"}
	sided   = regexp.MustCompile(`\b(left|right)\b`)
	nth     = regexp.MustCompile(`\b(next|second|third) (road|junction|traffic lights|crossroads|fork)`)
	exitNth = regexp.MustCompile(`\b(first|second|third|fourth) exit`)
)

// mutated is a sentence misheard: another number, the other side or another
// exit of its first direction.
func mutated(r *rand.Rand, say string) (string, bool) {
	if strings.HasSuffix(say, "?") {
		return "", false
	}
	first, rest, _ := strings.Cut(say, " into ") // not in the names of roads
	if rest != "" {
		rest = " into " + rest
	}
	first, more, _ := strings.Cut(first, ", then pull up")
	if more != "" {
		rest = ", then pull up" + more + rest
	}
	if strings.Contains(first, "pull up") || strings.Contains(first, "follow the road") {
		return "", false // where one stops is not looked at; and one follows the road untold
	}
	swap := func(pattern *regexp.Regexp, words []string) (string, bool) {
		m := pattern.FindStringSubmatchIndex(first)
		if m == nil {
			return "", false
		}
		word := first[m[2]:m[3]]
		var others []string
		for i, w := range words {
			if w == word {
				others = append(others, words[max(0, i-1)], words[min(len(words)-1, i+1)])
			}
		}
		other := others[r.IntN(2)]
		return first[:m[2]] + other + first[m[3]:] + rest, other != word
	}
	switch r.IntN(3) {
	case 0:
		return swap(sided, []string{"left", "right"})
	case 1:
		return swap(nth, counted)
	default:
		return swap(exitNth, exits)
	}
}
