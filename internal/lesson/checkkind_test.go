package lesson_test

import (
	"testing"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/lesson"
)

// A lesson of each kind, spoilt in one thing, is caught by the must that it then
// breaks.
func TestCheckCatchesWhatIsWrongWithAKind(t *testing.T) {
	n, p := town.open(t)
	a := assess.New(n, p)
	for _, c := range []struct {
		kind     circuit.Kind
		exercise string
		second   string
		wishes   []string
		spoilt   map[string]func(c *circuit.Circuit) lesson.Must
	}{
		{circuit.Junctions, "", "", []string{"at least two mini-roundabouts", "crossings"}, map[string]func(*circuit.Circuit) lesson.Must{
			"one more asked":      func(c *circuit.Circuit) lesson.Must { c.Request.Seek[0].AtLeast = 60; return lesson.MustComeBy },
			"an event elsewhere":  func(c *circuit.Circuit) lesson.Must { c.Events[0].At[0] += 0.01; return lesson.MustComeBy },
			"an event later":      func(c *circuit.Circuit) lesson.Must { c.Events[0].AtS += 20; return lesson.MustComeBy },
			"another topic":       func(c *circuit.Circuit) lesson.Must { c.Events[0].Topic = "country-roads"; return lesson.MustComeBy },
			"better known":        func(c *circuit.Circuit) lesson.Must { c.Events[0].Chance = 0.6; return lesson.MustComeBy },
			"measured":            func(c *circuit.Circuit) lesson.Must { c.Events[0].Evidence = assess.Measured; return lesson.MustComeBy },
			"counted twice":       twice,
			"nothing to come by":  func(c *circuit.Circuit) lesson.Must { c.Events = nil; return lesson.MustBeOfItsKind },
			"a stop as in a test": func(c *circuit.Circuit) lesson.Must { c.PullUps[1].What = "stop"; return lesson.MustPullUp },
			"no briefing":         func(c *circuit.Circuit) lesson.Must { c.PullUps = c.PullUps[1:]; return lesson.MustBrief },
		}},
		{circuit.MockTest, "", "", nil, map[string]func(*circuit.Circuit) lesson.Must{
			"one topic": func(c *circuit.Circuit) lesson.Must { c.Events = c.Events[:1]; return lesson.MustBeOfItsKind },
			"no exercise": func(c *circuit.Circuit) lesson.Must {
				c.Practice, c.Backups = circuit.Practice{}, nil
				return lesson.MustBeOfItsKind
			},
			"no debrief": func(c *circuit.Circuit) lesson.Must {
				c.PullUps[len(c.PullUps)-1].What = "stop"
				return lesson.MustPullUp
			},
			"no backup": func(c *circuit.Circuit) lesson.Must { c.Backups = nil; return lesson.MustBackUp },
		}},
		{circuit.TestDay, "", "", nil, map[string]func(*circuit.Circuit) lesson.Must{
			"a pull-up at the centre": func(c *circuit.Circuit) lesson.Must {
				c.PullUps[0].Road, c.PullUps[0].At = c.Finish.Road, c.Finish.At
				return lesson.MustBeOfItsKind
			},
			"less early": func(c *circuit.Circuit) lesson.Must { c.Request.InHand = 30; return lesson.MustBeHome },
		}},
		{circuit.TwoExercises, "turn-in-the-road", "parallel-park", nil, map[string]func(*circuit.Circuit) lesson.Must{
			"one place":         func(c *circuit.Circuit) lesson.Must { c.Second = nil; return lesson.MustBeWhole },
			"another exercise":  func(c *circuit.Circuit) lesson.Must { c.Request.Second = "hill-start"; return lesson.MustFit },
			"no second backup":  func(c *circuit.Circuit) lesson.Must { c.SecondBackups = nil; return lesson.MustBackUp },
			"twenty goes":       func(c *circuit.Circuit) lesson.Must { c.Second.Goes += 14; return lesson.MustGo },
			"no road to judge":  func(c *circuit.Circuit) lesson.Must { c.Examples = nil; return lesson.MustBeOfItsKind },
			"a hurried second":  func(c *circuit.Circuit) lesson.Must { c.Second.Minutes /= 3; return lesson.MustGo },
			"across the street": func(c *circuit.Circuit) lesson.Must { c.Second.Side = "right"; return lesson.MustStandAtKerb },
		}},
	} {
		r := request(starts(n, 3, 1)[0])
		r.Kind, r.Exercise, r.Second = c.kind, c.exercise, c.second
		if c.kind == circuit.TestDay {
			r.To = starts(n, 3, 2)[1]
		}
		var err error
		if r.Wishes, err = lesson.ReadWishes(c.wishes); err != nil {
			t.Fatal(err)
		}
		whole, err := lesson.Plan(n, p, a, r)
		if err != nil {
			t.Errorf("%s: %v", c.kind, err)
			continue
		}
		if broken := lesson.Check(n, p, through(t, whole)); len(broken) > 0 {
			t.Errorf("%s: broken before it is spoilt: %v", c.kind, broken)
		}
		for name, spoil := range c.spoilt {
			t.Run(c.kind.String()+" "+name, func(t *testing.T) {
				copied := through(t, whole)
				want := spoil(copied)
				catch(t, lesson.Check(n, p, copied), want)
			})
		}
	}
}

// twice lists one event again, at its own place and a later time.
func twice(c *circuit.Circuit) lesson.Must {
	again := c.Events[len(c.Events)-1]
	again.Order++
	again.AtS += 60
	c.Events = append(c.Events, again)
	return lesson.MustComeBy
}
