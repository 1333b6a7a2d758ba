package lesson

import (
	"loopwright/internal/assess"
	"loopwright/internal/circuit"
)

// leg is a part of a drive between two stops.
type leg struct {
	d       *drive
	a, b    spot
	seconds float64 // with the pulling up at its end
	driver  string
}

// stopped is a stop on a drive.
type stopped struct {
	d  *drive
	at spot
}

// cut cuts what the learner drives into legs at its stops, from the start of the
// first drive to the end of that of the last stop, and puts before and after what
// the instructor drives. Where the debrief is held at the drop-off there is no leg
// after it, and none before a briefing where the learner takes over.
func cut(change *changeOver, first *drive, stops []stopped) []leg {
	var out []leg
	if change.handsOver() {
		out = append(out, byInstructor(change.out))
	}
	d, at := first, first.start()
	to := func(b spot) {
		if at != b {
			s := float64(d.at(b)-d.at(at))/1000 + float64(d.w.StopMs(d.position(b)))/1000
			out = append(out, leg{d, at, b, s, circuit.Learner})
		}
		at = b
	}
	for _, s := range stops {
		if s.d != d {
			d, at = s.d, s.d.start()
		}
		to(s.at)
	}
	to(d.end())
	if change.takesBack() {
		out = append(out, byInstructor(change.home))
	}
	return out
}

// byInstructor is a whole drive that the instructor drives.
func byInstructor(d *drive) leg {
	return leg{d, d.start(), d.end(), float64(int64(d.Ms)+int64(d.w.StopMs(d.To))) / 1000, circuit.Instructor}
}

// showing writes down a road to judge for an exercise, that is come to at a second
// of the lesson.
func (pl *planner) showing(c *circuit.Circuit, seen assess.Example, ex *assess.Exercise, atS float64) circuit.Example {
	e := pl.assessor.Explained(ex, seen)
	out := circuit.Example{
		Order: len(c.Examples) + 1, Line: line(pl.n, e.Segment, e.From, e.To), AtS: atS, Verdict: e.Verdict,
		Reason: e.Reason, Road: pl.judgedRoad(e, ex), Chance: e.Chance, Findings: e.Findings, Key: keyOf(e, ex, pl.p),
	}
	c.Examples = append(c.Examples, out)
	return out
}

// legWords are what a leg is for: the first that the instructor drives leads out.
func legWords(driver string, first bool, judging []string, otherwise string) string {
	switch {
	case driver == circuit.Instructor && first:
		return youDriveOut
	case driver == circuit.Instructor:
		return youDriveHome
	case len(judging) > 0:
		return "drive, and judge " + listed(judging)
	}
	return otherwise
}

const (
	youDriveOut  = "you drive, to where you change over"
	youDriveHome = "you drive home"
)
