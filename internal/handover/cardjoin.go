package handover

import (
	"math"
	"slices"
)

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
	costAgain = 70.0 // where a round begins is best seen at the beginning of a line
	perSecond = 0.2
	latest    = 60.0 // seconds: beyond, more time between makes no difference
)

// joiner joins lines of panels, two at a time.
type joiner struct {
	bare   bool
	panels []cardPanel
	pairs  [][]pair // of each panel: each line with the next
}

// pair is two neighbouring lines on one, and what that costs.
type pair struct {
	line cardLine
	cost float64
}

func newJoiner(panels []cardPanel, bare bool) *joiner {
	j := &joiner{bare, slices.Clone(panels), make([][]pair, len(panels))}
	for i := range j.panels {
		lines := slices.Clone(j.panels[i].Lines)
		j.panels[i].Lines = lines
		for k := range lines[1:] {
			j.pairs[i] = append(j.pairs[i], j.pair(lines[k], lines[k+1]))
		}
	}
	return j
}

func (j *joiner) pair(a, b cardLine) pair {
	line, cost := joined(a, b, j.bare)
	return pair{line, cost}
}

// join puts the two neighbouring lines on one that cost least, and says how
// much; infinity where none can be.
func (j *joiner) join() float64 {
	panel, at, least := -1, -1, math.Inf(1)
	for i, pairs := range j.pairs {
		for k, p := range pairs {
			if p.cost < least {
				panel, at, least = i, k, p.cost
			}
		}
	}
	if panel < 0 {
		return least
	}
	lines, pairs := j.panels[panel].Lines, j.pairs[panel]
	lines[at] = pairs[at].line
	lines, pairs = slices.Delete(lines, at+1, at+2), slices.Delete(pairs, at, at+1)
	for k := max(at-1, 0); k <= at && k < len(pairs); k++ {
		pairs[k] = j.pair(lines[k], lines[k+1])
	}
	j.panels[panel].Lines, j.pairs[panel] = lines, pairs
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
	if b.Cells[0].Kind == "again" {
		cost += costAgain
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
