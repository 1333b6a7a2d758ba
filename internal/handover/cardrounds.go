package handover

import (
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"loopwright/internal/circuit"
	"loopwright/internal/geo"
)

// turnTold is what tells one turn of a drive from another.
type turnTold struct {
	move circuit.Move
	at   *orb.Point // nil of a turn that is told in one breath with the one before
}

// turnOf is the turn of a step's move, the first of which is where the step says.
func turnOf(c *circuit.Circuit, s circuit.Step, nth int, m circuit.Move) *turnTold {
	if nth > 0 {
		return &turnTold{move: m}
	}
	at := c.TurnAt(s)
	return &turnTold{m, &at}
}

// rounds are turns that a drive takes again and again: so many from one on, so
// many times.
type rounds struct{ from, period, times int }

// leastPeriod is the shortest round: fewer turns lead nowhere round. Our choice.
const leastPeriod = 2

// sameTurn is how far apart two tellings of one turn may be, in metres: where a
// file's positions are cut off, and little more.
const sameTurn geo.Metres = 5

// roundsIn finds the longest rounds among turns, whole ones, as late as they may
// begin; false where there are none.
func roundsIn(turns []turnTold) (rounds, bool) {
	best, found := rounds{}, false
	for period := leastPeriod; 2*period <= len(turns); period++ {
		for from := 0; from+2*period <= len(turns); {
			to := from + period // as far as it goes on as it began
			for to < len(turns) && turns[to].move == turns[to-period].move {
				to++
			}
			r := rounds{period: period, times: (to - from) / period}
			r.from = to - period*r.times
			if r.times > 1 && r.times*period > best.times*best.period && r.sameWay(turns) {
				best, found = r, true
			}
			from = to - period + 1
		}
	}
	return best, found
}

// sameWay says whether rounds come by the same places each time, and not only by
// the same words.
func (r rounds) sameWay(turns []turnTold) bool {
	for k := 1; k < r.times; k++ {
		met := false
		for i := r.from + k*r.period; i < r.from+(k+1)*r.period; i++ {
			a, b := turns[i-r.period].at, turns[i].at
			if a == nil || b == nil {
				continue
			}
			if geo.Distance(*a, *b) > sameTurn {
				return false
			}
			met = true
		}
		if !met {
			return false
		}
	}
	return true
}

// folded are the lines of a panel with the turns of its rounds once.
func folded(lines []cardLine) []cardLine {
	first := slices.IndexFunc(lines, func(l cardLine) bool { return l.turn != nil })
	if first < 0 {
		return lines
	}
	var turns []turnTold
	for _, l := range lines[first:] {
		if l.turn == nil {
			break
		}
		turns = append(turns, *l.turn)
	}
	r, ok := roundsIn(turns)
	if !ok {
		return lines
	}
	from, end := first+r.from, first+r.from+r.times*r.period
	out := append(slices.Clone(lines[:from]), doLine(lines[from].atS, cellOf("again", arrowPicture(arrowRound, ""), fmt.Sprintf("%d times round", r.times))))
	out = append(out, lines[from:from+r.period]...)
	if end < len(lines) && lines[end].turn != nil {
		out = append(out, doLine(lines[end].atS, cellOf("again", arrowPicture(arrowGo, ""), "then on")))
	}
	return append(out, lines[end:]...)
}

// again are the steps, by index, that only say what an earlier round said, each
// with the words that stand for it and those that follow: "" but of the first.
func again(c *circuit.Circuit) map[int]string {
	out := map[int]string{}
	var turns []turnTold
	var of []int // the step of each turn
	end := func() {
		r, ok := roundsIn(turns)
		if ok {
			moves := map[int]int{}
			for _, i := range of[r.from+r.period : r.from+r.times*r.period] {
				moves[i]++
			}
			words := fmt.Sprintf("The same way round again: %d times in all.", r.times)
			for _, i := range slices.Compact(of) {
				if moves[i] > 0 && moves[i] == len(c.Steps[i].Moves) {
					out[i], words = words, ""
				}
			}
		}
		turns, of = nil, nil
	}
	for i, s := range c.Steps {
		for k, m := range s.Moves {
			switch m.Do {
			case circuit.MoveOff:
			case circuit.PullUp:
				end()
			default:
				turns, of = append(turns, *turnOf(c, s, k, m)), append(of, i)
			}
		}
	}
	end()
	return out
}
