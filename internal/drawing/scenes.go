package drawing

import (
	"fmt"
	"math"

	"loopwright/internal/geo"
	"loopwright/internal/manoeuvre"
)

// scenes draw the exercises, by their names in the table; true where the
// drawing is to scale on the road. What to do at each stage is common practice
// among instructors, in our words; sides are those of driving on the left.
var scenes = map[string]func(manoeuvre.Vehicle, practiceRoad) (*scene, bool){
	"turn-in-the-road": turnInRoad,
	"parallel-park":    parallelPark,
	"straight-reverse": straightReverse,
	"moving-off":       movingOff,
	"pull-up-right":    pullUpRight,
	"hill-start":       hillStart,
	"emergency-stop":   emergencyStop,

	"moving-off-angle":    movingOffAngle,
	"moving-off-uphill":   hillStart,
	"moving-off-downhill": hillStart,
	"reverse-corner":      reverseCorner,
	"bay-park-reverse":    bayPark(manoeuvre.Reverse),
	"bay-park-forward":    bayPark(manoeuvre.Forward),
}

// turnInRoad is drawn as the simulation of package manoeuvre drives it.
func turnInRoad(v manoeuvre.Vehicle, r practiceRoad) (*scene, bool) {
	width, toScale, within := r.width, r.known, manoeuvre.Body
	var moves []manoeuvre.Movement
	ok := false
	if r.known {
		for _, within = range []manoeuvre.Within{manoeuvre.Body, manoeuvre.Wheels} {
			if moves, ok = manoeuvre.TurnInRoad(v, width, within, manoeuvre.Learner); ok && len(moves) <= mostDrawnMoves {
				break
			}
			ok = false
		}
	}
	if !ok {
		within, toScale = manoeuvre.Body, false
		width, _ = manoeuvre.LeastWidth(v, 3, within, manoeuvre.Learner)
		width = geo.Metres(math.Ceil(float64(width)*2) / 2) // to the next half metre
		moves, _ = manoeuvre.TurnInRoad(v, width, within, manoeuvre.Learner)
	}
	low, high := manoeuvre.Extent(v, moves)
	s := &scene{width: width, from: geo.Metres(low.Y) - 3.4, to: geo.Metres(high.Y) + 2.6}
	for i, m := range moves {
		a := act{moves: []manoeuvre.Movement{m}}
		toKerb := geo.Metres(1)
		swings := "the nose comes near the kerb: look for posts and people"
		if within == manoeuvre.Wheels {
			swings = "the nose swings over the kerb: nothing may stand there"
		}
		switch {
		case i == len(moves)-1:
			a.stage = Stage{Title: "Forward and away", Do: []string{"Look all round again. Wheel full right.", "Straighten up along the left kerb of the other side.", "If it will not go round: stop, and once more back and forward."}}
		case i >= 2 && m.Gear == manoeuvre.Forward:
			a.stage = Stage{Title: "Forward, full right", Do: []string{"As in 1, and no nearer to the kerb."}}
		case i >= 2:
			a.stage = Stage{Title: "Back, full left", Do: []string{"As in 2: look both ways again first."}}
		case m.Gear == manoeuvre.Forward:
			a.stage = Stage{Title: "Forward, full right", Do: []string{"Look all round. Clutch just biting, crawl.", "Wheel full right as the car begins to roll.", "A metre before the far kerb: wheel quickly to the left, and stop. Here " + swings + "."}}
		default:
			a.stage = Stage{Title: "Back, full left", Do: []string{"Look both ways, then over the shoulder the way the car goes.", "Wheel full left as the car begins to roll.", "A metre before the kerb behind: wheel quickly to the right, and stop. Here the boot comes near the kerb."}}
		}
		if i < len(moves)-1 {
			if p, ok := nearing(v, m, width, toKerb); ok {
				x := float64(width) - float64(toKerb)
				text := "1 m: wheel left"
				if m.Gear == manoeuvre.Reverse {
					x, text = float64(toKerb), "1 m: wheel right"
				}
				a.marks = append(a.marks, mark{at: geo.XY{X: x, Y: p.At.Y + 1.5}, text: text, kerb: true})
			}
		}
		start := m.Poses[0]
		a.marks = append(a.marks, mark{at: start.At, text: map[bool]string{true: "wheel right", false: "wheel left"}[m.Gear == manoeuvre.Forward]})
		a.marks = append(a.marks, lookouts(s, float64(width)*0.72, float64(width)*0.28)...)
		s.acts = append(s.acts, a)
	}
	return s, toScale
}

// mostDrawnMoves is how many movements are still drawn: beyond five no learner
// should be there (our choice).
const mostDrawnMoves = 5

// lookouts are where others may come from: along the road ahead on the far side,
// and from behind on the near one.
func lookouts(s *scene, ahead, behind float64) []mark {
	return []mark{
		{at: geo.XY{X: ahead, Y: float64(s.to) - 0.4}, text: "look", look: geo.XY{Y: -1}},
		{at: geo.XY{X: behind, Y: float64(s.from) + 1.4}, text: "look", look: geo.XY{Y: 1}},
	}
}

func parallelPark(v manoeuvre.Vehicle, r practiceRoad) (*scene, bool) {
	d := manoeuvre.Learner
	park, ok := manoeuvre.ParallelPark(v, v.Width, d)
	if !ok || len(park.Movements) == 0 {
		panic("bug in the drawing: the car of the table can't be parked")
	}
	m := park.Movements[0]
	x := d.StartGap + v.Width/2
	behind := manoeuvre.Pose{At: geo.XY{X: float64(x), Y: -float64(v.FrontOverhang + v.Wheelbase)}}
	front := manoeuvre.Pose{At: geo.XY{X: float64(x), Y: float64(park.Room + v.RearOverhang)}}
	parked := []manoeuvre.Pose{behind, front}
	low, high := manoeuvre.Extent(v, []manoeuvre.Movement{m})
	if !r.known { // wide enough for the swing of the nose
		r.width = max(r.width, geo.Metres(math.Ceil(2*high.X)/2))
	}
	s := &scene{width: r.width, from: min(geo.Metres(low.Y), -v.Length) - 1.5, to: max(geo.Metres(high.Y), park.Room+v.Length) + 2.5}
	k := turned(m)
	first, second := manoeuvre.Movement{Gear: m.Gear, Poses: m.Poses[:k+1]}, manoeuvre.Movement{Gear: m.Gear, Poses: m.Poses[k:]}
	draw := m.Poses[0]
	s.acts = []act{
		{stage: Stage{Title: "Draw up level", Do: []string{"Stop beside the car in front, about a metre from it.", "Select reverse. Look all round: anyone coming waits or goes by first."}},
			moves:  []manoeuvre.Movement{straight(manoeuvre.Forward, geo.Metres(draw.At.X), geo.Metres(draw.At.Y)-5, geo.Metres(draw.At.Y))},
			parked: parked, marks: lookouts(s, float64(r.width)*0.8, float64(r.width)*0.55)},
		{stage: Stage{Title: "Back, full left", Do: []string{"Crawl back; wheel full left. Here the nose swings out into the road: look over the right shoulder.", "Watch the left corner of the car in front."}},
			moves: []manoeuvre.Movement{first}, parked: parked,
			marks: append([]mark{{at: v.Outline(first.End())[1], text: "nose swings out"}, {at: draw.At, text: "wheel left"}}, lookouts(s, float64(r.width)*0.8, float64(r.width)*0.55)...)},
		{stage: Stage{Title: "Back, full right", Do: []string{"When the nose is clear of the car in front: wheel full right.", "A metre before the car behind: straighten, and stop.", fmt.Sprintf("The least gap for this car is %.1f m; take one and a half car lengths or two.", park.Room)}},
			moves: []manoeuvre.Movement{second}, parked: parked,
			marks: []mark{{at: first.End().At, text: "wheel right"}, {at: geo.XY{X: float64(r.width) * 0.5, Y: 1}, text: "1 m: stop", across: true}}},
	}
	return s, r.known
}

// atKerb is where the middle of the car is that stands at the near kerb.
func atKerb(v manoeuvre.Vehicle) geo.Metres { return manoeuvre.Learner.StartGap + v.Width/2 }

func straightReverse(v manoeuvre.Vehicle, r practiceRoad) (*scene, bool) {
	x := atKerb(v)
	s := &scene{width: r.width, lying: true, from: -26, to: 8}
	s.acts = []act{
		{stage: Stage{Title: "Ready", Do: []string{"Stop parallel to the kerb. Select reverse.", "Look all round. Sit so that you see through the rear window."}},
			moves: []manoeuvre.Movement{straight(manoeuvre.Forward, x, -12, 0)}, marks: lookouts(s, float64(r.width)*0.75, float64(r.width)*0.4)},
		{stage: Stage{Title: "Back along the kerb", Do: []string{"Crawl, looking back. Small turns of the wheel, and back again at once.", "Stop and wait for anyone who comes. Look round before you go on.", "Common fault: looking in one mirror only."}},
			moves: []manoeuvre.Movement{straight(manoeuvre.Reverse, x, 0, -20)}, marks: append(lookouts(s, float64(r.width)*0.75, float64(r.width)*0.4), mark{at: geo.XY{X: 0.3, Y: -10}, text: "the same gap all the way"})},
	}
	return s, r.known
}

// lane is the middle of the near half of the road.
func lane(r practiceRoad) geo.Metres { return max(1.4, r.width/4+0.3) }

func movingOff(v manoeuvre.Vehicle, r practiceRoad) (*scene, bool) {
	x := atKerb(v)
	s := &scene{width: r.width, lying: true, from: -8, to: 40}
	s.acts = []act{
		{stage: Stage{Title: "Move off", Do: []string{"Mirrors, signal if it helps anyone, look over the right shoulder.", "Handbrake off as the clutch bites. Out gently to the left half of the road."}},
			moves: []manoeuvre.Movement{drift(manoeuvre.Forward, x, lane(r), 0, 22)},
			marks: append(lookouts(s, float64(r.width)*0.75, float64(r.width)*0.4), mark{at: geo.XY{X: float64(x + v.Width/2), Y: 0}, text: "right shoulder"})},
		{stage: Stage{Title: "Pull up", Do: []string{"Mirrors, signal if needed. Choose a place: no drive, no bend, no junction near.", "Ease off, brake gently, in to about 30 cm from the left kerb.", "Handbrake, neutral, signal off."}},
			moves: []manoeuvre.Movement{drift(manoeuvre.Forward, lane(r), x, 10, 34)}, marks: []mark{{at: geo.XY{X: float64(x), Y: 10}, text: "mirrors"}, {at: geo.XY{X: 0, Y: 36}, text: "stop here"}}},
	}
	return s, r.known
}

func pullUpRight(v manoeuvre.Vehicle, r practiceRoad) (*scene, bool) {
	far := r.width - atKerb(v)
	s := &scene{width: r.width, lying: true, from: -8, to: 42}
	s.acts = []act{
		{stage: Stage{Title: "Across to the right kerb", Do: []string{"Mirrors, signal right. Wait for anyone who comes towards you.", "Over to the right, and stop parallel to the kerb, about 30 cm from it."}},
			moves: []manoeuvre.Movement{drift(manoeuvre.Forward, lane(r), far, 0, 28)}, marks: lookouts(s, float64(r.width)*0.7, float64(r.width)*0.4)},
		{stage: Stage{Title: "Back two car lengths", Do: []string{"Look all round, then back at a crawl along the kerb.", "Stop and wait for anyone who comes near."}},
			moves: []manoeuvre.Movement{straight(manoeuvre.Reverse, far, 28, 28-2*v.Length)}, marks: []mark{{at: geo.XY{X: float64(r.width), Y: float64(28 - v.Length)}, text: "the same gap all the way"}}},
		{stage: Stage{Title: "Away on the left", Do: []string{"Look well ahead and behind: you sit far from the middle of the road.", "Signal left if it helps anyone, and back to the left half of the road."}},
			moves: []manoeuvre.Movement{drift(manoeuvre.Forward, far, lane(r), 28-2*v.Length, 38)}, marks: lookouts(s, float64(r.width)*0.7, float64(r.width)*0.4)},
	}
	return s, r.known
}

func hillStart(v manoeuvre.Vehicle, r practiceRoad) (*scene, bool) {
	x := atKerb(v)
	s := &scene{width: r.width, lying: true, from: -8, to: 34}
	rolls := "The car will want to roll: find out which way before you start."
	switch {
	case r.grade > 0:
		rolls = "It is uphill: the car will want to roll back."
	case r.grade < 0:
		rolls = "It is downhill: the car will want to roll forward. Hold it on the footbrake, handbrake off, then move."
	}
	s.acts = []act{
		{stage: Stage{Title: "Hold it", Do: []string{rolls, "Handbrake on, first gear (second downhill). Uphill: clutch to the bite, a little more gas."}},
			moves: []manoeuvre.Movement{straight(manoeuvre.Forward, x, -3, 0)}, marks: lookouts(s, float64(r.width)*0.75, float64(r.width)*0.4)},
		{stage: Stage{Title: "Away", Do: []string{"Mirrors, right shoulder, signal if it helps anyone.", "Handbrake off once the car pulls against it: it must not roll.", "Common fault: handbrake off before the bite."}},
			moves: []manoeuvre.Movement{drift(manoeuvre.Forward, x, lane(r), 0, 26)}, marks: []mark{{at: geo.XY{X: float64(x + v.Width/2), Y: 0}, text: "right shoulder"}}},
	}
	return s, r.known
}

// emergencyStop is drawn with the typical stopping distance at 30 mph of The
// Highway Code, rule 126.
func emergencyStop(v manoeuvre.Vehicle, r practiceRoad) (*scene, bool) {
	const speed = 30 * geo.MilePerHour
	think := manoeuvre.HighwayCodeBraking.ThinkingDistance(speed)
	stop := manoeuvre.HighwayCodeBraking.StoppingDistance(speed, 0)
	s := &scene{width: r.width, lying: true, from: -10, to: stop + 12}
	x := lane(r)
	s.acts = []act{{
		stage: Stage{Title: "Signal, brake, stop", Do: []string{
			"The instructor looks round first: nobody behind, nobody near. Then the agreed signal.",
			"Both hands on the wheel, brake firmly at once, clutch down just before the car stops.",
			fmt.Sprintf("At 30 mph: %.0f m to think and %.0f m to brake, %.0f m in all on a dry road (The Highway Code, rule 126).", think, stop-think, stop),
			"Before moving off look over both shoulders: others may pass on either side.",
		}},
		moves: []manoeuvre.Movement{straight(manoeuvre.Forward, x, 0, stop)},
		marks: append(lookouts(s, float64(r.width)*0.75, float64(r.width)*0.4),
			mark{at: geo.XY{X: float64(r.width) * 0.5, Y: 0}, text: "signal", across: true},
			mark{at: geo.XY{X: float64(r.width) * 0.5, Y: float64(think)}, text: "brakes bite", across: true},
			mark{at: geo.XY{X: float64(r.width) * 0.5, Y: float64(stop)}, text: "stopped", across: true}),
	}}
	return s, r.known
}
