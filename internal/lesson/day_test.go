package lesson_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/lesson"
	"loopwright/internal/roadnet/roadnettest"
)

// A nursery circuit turns left only, and the same drive with a right turn is
// none.
func TestNurseryTurnsLeftOnly(t *testing.T) {
	n, p := roadnettest.Parse(t, draw()), gb(t)
	r := request(startIn(t, n, "Damson Row"))
	r.Exercise, r.NearSide = "moving-off", true
	c, err := lesson.Plan(n, p, assess.New(n, p), r)
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range lesson.Check(n, p, through(t, c)) {
		t.Error(b)
	}
	turns := 0
	for _, s := range c.Steps {
		if s.Kind != "turn" && s.Kind != "end-of-road" {
			continue
		}
		turns++
		if strings.Contains(s.Say, "right") && !strings.Contains(s.Say, "left") {
			t.Errorf("says %q", s.Say)
		}
	}
	if turns == 0 {
		t.Error("no turn at all")
	}
	_, _, other := planned(t)
	other.Request.NearSide = true
	catch(t, lesson.Check(n, p, other), lesson.MustSuitLearner)
}

// A town in two halves that only a motorway joins: the learner comes across with
// an approved instructor and dual controls, and not else.
func TestMotorwaysNeedAnApprovedInstructorAndDualControls(t *testing.T) {
	x, y := at(0, 7)
	drawing := draw() + fmt.Sprintf("P %d,%d\nQ %d,%d\nR %d,%d\nS %d,%d\n", x, y+900, x, y+600, x-200, y+750, x, y+1000) +
		"P-Q Lone Road residential 30mph\nP-S Spur Road residential 30mph\nQ-R-P Round Road residential 30mph\n" +
		fmt.Sprintf("Q-%s motorway 50mph\n", node(0, 7))
	n, p := roadnettest.Parse(t, drawing), gb(t)
	r := request(startIn(t, n, "Lone Road"))
	for _, c := range []struct {
		approved, dual, want bool
	}{{true, true, true}, {true, false, false}, {false, true, false}, {false, false, false}} {
		r.Approved, r.DualControls = c.approved, c.dual
		got, err := lesson.Plan(n, p, assess.New(n, p), r)
		if (err == nil) != c.want {
			t.Errorf("approved %v, dual controls %v: %v", c.approved, c.dual, err)
		}
		if err != nil {
			continue
		}
		got = through(t, got)
		for _, b := range lesson.Check(n, p, got) {
			t.Error(b)
		}
		got.Request.Approved = false
		catch(t, lesson.Check(n, p, got), lesson.MustSuitLearner)
	}
}

// What the day forbids is an answer, and what it asks for is a caution.
func TestTheDay(t *testing.T) {
	n, p := roadnettest.Parse(t, draw()), gb(t)
	tonight := time.Date(2026, 12, 4, 17, 30, 0, 0, time.UTC)
	for _, c := range []struct {
		name, want string
		gives      bool // whether something else would do
		ask        func(*lesson.Request)
	}{
		{"facing the traffic at night", "it is dark at that hour", true, func(r *lesson.Request) { r.Exercise, r.When = "pull-up-right", tonight }},
		{"an emergency stop on ice", "icy", true, func(r *lesson.Request) { r.Exercise, r.Ice = "emergency-stop", true }},
		{"bays", "no car park within reach", false, func(r *lesson.Request) { r.Exercise = "bay-park-reverse" }},
	} {
		r := request(startIn(t, n, "Hazel Row"))
		c.ask(&r)
		_, err := lesson.Plan(n, p, assess.New(n, p), r)
		var unmet *lesson.Unmet
		if !errors.As(err, &unmet) || !strings.Contains(unmet.Why, c.want) || c.gives && len(unmet.Give) == 0 {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	r := request(startIn(t, n, "Hazel Row"))
	if c, err := lesson.Plan(n, p, assess.New(n, p), r); err != nil || strings.Contains(cautionsOf(c), "dark") {
		t.Fatalf("by day: %v: %s", err, cautionsOf(c))
	}
	r.When, r.Ice = tonight, true
	c, err := lesson.Plan(n, p, assess.New(n, p), r)
	if err != nil {
		t.Fatal(err)
	}
	// 52° N on 4 December: sunset at 15:54 by the almanac, from memory, within a few minutes.
	for _, want := range []string{"the sun sets at 15:5", "There may be ice."} {
		if !strings.Contains(cautionsOf(c), want) {
			t.Errorf("no caution says %q: %s", want, cautionsOf(c))
		}
	}
	for _, b := range lesson.Check(n, p, through(t, c)) {
		t.Error(b)
	}
	r.When, r.Ice = time.Date(2026, 12, 4, 6, 30, 0, 0, time.UTC), false
	// Sunrise there at 7:50 by the same, within a few minutes.
	if c, err := lesson.Plan(n, p, assess.New(n, p), r); err != nil || !strings.Contains(cautionsOf(c), "the sun rises at 07:5") && !strings.Contains(cautionsOf(c), "the sun rises at 07:4") {
		t.Errorf("before dawn: %v: %s", err, cautionsOf(c))
	}
}

func cautionsOf(c *circuit.Circuit) string {
	if c == nil {
		return ""
	}
	return strings.Join(c.Cautions, "\n")
}

// Mixed, a yes comes between the noes.
func TestMixedOrder(t *testing.T) {
	n, p := roadnettest.Parse(t, draw()), gb(t)
	r := request(startIn(t, n, "Hazel Row"))
	r.Mixed = true
	c, err := lesson.Plan(n, p, assess.New(n, p), r)
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range lesson.Check(n, p, through(t, c)) {
		t.Error(b)
	}
	if c.Examples[0].Verdict != assess.Unsuitable || c.Examples[1].Verdict == assess.Unsuitable {
		t.Errorf("in mixed order: %s", examples(c))
	}
}

// In mixed order the learner chooses at the end: after the last road to judge,
// among roads that are driven along, the last of them the practice road; no other
// road was judged before. Asked only when parked, at the practice road itself.
func TestYouChoose(t *testing.T) {
	n, p := roadnettest.Parse(t, draw()), gb(t)
	for _, parked := range []bool{false, true} {
		r := request(startIn(t, n, "Hazel Row"))
		r.Mixed, r.Parked = true, parked
		c, err := lesson.Plan(n, p, assess.New(n, p), r)
		if err != nil {
			t.Fatal(err)
		}
		whole := through(t, c)
		for _, b := range lesson.Check(n, p, whole) {
			t.Errorf("parked %v: %v", parked, b)
		}
		if whole.Choice == nil {
			t.Fatalf("parked %v: the learner has no road to choose", parked)
		}
		asked := whole.Steps[whole.Choice.Step-1]
		if asked.AtS < whole.Examples[len(whole.Examples)-1].AtS || asked.AtS > whole.Practice.AtS || parked && asked.AtS != whole.Practice.AtS {
			t.Errorf("parked %v: %q at %.0f s, the last road to judge at %.0f s, the practice at %.0f s", parked, asked.Say, asked.AtS, whole.Examples[len(whole.Examples)-1].AtS, whole.Practice.AtS)
		}
		roads := whole.Choice.Roads
		if last := roads[len(roads)-1]; last.Road != whole.Practice.Road {
			t.Errorf("parked %v: the last road to choose is %s, the practice is in %s", parked, last.Road, whole.Practice.Road)
		}
		for _, e := range whole.Examples {
			for _, road := range roads[:len(roads)-1] {
				if road.Road == e.Road {
					t.Errorf("parked %v: %s was judged before", parked, e.Road)
				}
			}
		}
		for name, spoil := range map[string]func(*circuit.Circuit){
			"none":               func(c *circuit.Circuit) { c.Choice = nil },
			"asked by no step":   func(c *circuit.Circuit) { c.Choice.Step = 1 },
			"no roads":           func(c *circuit.Circuit) { c.Choice.Roads = nil },
			"a road not driven":  func(c *circuit.Circuit) { c.Choice.Roads[0].Road = "Nowhere Row" },
			"ends elsewhere":     func(c *circuit.Circuit) { c.Choice.Roads[len(c.Choice.Roads)-1].Road = c.Start.Road },
			"not in mixed order": func(c *circuit.Circuit) { c.Request.Mixed = false },
		} {
			c := through(t, whole)
			spoil(c)
			if len(lesson.Check(n, p, c)) == 0 {
				t.Errorf("parked %v, %s: Check finds nothing wrong", parked, name)
			}
		}
	}
}
