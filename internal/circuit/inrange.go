package circuit

import (
	"fmt"
	"math"

	"loopwright/internal/assess"
)

// ranged is a number of the file with the range that it must lie in.
type ranged struct {
	name          string
	v, least, top float64
}

const (
	longestS = 2 * 24 * 3600 // two days, in seconds; no lesson lasts as long
	longestM = 2_000_000     // metres, likewise
)

func span(name string, v float64) ranged    { return ranged{name, v, 0, longestS} }
func length(name string, v float64) ranged  { return ranged{name, v, 0, longestM} }
func heading(name string, v float64) ranged { return ranged{name, v, 0, 360} }
func chance(name string, v float64) ranged  { return ranged{name, v, 0, 1} }

// No road lies beyond these heights in metres: the Dead Sea's shore and the
// passes of Ladakh, with room.
const (
	lowestRoad  = -1000
	highestRoad = 9000
)

func inRange(all ...ranged) error {
	for _, r := range all {
		if !(r.v >= r.least && r.v <= r.top) {
			return fmt.Errorf("%s: %g is out of range (%g to %g)", r.name, r.v, r.least, r.top)
		}
	}
	return nil
}

func movesInRange(moves []Move) error {
	for _, m := range moves {
		if m.Side != "" && m.Side != "left" && m.Side != "right" {
			return fmt.Errorf("moves: side %q is neither left nor right", m.Side)
		}
		if m.Number < 0 || m.Number > 100 {
			return fmt.Errorf("moves: number %d is out of range (0 to 100)", m.Number)
		}
	}
	return nil
}

func findingsInRange(fs []assess.Finding) error {
	for _, f := range fs {
		for _, v := range []*float64{f.Value, f.Low, f.High} {
			if v != nil && math.Abs(*v) > 1e9 {
				return fmt.Errorf("finding %q: %g is out of range", f.Criterion, *v)
			}
		}
		if err := inRange(chance("chance", f.Chance)); err != nil {
			return fmt.Errorf("finding %q: %w", f.Criterion, err)
		}
	}
	return nil
}
