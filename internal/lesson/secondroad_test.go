package lesson_test

import (
	"strings"
	"testing"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/lesson"
	"loopwright/internal/roadnet/roadnettest"
)

// Spare minutes become goes, the last of them in a second road, and never
// minutes at the drop-off: of a lesson of an hour and a quarter or a half not more
// are left than two goes take beyond those that were to be in hand.
func TestTheLastGoIsInASecondRoad(t *testing.T) {
	n, p := roadnettest.Parse(t, draw()), gb(t)
	for _, exercise := range []string{"turn-in-the-road", "parallel-park"} {
		for _, minutes := range []float64{75, 90} {
			r := request(startIn(t, n, "Hazel Row"))
			two := 2
			r.Exercise, r.Minutes, r.Unsuitable = exercise, minutes, &two
			c, err := lesson.Plan(n, p, assess.New(n, p), r)
			if err != nil {
				t.Errorf("%s, %g minutes: %v", exercise, minutes, err)
				continue
			}
			c = through(t, c)
			for _, b := range lesson.Check(n, p, c) {
				t.Errorf("%s, %g minutes: %v", exercise, minutes, b)
			}
			if c.Second == nil {
				t.Errorf("%s, %g minutes: no second road", exercise, minutes)
				continue
			}
			if most := c.Request.InHand + 8; c.Finish.Minutes > most && c.Practice.Goes+c.Second.Goes < 12 {
				t.Errorf("%s, %g minutes: %.1f minutes are left, with %d and %d goes", exercise, minutes, c.Finish.Minutes, c.Practice.Goes, c.Second.Goes)
			}
			said := ""
			for _, row := range c.Timeline {
				said += row.What + "; "
			}
			if !strings.Contains(said, "drive to a second road; ") || !strings.Contains(said, " in a second road, "+c.Second.Road) {
				t.Errorf("%s, %g minutes: the timeline does not say so: %s", exercise, minutes, said)
			}
		}
	}
}

func TestCheckCatchesASecondRoadThatIsNone(t *testing.T) {
	n, p := roadnettest.Parse(t, draw()), gb(t)
	r := request(startIn(t, n, "Hazel Row"))
	two := 2
	r.Minutes, r.Unsuitable = 90, &two
	whole, err := lesson.Plan(n, p, assess.New(n, p), r)
	if err != nil {
		t.Fatal(err)
	}
	if whole = through(t, whole); whole.Second == nil {
		t.Fatal("the circuit has no second road")
	}
	for _, m := range []struct {
		name  string
		must  lesson.Must
		spoil func(c *circuit.Circuit)
	}{
		{"no go", lesson.MustGo, func(c *circuit.Circuit) { c.Second.Goes = 0 }},
		{"hurried", lesson.MustGo, func(c *circuit.Circuit) { c.Second.Minutes /= 2 }},
		{"for something else", lesson.MustFit, func(c *circuit.Circuit) { c.Second.Exercise = "hill-start" }},
		{"the first over again", lesson.MustFit, func(c *circuit.Circuit) { c.Second.At = c.Practice.At }},
		{"elsewhere", lesson.MustJoin, func(c *circuit.Circuit) { c.Second.AtS += 60 }},
		{"facing another way", lesson.MustFace, func(c *circuit.Circuit) { c.Second.Goes++ }},
		{"on the other side", lesson.MustStandAtKerb, func(c *circuit.Circuit) { c.Second.Side = "right" }},
		{"left out of the file", lesson.MustKeepTime, func(c *circuit.Circuit) { c.Second = nil }},
	} {
		t.Run(m.name, func(t *testing.T) {
			c := through(t, whole)
			m.spoil(c)
			catch(t, lesson.Check(n, p, c), m.must)
		})
	}
}
