package lesson

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"loopwright/internal/circuit"
)

// Wishes are what may be asked of any lesson, as one says it.
type Wishes struct {
	Seek   []circuit.Sought // "at least four mini-roundabouts"; "mini-roundabouts" is one at the least
	Avoid  []string         // "no dual carriageways"
	MySide bool             // "my side and your side", for left and right
	Parked bool             // "questions only when parked"
}

// Words of two wishes; a learner's needs may hold them too.
const (
	mySide     = "my side"
	onlyParked = "questions only when parked"
)

// ReadWishes reads sentences; one that is not understood is an error that says
// how to write it.
func ReadWishes(sentences []string) (Wishes, error) {
	var w Wishes
	for _, s := range sentences {
		if err := w.read(s); err != nil {
			return Wishes{}, fmt.Errorf("the wish %.60q: %w", s, err)
		}
	}
	return w, nil
}

func (w *Wishes) read(sentence string) error {
	words := strings.ToLower(strings.Trim(strings.TrimSpace(sentence), "."))
	switch {
	case strings.Contains(words, mySide) && strings.Contains(words, "your side"):
		w.MySide = true
		return nil
	case words == onlyParked:
		w.Parked = true
		return nil
	}
	for _, no := range []string{"no ", "without "} {
		if rest, ok := strings.CutPrefix(words, no); ok {
			t, err := topicNamed(rest)
			if err != nil {
				return err
			}
			w.Avoid = append(w.Avoid, topicWords(t))
			return nil
		}
	}
	count, topic := 1, strings.TrimPrefix(words, "at least ")
	if first, rest, ok := strings.Cut(topic, " "); ok {
		if n, ok := number(first); ok {
			count, topic = n, rest
		}
	}
	name, err := soughtNamed(topic)
	switch {
	case err != nil:
		return fmt.Errorf(`write "at least four mini-roundabouts", "no dual carriageways", "my side and your side" or %q; %w`, onlyParked, err)
	case count < 1 || count > mostSought:
		return fmt.Errorf("a lesson has room for 1 to %d of them", mostSought)
	case slices.ContainsFunc(w.Seek, func(s circuit.Sought) bool { return s.Topic == name }):
		return fmt.Errorf("%s are asked for twice", strings.ReplaceAll(name, "-", " "))
	}
	w.Seek = append(w.Seek, circuit.Sought{Topic: name, AtLeast: count})
	return nil
}

// mostSought is how many of one thing may be asked for: our choice, at more than
// one every three minutes of the longest lesson there is no time to talk.
const mostSought = 80

// number reads a number in figures, or up to twelve in words.
func number(word string) (int, bool) {
	words := []string{"one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}
	if i := slices.Index(words, word); i >= 0 {
		return i + 1, true
	}
	n, err := strconv.Atoi(word)
	return n, err == nil
}

// needs says whether a learner needs something that may be wished.
func needs(l *circuit.LearnerRecord, wish string) bool {
	return l != nil && slices.ContainsFunc(l.Needs, func(s string) bool { return strings.Contains(strings.ToLower(s), wish) })
}
