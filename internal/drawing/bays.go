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
		for _, x := range []float64{-2, -1, 1, 2} {
			parked = append(parked, manoeuvre.Pose{At: geo.XY{X: x * float64(standardBay.Width), Y: -float64(standardBay.Length+v.Length)/2 + float64(v.RearOverhang)}})
		}
		stop := []string{"Straighten as the car lies between the lines, and stop before the end of the bay.", fmt.Sprintf("In one movement this car takes an aisle of %.1f m; in a narrower one shunt once.", park.Room)}
		look := []mark{
			{at: geo.XY{X: -float64(aisleShown) + 0.3, Y: float64(park.Room) * 0.75}, text: "look", look: geo.XY{X: 1}},
			{at: geo.XY{X: float64(aisleShown) - 0.3, Y: float64(park.Room) * 0.75}, text: "look", look: geo.XY{X: -1}},
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
			past.Poses = append(past.Poses, manoeuvre.Pose{At: start.At.Sub(geo.XY{X: 4 * (1 - float64(i)/driftSteps)}), Heading: start.Heading})
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

// reverseCorner is drawn on a corner of a usual radius: side roads are hardly
// ever mapped with theirs.
func reverseCorner(v manoeuvre.Vehicle, r practiceRoad) (*scene, bool) {
	const radius = geo.Metres(6) // our choice: an older residential corner
	c := manoeuvre.ReverseRoundCorner(v, radius, 3, 5, manoeuvre.Learner)
	m := c.Movements[0]
	side := r.width
	if r.known {
		side = max(side, 5.5)
	}
	s := &scene{width: r.width, ground: sideway, side: side, radius: radius, from: -side - radius - 1, to: c.Along + 2}
	start := m.Poses[0]
	s.acts = []act{
		{stage: Stage{Title: "Past the side road", Do: []string{"Look into the side road as you pass. Stop along the kerb, two car lengths beyond it.", "Select reverse. Look all round: others give way to nobody who goes back."}},
			moves: []manoeuvre.Movement{straight(manoeuvre.Forward, geo.Metres(start.At.X), geo.Metres(start.At.Y)-6, geo.Metres(start.At.Y))}, marks: lookouts(s, float64(r.width)*0.75, float64(r.width)*0.3)},
		{stage: Stage{Title: "Back round the corner", Do: []string{
			"Crawl back to where the kerb begins to bend. Stop, look all round again: here the nose swings out into the road.",
			fmt.Sprintf("Wheel left as the kerb bends, keeping %.1f m from it. Stop for anyone who comes.", c.Gap),
			"As the kerb straightens: wheel right again, and back along it for three car lengths.", "Never go back into a main road."}},
			moves: []manoeuvre.Movement{m}, marks: append(lookouts(s, float64(r.width)*0.75, float64(r.width)*0.3),
				mark{at: geo.XY{X: float64(c.Across), Y: float64(c.Along) * 0.45}, text: "nose swings out"},
				mark{at: geo.XY{X: -float64(sidewayShown) + 0.5, Y: -float64(side) * 0.75}, text: "look", look: geo.XY{X: 1}})},
	}
	return s, false
}

func movingOffAngle(v manoeuvre.Vehicle, r practiceRoad) (*scene, bool) {
	x := atKerb(v)
	ahead := manoeuvre.Pose{At: geo.XY{X: float64(x), Y: float64(v.Length) + 2.5}}
	s := &scene{width: r.width, lying: true, from: -8, to: 30}
	s.acts = []act{{stage: Stage{Title: "Out round the parked car", Do: []string{
		"Stop with the whole of its rear wheels in view, on the road: that is room enough.",
		"Mirrors, right shoulder, signal if it helps anyone; look well ahead, since you will be on the right for a while.",
		"At a crawl: wheel right. A door's width from the parked car, then wheel left, and back to the left half of the road."}},
		moves:  []manoeuvre.Movement{drift(manoeuvre.Forward, x, x+v.Width+0.9, 0, 9), drift(manoeuvre.Forward, x+v.Width+0.9, lane(r), 9, 24)},
		parked: []manoeuvre.Pose{ahead},
		marks:  append(lookouts(s, float64(r.width)*0.8, float64(r.width)*0.5), mark{at: geo.XY{X: float64(x + v.Width/2), Y: 0}, text: "right shoulder"})}}
	return s, r.known
}
