package lesson_test

import (
	"testing"

	"loopwright/internal/assess"
	"loopwright/internal/lesson"
	"loopwright/internal/roadnet/roadnettest"
)

// Each alternative keeps every must, practises in a road of its own and is
// nearly as good as the first; the first is the plan without alternatives.
func TestAlternatives(t *testing.T) {
	n, p := roadnettest.Parse(t, draw()), gb(t)
	r := request(startIn(t, n, "Hazel Row"))
	all, err := lesson.Alternatives(n, p, assess.New(n, p), r, 2)
	if err != nil {
		t.Fatal(err)
	}
	if len(all) != 3 {
		t.Fatalf("%d lessons, want one and two alternatives: the town has many streets", len(all))
	}
	alone, err := lesson.Plan(n, p, assess.New(n, p), r)
	if err != nil {
		t.Fatal(err)
	}
	if alone.Practice.Kerb != all[0].Practice.Kerb {
		t.Errorf("the first practises at %s, the plan at %s", all[0].Practice.Kerb, alone.Practice.Kerb)
	}
	roads := map[string]bool{}
	for _, c := range all {
		if roads[c.Practice.Road] {
			t.Errorf("two practise in %s", c.Practice.Road)
		}
		roads[c.Practice.Road] = true
		if b, best := c.Bound, all[0].Bound; b.Score < 0.9*best.Score-0.001 || b.Best < b.Score || b.Gap < 0 || b.Gap > 1 {
			t.Errorf("in %s: bound %+v, that of the first is %+v", c.Practice.Road, *b, *best)
		}
		for _, b := range lesson.Check(n, p, through(t, c)) {
			t.Errorf("in %s: %v", c.Practice.Road, b)
		}
	}
}
