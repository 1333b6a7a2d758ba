package lesson

import "loopwright/internal/circuit"

// changesTried is for how many kerbs to change over at a tour is sought. Our
// choice: a tour takes longer to find than a lesson past roads to judge.
const changesTried = 2

// mayChangeOver says whether the instructor may drive out, or home, in a lesson of
// this kind: where it was asked for, or what is untaught keeps the learner from
// the door. Who sits a mock test drives from door to door.
func (pl *planner) mayChangeOver() bool {
	return pl.wish.Kind != circuit.MockTest && (pl.wish.DriveOut || pl.wish.NearSide || pl.untaught != nil)
}

// changingOfKind is the best tour that meets every wish in which the instructor
// drives out, home or both, with the planner that made it; nil where there is none.
func (pl *planner) changingOfKind() (by *planner, best *tour) {
	all := pl.changeOvers()
	for _, c := range all[:min(len(all), changesTried)] {
		if pl.wish.Kind == circuit.TestDay && c.home != nil {
			continue // the learner drives to the test
		}
		sub := pl.changedAt(c)
		sub.parts, sub.last = nil, nil
		t, _, err := sub.bestOfKind()
		if pl.stopped() {
			return nil, nil
		}
		if err != nil || t == nil || !sub.meets(t) {
			continue
		}
		if best == nil || t.score > best.score {
			by, best = sub, t
		}
		if c.ample {
			break
		}
	}
	return by, best
}

// changeMs is the time that the instructor's driving and the changing of seats
// take.
func (pl *planner) changeMs() int64 {
	if pl.change == nil {
		return 0
	}
	minutes := 0.0
	if pl.change.handsOver() {
		minutes += pl.table.ChangeOver.Minutes
	}
	if pl.change.takesBack() {
		minutes += pl.table.ChangeOver.Minutes
	}
	return pl.change.ms() + int64(60000*minutes)
}
