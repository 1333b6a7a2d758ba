package lesson

import (
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
	change    *changeOver // nil where the learner drives from door to door
	out, home *drive
	shown     []spot // on out, where each road to judge begins
	halts     []halting
	goes      int       // at the first place
	last      *lastGoes // in a second road; nil where there are none
	eachMin   float64   // minutes a go
	driveS    float64
	arriveS   float64 // at the drop-off, after a debrief there
	backups   []backup
	score     float64
	most      float64 // what no circuit of the same roads and places scores more than
	sameAgain bool    // two unsuitable roads show one reason
}

// halting is a stop between two legs.
type halting struct {
	last    bool // where the way to the second road ends
	home    bool // on the way home
	at      spot
	what    string // briefing, rest, practice, debrief
	minutes float64
	changes bool // instructor and learner change seats here
}

// backup is a second place, with the way there.
type backup struct {
	place int
	way   *drive
	goes  int
}

// drive makes a finalist of a choice, or says false where some must is missed
// once the real drive is timed.
func (pl *planner) drive(c choice) (*finalist, bool) {
	out, shown, halts, ok := pl.wayOut(c)
	if !ok {
		return nil, false
	}
	var best *finalist
	for parity := range 2 {
		if pl.places[c.place].home[parity] == never {
			continue
		}
		f := &finalist{choice: c, change: pl.change, out: out, shown: shown, halts: halts}
		if (pl.comesHome(f, parity, false) || pl.comesHome(f, parity, true)) && (best == nil || f.score > best.score) {
			best = f
		}
	}
	return best, best != nil
}

// comesHome adds to a finalist the way home after an even or odd number of goes,
// its times, backups and score. A debrief at the drop-off itself saves a stop,
// where the time is short of one.
func (pl *planner) comesHome(f *finalist, parity int, atHome bool) bool {
	home, halts, ok := pl.wayHome(f.place, f.out, parity, atHome)
	if !ok || !pl.change.goesHome(home) {
		return false
	}
	try := *f
	try.home, try.halts = home, slices.Concat(f.halts, halts)
	if !pl.setTimes(&try, parity) || !pl.setBackups(&try) {
		return false
	}
	pl.rate(&try)
	*f = try
	return true
}

// wayOut is the drive by the roads to judge to the place, where each of those
// begins on it, and the stops. It goes the quickest way, but by a kerb to stand
// at where that has none when one is needed.
func (pl *planner) wayOut(c choice) (*drive, []spot, []halting, bool) {
	targets := make([]roadnet.Position, 0, len(c.order)+1)
	for _, e := range c.order {
		targets = append(targets, pl.examples[e].begin())
	}
	targets = append(targets, pl.places[c.place].Position)
	byKerb := make([]bool, len(targets))
	for {
		var paths []route.Path
		var ends []int // of each target, the path that ends there
		at, after := pl.wish.From, pl.change.before()
		for i, to := range targets {
			leg, ok := pl.driveTo(at, after, to, pl.planned(c, i), byKerb[i])
			if !ok {
				return nil, nil, nil, false
			}
			paths = append(paths, leg...)
			ends = append(ends, len(paths)-1)
			at, after = to, &paths[len(paths)-1]
		}
		d, spots, ok := join(pl.w, pl.coming(pl.change.before()), paths)
		if !ok {
			return nil, nil, nil, false
		}
		shown := make([]spot, len(c.order))
		for i := range shown {
			shown[i] = spots[ends[i]]
		}
		halts, short, ok := pl.outHalts(d, shown, c.order)
		if ok {
			return d, shown, halts, true
		}
		i := 0
		for i < len(shown) && float64(d.at(shown[i]))/1000 < short {
			i++
		}
		if byKerb[i] {
			return nil, nil, nil, false
		}
		byKerb[i] = true
	}
}

// wayHome is the drive from the place to the finish after an even or odd number
// of goes, and its stops; atHome, with the debrief at the finish itself.
func (pl *planner) wayHome(place int, out *drive, parity int, atHome bool) (*drive, []halting, bool) {
	p := &pl.places[place]
	at, after := p.leaves(2+parity), p.comes(2+parity, &out.Path)
	for _, byKerb := range []bool{false, true} {
		paths, ok := pl.driveTo(at, after, pl.wish.To, pl.places[place].home[parity], byKerb)
		if !ok {
			return nil, nil, false
		}
		d, _, ok := join(pl.w, pl.coming(after), paths)
		if !ok {
			return nil, nil, false
		}
		if halts, ok := pl.homeHalts(d, atHome); ok {
			return d, halts, true
		}
	}
	return nil, nil, false
}

// planned is the time in milliseconds that the search reckoned with for the way
// to the i-th road to judge of a choice, or to its place.
func (pl *planner) planned(c choice, i int) uint32 {
	switch {
	case i == 0:
		return pl.problem.reach[c.order[0]]
	case i == len(c.order):
		return pl.problem.arrive[c.order[i-1]][c.place]
	}
	return pl.problem.between[c.order[i-1]][c.order[i]]
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
	place := &pl.places[f.place]
	f.goes = min(place.fit(left, g.LeastMinutes), g.Most)
	if turnsRound(pl.ex) && f.goes%2 != parity {
		f.goes--
	}
	if f.goes < g.Least {
		return false
	}
	f.eachMin = min(math.Floor(2*(left-place.takes(f.goes, 0))/float64(f.goes))/2, g.MostMinutes)
	for i := range f.halts {
		if f.halts[i].what == practising {
			f.halts[i].minutes = place.takes(f.goes, f.eachMin)
		}
	}
	f.arriveS = 60*(fixed+place.takes(f.goes, f.eachMin)) + f.driveS
	return true
}

// legs are all legs in order.
func (f *finalist) legs() []leg {
	d := f.out
	stops := make([]stopped, len(f.halts))
	for i, h := range f.halts {
		switch {
		case h.last:
			d = f.last.way
		case h.home:
			d = f.home
		}
		stops[i] = stopped{d, h.at}
	}
	return cut(f.change, f.out, stops)
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
			tree = pl.forward.From(place.Position, geo.Seconds(pl.table.backupWithin(pl.ex)), pl.coming(&f.out.Path))
		}
		path, ok := tree.Path(other.Position)
		if !ok {
			continue
		}
		way, _, ok := join(pl.w, pl.coming(&f.out.Path), []route.Path{path})
		if !ok || float64(way.Ms+pl.w.StopMs(other.Position))/1000 > pl.table.backupWithin(pl.ex) {
			continue
		}
		f.backups = append(f.backups, backup{b.place, way, goes})
	}
	return len(f.backups) > 0
}

// goesAt is how many goes a backup leaves time for.
func (pl *planner) goesAt(f *finalist, other *practice, thereMs uint32) (int, bool) {
	spare := pl.wish.Minutes - pl.wish.inHand - f.arriveS/60 + pl.places[f.place].takes(f.goes, f.eachMin) // minutes that goes may take
	before := float64(f.home.Ms) / 60000
	for goes := f.goes; goes >= pl.table.Goes.Least; goes-- {
		h := other.home[goes%2]
		if h == never {
			continue
		}
		if other.takes(goes, pl.table.Goes.LeastMinutes)+float64(thereMs+h)/60000-before+stopS/60.0 <= spare {
			return goes, true
		}
	}
	return 0, false
}

// rate scores what was driven: as the search did, on the same times, with the
// real goes and roads repeated.
func (pl *planner) rate(f *finalist) {
	w := pl.table.Weights
	planned := pl.problem.judge(f.order, f.place)
	home := pl.places[f.place].home[f.goes%2]
	driving := planned.outMs + int64(home) + pl.problem.rounds(f.goes, f.place)
	f.score = planned.worth + pl.problem.practised(f.goes, driving) - w.Repeat*repeated(f.out, f.home)
	if pl.change != nil {
		f.score -= w.DriveMinute * float64(pl.change.ms()) / 60000
	}
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

// drives are those of the learner, in order.
func (f *finalist) drives() []*drive {
	if f.last != nil {
		return []*drive{f.out, f.last.way, f.home}
	}
	return []*drive{f.out, f.home}
}
