package lesson

import (
	"math"

	"loopwright/internal/geo"
	"loopwright/internal/orienteer"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// round is what is driven several times before the car stops again: from a kerb
// past some items and back to it.
type round struct {
	kerb  roadnet.Position
	items []item
}

// tooMuchTold says whether a tour has more turns than can be told with time
// between.
func (pl *planner) tooMuchTold(t *tour) bool {
	told := pl.table.Telling
	angle, turns := geo.Radians(told.TurnDeg)*geo.Degree, 0
	for _, d := range t.drives {
		for i, state := range d.States[:len(d.States)-1] {
			lo, hi := pl.n.TurnRange(state)
			for k := lo; k < hi; k++ {
				if turn := pl.n.TurnAt(k); turn.To == d.States[i+1] && math.Abs(float64(turn.Angle)) >= float64(angle) {
					turns++
				}
			}
		}
	}
	return float64(turns)*told.AboutS > told.Much*t.driveS
}

// roundsTried is how often rounds are laid anew, each time shorter. Our choice.
const roundsTried = 12

// moreRounds is with how many rounds more each is tried, where one takes too long
// to be driven without a rest. Our choice.
const moreRounds = 4

// inRounds collects what is sought on rounds that are driven several times: what
// is new is told the first time, and asked for the next. nil where no such tour
// comes by all that is asked for.
//
//  1. The solver collects what fits into a part of the time.
//  2. What it chose is parted, in its order, into as many rounds as there are to
//     be pull-ups.
//  3. Each round is closed by the way from its last item to its first, and begins
//     and ends at the best kerb there.
//  4. The rounds are driven one after the other, each as often as the table says.
//     Where that takes too long, 1 begins again with less time.
func (pl *planner) inRounds(w way, q *quest, all []passing, m *manner) *tour {
	if q.place != nil || !m.briefed {
		return nil
	}
	pr := w.poseTour(q, all)
	for i := range all {
		pr.Stops[i].Reward = all[i].Chance
	}
	times := pl.table.Telling.Rounds
	pr.Budget = int64(w.longer * float64(pl.drivingIn(q.driveMs, m)) * 2 / float64(1+times)) // the way out and home is driven once
	for try := range roundsTried {
		if pl.stopped() {
			return nil
		}
		solved, err := orienteer.Solve(pr, orienteer.Options{Seed: pl.wish.Seed + uint64(try), Iterations: pl.table.Events.Iterations})
		if err != nil || len(solved.Order) == 0 {
			return nil
		}
		onceS := float64(solved.Time) / 1000 / w.longer
		count := int(math.Ceil(float64(times) * onceS / pl.table.PullUps.AboutS))
		for more := range moreRounds {
			rounds, ok := w.rounds(itemsIn(q, all, solved.Order), min(count+more, len(solved.Order)))
			if !ok {
				break
			}
			t, ok := pl.roundTour(w, rounds, m)
			if !ok {
				continue
			}
			if pl.counts(t, q, m) && pl.meets(t) {
				return t
			}
			break
		}
		pr.Budget -= pr.Budget / 8
	}
	return nil
}

// rounds parts items into so many rounds.
func (pl *planner) rounds(items []item, count int) ([]round, bool) {
	var out []round
	for i := range count {
		r := round{items: items[i*len(items)/count : (i+1)*len(items)/count]}
		last, first := &r.items[len(r.items)-1], &r.items[0]
		ms := uint32(pl.table.Search.ReachS * 1000)
		closing, ok := pl.driveTo(last.to(), nil, first.from(), ms, false)
		if !ok {
			return nil, false
		}
		if r.kerb, ok = pl.kerbOn(closing[0]); !ok {
			by, ok := pl.driveTo(last.to(), nil, first.from(), ms, true)
			if !ok {
				return nil, false
			}
			r.kerb = by[0].To
		}
		out = append(out, r)
	}
	return out, true
}

// kerbOn is the best kerb to stand at on a path, clear of its ends.
func (pl *planner) kerbOn(path route.Path) (best roadnet.Position, found bool) {
	for i, s := range path.Segments {
		from, to := geo.Metres(0), pl.n.Length(s.Stretch())
		if i == 0 {
			from = path.From.Along
		}
		if i == len(path.Segments)-1 {
			to = path.To.Along
		}
		for _, k := range pl.kerbs.at(s) {
			lo, hi := max(k.from, from), min(k.to, to)
			if hi-lo < carRoom {
				continue
			}
			p := roadnet.Position{Segment: s, Along: lo + min((hi-lo)/2, pullInBy)}
			if !found || pl.kerbs.quality(p) > pl.kerbs.quality(best) {
				best, found = p, true
			}
		}
	}
	return best, found
}

// roundTour drives rounds, each several times, with a stop where each begins the
// first and ends the last time; the briefing is where the first begins.
func (pl *planner) roundTour(w way, rounds []round, m *manner) (*tour, bool) {
	kerb := func(r round) item {
		return item{segments: []roadnet.SegmentID{r.kerb.Segment}, begin: r.kerb.Along, end: r.kerb.Along}
	}
	var items []item
	ends := []int{0} // items at which the car stops: the first kerb, and each round's at the end
	for _, r := range rounds {
		for range pl.table.Telling.Rounds {
			items = append(append(items, kerb(r)), r.items...)
		}
		ends = append(ends, len(items))
		items = append(items, kerb(r))
	}
	t, ok := w.driven(items, make([]bool, len(items)+1))
	if !ok {
		return nil, false
	}
	t.rounds = len(rounds)
	d := t.drives[0]
	home := float64(d.at(d.end())) / 1000
	for i, e := range ends {
		h := tourHalt{halting: halting{at: t.at[e].begin, what: m.between, minutes: m.betweenM}, item: -1}
		last := i == len(ends)-1
		switch at := float64(d.at(h.at)) / 1000; {
		case i == 0 && at < moveOffS:
			return nil, false
		case i == 0:
			h.what, h.minutes = briefing, pl.wish.split.Briefing
		case last && home-at <= lateS:
			h.what, h.minutes = debrief, pl.wish.split.Debrief
		}
		t.halts = append(t.halts, h)
		if last && h.what != debrief {
			s := lastStand(d, pl.standable(t, 0, m))
			t.halts = append(t.halts, tourHalt{halting: halting{at: s.spot, what: debrief, minutes: pl.wish.split.Debrief}, item: -1})
		}
	}
	for _, l := range t.legs() {
		if l.seconds > pl.table.PullUps.MostS {
			return nil, false
		}
	}
	return t, true
}
