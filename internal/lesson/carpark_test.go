package lesson_test

import (
	"fmt"
	"strings"
	"testing"

	"loopwright/internal/assess"
	"loopwright/internal/lesson"
)

// A lesson of parking in a bay goes by a car park to judge, into another, and has
// a third place by: in the town, where hardly a car park will plainly not do,
// none of those is asked for by itself.
func TestBayParking(t *testing.T) {
	n, p := town.open(t)
	a, outside := assess.New(n, p), town.witness(t)
	met := 0
	for i, at := range starts(n, 5, 6) {
		r := request(at)
		r.Exercise, r.Unsuitable, r.Suitable = "bay-park-reverse", nil, nil
		c, err := lesson.Plan(n, p, a, r)
		if err != nil {
			t.Logf("%d: %v", i, err)
			continue
		}
		met++
		c = sound(t, n, p, outside, c, fmt.Sprint("start ", i))
		said := ""
		for _, s := range c.Steps {
			said += s.Say + "\n"
		}
		if !strings.Contains(said, "drive into the car park on the left") || !strings.Contains(said, "car park") || strings.Contains(said, "what do you think of this road") {
			t.Errorf("%d: it is not told as a car park: %s", i, said)
		}
		if !strings.Contains(c.Practice.Road, "Car Park") || !strings.Contains(c.Examples[0].Road, "Car Park") {
			t.Errorf("%d: practise in %s, judge %s", i, c.Practice.Road, c.Examples[0].Road)
		}
	}
	if met < 3 {
		t.Errorf("%d of 6 lessons can be had", met)
	}
}
