package lesson

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
)

// exerciseOf is the exercise of a lesson; nil for a lesson of a kind that can do
// without.
func exerciseOf(k circuit.Kind, name string) (*assess.Exercise, error) {
	if name == "" && k != circuit.RoadsToJudge && k != circuit.TwoExercises {
		return nil, nil
	}
	return assess.Named(name)
}

// Counted says how many of what was sought, in words: 1 crossing, 4
// mini-roundabouts.
func Counted(n int, topic string) string {
	words := strings.ReplaceAll(topic, "-", " ")
	switch topic {
	case emerging:
		words = "junctions to emerge at"
		if n == 1 {
			words = "junction to emerge at"
		}
	case assess.MeetingTraffic.String():
		words = "roads to meet traffic in"
		if n == 1 {
			words = "road to meet traffic in"
		}
	case assess.PassingParkedCars.String():
		words = "roads with parked cars to pass"
		if n == 1 {
			words = "road with parked cars to pass"
		}
	case assess.Signals.String():
		words = "traffic lights"
		if n == 1 {
			words = "set of traffic lights"
		}
	case assess.Crossroads.String(): // one word for one and for many
	case assess.MiniRoundabouts.String():
		words = "mini-roundabouts"
		fallthrough
	default:
		if n == 1 {
			words = strings.TrimSuffix(words, "s")
		}
	}
	return fmt.Sprintf("%d %s", n, words)
}

// wordsOf is a wish as one says it.
func wordsOf(s circuit.Sought) string { return "at least " + Counted(s.AtLeast, s.Topic) }

// foundWords are counts in words.
func foundWords(all []circuit.Sought) string {
	words := make([]string, len(all))
	for i, s := range all {
		words[i] = Counted(s.AtLeast, s.Topic)
	}
	return strings.Join(words, ", ")
}

// kindWords name the lesson that is asked for.
func (pl *planner) kindWords() string {
	s := fmt.Sprintf("a lesson of %s", minutes(pl.wish.Minutes))
	switch pl.wish.Kind {
	case circuit.Junctions:
		s = fmt.Sprintf("a junctions lesson of %s", minutes(pl.wish.Minutes))
	case circuit.MockTest:
		s = fmt.Sprintf("a mock test in %s", minutes(pl.wish.Minutes))
	case circuit.TestDay:
		s = fmt.Sprintf("a warm-up in %s before the test", minutes(pl.wish.Minutes))
	case circuit.TwoExercises:
		s = fmt.Sprintf("two exercises in %s", minutes(pl.wish.Minutes))
	}
	return s
}

// fillKind fills in what a lesson of its kind leaves out.
func (w *wish) fillKind(t *Table) error {
	w.Seek = slices.Clone(w.Seek)
	for i, s := range w.Seek {
		name, err := soughtNamed(s.Topic)
		if err != nil {
			return fmt.Errorf("what is sought: %w", err)
		}
		w.Seek[i].Topic = name
	}
	switch {
	case w.DriveOut && w.Kind == circuit.MockTest:
		return errors.New("that the instructor drives out is not for a mock test, which the learner drives from door to door: leave one of them out")
	case w.Kind == circuit.RoadsToJudge:
		return nil
	case w.Unsuitable != nil || w.Suitable != nil:
		return fmt.Errorf("how many roads to judge is for a lesson past roads to judge; leave it out of one of the kind %s", w.Kind)
	case w.Kind == circuit.TwoExercises && w.Exercise == w.Second:
		return fmt.Errorf("two exercises are asked for, and both are %s", w.Exercise)
	case w.Kind == circuit.Junctions && len(w.Seek) == 0:
		return errors.New(`a junctions lesson needs a wish, as "mini-roundabouts" or "at least four crossroads"`)
	}
	w.unsuitable, w.suitable = 0, 0
	if w.Kind == circuit.TestDay && w.InHand == nil {
		w.inHand = t.TestDay.EarlyMinutes
	}
	return nil
}
