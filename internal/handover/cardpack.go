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
	for ; ; most++ {
		for _, bare := range []bool{false, true} {
			whole, cost := wholePanels(panels, most, bare)
			if cut, other := cutPanels(panels, most, bare); other < cost {
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
	panels = copied(panels)
	cost := 0.0
	sides, cuts := flowing(panels)
	for len(sides) > most && !math.IsInf(cost, 1) {
		cost += join(panels, bare)
		sides, cuts = flowing(panels)
	}
	return sides, cost + costCut*float64(cuts)
}

// room is how many lines a side has beside its head.
const room = mostLines - 1

// wholePanels finds, of all ways to part the panels among so many sides, the one
// in which joining lines costs least, and says what it costs; infinity where
// there is none. The work grows with the square of the panels.
func wholePanels(panels []cardPanel, most int, bare bool) ([][]cardPanel, float64) {
	type way struct {
		cost  float64
		sides [][]cardPanel
	}
	best := make([]way, len(panels)+1) // for the first so many panels, with as many sides as tried yet
	for i := range best[1:] {
		best[i+1].cost = math.Inf(1)
	}
	for range most {
		next := slices.Clone(best)
		for to := 1; to <= len(panels); to++ {
			for from := range to {
				if math.IsInf(best[from].cost, 1) {
					continue
				}
				side, cost := joinedTo(panels[from:to], bare)
				if cost += best[from].cost; cost < next[to].cost {
					next[to] = way{cost, append(slices.Clone(best[from].sides), side)}
				}
			}
		}
		best = next
	}
	last := best[len(panels)]
	return last.sides, last.cost
}

// joinedTo joins lines of panels until they have room on one side, and says
// what that costs; infinity where they can't.
func joinedTo(panels []cardPanel, bare bool) ([]cardPanel, float64) {
	panels = copied(panels)
	cost := 0.0
	for lines(panels) > room && !math.IsInf(cost, 1) {
		cost += join(panels, bare)
	}
	return panels, cost
}

func lines(panels []cardPanel) int {
	n := 0
	for _, p := range panels {
		n += len(p.Lines)
	}
	return n
}

func copied(panels []cardPanel) []cardPanel {
	out := slices.Clone(panels)
	for i := range out {
		out[i].Lines = slices.Clone(out[i].Lines)
	}
	return out
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

// What joining two lines costs: our choice. Pairs are joined before a third is
// added, what follows at once before what has time between; fewer words count,
// words cut short or lost count more, a panel that goes on overleaf counts less
// than three on a line, and a picture without its word is the last resort.
const (
	costPair  = 10.0
	costThird = 100.0
	costLess  = 15.0
	costLost  = 150.0
	costBare  = 1000.0
	costCut   = 80.0
	perSecond = 0.2
	latest    = 60.0 // seconds: beyond, more time between makes no difference
)

// join puts the two neighbouring lines on one that cost least, and says how
// much; infinity where none can be.
func join(panels []cardPanel, bare bool) float64 {
	panel, line, least := -1, -1, math.Inf(1)
	var best cardLine
	for i, p := range panels {
		for j := 1; j < len(p.Lines); j++ {
			both, cost := joined(p.Lines[j-1], p.Lines[j], bare)
			if cost < least {
				panel, line, least, best = i, j, cost, both
			}
		}
	}
	if panel < 0 {
		return least
	}
	lines := panels[panel].Lines
	lines[line-1] = best
	panels[panel].Lines = slices.Delete(lines, line, line+1)
	return least
}

// joined is two lines on one, and what that costs; infinity where they can't
// be.
func joined(a, b cardLine, bare bool) (cardLine, float64) {
	if a.Kind != "do" || b.Kind != "do" {
		return cardLine{}, math.Inf(1)
	}
	apiece := append(slices.Clone(a.Cells), b.Cells...)
	both := doLine(a.atS, apiece...)
	wordless := 0.0
	if bare && !both.fits() {
		both, wordless = both.bare(), costBare
	}
	if !both.fits() {
		return cardLine{}, math.Inf(1)
	}
	cost := wordless + costPair + perSecond*min(latest, b.atS-a.atS) + costThird*float64(len(both.Cells)-2)
	if len(a.Cells) > 1 || len(b.Cells) > 1 {
		cost -= costPair
	}
	for k, c := range both.Cells {
		switch {
		case c.Note == apiece[k].Note:
		case slices.Contains(c.notes, c.Note):
			cost += costLess
		default:
			cost += costLost
		}
	}
	return both, cost
}
