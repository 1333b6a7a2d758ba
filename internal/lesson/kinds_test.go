package lesson_test

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/geo"
	"loopwright/internal/lesson"
	"loopwright/internal/roadnet"
)

// town is the invented town of the demo, by its own extract.
var town = real{"ottenbridge", func(_ testing.TB, path string) string { return path }, "../../data/demo/town.osm.pbf", "gb", 0}

// lessonKinds are the kinds that this package plans: a survey drive has no
// learner, and package survey plans it.
func lessonKinds() []circuit.Kind {
	return slices.DeleteFunc(circuit.Kinds(), func(k circuit.Kind) bool { return k == circuit.SurveyDrive })
}

// wished is what the requests of each kind ask for, in turn.
var wished = map[circuit.Kind][][]string{
	circuit.RoadsToJudge: {{"at least two crossroads", "my side and your side"}, {"one crossing"}, {"two traffic lights", "questions only when parked"}, {"no dual carriageways", "one mini-roundabout"}},
	circuit.Junctions:    {{"at least four mini-roundabouts"}, {"six emerging", "two crossings"}, {"crossroads", "roundabouts"}, {"three signals", "no dual carriageways"}},
	circuit.TwoExercises: {{}, {"no dual carriageways"}, {"questions only when parked"}, {"my side and your side"}},
	circuit.MockTest:     {{}, {"no country roads"}, {"one roundabout"}, {}},
	circuit.TestDay:      {{}, {"no dual carriageways"}, {"one crossing"}, {}},
}

// asking draws a request of a kind from a position.
func asking(rng *rand.Rand, n *roadnet.Network, kind circuit.Kind, i int, at roadnet.Position) (lesson.Request, error) {
	r := request(at)
	r.Kind, r.Minutes, r.Seed = kind, []float64{60, 60, 90, 75}[rng.IntN(4)], uint64(i)
	r.Exercise = ""
	exercises := []string{"turn-in-the-road", "parallel-park", "pull-up-right", "straight-reverse"}
	rng.Shuffle(len(exercises), func(a, b int) { exercises[a], exercises[b] = exercises[b], exercises[a] })
	switch kind {
	case circuit.RoadsToJudge:
		r.Exercise = exercises[0]
	case circuit.TwoExercises:
		r.Exercise, r.Second = exercises[0], exercises[1]
	case circuit.TestDay:
		if i%3 == 0 {
			r.Exercise = exercises[0]
		}
		from, _ := n.At(at)
		for _, to := range starts(n, rng.Uint64(), 400) { // a test centre some miles away
			there, _ := n.At(to)
			if d := geo.Distance(from, there); d > 500 && d < 5000 {
				r.To = to
				break
			}
		}
	}
	if level := []string{"", "early", "middle", "near-test"}[rng.IntN(4)]; level != "" {
		r.Learner = &circuit.LearnerRecord{Reference: "L-1", Level: level}
	}
	words := wished[kind][i%len(wished[kind])]
	var err error
	r.Wishes, err = lesson.ReadWishes(words)
	return r, err
}

// tallied is how the requests of one kind went.
type tallied struct{ asked, met int }

// askAll plans seeded requests of each kind: each is a circuit that Check passes,
// that is legal by the raw map read from outside, and that is home in time, or an
// answer that says which wish can't be met.
func askAll(t *testing.T, r real, seed uint64, count int) map[circuit.Kind]tallied {
	n, p := r.open(t)
	a := assess.New(n, p)
	outside := r.witness(t)
	out := map[circuit.Kind]tallied{}
	for _, kind := range lessonKinds() {
		rng := rand.New(rand.NewPCG(seed, uint64(kind)))
		got := tallied{}
		for i, at := range starts(n, seed, count) {
			q, err := asking(rng, n, kind, i, at)
			if err != nil {
				t.Fatal(err)
			}
			got.asked++
			c, err := lesson.Plan(n, p, a, q)
			var unmet *lesson.Unmet
			if errors.As(err, &unmet) {
				if unmet.Wish == "" || unmet.Why == "" {
					t.Errorf("%s %d: an answer without a wish or a why: %v", kind, i, err)
				}
				t.Logf("%s %d: %v", kind, i, err)
				continue
			}
			if err != nil {
				t.Errorf("%s %d: %v", kind, i, err)
				continue
			}
			got.met++
			sound(t, n, p, outside, c, fmt.Sprint(kind, " ", i))
		}
		out[kind] = got
		t.Logf("%s: %s, seed %d: %d of %d are met", r.name, kind, seed, got.met, got.asked)
	}
	return out
}

// In the town nearly every lesson of every kind can be had.
func TestKindsInTheTown(t *testing.T) {
	for kind, got := range askAll(t, town, 3, 4) {
		if got.met < 3 {
			t.Errorf("%s: %d of %d requests are met", kind, got.met, got.asked)
		}
	}
}
