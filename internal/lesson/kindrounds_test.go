package lesson_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/lesson"
)

// A junctions lesson in dense streets goes the same way round three times between
// its stops, as the roads driven show, and no lesson of the kind has more to tell
// than one that was found to be too much.
func TestRounds(t *testing.T) {
	n, p := town.open(t)
	a := assess.New(n, p)
	inRounds := 0
	for i, at := range starts(n, 7, 5) {
		r := request(at)
		r.Kind, r.Exercise, r.Minutes, r.Seed = circuit.Junctions, "", 60, uint64(i)
		var err error
		if r.Wishes, err = lesson.ReadWishes([]string{"four emerging"}); err != nil {
			t.Fatal(err)
		}
		c, err := lesson.Plan(n, p, a, r)
		var unmet *lesson.Unmet
		if errors.As(err, &unmet) {
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		for _, b := range lesson.Check(n, p, c) {
			t.Errorf("from start %d: %v", i, b)
		}
		for _, l := range c.Legs {
			row := slices.IndexFunc(c.Timeline, func(r circuit.Row) bool { return r.AtS == l.AtS })
			if row < 0 || !strings.Contains(c.Timeline[row].What, "3 times round") {
				continue
			}
			inRounds++
			if !endsInRounds(l.Line[:len(l.Line)-1], 3) {
				t.Errorf("from start %d: %s, along %v", i, c.Timeline[row].What, l.Line)
			}
		}
	}
	if inRounds < 4 {
		t.Errorf("only %d legs in rounds", inRounds)
	}
}

// endsInRounds says whether a line ends in so many rounds along the same points.
func endsInRounds(line orb.LineString, times int) bool {
	for k := 1; k*times <= len(line); k++ {
		last := line[len(line)-k*(times-1):]
		if slices.Equal(last, line[len(line)-k*times:len(line)-k]) {
			return true
		}
	}
	return false
}
