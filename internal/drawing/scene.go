package drawing

import (
	"loopwright/internal/geo"
	"loopwright/internal/manoeuvre"
)

// Diagram is an exercise drawn from above, stage by stage.
type Diagram struct {
	Picture SVG // of all stages; of Stages, each has its own
	Stages  []Stage
	ToScale bool       // of this road; else a standard drawing
	Width   geo.Metres // between the kerbs as drawn
	Vehicle string     // the class of car drawn
	About   string     // of which road it is, and how its width is known
	Rolls   string     // which way the car will want to roll

	Type    Points // of Stages: of the words
	Columns int    // that the stages stand in
	Beside  bool   // the words stand beside the pictures, else below
}

// Stage is what is done between two stops of the car.
type Stage struct {
	Number int // from 1
	Title  string
	Do     []string // one short sentence each

	Picture SVG
	Wide    float64 // of the picture, in millimetres
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
	ground  ground
	// side is the width of a side road that opens on the near kerb just below
	// Y = 0, and radius that of its corners.
	side, radius geo.Metres
	bay          manoeuvre.Bay // on the ground of a car park
	// mirrored is the road of a country that drives on the right: X is turned
	// about.
	mirrored bool
	downhill float64 // rise over run along Y; 0 where the road is level or it is not known
}

// ground is what the car stands on.
type ground uint8

const (
	road    ground = iota
	sideway        // a road with a side road on its near side
	carPark        // an aisle of a width above Y = 0, and bays below it
)

// bounds are the least and the greatest X and Y of a panel.
func (s *scene) bounds() (low, high geo.XY) {
	low, high = geo.XY{X: -float64(footway), Y: float64(s.from)}, geo.XY{X: float64(s.width + footway), Y: float64(s.to)}
	switch s.ground {
	case sideway:
		low.X = -float64(sidewayShown)
	case carPark:
		low, high = geo.XY{X: -float64(aisleShown), Y: -float64(s.bay.Length + verge)}, geo.XY{X: float64(aisleShown), Y: float64(s.width + verge)}
	}
	return low, high
}

// How much of a side road and of an aisle is drawn, and of the ground beyond a car
// park's bays and aisle. Our choice: the car's way and a little more.
const sidewayShown, aisleShown, verge = geo.Metres(13), geo.Metres(8.5), geo.Metres(0.6)

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
	across bool   // a line along X at its Y
	kerb   bool   // a line along Y at its X
	look   geo.XY // others may appear from there: the way that they come; else none
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
