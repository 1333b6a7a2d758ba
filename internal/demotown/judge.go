package demotown

import (
	"math"

	"loopwright/internal/geo"
)

// The truth's own judgement: does a stretch suit an exercise, why not, and
// what can be taught while driving it? The limits below are the generator's,
// set apart from the tables that the assessment uses, so that one can be held
// against the other. They are our choice after common practice, simpler than
// the assessment's: they know the stretch as it is, so they need no chances.

// Exercise is something to be practised at a place.
type Exercise int

// The exercises.
const (
	UnknownExercise Exercise = iota
	MovingOff
	MovingOffAtAnAngle
	MovingOffUphill
	MovingOffDownhill
	StraightReverse
	ParallelPark
	BayParkForward
	BayParkReverse
	PullUpOnTheRight
	TurnInTheRoad
	ReverseRoundACorner
	HillStart
	EmergencyStop
)

// Exercises lists them all.
var Exercises = []Exercise{MovingOff, MovingOffAtAnAngle, MovingOffUphill, MovingOffDownhill, StraightReverse, ParallelPark, BayParkForward, BayParkReverse, PullUpOnTheRight, TurnInTheRoad, ReverseRoundACorner, HillStart, EmergencyStop}

// String gives the name in words.
func (e Exercise) String() string {
	switch e {
	case MovingOff:
		return "moving off"
	case MovingOffAtAnAngle:
		return "moving off at an angle"
	case MovingOffUphill:
		return "moving off uphill"
	case MovingOffDownhill:
		return "moving off downhill"
	case StraightReverse:
		return "straight reverse"
	case ParallelPark:
		return "parallel park"
	case BayParkForward:
		return "bay park forward"
	case BayParkReverse:
		return "bay park reverse"
	case PullUpOnTheRight:
		return "pull up on the right"
	case TurnInTheRoad:
		return "turn in the road"
	case ReverseRoundACorner:
		return "reverse round a corner"
	case HillStart:
		return "hill start"
	case EmergencyStop:
		return "emergency stop"
	}
	return "unknown"
}

// Full is the share of the stretch's length that parked cars take on this side.
func (k *Record) Full(w World, hour int) float64 {
	return float64(k.Parked[w][hour]) * carLength / math.Max(20, float64(k.Length))
}

// Clear is the carriageway left for moving: 2 m is taken off for each side on
// which cars fill a quarter of the length or more.
func (k *Record) Clear(w World, hour int) geo.Metres {
	clear := k.Width[w]
	for _, side := range [2]*Record{k, k.OtherSide} {
		if side.Full(w, hour) >= 0.25 {
			clear -= 2
		}
	}
	return clear
}

// stays counts the marks on the stretch that an exercise must keep away from.
func (k *Record) stays() int {
	n := 0
	for _, side := range [2]*Record{k, k.OtherSide} {
		for _, m := range side.Marks {
			if m.Kind != turningHead.String() && m.Kind != giveWay.String() && m.Kind != stopSign.String() && m.Kind != passingPlace.String() {
				n++
			}
		}
	}
	return n
}

// room is the length of kerb without junctions, bends or marks: the longest
// straight, 10 m less at each junction (The Highway Code, rule 243), shared
// out between the marks.
func (k *Record) room() float64 {
	straight := math.Min(float64(k.Straight), float64(k.Length)-20)
	return straight / float64(1+k.stays())
}

// open says whether a learner may stop and manoeuvre here at all.
func (k *Record) open() bool {
	return k.Learner && k.Bays == 0 && !k.Dual && !k.Barred && k.Class != "trunk" && k.Class != "primary" && k.Class != "construction"
}

func (k *Record) quiet() bool { return k.Traffic == Own || k.Traffic == Light }

// Suits says whether this side of the stretch truly suits an exercise in a
// world at an hour of a working day.
func (k *Record) Suits(e Exercise, w World, hour int) bool {
	if e == BayParkForward || e == BayParkReverse {
		return k.Bays > 0 && k.PublicBays && k.Bays-k.Parked[w][hour] >= 6
	}
	schoolHour := (hour == 8 || hour == 15) && k.School < 200
	if !k.open() || schoolHour || k.LimitMPH > 30 || k.Surface == "gravel" {
		return false
	}
	clear, room, parked := float64(k.Clear(w, hour)), k.room(), k.Parked[w][hour]
	level := k.Steepest <= 4
	switch e {
	case MovingOff:
		return k.quiet() && level && room >= 30 && clear >= 4.8 && k.Full(w, hour) < 0.3
	case MovingOffAtAnAngle:
		return k.quiet() && level && room >= 25 && clear >= 4.5 && parked >= 1 && k.Full(w, hour) < 0.45
	case MovingOffUphill, HillStart:
		return k.Traffic != Busy && k.Gradient >= 4 && k.Steepest <= 12 && room >= 30 && k.Full(w, hour) < 0.4
	case MovingOffDownhill:
		return k.Traffic != Busy && k.Gradient <= -4 && k.Steepest <= 12 && room >= 30 && k.Full(w, hour) < 0.4
	case StraightReverse:
		return k.quiet() && level && room >= 45 && clear >= 4.8 && k.Full(w, hour) < 0.2
	case ParallelPark:
		return k.Traffic != Busy && level && room >= 25 && clear >= 4.5 && parked >= 1 && k.Full(w, hour) < 0.4 && !k.BusRoute
	case PullUpOnTheRight:
		return !k.OneWay && k.Traffic != Busy && level && room >= 30 && clear >= 4.8 && k.OtherSide.Full(w, hour) < 0.3 && !k.OtherSide.Barred
	case TurnInTheRoad:
		return !k.OneWay && k.quiet() && k.Steepest <= 5 && room >= 45 && clear >= 5.6 && clear <= 9.5 && k.SightAlong >= 40 && k.OtherSide.SightAlong >= 40 && k.Full(w, hour) < 0.25 && k.OtherSide.Full(w, hour) < 0.25 && !k.BusRoute
	case ReverseRoundACorner:
		// The side road is one that this road passes: out of a side road nobody
		// reverses into the road that it meets (The Highway Code, rule 201).
		return !k.OneWay && k.quiet() && level && k.LeftCorner > 0 && k.OtherSide.Ahead == sideRoad.String() && k.Length >= 40 && clear >= 4.5 && k.Full(w, hour) < 0.3
	case EmergencyStop:
		return k.quiet() && k.LimitMPH == 30 && k.Surface == "asphalt" && k.Steepest <= 5 && room >= 75 && k.Full(w, hour) < 0.15 && k.School > 200
	}
	return false
}
