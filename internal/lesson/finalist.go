package lesson

import (
	"cmp"
	"math"
	"slices"

	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// finalist is a choice that has been driven: real paths, real times, real
// stops. Seconds count from the lesson's start.
type finalist struct {
	choice
	out, home *drive
	shown     []spot // on out, where each road to judge begins
	halts     []halting
	goes      int
	eachMin   float64 // minutes a go
	driveS    float64
	arriveS   float64 // at the drop-off, after a debrief there
	backups   []backup
	score     float64
	sameAgain bool // two unsuitable roads show one reason
}

// halting is a stop between two legs.
type halting struct {
	home    bool // on the way home
	at      spot
	what    string // briefing, rest, practice, debrief
	minutes float64
}

// backup is a second place, with the way there.
type backup struct {
	place int
	way   *drive
	goes  int
}

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

// drive makes a finalist of a choice, or says false where some must is missed
// once the real drive is timed.
func (pl *planner) drive(c choice) (*finalist, bool) {
	var paths []route.Path
	at, after := pl.wish.From, (*route.Path)(nil)
	go1 := func(to roadnet.Position, bound uint32) bool {
		tree := pl.forward.From(at, geo.Seconds(float64(bound)/1000+60), route.Options{After: after})
		path, ok := tree.Path(to)
		if !ok {
			return false
		}
		paths = append(paths, path)
		at, after = to, &path
		return true
	}
	for i, e := range c.order {
		bound := pl.problem.reach[e]
		if i > 0 {
			bound = pl.problem.between[c.order[i-1]][e]
		}
		if !go1(pl.examples[e].begin(), bound) {
			return nil, false
		}
	}
	place := &pl.places[c.place]
	if !go1(place.Position, pl.problem.arrive[c.order[len(c.order)-1]][c.place]) {
		return nil, false
	}
	out, ends, ok := join(pl.w, nil, paths)
	if !ok {
		return nil, false
	}
	var best *finalist
	for parity := range 2 {
		if place.home[parity] == never {
			continue
		}
		if f, ok := pl.withHome(c, out, ends, parity); ok && (best == nil || f.score > best.score) {
			best = f
		}
	}
	return best, best != nil
}

// withHome completes a finalist with the way home after an even or odd number
// of goes.
func (pl *planner) withHome(c choice, out *drive, ends []spot, parity int) (*finalist, bool) {
	place := &pl.places[c.place]
	at, after := place.Position, &out.Path
	if turnsRound(pl.ex) && parity == 1 {
		at, after = pl.n.Opposite(at), nil
	}
	tree := pl.forward.From(at, geo.Seconds(float64(place.home[parity])/1000+60), route.Options{After: after})
	path, ok := tree.Path(pl.wish.To)
	if !ok {
		return nil, false
	}
	home, _, ok := join(pl.w, after, []route.Path{path})
	if !ok {
		return nil, false
	}
	f := &finalist{choice: c, out: out, home: home, shown: ends[:len(ends)-1]}
	if !pl.setHalts(f) || !pl.setTimes(f, parity) || !pl.setBackups(f) {
		return nil, false
	}
	pl.rate(f)
	return f, true
}

// setHalts chooses the pull-ups: the briefing before the first road to judge,
// rests where the drive is long, and the debrief near home.
func (pl *planner) setHalts(f *finalist) bool {
	t := pl.table.PullUps
	spots := pl.standing(f.out, f.shown, f.order)
	first := float64(f.out.at(f.shown[0]))/1000 - beforeSeenS
	brief, found := stand{}, false
	cost := math.Inf(1)
	for _, s := range spots {
		if s.at > first {
			break
		}
		if v := s.at + 90*(1-s.quality); s.at >= moveOffS && v < cost {
			brief, found, cost = s, true, v
		}
	}
	if !found {
		return false
	}
	f.halts = append(f.halts, halting{at: brief.spot, what: briefing, minutes: pl.wish.split.Briefing})
	arrive := float64(f.out.at(f.out.end())) / 1000
	rests, ok := pl.rests(spots, brief.at, arrive)
	if !ok {
		return false
	}
	for _, s := range rests {
		f.halts = append(f.halts, halting{at: s.spot, what: rest, minutes: t.Minutes})
	}
	f.halts = append(f.halts, halting{at: f.out.end(), what: practising})

	spots = pl.standing(f.home, nil, nil)
	end := float64(f.home.at(f.home.end())) / 1000
	last, debriefed := stand{at: end}, false
	for _, s := range spots {
		if s.at >= max(moveOffS, end-lateS) && s.at <= end-moveOffS && (!debriefed || s.at-60*(1-s.quality) >= last.at-60*(1-last.quality)) {
			last, debriefed = s, true
		}
	}
	rests, ok = pl.rests(spots, 0, last.at)
	if !ok {
		return false
	}
	for _, s := range rests {
		f.halts = append(f.halts, halting{home: true, at: s.spot, what: rest, minutes: t.Minutes})
	}
	if !debriefed {
		last.spot = f.home.end()
	}
	f.halts = append(f.halts, halting{home: true, at: last.spot, what: debrief, minutes: pl.wish.split.Debrief})
	return true
}

// rests divides a drive between two stops evenly, so that none of its parts is
// much longer than usual; false where no kerb allows it.
func (pl *planner) rests(spots []stand, from, to float64) ([]stand, bool) {
	t := pl.table.PullUps
	var out []stand
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
			return nil, to-from <= t.MostS-stopS
		}
		out = append(out, best)
		from = best.at
	}
	return out, true
}

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
	var out []stand
	start, end := d.start(), d.end()
	for i, s := range d.Segments {
		from, to := d.extent(i, start, end)
		for _, k := range pl.kerbs.at(s) {
			lo, hi := max(k.from, from), min(k.to, to)
			if hi-lo < carRoom {
				continue
			}
			sp := spot{i, lo + min((hi-lo)/2, 25)}
			at := float64(d.at(sp)) / 1000
			judging := false
			for j, b := range shown {
				begin := float64(d.at(b)) / 1000
				finish := float64(d.at(spot{b.index, pl.examples[order[j]].To})) / 1000
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

// setTimes counts the goes that fit and when the car is home.
func (pl *planner) setTimes(f *finalist, parity int) bool {
	g := pl.table.Goes
	fixed := pl.wish.split.Recap
	for _, l := range f.legs() {
		f.driveS += l.seconds
	}
	for _, h := range f.halts {
		fixed += h.minutes
	}
	left := pl.wish.Minutes - pl.wish.inHand - fixed - f.driveS/60
	f.goes = min(int(left/g.LeastMinutes), g.Most)
	if turnsRound(pl.ex) && f.goes%2 != parity {
		f.goes--
	}
	if f.goes < g.Least {
		return false
	}
	f.eachMin = min(math.Floor(2*left/float64(f.goes))/2, g.MostMinutes)
	for i := range f.halts {
		if f.halts[i].what == practising {
			f.halts[i].minutes = f.eachMin * float64(f.goes)
		}
	}
	f.arriveS = 60*(fixed+f.eachMin*float64(f.goes)) + f.driveS
	return true
}

// leg is a part of a finalist's drive between two stops.
type leg struct {
	d       *drive
	a, b    spot
	seconds float64 // with the pulling up at its end
}

// legs are all legs in order. Where the debrief is held at the drop-off itself
// there is none after it.
func (f *finalist) legs() []leg {
	var out []leg
	d, at := f.out, f.out.start()
	add := func(to spot) {
		if at != to {
			s := float64(d.at(to)-d.at(at))/1000 + float64(d.w.StopMs(d.position(to)))/1000
			out = append(out, leg{d, at, to, s})
		}
		at = to
	}
	for _, h := range f.halts {
		if h.home && d == f.out {
			d, at = f.home, f.home.start()
		}
		add(h.at)
	}
	add(f.home.end())
	return out
}

// setBackups finds up to the number aimed at of other places, each with a
// legal way home in time after at least the fewest goes.
func (pl *planner) setBackups(f *finalist) bool {
	place := &pl.places[f.place]
	var tree *route.Tree
	for _, b := range place.backups {
		if len(f.backups) == pl.table.Backup.Aim {
			break
		}
		other := &pl.places[b.place]
		goes, ok := pl.goesAt(f, other, b.ms)
		if !ok {
			continue
		}
		if tree == nil {
			tree = pl.forward.From(place.Position, geo.Seconds(pl.table.Backup.WithinS), route.Options{After: &f.out.Path})
		}
		path, ok := tree.Path(other.Position)
		if !ok {
			continue
		}
		way, _, ok := join(pl.w, &f.out.Path, []route.Path{path})
		if !ok || float64(way.Ms+pl.w.StopMs(other.Position))/1000 > pl.table.Backup.WithinS {
			continue
		}
		f.backups = append(f.backups, backup{b.place, way, goes})
	}
	return len(f.backups) > 0
}

// goesAt is how many goes a backup leaves time for.
func (pl *planner) goesAt(f *finalist, other *practice, thereMs uint32) (int, bool) {
	spare := pl.wish.Minutes - pl.wish.inHand - f.arriveS/60 + f.eachMin*float64(f.goes) // minutes that goes may take
	before := float64(f.home.Ms) / 60000
	for goes := f.goes; goes >= pl.table.Goes.Least; goes-- {
		h := other.home[goes%2]
		if h == never {
			continue
		}
		if float64(goes)*pl.table.Goes.LeastMinutes+float64(thereMs+h)/60000-before+stopS/60.0 <= spare {
			return goes, true
		}
	}
	return 0, false
}

// rate scores what was driven: as the search did, with the real drive, goes
// and roads repeated.
func (pl *planner) rate(f *finalist) {
	w := pl.table.Weights
	planned := pl.problem.judge(f.order, f.place)
	f.score = planned.score + w.goes(f.goes-pl.table.Goes.Least) - w.goes(planned.goes-pl.table.Goes.Least) -
		w.Repeat*repeated(f.out, f.home) - w.BusyTurn*float64(busy(f.out)+busy(f.home))
	if len(f.backups) < pl.table.Backup.Aim {
		f.score -= w.BackupShort
	}
	seen := map[string]bool{}
	for _, e := range f.order {
		if j := &pl.examples[e]; !j.suits() {
			f.sameAgain = f.sameAgain || seen[j.Reason]
			seen[j.Reason] = true
		}
	}
}

// busy counts the turns that come within 60 m of the one before, which is too
// soon to be told of it in peace.
func busy(d *drive) int {
	const (
		near   geo.Metres = 60
		turned            = 45 * geo.Degree
	)
	count := 0
	since := geo.Metres(math.Inf(1))
	for i := 1; i < len(d.Segments); i++ {
		from, to := d.extent(i-1, d.start(), d.end())
		since += to - from
		lo, hi := d.w.Network().TurnRange(d.States[i-1])
		for t := lo; t < hi; t++ {
			if turn := d.w.Network().TurnAt(t); turn.To == d.States[i] && math.Abs(float64(turn.Angle)) > float64(turned) {
				if since < near {
					count++
				}
				since = 0
			}
		}
	}
	return count
}
