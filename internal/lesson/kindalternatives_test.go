package lesson_test

import (
	"testing"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/lesson"
)

// A tour has alternatives that practise in other roads, as many as were asked for
// at the most, and says why it has no bound; one that practises nowhere is alone.
func TestAlternativesOfTours(t *testing.T) {
	n, p := town.open(t)
	a := assess.New(n, p)
	from := starts(n, 7, 2)
	others := 0
	for i, kind := range []circuit.Kind{circuit.RoadsToJudge, circuit.MockTest, circuit.Junctions, circuit.RoadsToJudge, circuit.MockTest} {
		r := request(from[i/3])
		r.Kind, r.Unsuitable, r.Suitable = kind, nil, nil
		if kind != circuit.MockTest {
			r.Seek = []circuit.Sought{{Topic: "crossings", AtLeast: 1}}
		}
		if kind != circuit.RoadsToJudge {
			r.Exercise = ""
		}
		all, err := lesson.Alternatives(n, p, a, r, 2)
		if err != nil {
			t.Errorf("%s: %v", kind, err)
			continue
		}
		if len(all) > 3 || !all[0].Practises() && len(all) > 1 {
			t.Errorf("%s: %d lessons", kind, len(all))
		}
		others += len(all) - 1
		seen := map[string]bool{}
		for i, c := range all {
			c = through(t, c)
			for _, b := range lesson.Check(n, p, c) {
				t.Errorf("%s, lesson %d: %v", kind, i+1, b)
			}
			if c.Bound != nil || c.NoBound == "" {
				t.Errorf("%s, lesson %d: bound %v, and %q why there is none", kind, i+1, c.Bound, c.NoBound)
			}
			if c.Practises() && seen[c.Practice.Road] {
				t.Errorf("%s, lesson %d: practises in %s again", kind, i+1, c.Practice.Road)
			}
			seen[c.Practice.Road] = true
		}
	}
	if others < 1 {
		t.Errorf("%d alternatives: too few to tell", others)
	}
}
