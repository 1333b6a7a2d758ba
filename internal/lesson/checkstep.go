package lesson

import (
	"fmt"
	"math"

	"loopwright/internal/circuit"
)

// steps checks that directions are in order, said where the drive is at that
// moment, and that no question is put close to one.
func (k *checker) steps() {
	before := math.Inf(-1)
	for i, s := range k.c.Steps {
		where := fmt.Sprintf("direction %d", i+1)
		if s.Order != i+1 {
			k.tellf(MustBeWhole, where, "its order is %d", s.Order)
		}
		if s.AtS < before-slackS/100 {
			k.tell(MustSay, "is said before the one listed before it", where)
		}
		before = max(before, s.AtS)
		if s.Say == "" {
			k.tell(MustSay, "says nothing", where)
		}
		k.saidThere(s, where)
	}
	for i, q := range k.c.Steps {
		if q.Kind != question {
			continue
		}
		if parked := k.c.Request.Parked || needs(k.c.Learner, onlyParked); parked && !k.standingAt(q.AtS) {
			k.tell(MustSay, "is a question while the car moves; asked was only when parked", fmt.Sprintf("direction %d", i+1))
		}
		for _, s := range k.c.Steps {
			if s.Kind != question && math.Abs(s.AtS-q.AtS) < k.table.Question.ClearOfDirectionS-0.01 && !k.standingAt(q.AtS) {
				k.tellf(MustSay, fmt.Sprintf("direction %d", i+1), "is a question within %.0f s of %q", k.table.Question.ClearOfDirectionS, s.Say)
			}
		}
	}
	// A learner who is told nothing on a leg doesn't know when it ends.
	for i, l := range k.c.Legs {
		told := false
		for _, s := range k.c.Steps {
			told = told || s.Kind != question && s.AtS >= l.AtS-slackS && s.AtS <= l.AtS+l.DriveS+slackS
		}
		if !told {
			k.tell(MustSay, "no direction is given", fmt.Sprintf("leg %d", i+1))
		}
	}
}

const rounding = 0.01 // seconds, of sums of the milliseconds in the file

// standingAt says whether the car stands at a moment of the lesson.
func (k *checker) standingAt(s float64) bool {
	for _, l := range k.c.Legs {
		if s > l.AtS+rounding && s < l.AtS+l.DriveS-rounding {
			return false
		}
	}
	return true
}

// saidThere checks that the drive is where a direction is said when it is.
func (k *checker) saidThere(s circuit.Step, where string) {
	best := math.Inf(1)
	for i, trail := range k.trails {
		l := k.c.Legs[i]
		if s.AtS < l.AtS-slackS || s.AtS > l.AtS+l.DriveS+slackS {
			continue
		}
		for j, v := range trail {
			at, ok := k.alongOf(v, s.At)
			if !ok {
				continue
			}
			at = min(max(at, v.from), v.to)
			arrives := l.AtS + k.seconds(k.clocks[l.Driver], trail, j, at)
			leaves := arrives
			if j+1 < len(trail) && at > v.to-1 { // waits at the junction there
				leaves = l.AtS + k.seconds(k.clocks[l.Driver], trail, j+1, trail[j+1].from)
			}
			best = min(best, max(arrives-s.AtS, s.AtS-leaves, 0))
		}
	}
	switch {
	case k.standingAt(s.AtS):
	case math.IsInf(best, 1):
		k.tell(MustSay, "is said off the drive", where)
	case best > 3:
		k.tellf(MustSay, where, "is said %.0f s away from where the car then is", best)
	}
}
