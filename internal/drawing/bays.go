package drawing

import (
	"fmt"

	"loopwright/internal/geo"
	"loopwright/internal/manoeuvre"
)

// standardBay is a bay as Manual for Streets (DfT, 2007) draws them, from
// memory: 2.4 m by 4.8 m.
var standardBay = manoeuvre.Bay{Width: 2.4, Length: 4.8}

func bayPark(gear manoeuvre.Gear) func(manoeuvre.Vehicle, practiceRoad) (*scene, bool) {
	return func(v manoeuvre.Vehicle, _ practiceRoad) (*scene, bool) {
		park, ok := manoeuvre.BayPark(v, standardBay, gear, manoeuvre.Learner)
		if !ok {
			panic("bug in the drawing: the car of the table does not fit the bay")
		}
		m := park.Movements[0]
		s := &scene{width: park.Room, ground: carPark, bay: standardBay}
		var parked []manoeuvre.Pose
		for _, x := range []float64{-2, -1, 1, 2} { // bays to either side of the one that is free
			parked = append(parked, manoeuvre.Pose{At: geo.XY{X: x * float64(standardBay.Width), Y: -float64(standardBay.Length+v.Length)/2 + float64(v.RearOverhang)}})
		}
		stop := []string{"Straighten as the car lies between the lines, and stop before the end of the bay.", fmt.Sprintf("In one movement this car takes an aisle of %.1f m; in a narrower one shunt once.", park.Room)}
		look := []mark{
			{at: geo.XY{X: -float64(aisleShown - lookIn), Y: float64(park.Room) * farSide}, text: "look", look: geo.XY{X: 1}},
			{at: geo.XY{X: float64(aisleShown - lookIn), Y: float64(park.Room) * farSide}, text: "look", look: geo.XY{X: -1}},
		}
		at := mark{at: m.Poses[0].At, text: "wheel right"}
		if gear == manoeuvre.Forward {
			s.acts = []act{{stage: Stage{Title: "Forward into the bay", Do: append([]string{"Keep well out from the bays. Mirrors, then look into the bay and along the aisle.", "At a crawl: wheel full right. The rear wheel cuts in: watch the corner of the car beside you."}, stop...)},
				moves: []manoeuvre.Movement{m}, parked: parked, marks: append(look, at)}}
			return s, false
		}
		start := m.Poses[0]
		past := manoeuvre.Movement{Gear: manoeuvre.Forward}
		for i := range driftSteps + 1 {
			past.Poses = append(past.Poses, manoeuvre.Pose{At: start.At.Sub(geo.XY{X: float64(rollIn) * (1 - float64(i)/driftSteps)}), Heading: start.Heading})
		}
		s.acts = []act{
			{stage: Stage{Title: "Drive past the bay", Do: []string{"Choose the bay. Stop beyond it, well out from the bays, with the wheels straight.", "Select reverse. Look all round: people walk between parked cars."}},
				moves: []manoeuvre.Movement{past}, parked: parked, marks: look},
			{stage: Stage{Title: "Back, full right", Do: append([]string{"Crawl back; wheel full right. Here the nose swings out: look over the other shoulder.", "Watch both rear corners in the mirrors."}, stop...)},
				moves: []manoeuvre.Movement{m}, parked: parked, marks: append(append([]mark(nil), look...), at)},
		}
		return s, false
	}
}

// Where the pictures of bays and corners put what is not driven: our choices, for
// what reads well. Words to look stand so far inside what is drawn; on an aisle or
// a road at three quarters of its width, where others come towards one, and at
// three tenths, where they come from behind; the car rolls up so far before it
// stops, to show where it came from.
const (
	lookIn           = geo.Metres(0.4)
	farSide, ownSide = 0.75, 0.3
	rollIn           = geo.Metres(4)
)

// Of the corner to reverse round: our choices. An older residential corner has a
// radius of 6 m; a side road is drawn 5.5 m wide at the least, for two cars to
// meet in; the car begins three metres past the bend and goes back for five; the
// picture shows so much of the road beyond either.
const (
	cornerRadius           = geo.Metres(6)
	leastSideRoad          = geo.Metres(5.5)
	cornerPast, cornerBack = geo.Metres(3), geo.Metres(5)
	cornerBelow, cornerOn  = geo.Metres(1), geo.Metres(2)
)

// reverseCorner is drawn on a corner of a usual radius: side roads are hardly
// ever mapped with theirs.
func reverseCorner(v manoeuvre.Vehicle, r practiceRoad) (*scene, bool) {
	c := manoeuvre.ReverseRoundCorner(v, cornerRadius, cornerPast, cornerBack, manoeuvre.Learner)
	m := c.Movements[0]
	side := r.width
	if r.known {
		side = max(side, leastSideRoad)
	}
	s := &scene{width: r.width, ground: sideway, side: side, radius: cornerRadius, from: -side - cornerRadius - cornerBelow, to: c.Along + cornerOn}
	start := m.Poses[0]
	s.acts = []act{
		{stage: Stage{Title: "Past the side road", Do: []string{"Look into the side road as you pass. Stop along the kerb, two car lengths beyond it.", "Select reverse. Look all round: others give way to nobody who goes back."}},
			moves: []manoeuvre.Movement{straight(manoeuvre.Forward, geo.Metres(start.At.X), geo.Metres(start.At.Y)-rollIn, geo.Metres(start.At.Y))}, marks: lookouts(s, float64(r.width)*farSide, float64(r.width)*ownSide)},
		{stage: Stage{Title: "Back round the corner", Do: []string{
			"Crawl back to where the kerb begins to bend. Stop, look all round again: here the nose swings out into the road.",
			fmt.Sprintf("Wheel left as the kerb bends, keeping %.1f m from it. Stop for anyone who comes.", c.Gap),
			"As the kerb straightens: wheel right again, and back along it for three car lengths.", "Never go back into a main road."}},
			moves: []manoeuvre.Movement{m}, marks: append(lookouts(s, float64(r.width)*farSide, float64(r.width)*ownSide),
				mark{at: geo.XY{X: float64(c.Across), Y: float64(c.Along) / 2}, text: "nose swings out"},
				mark{at: geo.XY{X: -float64(sidewayShown - lookIn), Y: -float64(side) * farSide}, text: "look", look: geo.XY{X: 1}})},
	}
	return s, false
}

func movingOffAngle(v manoeuvre.Vehicle, r practiceRoad) (*scene, bool) {
	// Our choices, for what reads well: the parked car's rear wheels show over the
	// bonnet; a door's width out by it, and back to the lane beyond.
	const gap, door, out, back, from, to = geo.Metres(2.5), geo.Metres(0.9), geo.Metres(9), geo.Metres(24), geo.Metres(-8), geo.Metres(30)
	x := atKerb(v)
	ahead := manoeuvre.Pose{At: geo.XY{X: float64(x), Y: float64(v.Length + gap)}}
	s := &scene{width: r.width, lying: true, from: from, to: to}
	s.acts = []act{{stage: Stage{Title: "Out round the parked car", Do: []string{
		"Stop with the whole of its rear wheels in view, on the road: that is room enough.",
		"Mirrors, right shoulder, signal if it helps anyone; look well ahead, since you will be on the right for a while.",
		"At a crawl: wheel right. A door's width from the parked car, then wheel left, and back to the left half of the road."}},
		moves:  []manoeuvre.Movement{drift(manoeuvre.Forward, x, x+v.Width+door, 0, out), drift(manoeuvre.Forward, x+v.Width+door, lane(r), out, back)},
		parked: []manoeuvre.Pose{ahead},
		marks:  append(lookouts(s, float64(r.width)*farSide, float64(r.width)/2), mark{at: geo.XY{X: float64(x + v.Width/2), Y: 0}, text: "right shoulder"})}}
	return s, r.known
}
