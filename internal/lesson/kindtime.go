package lesson

import (
	"math"

	"loopwright/internal/circuit"
)

// legs are the parts of a tour's drive between its stops.
func (t *tour) legs() []leg {
	stops := make([]stopped, len(t.halts))
	for i, h := range t.halts {
		stops[i] = stopped{t.drives[h.drive], h.at}
	}
	return cut(t.change, t.drives[0], stops)
}

// startMinutes are spent at the pick-up.
func (pl *planner) startMinutes(m *manner) float64 {
	if m.briefed {
		return pl.wish.split.Recap
	}
	return pl.wish.split.Recap + pl.wish.split.Briefing
}

// setMinutes counts the goes that fit, gives what is over to the talk, and sets
// the clock; false where the lesson is too short.
func (pl *planner) setMinutes(t *tour, m *manner) bool {
	legs := t.legs()
	t.driveS = 0
	left := pl.wish.Minutes - pl.wish.inHand - pl.startMinutes(m)
	for _, l := range legs {
		t.driveS += l.seconds
	}
	left -= t.driveS / 60
	for _, h := range t.halts {
		if h.item < 0 {
			left -= h.minutes
		}
	}
	if left = pl.setGoes(t, m, left); left < 0 {
		return false
	}
	left = pl.setTalk(t, m, left)
	if pl.wish.Kind == circuit.TestDay { // who is early there waits; who sets out later has more of the talk
		t.longer = math.Floor(2*left) / 2
		left -= t.longer
	}
	t.spareS = 60 * left
	t.rows = nil
	clock := 60 * (pl.startMinutes(m) + t.longer)
	for i, l := range legs {
		t.rows = append(t.rows, rowed{l, clock})
		clock += l.seconds
		if i < len(t.halts) {
			clock += 60 * t.halts[i].minutes
		}
	}
	return true
}

// setGoes gives each place the least number of goes and then by turns more, and
// gives what is left of some minutes; less than nothing where they are too few.
func (pl *planner) setGoes(t *tour, m *manner, left float64) float64 {
	g := pl.table.Goes
	total, need := 0, 0.0 // goes, and minutes that they take at the least
	step := func(h *tourHalt) int {
		if turnsRound(t.items[h.item].ex) {
			return 2
		}
		return 1
	}
	var at []*tourHalt
	for i := range t.halts {
		h := &t.halts[i]
		if h.item < 0 {
			continue
		}
		h.goes = m.least
		if step(h) == 2 && h.goes%2 != t.items[h.item].parity {
			h.goes++
		}
		total += h.goes
		need += t.items[h.item].place.takes(h.goes, g.LeastMinutes)
		at = append(at, h)
	}
	if len(at) == 0 || left < need {
		return left - need
	}
	more := func(h *tourHalt) float64 {
		return float64(step(h)) * (g.LeastMinutes + t.items[h.item].place.roundMinutes())
	}
	for {
		var next *tourHalt
		for _, h := range at {
			if h.goes+step(h) <= m.most && need+more(h) <= left && (next == nil || h.goes < next.goes) {
				next = h
			}
		}
		if next == nil {
			break
		}
		need += more(next)
		next.goes += step(next)
		total += step(next)
	}
	for _, h := range at {
		left -= t.items[h.item].place.takes(h.goes, 0)
	}
	each := min(math.Floor(2*left/float64(total))/2, m.each)
	for _, h := range at {
		h.eachMin = each
		h.minutes = t.items[h.item].place.takes(h.goes, each)
	}
	return left - each*float64(total)
}

// setTalk gives what is left to the briefing and the pull-ups on the way, in
// equal halves of a minute, and gives what is still left.
func (pl *planner) setTalk(t *tour, m *manner, left float64) float64 {
	var at []*tourHalt
	for i := range t.halts {
		if h := &t.halts[i]; h.item < 0 && (h.what == briefing || h.what == rest) {
			at = append(at, h)
		}
	}
	if len(at) == 0 {
		return left
	}
	more := math.Floor(2*left/float64(len(at))) / 2
	for _, h := range at {
		add := min(more, max(pl.table.Events.TalkMost-h.minutes, 0))
		h.minutes += add
		left -= add
	}
	return left
}
