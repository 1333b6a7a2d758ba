package lesson

import (
	"slices"
	"strings"

	"loopwright/internal/circuit"
	"loopwright/internal/directions"
)

// OwnWay is the kind of the step that tells several directions at once, for the
// learner to find the way by.
const OwnWay = "own-way"

// How many directions are told at once: more than three nobody keeps in mind,
// and one is no way. Our choice.
const leastSeries, mostSeries = 2, 3

// findTheWay lets the learner of a mock test find the way on one leg: before they
// move off its first directions are told all at once, and each again only if
// they ask. Destinations on signs are not in the index, so it is a series of
// directions. The leg is the one after a stop of which most is told so.
func findTheWay(c *circuit.Circuit) {
	best, say, told, share := -1, "", 0, 0.0
	for i := 1; i < len(c.Legs)-1; i++ {
		words, moves, all := series(c, c.Legs[i])
		if s := float64(moves) / float64(max(all, 1)); moves >= leastSeries && (s > share || s == share && moves > told) {
			best, say, told, share = i, words, moves, s
		}
	}
	if best < 0 {
		return
	}
	l := c.Legs[best]
	first := slices.IndexFunc(c.Steps, func(s circuit.Step) bool { return s.AtS >= l.AtS-rounding })
	c.Steps = slices.Insert(c.Steps, first, circuit.Step{
		At: l.Line[0], AtS: l.AtS, Kind: OwnWay, Alert: "Now find the way yourself:", Direction: say, Say: "Now find the way yourself: " + say + ".",
	})
	for k := range c.Steps {
		c.Steps[k].Order = k + 1
	}
	for k := range c.Timeline {
		if r := &c.Timeline[k]; near(r.AtS, l.AtS) {
			r.What = strings.Replace(r.What, "drive", "drive, the learner finds the way", 1)
		}
	}
	for k := range c.WaysBack {
		if c.WaysBack[k].Step > first {
			c.WaysBack[k].Step++
		}
	}
}

// series are the first directions of a leg in one sentence, how many moves they
// tell, and how many the leg has.
func series(c *circuit.Circuit, l circuit.Leg) (say string, moves, all int) {
	var told []string
	full := false
	for _, s := range c.Steps {
		if s.AtS < l.AtS-rounding || s.AtS > l.AtS+l.DriveS || s.Kind == directions.KindMoveOff.String() || s.Kind == question {
			continue
		}
		turns := len(s.Moves)
		for _, m := range s.Moves {
			switch m.Do {
			case circuit.PullUp:
				turns, full = 0, true
			case circuit.GoAllRound, circuit.TurnRound: // nobody would find that way
				full = true
			}
		}
		all += turns
		if full = full || moves+turns > mostSeries; !full {
			told, moves = append(told, plainly(s)), moves+turns
		}
	}
	return strings.Join(told, ", then "), moves, all
}

// plainly is a direction without the words that only ask for it.
func plainly(s circuit.Step) string {
	words := strings.TrimPrefix(strings.TrimSuffix(s.Say, "."), "I'd like you to ")
	return strings.ToLower(words[:1]) + words[1:]
}
