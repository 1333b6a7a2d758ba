package lesson

import (
	"fmt"
	"math"
	"slices"

	"loopwright/internal/geo"
	"loopwright/internal/route"
)

// lastGoes are those done in a second road, after the first place.
type lastGoes struct {
	place int
	way   *drive // from the first place, as the car stands after its goes
	goes  int
}

// secondRoads is how many places near the first are tried for the last go. Our
// choice: the nearest are as good as any.
const secondRoads = 6

// withSecondRoad is a finalist with its last go, or those for which the first
// place had no more room, in a second road: a learner who can do it in one road
// has learnt that road. Only longer lessons have it. It may cost one go of all;
// where there is no time, or no such road, the finalist stays as it is. The score
// stays, too: it is of what was chosen between, and spare minutes are spent
// afterwards.
func (pl *planner) withSecondRoad(f *finalist) *finalist {
	if pl.wish.Minutes < pl.table.Goes.SecondRoadFrom {
		return f
	}
	var best *finalist
	total := func(g *finalist) int { return g.goes + g.last.goes }
	near := pl.places[f.place].backups
	for _, b := range near[:min(len(near), secondRoads)] {
		other := &pl.places[b.place]
		for first := range 2 {
			if first == 1 && !turnsRound(pl.ex) {
				break
			}
			way, ok := pl.onward(f, other, first)
			if !ok {
				continue
			}
			for second := range 2 {
				if other.home[second] == never {
					continue
				}
				home, halts, ok := pl.wayHome(b.place, way, second, false)
				if !ok || !pl.change.goesHome(home) {
					continue
				}
				g := pl.movedOn(f, &lastGoes{b.place, way, 0}, home, halts)
				if pl.shareGoes(g, first, second) && (best == nil || total(g) > total(best) || total(g) == total(best) && g.driveS < best.driveS) {
					best = g
				}
			}
		}
	}
	if best == nil || total(best) < f.goes-1 {
		return f
	}
	return best
}

// onward is the drive from the first place to a second after an even or odd
// number of goes.
func (pl *planner) onward(f *finalist, other *practice, parity int) (*drive, bool) {
	first := &pl.places[f.place]
	at, opts := first.leaves(2+parity), pl.coming(first.comes(2+parity, &f.out.Path))
	path, ok := pl.forward.Path(at, other.Position, geo.Seconds(pl.table.backupWithin(pl.ex)), opts)
	if !ok {
		return nil, false
	}
	d, _, ok := join(pl.w, opts, []route.Path{path})
	return d, ok
}

// movedOn is a finalist that goes on to a second road and home from there.
func (pl *planner) movedOn(f *finalist, last *lastGoes, home *drive, halts []halting) *finalist {
	g := *f
	g.last, g.home = last, home
	g.halts = slices.Clone(f.halts[:slices.IndexFunc(f.halts, func(h halting) bool { return h.what == practising })+1])
	g.halts = append(g.halts, halting{last: true, at: last.way.end(), what: practising})
	g.halts = append(g.halts, halts...)
	return &g
}

// shareGoes gives each place its goes, the second no more than must be, with an
// even or odd number at each where that matters; false where they do not fit.
func (pl *planner) shareGoes(g *finalist, first, second int) bool {
	t := pl.table.Goes
	g.driveS = 0
	fixed := pl.wish.split.Recap
	for _, l := range g.legs() {
		g.driveS += l.seconds
	}
	for _, h := range g.halts {
		if h.what != practising {
			fixed += h.minutes
		}
	}
	left := pl.wish.Minutes - pl.wish.inHand - fixed - g.driveS/60
	at, then := &pl.places[g.place], &pl.places[g.last.place]
	best := 0
	for last := 1; last <= t.Most; last++ {
		goes := min(at.fit(left-then.takes(last, t.LeastMinutes), t.LeastMinutes), t.Most)
		if turnsRound(pl.ex) {
			if last%2 != second {
				continue
			}
			if goes%2 != first {
				goes--
			}
		}
		if goes >= t.Least && goes+last > best {
			best, g.goes, g.last.goes = goes+last, goes, last
		}
	}
	if best == 0 {
		return false
	}
	rounds := at.takes(g.goes, 0) + then.takes(g.last.goes, 0)
	g.eachMin = min(math.Floor(2*(left-rounds)/float64(best))/2, t.MostMinutes)
	for i := range g.halts {
		switch h := &g.halts[i]; {
		case h.what != practising:
		case h.last:
			h.minutes = then.takes(g.last.goes, g.eachMin)
		default:
			h.minutes = at.takes(g.goes, g.eachMin)
		}
	}
	g.arriveS = 60*(fixed+rounds+g.eachMin*float64(best)) + g.driveS
	return true
}

// layLast lays out the goes in the second road.
func (pl *planner) layLast(k *clocking, f *finalist, h halting) {
	p := pl.practiceAt(&pl.places[f.last.place], f.last.goes)
	p.AtS, p.Minutes, p.What = k.at, h.minutes, practising
	k.c.Second = &p
	goes := "the last go"
	if p.Goes > 1 {
		goes = fmt.Sprintf("%d more goes", p.Goes)
	}
	k.row(fmt.Sprintf("%s, %s in a second road, %s%s; leave it out if it is taken", pl.ex.Title, goes, p.Road, withRound(p)), h.minutes*60)
}
