package drawing

import (
	"loopwright/internal/geo"
	"loopwright/internal/manoeuvre"
)

// Diagram is an exercise drawn from above, stage by stage.
type Diagram struct {
	Picture SVG
	Stages  []Stage
	ToScale bool       // of this road; else a standard drawing
	Width   geo.Metres // between the kerbs as drawn
	Vehicle string     // the class of car drawn
	About   string     // of which road it is, and how its width is known
	Rolls   string     // which way the car will want to roll
}

// Stage is what is done between two stops of the car.
type Stage struct {
	Number int // from 1
	Title  string
	Do     []string // one short sentence each
}

// scene is an exercise on a road in the frame of package manoeuvre: the kerb
// where it starts is X = 0, Y is along the road.
type scene struct {
	vehicle manoeuvre.Vehicle
	width   geo.Metres // between kerbs; the far kerb is X = width
	lying   bool       // drawn with the road across the page
	from    geo.Metres // the part of the road that every panel shows
	to      geo.Metres
	acts    []act
	// mirrored is the road of a country that drives on the right: X is turned
	// about.
	mirrored bool
	downhill float64 // rise over run along Y; 0 where the road is level or it is not known
}

// act is one panel: what is driven, and what stands and is seen there.
type act struct {
	stage  Stage
	moves  []manoeuvre.Movement
	parked []manoeuvre.Pose
	marks  []mark
}

// mark is a word at a place of the road. Where it ends at a line across, the
// line is drawn from kerb to kerb.
type mark struct {
	at     geo.XY
	text   string
	across bool // a line along X at its Y
	kerb   bool // a line along Y at its X
	look   bool // others may appear from there: an arrow towards the car
}

// straight is a movement along the road between two Y at an X.
func straight(gear manoeuvre.Gear, x, from, to geo.Metres) manoeuvre.Movement {
	return drift(gear, x, x, from, to)
}

// drift is a movement that goes over from one X to another: half a wave of a
// cosine, as a driver does who is in no hurry. It is a picture of a path, and
// no claim about steering.
func drift(gear manoeuvre.Gear, x0, x1, from, to geo.Metres) manoeuvre.Movement {
	m := manoeuvre.Movement{Gear: gear}
	for i := range driftSteps + 1 {
		m.Poses = append(m.Poses, wave(x0, x1, from, to, float64(i)/driftSteps))
	}
	return m
}
