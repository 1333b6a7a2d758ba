package lesson_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/geo"
	"loopwright/internal/lesson"
	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
)

// plannedFor is a lesson of an exercise in the town of these tests.
func plannedFor(t *testing.T, exercise string) (*roadnet.Network, *country.Profile, *circuit.Circuit) {
	t.Helper()
	n, p := roadnettest.Parse(t, draw()), gb(t)
	r := request(startIn(t, n, "Hazel Row"))
	one := 1
	r.Exercise, r.Unsuitable = exercise, &one
	c, err := lesson.Plan(n, p, assess.New(n, p), r)
	if err != nil {
		t.Fatalf("%s: %v", exercise, err)
	}
	return n, p, through(t, c)
}

// Where a go moves the car on, it drives round to the next, and the minutes at
// the place have that in them; where the next go begins where the one before
// ended, there is no way round.
func TestTheWayRoundToTheNextGo(t *testing.T) {
	for exercise, drives := range map[string]bool{
		"moving-off": true, "pull-up-right": true, "emergency-stop": true, "reverse-corner": true,
		"turn-in-the-road": false, "straight-reverse": false, "parallel-park": false,
	} {
		n, p, c := plannedFor(t, exercise)
		for _, b := range lesson.Check(n, p, c) {
			t.Errorf("%s: %v", exercise, b)
		}
		places := append([]circuit.Practice{c.Practice}, c.Backups...)
		for i, at := range places {
			if (at.Round != nil) != (drives && at.Goes > 1) {
				t.Errorf("%s, place %d: a way round: %v, want %v", exercise, i, at.Round != nil, drives)
			}
			if at.Round == nil {
				continue
			}
			line := at.Round.Line
			if end := line[len(line)-1]; end != at.At {
				t.Errorf("%s, place %d: the way round ends at %v, the place is at %v", exercise, i, end, at.At)
			}
			// By the way it is driven, the car faces at its end as it did on arrival.
			came := geo.Heading(line[len(line)-2], line[len(line)-1]).Normal().Degrees()
			if d := math.Abs(math.Mod(came-at.FacesDeg+540, 360) - 180); d > 25 {
				t.Errorf("%s, place %d: comes round heading %.0f, the go begins facing %.0f", exercise, i, came, at.FacesDeg)
			}
			if at.Round.Say == "" || at.Round.DriveS <= 0 {
				t.Errorf("%s, place %d: the way round is %q in %.0f s", exercise, i, at.Round.Say, at.Round.DriveS)
			}
			if each := (at.Minutes - float64(at.Goes-1)*at.Round.DriveS/60) / float64(at.Goes); each < 3.99 {
				t.Errorf("%s, place %d: %.1f minutes a go are left", exercise, i, each)
			}
		}
	}
}

// After a reverse round a corner the car stands in the side road, some 25 m from
// it, and drives out of it: to the next go, and home.
func TestReversedRoundTheCorner(t *testing.T) {
	_, _, c := plannedFor(t, "reverse-corner")
	leg := 0
	for c.Legs[leg].AtS < c.Practice.AtS {
		leg++
	}
	ends := map[string]orb.LineString{"the way on": c.Legs[leg].Line, "the way round": c.Practice.Round.Line}
	for what, line := range ends {
		if d := geo.Distance(line[0], c.Practice.At); d < 20 || d > 60 {
			t.Errorf("%s begins %.0f m from where the go began: it is to begin in the side road", what, d)
		}
		leaves := geo.Heading(line[0], line[1])
		if d := math.Abs(math.Abs(geo.Turned(geo.Radians(c.Practice.FacesDeg)*geo.Degree, leaves).Degrees()) - 90); d > 40 {
			t.Errorf("%s leaves along the road that the go began in", what)
		}
		if d := math.Abs(geo.Turned(geo.Radians(c.Practice.FacesAfterDeg)*geo.Degree, leaves).Degrees()); d > 25 {
			t.Errorf("%s leaves by %.0f degrees otherwise than the car faces", what, d)
		}
	}
}

func TestCheckCatchesAWrongWayRound(t *testing.T) {
	n, p, whole := plannedFor(t, "moving-off")
	for name, spoil := range map[string]func(*circuit.Practice){
		"none":                func(at *circuit.Practice) { at.Round = nil },
		"quicker than it is":  func(at *circuit.Practice) { at.Round.DriveS /= 2 },
		"back to front":       func(at *circuit.Practice) { at.Round.Line = reversed(at.Round.Line) },
		"begins elsewhere":    func(at *circuit.Practice) { at.Round.Line = at.Round.Line[1:] },
		"says nothing":        func(at *circuit.Practice) { at.Round.Say = "" },
		"other ways":          func(at *circuit.Practice) { at.Round.Ways = at.Round.Ways[:1] },
		"no time for the way": func(at *circuit.Practice) { at.Minutes -= float64(at.Goes-1) * at.Round.DriveS / 60 },
	} {
		c := through(t, whole)
		spoil(&c.Practice)
		if len(lesson.Check(n, p, c)) == 0 {
			t.Errorf("%s: Check finds nothing wrong", name)
		}
	}
	n, p, corner := plannedFor(t, "reverse-corner")
	for name, spoil := range map[string]func(*circuit.Circuit){
		"faces on": func(c *circuit.Circuit) { c.Practice.FacesAfterDeg = c.Practice.FacesDeg },
		"stands in the road": func(c *circuit.Circuit) {
			c.Practice.Round.Line[0] = c.Practice.At
		},
	} {
		c := through(t, corner)
		spoil(c)
		if len(lesson.Check(n, p, c)) == 0 {
			t.Errorf("%s: Check finds nothing wrong", name)
		}
	}
}

func reversed(l orb.LineString) orb.LineString {
	out := l.Clone()
	out.Reverse()
	return out
}
