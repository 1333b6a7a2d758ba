package lesson

import (
	"errors"
	"fmt"
	"time"

	"loopwright/internal/circuit"
	"loopwright/internal/roadnet"
)

// Request is what a lesson is planned from. Where a pointer or a number may be
// left out, its comment says what then holds.
type Request struct {
	From, To           roadnet.Position // at the driving-side kerb, facing with traffic
	FromWords, ToWords string           // as asked
	Exercise           string
	Minutes            float64
	Unsuitable         *int     // roads to judge that will not do; nil: by the lesson's length
	Suitable           *int     // and that will, likely ones too; nil: by the lesson's length
	InHand             *float64 // minutes at the drop-off; nil: the table's
	When               time.Time
	Seed               uint64
	Learner            *circuit.LearnerRecord // nil where nobody says
	Wishes
	Day
	Mixed      bool // roads to judge in mixed order, else the unsuitable first
	Kind       circuit.Kind
	Second     string              // of two exercises, the second
	Without    []roadnet.StretchID // their roads are neither judged nor practised in; the drive may use them
	Closed     []roadnet.StretchID // in both directions: the drive keeps off them
	PractiseIn *roadnet.StretchID  // where to practise; nil: the planner chooses
	DriveOut   bool                // the instructor drives out to where they change over, even if the learner could
	Done       <-chan struct{}     // closed: give up with ErrStopped; nil: never
}

// ErrStopped is the answer to a request that is no longer wanted.
var ErrStopped = errors.New("planning was stopped")

// wish is a request with every default filled in.
type wish struct {
	Request
	split                Split
	unsuitable, suitable int
	inHand               float64
}

func (r Request) fill(t *Table) (wish, error) {
	w := wish{Request: r, inHand: t.InHand.Minutes}
	split, ok := t.SplitFor(r.Minutes)
	if !ok {
		return w, &Unmet{
			Proof: ByRule,
			Wish:  fmt.Sprintf("a lesson of %s", minutes(r.Minutes)),
			Why:   fmt.Sprintf("recap, briefing, two goes and debrief need %s", minutes(t.Splits.Rows[0].From)),
			Give:  []string{fmt.Sprintf("a lesson of %s or more", minutes(t.Splits.Rows[0].From))},
		}
	}
	w.split, w.unsuitable, w.suitable = split, split.Unsuitable, split.Suitable
	if r.NearSide { // a first drive has enough to look at
		w.unsuitable, w.suitable = 0, 1
	}
	if ex, err := exerciseOf(r.Kind, r.Exercise); err == nil && ex != nil && ex.CarPark {
		w.unsuitable, w.suitable = min(w.unsuitable, 1), 1 // a town has few car parks
	}
	if r.Unsuitable != nil {
		w.unsuitable = *r.Unsuitable
	}
	if r.Suitable != nil {
		w.suitable = *r.Suitable
	}
	if r.InHand != nil {
		w.inHand = *r.InHand
	}
	if err := w.fillKind(t); err != nil {
		return w, err
	}
	switch {
	case r.Minutes > longest:
		return w, fmt.Errorf("a lesson of %s is longer than a lesson can be (%s)", minutes(r.Minutes), minutes(longest))
	case w.unsuitable < 0 || w.suitable < 1 && r.Kind == circuit.RoadsToJudge || w.unsuitable+w.suitable > mostExamples:
		return w, fmt.Errorf("%d unsuitable and %d suitable roads to judge: ask for at least one that suits and at most %d in all", w.unsuitable, w.suitable, mostExamples)
	case w.inHand < 0 || w.inHand >= r.Minutes:
		return w, fmt.Errorf("%s in hand: give less than the lesson's %s", minutes(w.inHand), minutes(r.Minutes))
	case r.When.IsZero():
		return w, fmt.Errorf("the lesson has no day and time")
	}
	return w, nil
}

const (
	longest      = 240.0 // minutes: our choice, a double lesson of two hours each
	mostExamples = 12    // our choice: two minutes apart, they fill a lesson
)

// minutes is a number of minutes in words.
func minutes(m float64) string {
	if m == 1 {
		return "1 minute"
	}
	return fmt.Sprintf("%g minutes", m)
}

// roads is a number of roads to judge in words.
func roads(unsuitable, suitable int) string {
	return fmt.Sprintf("%d unsuitable and %d suitable roads to judge", unsuitable, suitable)
}

// count is a number of things in words.
func count(n int, one, many string) string {
	switch n {
	case 0:
		return "there is no " + one
	case 1:
		return "there is only one " + one
	}
	return fmt.Sprintf("there are only %d %s", n, many)
}

// fewerRoads is a number of roads to judge less, in words.
func fewerRoads(n int) string {
	if n == 1 {
		return "one road to judge fewer"
	}
	return fmt.Sprintf("%d roads to judge fewer", n)
}
