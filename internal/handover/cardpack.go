package handover

import (
	"math"
	"slices"
)

// sidesOf lays panels onto at most so many sides in the way that costs least:
// each panel on one side, or one after the other and cut where a side ends. Only
// where neither will do, the pictures of plain turns stand alone; and where not
// even that will, there are more sides.
func sidesOf(panels []cardPanel, most int) [][]cardPanel {
	panels = slices.DeleteFunc(panels, func(p cardPanel) bool { return len(p.Lines) == 0 })
	runs := []*runs{runsOf(panels, false), runsOf(panels, true)}
	for ; ; most++ {
		for _, r := range runs {
			whole, cost := r.whole(most)
			if cut, other := cutPanels(panels, most, r.bare); other < cost {
				whole, cost = cut, other
			}
			if !math.IsInf(cost, 1) {
				return whole
			}
		}
	}
}

// cutPanels lays panels one after the other, with lines joined until they have
// room, and says what that costs; infinity where they never have.
func cutPanels(panels []cardPanel, most int, bare bool) ([][]cardPanel, float64) {
	if leastLines(panels, bare) > most*room {
		return nil, math.Inf(1)
	}
	j := newJoiner(panels, bare)
	cost := 0.0
	sides, cuts := flowing(j.panels)
	for len(sides) > most && !math.IsInf(cost, 1) {
		cost += j.join()
		sides, cuts = flowing(j.panels)
	}
	return sides, cost + costCut*float64(cuts)
}

// room is how many lines a side has beside its head.
const room = mostLines - 1

// runs are panels that follow each other, joined until they have room on one side.
type runs struct {
	bare bool
	of   [][]run // by the first panel, and how many there are
}

// run is a side of panels, and what joining them costs; infinity where they have
// no room.
type run struct {
	side []cardPanel
	cost float64
}

func runsOf(panels []cardPanel, bare bool) *runs {
	r := &runs{bare, make([][]run, len(panels))}
	for from := range panels {
		r.of[from] = []run{{}}
		for to := from + 1; to <= len(panels) && leastLines(panels[from:to], bare) <= room; to++ {
			side, cost := joinedTo(panels[from:to], bare)
			r.of[from] = append(r.of[from], run{side, cost})
		}
	}
	return r
}

// whole finds, of all ways to part the panels among so many sides, the one in
// which joining lines costs least, and says what it costs; infinity where there is
// none.
func (r *runs) whole(most int) ([][]cardPanel, float64) {
	type way struct {
		cost  float64
		sides [][]cardPanel
	}
	best := make([]way, len(r.of)+1) // for the first so many panels, with as many sides as tried yet
	for i := range best[1:] {
		best[i+1].cost = math.Inf(1)
	}
	for range most {
		next := slices.Clone(best)
		for from, runs := range r.of {
			for n, run := range runs[1:] {
				to := &next[from+n+1]
				if cost := best[from].cost + run.cost; cost < to.cost {
					*to = way{cost, append(slices.Clone(best[from].sides), run.side)}
				}
			}
		}
		best = next
	}
	last := best[len(r.of)]
	return last.sides, last.cost
}

// joinedTo joins lines of panels until they have room on one side, and says
// what that costs; infinity where they can't.
func joinedTo(panels []cardPanel, bare bool) ([]cardPanel, float64) {
	j := newJoiner(panels, bare)
	cost := 0.0
	for lines(j.panels) > room && !math.IsInf(cost, 1) {
		cost += j.join()
	}
	return j.panels, cost
}

// leastLines is a bound: panels have no fewer lines, however they are joined.
func leastLines(panels []cardPanel, bare bool) int {
	most := mostCells
	if bare {
		most = mostBare
	}
	n := 0
	for _, p := range panels {
		cells := 0
		for _, l := range p.Lines {
			if l.Kind == "do" {
				cells += len(l.Cells)
				continue
			}
			n += 1 + (cells+most-1)/most
			cells = 0
		}
		n += (cells + most - 1) / most
	}
	return n
}

func lines(panels []cardPanel) int {
	n := 0
	for _, p := range panels {
		n += len(p.Lines)
	}
	return n
}

// flowing lays panels onto sides, one after the other, cut where a side ends, and
// counts the cuts.
func flowing(panels []cardPanel) (sides [][]cardPanel, cuts int) {
	left := 0
	for _, p := range panels {
		for rest := p.Lines; len(rest) > 0; {
			if left == 0 {
				sides, left = append(sides, nil), room
			}
			n := min(left, len(rest))
			last := len(sides) - 1
			sides[last] = append(sides[last], cardPanel{p.Heading, rest[:n]})
			rest, left = rest[n:], left-n
			if len(rest) > 0 {
				cuts++
			}
		}
	}
	return sides, cuts
}
