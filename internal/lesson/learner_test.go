package lesson_test

import (
	"errors"
	"strings"
	"testing"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/lesson"
	"loopwright/internal/roadnet/roadnettest"
)

// In a town where every junction is a crossroads, a learner to whom those are
// untaught can't be given a lesson, and the answer says what would have to come
// on the drive.
func TestUntaughtStandsInTheWay(t *testing.T) {
	n, p := roadnettest.Parse(t, draw()), gb(t)
	r := request(startIn(t, n, "Hazel Row"))
	r.Learner = &circuit.LearnerRecord{Reference: "AB", Stages: map[string]string{"crossroads": "untaught"}}
	_, err := lesson.Plan(n, p, assess.New(n, p), r)
	var unmet *lesson.Unmet
	if !errors.As(err, &unmet) {
		t.Fatalf("error %v", err)
	}
	if !strings.HasPrefix(unmet.Why, "without crossroads, ") || !strings.Contains(strings.Join(unmet.Give, "; "), "crossroads on the drive") {
		t.Errorf("answer: %v", err)
	}
}

// Check finds what is untaught on a drive that was planned for someone else, and
// a pace that is not the learner's.
func TestCheckReadsTheLearner(t *testing.T) {
	n, p, c := planned(t)
	c.Learner = &circuit.LearnerRecord{Reference: "AB", Stages: map[string]string{"crossroads": "untaught"}}
	if got := unsuited(lesson.Check(n, p, c)); len(got) < 2 || !strings.Contains(strings.Join(got, "\n"), "crossroads, at ") {
		t.Errorf("Check with crossroads untaught: %v", got)
	}
	c.Learner.Stages["crossroads"] = "prompted"
	if got := unsuited(lesson.Check(n, p, c)); len(got) > 0 {
		t.Errorf("Check with crossroads prompted: %v", got)
	}
	c.Request.Avoid = []string{"crossroads"}
	if got := unsuited(lesson.Check(n, p, c)); len(got) < 2 {
		t.Errorf("Check with crossroads to avoid: %v", got)
	}
	c.Request.Avoid, c.Learner.Level = nil, "near-test"
	if got := unsuited(lesson.Check(n, p, c)); len(got) != 1 || !strings.Contains(got[0], "pace") {
		t.Errorf("Check of another level: %v", got)
	}
	c.Learner.Level = "expert"
	whole := false
	for _, b := range lesson.Check(n, p, c) {
		whole = whole || b.Must == lesson.MustBeWhole
	}
	if !whole {
		t.Error("Check lets an unknown level pass")
	}
}

// From a close one comes home only by the turning head at its end, unless the
// goes leave the car facing out. Who can turn may practise there, who can't may
// not, and Check tells them apart.
func TestTurningHeadsAreForThoseWhoCanTurn(t *testing.T) {
	n, p := roadnettest.Parse(t, draw()), gb(t)
	a := assess.New(n, p)
	r := request(startIn(t, n, "Hazel Row"))
	r.Exercise = "moving-off"
	r.Learner = &circuit.LearnerRecord{Reference: "AB", Level: "near-test"}
	c, err := lesson.PlanIn(n, p, a, r, "Close")
	if err != nil {
		t.Fatal(err)
	}
	c = through(t, c)
	for _, b := range lesson.Check(n, p, c) {
		t.Error(b)
	}
	round := false
	for _, s := range c.Steps {
		round = round || strings.Contains(s.Say, "turn round in the turning space")
	}
	if !round {
		t.Errorf("nobody is told to turn round: %v", c.Steps)
	}
	c.Learner.Stages = map[string]string{"turn-in-the-road": "talked through"}
	told := false
	for _, b := range lesson.Check(n, p, c) {
		told = told || b.Must == lesson.MustNotTurnBack
	}
	if !told {
		t.Error("Check lets a learner turn back who has not been taught to")
	}
	r.Learner = c.Learner
	var unmet *lesson.Unmet
	if _, err := lesson.PlanIn(n, p, a, r, "Close"); !errors.As(err, &unmet) {
		t.Errorf("for a learner who can't turn: %v", err)
	}
}

// A drive along country roads is none for a day with ice.
func TestCheckKeepsOffLanesOnIce(t *testing.T) {
	n, p := town.open(t)
	r := request(starts(n, 3, 1)[0])
	r.Kind, r.Exercise = circuit.Junctions, ""
	r.Seek = []circuit.Sought{{Topic: assess.CountryRoads.String(), AtLeast: 1}}
	c, err := lesson.Plan(n, p, assess.New(n, p), r)
	if err != nil {
		t.Fatal(err)
	}
	if got := unsuited(lesson.Check(n, p, c)); len(got) > 0 {
		t.Errorf("by a mild day: %v", got)
	}
	c.Request.Ice = true
	if got := unsuited(lesson.Check(n, p, c)); !strings.Contains(strings.Join(got, "\n"), "country roads, at ") {
		t.Errorf("with ice: %v", got)
	}
}

// unsuited are what breaks MustSuitLearner.
func unsuited(broken []lesson.Broken) []string {
	var out []string
	for _, b := range broken {
		if b.Must == lesson.MustSuitLearner {
			out = append(out, b.String())
		}
	}
	return out
}
