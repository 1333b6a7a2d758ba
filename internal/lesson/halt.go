package lesson

import (
	"cmp"
	"math"
	"slices"

	"loopwright/internal/geo"
)

const (
	briefing    = "briefing"
	rest        = "rest"
	debrief     = "debrief"
	practising  = "practice"
	question    = "question"
	moveOffS    = 20   // seconds from moving off to the next stop at the least: our choice, a stop at once teaches nothing
	beforeSeenS = 15   // seconds before a road to judge in which the car does not stand: our choice, it is to be judged on the move
	lateS       = 300  // the debrief is within so many seconds of the drop-off, where a kerb allows: our choice, all has been seen by then
	evenS       = 1.25 // times the usual time between stops that is still about as long: our choice
)

// outHalts chooses the stops on the way out: the briefing before the first road
// to judge, rests where the drive is long, and the place. Where a kerb is
// wanting, short is about when on the drive it is.
func (pl *planner) outHalts(d *drive, shown []spot, order []int) (halts []halting, short float64, ok bool) {
	spots := pl.standing(d, shown, order)
	brief, ok := pl.briefAt(d, spots, float64(d.at(shown[0]))/1000-beforeSeenS)
	if !ok {
		return nil, 0, false
	}
	rests, short, ok := pl.rests(spots, brief.at, float64(d.at(d.end()))/1000)
	if !ok {
		return nil, short, false
	}
	halts = append(halts, pl.briefing(brief))
	for _, s := range rests {
		halts = append(halts, halting{at: s.spot, what: rest, minutes: pl.table.PullUps.Minutes})
	}
	return append(halts, halting{at: d.end(), what: practising}), 0, true
}

// briefAt is where the briefing is held, by so many seconds of the drive: at
// the change-over if there is one.
func (pl *planner) briefAt(d *drive, spots []stand, by float64) (brief stand, found bool) {
	if pl.change.handsOver() {
		return stand{spot: d.start()}, by >= 0
	}
	cost := math.Inf(1)
	for _, s := range spots {
		if s.at > by {
			break
		}
		if v := s.at + 90*(1-s.quality); s.at >= moveOffS && v < cost {
			brief, found, cost = s, true, v
		}
	}
	return brief, found
}

// homeHalts chooses the stops on the way home: rests, and the debrief at the
// last good kerb, or else, or atHome, at the drop-off itself; where instructor and
// learner change over again, at that kerb.
func (pl *planner) homeHalts(d *drive, atHome bool) ([]halting, bool) {
	spots := pl.standing(d, nil, nil)
	talk, at := pl.debriefing(d, spots, atHome)
	rests, _, ok := pl.rests(spots, 0, at)
	if !ok {
		return nil, false
	}
	var halts []halting
	for _, s := range rests {
		halts = append(halts, halting{home: true, at: s.spot, what: rest, minutes: pl.table.PullUps.Minutes})
	}
	talk.home = true
	return append(halts, talk), true
}

// briefing is the stop at which it is held, and seats are changed if the
// instructor drove out.
func (pl *planner) briefing(at stand) halting {
	h := halting{at: at.spot, what: briefing, minutes: pl.wish.split.Briefing}
	if pl.change.handsOver() {
		h.changes, h.minutes = true, h.minutes+pl.table.ChangeOver.Minutes
	}
	return h
}

// debriefing is the stop of a drive at which it is held, and when that is: the
// last good kerb, or where the instructor takes over to drive home; at home, where
// the drive ends.
func (pl *planner) debriefing(d *drive, spots []stand, atHome bool) (halting, float64) {
	if pl.change.takesBack() {
		return halting{at: d.end(), what: debrief, minutes: pl.wish.split.Debrief + pl.table.ChangeOver.Minutes, changes: true}, float64(d.at(d.end())) / 1000
	}
	last := stand{spot: d.end(), at: float64(d.at(d.end())) / 1000}
	if !atHome {
		last = lastStand(d, spots)
	}
	return halting{at: last.spot, what: debrief, minutes: pl.wish.split.Debrief}, last.at
}

// rests divides a drive between two stops evenly, so that none of its parts is
// much longer than usual. Where no kerb allows it, short is about when there
// ought to be one.
func (pl *planner) rests(spots []stand, from, to float64) (out []stand, short float64, ok bool) {
	t := pl.table.PullUps
	for to-from > evenS*t.AboutS {
		parts := math.Ceil((to - from) / t.AboutS)
		goal := from + (to-from)/parts
		best, found := stand{}, false
		for _, s := range spots {
			if s.at <= from+moveOffS || s.at > from+t.MostS-stopS || s.at >= to-moveOffS {
				continue
			}
			if !found || math.Abs(s.at-goal)+60*(1-s.quality) < math.Abs(best.at-goal)+60*(1-best.quality) {
				best, found = s, true
			}
		}
		if !found {
			return out, goal, to-from <= t.MostS-stopS
		}
		out = append(out, best)
		from = best.at
	}
	return out, 0, true
}

// pullInBy is how far into a gap at the kerb the car stands. Our choice: four
// car lengths, so that it is pulled up before a long gap is half used.
const pullInBy geo.Metres = 25

// stopS leaves room in a leg's time for pulling up at its end.
const stopS = 20

// stand is a spot of a drive where a car may stand.
type stand struct {
	spot
	at      float64 // seconds of driving from the drive's start
	quality float64
}

// standing lists the spots of a drive where a car may stand, in order, none on
// a road to judge or just before one.
func (pl *planner) standing(d *drive, shown []spot, order []int) []stand {
	seen := make([]window, len(shown))
	for j, b := range shown {
		seen[j] = window{b, spot{b.index, pl.examples[order[j]].To}}
	}
	return pl.standsBut(d, seen)
}

// window is a part of a drive on which a road to judge is seen.
type window struct{ begin, end spot }

// standsBut is standing with the roads to judge given by where they are seen.
func (pl *planner) standsBut(d *drive, seen []window) []stand {
	var out []stand
	start, end := d.start(), d.end()
	for i, s := range d.Segments {
		from, to := d.extent(i, start, end)
		for _, k := range pl.kerbs.at(s) {
			lo, hi := max(k.from, from), min(k.to, to)
			if hi-lo < carRoom {
				continue
			}
			sp := spot{i, lo + min((hi-lo)/2, pullInBy)}
			at := float64(d.at(sp)) / 1000
			judging := false
			for _, w := range seen {
				begin, finish := float64(d.at(w.begin))/1000, float64(d.at(w.end))/1000
				judging = judging || at > begin-beforeSeenS && at < finish+5
			}
			if !judging {
				out = append(out, stand{sp, at, pl.kerbs.quality(d.position(sp))})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b stand) int { return cmp.Compare(a.at, b.at) })
	return out
}
