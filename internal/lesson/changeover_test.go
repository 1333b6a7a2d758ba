package lesson_test

import (
	"fmt"
	"strings"
	"testing"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/lesson"
	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
)

// hard is the town with a loop of two roads more, that is left only by traffic
// lights.
func hard() string {
	x, y := at(0, 7)
	return draw() + fmt.Sprintf("P %d,%d\nQ %d,%d\nR %d,%d\nS %d,%d\nsignals Q\n", x, y+500, x, y+250, x-150, y+400, x, y+600) +
		"P-Q Lone Road residential 30mph\nQ-R-P Round Road residential 30mph\nP-S Spur Road residential 30mph\n" +
		fmt.Sprintf("Q-%s Lamp Road residential 30mph\n", node(0, 7))
}

// beginner can't yet drive through traffic lights.
var beginner = &circuit.LearnerRecord{Reference: "AB", Stages: map[string]string{"signals": "untaught"}}

func changed(t *testing.T) (*roadnet.Network, *circuit.Circuit) {
	t.Helper()
	n, p := roadnettest.Parse(t, hard()), gb(t)
	r := request(startIn(t, n, "Lone Road"))
	r.Learner = beginner
	c, err := lesson.Plan(n, p, assess.New(n, p), r)
	if err != nil {
		t.Fatal(err)
	}
	return n, through(t, c)
}

// Where the learner can't drive from the pick-up, the instructor does, to a
// kerb where they change over, and home from it.
func TestTheInstructorDrivesOutFromAHardRoad(t *testing.T) {
	n, c := changed(t)
	for _, b := range lesson.Check(n, gb(t), c) {
		t.Error(b)
	}
	last := len(c.Legs) - 1
	for i, l := range c.Legs {
		want := circuit.Learner
		if i == 0 || i == last {
			want = circuit.Instructor
		}
		if l.Driver != want {
			t.Errorf("leg %d of %d is driven by the %s", i+1, last+1, l.Driver)
		}
	}
	var rows []string
	for _, r := range c.Timeline {
		rows = append(rows, r.What)
	}
	said := strings.Join(rows, "; ")
	for _, want := range []string{"recap; you drive, to where you change over; change over, and briefing in ", "debrief, and change over in ", "you drive home; in hand"} {
		if !strings.Contains(said, want) {
			t.Errorf("the timeline does not say %q: %s", want, said)
		}
	}
	if !strings.HasPrefix(c.Steps[0].Say, "You drive: ") || !strings.HasPrefix(c.Steps[len(c.Steps)-1].Say, "You drive: ") {
		t.Errorf("the instructor's own way is said as to a learner: %q", c.Steps[0].Say)
	}
	for _, w := range c.WaysBack {
		if strings.HasPrefix(c.Steps[w.Step-1].Say, "You drive: ") {
			t.Errorf("a way back for the instructor: %q", w.Say)
		}
	}
}

// An instructor may drive out without need, and then drives home as well.
func TestTheInstructorDrivesOutWhenAsked(t *testing.T) {
	n, p := roadnettest.Parse(t, draw()), gb(t)
	r := request(startIn(t, n, "Hazel Row"))
	r.DriveOut = true
	c, err := lesson.Plan(n, p, assess.New(n, p), r)
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range lesson.Check(n, p, through(t, c)) {
		t.Error(b)
	}
	if first, last := c.Legs[0].Driver, c.Legs[len(c.Legs)-1].Driver; first != circuit.Instructor || last != circuit.Instructor {
		t.Errorf("the %s drives out, the %s home", first, last)
	}
}

// From an easy road to a hard one the learner sets out, and the instructor
// drives home alone; the other way round, out alone.
func TestTheInstructorDrivesTheHardEndAlone(t *testing.T) {
	n, p := roadnettest.Parse(t, hard()), gb(t)
	easy, difficult := startIn(t, n, "Hazel Row"), startIn(t, n, "Lone Road")
	for _, way := range []struct {
		from, to    roadnet.Position
		first, last string
	}{{easy, difficult, circuit.Learner, circuit.Instructor}, {difficult, easy, circuit.Instructor, circuit.Learner}} {
		r := request(way.from)
		r.To, r.ToWords, r.Learner = way.to, "finish", beginner
		c, err := lesson.Plan(n, p, assess.New(n, p), r)
		if err != nil {
			t.Fatal(err)
		}
		for _, b := range lesson.Check(n, p, through(t, c)) {
			t.Error(b)
		}
		if first, last := c.Legs[0].Driver, c.Legs[len(c.Legs)-1].Driver; first != way.first || last != way.last {
			t.Errorf("the %s drives out, the %s home; want the %s and the %s", first, last, way.first, way.last)
		}
	}
}

func TestCheckCatchesWhoDrives(t *testing.T) {
	n, whole := changed(t)
	last := len(whole.Legs) - 1
	for _, m := range []struct {
		name  string
		must  lesson.Must
		spoil func(c *circuit.Circuit)
	}{
		{"a stranger", lesson.MustBeWhole, func(c *circuit.Circuit) { c.Legs[1].Driver = "postman" }},
		{"the learner on the hard road", lesson.MustSuitLearner, func(c *circuit.Circuit) { c.Legs[0].Driver = circuit.Learner }},
		{"the instructor in between", lesson.MustChangeOver, func(c *circuit.Circuit) { c.Legs[2].Driver = circuit.Instructor }},
		{"the instructor all the way", lesson.MustChangeOver, func(c *circuit.Circuit) {
			for i := range c.Legs {
				c.Legs[i].Driver = circuit.Instructor
			}
		}},
		{"the instructor past a road to judge", lesson.MustChangeOver, func(c *circuit.Circuit) { c.Legs[1].Driver = circuit.Instructor }},
		{"nobody told", lesson.MustChangeOver, func(c *circuit.Circuit) { c.PullUps[0].ChangeOver = false }},
		{"told for nothing", lesson.MustChangeOver, func(c *circuit.Circuit) { c.Legs[last].Driver = circuit.Learner }},
		{"in a hurry", lesson.MustChangeOver, func(c *circuit.Circuit) { c.PullUps[0].Minutes = 1 }},
		{"at a learner's pace", lesson.MustKeepTime, func(c *circuit.Circuit) { c.Legs[0].DriveS *= 1.2 }},
	} {
		t.Run(m.name, func(t *testing.T) {
			c := through(t, whole)
			m.spoil(c)
			catch(t, lesson.Check(n, gb(t), c), m.must)
		})
	}
}
