package lesson

import (
	"maps"
	"slices"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
)

// planKind plans a lesson that is a tour: one of another kind, or past roads to
// judge with something sought on the way.
func (pl *planner) planKind() (*circuit.Circuit, error) {
	by, t, err := pl.tourOfKind()
	if err != nil {
		return nil, err
	}
	return by.finished(t)
}

// tourOfKind is the best tour that meets every wish, with the planner that made
// it.
func (pl *planner) tourOfKind() (*planner, *tour, error) {
	var best *tour
	var places []int
	var err error
	if !pl.wish.DriveOut {
		best, places, err = pl.bestOfKind()
	}
	if err == nil && pl.mayChangeOver() && (best == nil || !pl.meets(best)) {
		if by, t := pl.changingOfKind(); t != nil {
			return by, t, nil
		}
	}
	switch {
	case err != nil:
		return nil, nil, err
	case pl.stopped():
		return nil, nil, ErrStopped
	case best == nil && pl.wish.Kind == circuit.RoadsToJudge:
		return nil, nil, pl.unmet()
	case best == nil || !pl.meets(best):
		return nil, nil, pl.unmetKind(best, places)
	}
	return pl, best, nil
}

// finished writes down the tour that was chosen.
func (pl *planner) finished(best *tour) (*circuit.Circuit, error) {
	pl.countExamples(best)
	c, err := pl.written(best, pl.manner())
	if err != nil {
		return nil, err
	}
	c.NoBound = noBoundOfTours
	switch {
	case pl.wish.Kind == circuit.RoadsToJudge && pl.again(best):
		c.Cautions = append(c.Cautions, sameReason+noneFound)
	case pl.wish.Kind == circuit.TwoExercises && len(c.Examples) == 0:
		c.Cautions = append(c.Cautions, noRoads)
	case pl.wish.Kind == circuit.MockTest:
		findTheWay(c)
	}
	return c, nil
}

// bestOfKind is the best tour that was driven, whether or not it meets every
// wish, nil where there is none; and how many places there are for each wish.
func (pl *planner) bestOfKind() (*tour, []int, error) {
	if err := pl.openKind(); err != nil {
		return nil, nil, err
	}
	switch pl.wish.Kind {
	case circuit.RoadsToJudge:
		best, places := pl.bestWished()
		return best, places, nil
	case circuit.TwoExercises:
		best, err := pl.bestPair()
		return best, nil, err
	}
	pl.reached = pl.within(pl.trees())
	best, places := pl.bestTour()
	return best, places, nil
}

// openKind sets what is sought and how long the drive may be.
func (pl *planner) openKind() error {
	var wishes []circuit.Sought
	for _, s := range pl.wish.Seek {
		wishes = append(wishes, s)
		if t, err := topicNamed(s.Topic); err == nil && pl.learner.untaught[t] {
			return &Unmet{Proof: ByRule, Wish: wordsOf(s), Why: "it is untaught for this learner, or to be kept off the drive", Give: []string{"another wish"}}
		}
	}
	if varied(pl.wish.Kind) {
		for _, t := range pl.topicsTaught() {
			if !slices.ContainsFunc(wishes, func(s circuit.Sought) bool { return s.Topic == t.String() }) {
				wishes = append(wishes, circuit.Sought{Topic: t.String()})
			}
		}
	}
	pl.sought = soughtOn(pl.n, pl.p, wishes)
	pl.sought.asked = len(pl.wish.Seek)
	if pl.wish.Kind == circuit.TestDay {
		pl.off = ownRoad(pl.n, pl.wish.To)
		pl.without = maps.Clone(pl.without)
		maps.Copy(pl.without, pl.off)
	}
	m := pl.manner()
	left := pl.wish.Minutes - pl.wish.inHand - pl.startMinutes(m) - pl.wish.split.Debrief
	if m.briefed {
		left -= pl.wish.split.Briefing
	}
	pl.budgetMs = max(int64(60000*left)-pl.changeMs(), 0)
	return nil
}

// try drives some items, and counts what the drive comes by.
func (pl *planner) try(q *quest, items []item, m *manner) (*tour, bool) {
	t, ok := pl.tour(items, m)
	return t, ok && pl.counts(t, q, m)
}

// counts sets the minutes of a tour that is driven, and counts what it comes by;
// false where it can't be a lesson.
func (pl *planner) counts(t *tour, q *quest, m *manner) bool {
	if !pl.setMinutes(t, m) || pl.tooLong(t) || !pl.backUp(t, m) {
		return false
	}
	skip := 0
	if m.briefed {
		skip = 1
	}
	t.events = pl.sought.comesBy(pl.n, t.rows, skip, q.atLeast, pl.table.Events.ApartS)
	pl.beforeRoad(t)
	pl.rateTour(t, q)
	return true
}

// rateTour scores a tour by what it comes by: a missed wish costs more than all
// else, the next of one topic is worth less, and so is a road driven again, a
// turn that can't be said plainly, or one that is dear to mend when it is missed.
func (pl *planner) rateTour(t *tour, q *quest) {
	const short = 100 // more than all that a drive can come by
	w := pl.table.Weights
	legs := make([]leg, len(t.rows))
	for i, r := range t.rows {
		legs[i] = r.leg
	}
	said := pl.telling(legs)
	t.score = -w.Repeat*repeated(t.drives...) - w.DriveMinute*t.driveS/60 - pl.awkward(said) - pl.dear(said)
	for wish, n := range tally(t.events, len(q.atLeast)) {
		t.score -= short * max(0, float64(q.atLeast[wish]-n))
		for k := range n {
			t.score += q.diminish[min(k, len(q.diminish)-1)]
		}
	}
}

// meets says whether a tour comes by all that is asked for.
func (pl *planner) meets(t *tour) bool {
	got := pl.counted(t)
	for _, s := range pl.wish.Seek {
		if got[s.Topic] < s.AtLeast {
			return false
		}
	}
	return pl.lacks(t) == ""
}

// counted are the events of a tour by topic.
func (pl *planner) counted(t *tour) map[string]int {
	out := map[string]int{}
	for _, e := range t.events {
		out[pl.sought.topics[e.wish]]++
	}
	return out
}

// topicsTaught are all topics that may come on this learner's drive.
func (pl *planner) topicsTaught() []assess.Topic {
	return slices.DeleteFunc(assess.Topics(), func(t assess.Topic) bool { return pl.learner.untaught[t] })
}
