package lesson_test

import (
	"strings"
	"testing"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/lesson"
)

// In a lesson of any kind but a mock test the instructor may drive out, and home
// where it ends at the door: nothing is judged, practised or come by on what they
// drive, and to a test the learner drives.
func TestDriveOutInAnyKind(t *testing.T) {
	n, p := town.open(t)
	a, outside := assess.New(n, p), town.witness(t)
	wishes, err := lesson.ReadWishes([]string{"at least two crossings"})
	if err != nil {
		t.Fatal(err)
	}
	at := starts(n, 7, 2)
	for _, kind := range lessonKinds() {
		r := request(at[0])
		r.Kind, r.DriveOut, r.Unsuitable, r.Suitable = kind, true, nil, nil
		switch kind {
		case circuit.RoadsToJudge, circuit.Junctions:
			r.Wishes = wishes
		case circuit.TwoExercises:
			r.Second = "parallel-park"
		case circuit.TestDay:
			r.To = at[1]
		}
		if kind == circuit.Junctions || kind == circuit.MockTest || kind == circuit.TestDay {
			r.Exercise = ""
		}
		c, err := lesson.Plan(n, p, a, r)
		if kind == circuit.MockTest {
			if err == nil || !strings.Contains(err.Error(), "not for a mock test") {
				t.Errorf("a mock test is planned, or refused otherwise: %v", err)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s: %v", kind, err)
			continue
		}
		c = sound(t, n, p, outside, c, kind.String())
		if c.Legs[0].Driver != circuit.Instructor || !c.PullUps[0].ChangeOver {
			t.Errorf("%s: the %s drives the first leg, and they change over after it: %v", kind, c.Legs[0].Driver, c.PullUps[0].ChangeOver)
		}
		if last := c.Legs[len(c.Legs)-1]; (last.Driver == circuit.Learner) != (kind == circuit.TestDay) {
			t.Errorf("%s: the %s drives the last leg", kind, last.Driver)
		}
		for _, l := range c.Legs {
			for _, e := range c.Events {
				if l.Driver == circuit.Instructor && e.AtS >= l.AtS && e.AtS <= l.AtS+l.DriveS {
					t.Errorf("%s: an event at %.0f s, on what the instructor drives", kind, e.AtS)
				}
			}
		}
	}
}
