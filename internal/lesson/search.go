package lesson

import (
	"math"
	"math/rand/v2"
	"slices"
)

// never is the time to where no legal drive leads within the bound.
const never = math.MaxUint32

// problem is the choice to be made, without roads: times in milliseconds and
// worths in points. Examples and places are indices.
type problem struct {
	reach   []uint32    // [example] from the start to where it begins
	drive   []uint32    // [example] along it
	between [][]uint32  // [example][example] from where one begins to where the next does
	arrive  [][]uint32  // [example][place] from where an example begins to the place
	home    [][2]uint32 // [place] to the finish after an even and an odd number of goes
	round   []uint32    // [place] from where a go leaves the car to where the next begins
	backup  []bool      // [place] has one near

	worth   []float64 // [example] clarity, with how rare its reason is
	reason  []int     // [example] number of its reason
	suits   []bool    // [example]
	road    []int     // [example] number of its road
	stretch []int     // [example] number of its stretch
	place   []float64 // [place] worth
	at      []int     // [place] number of its stretch
	beside  []int     // [place] number of its road

	unsuitable, suitable int
	apartMs              uint32
	budgetMs             int64 // drive and goes together
	restMs               int64 // one pull-up on the way
	restEveryMs          int64
	goMs                 int64 // least for one go
	goesLeast, goesMost  int
	weights              weights
	judgements           int  // choices that one search judges at the most
	distinct             bool // no reason twice among the unsuitable
	mixed                bool // a clear no, a yes, then noes that tempt; else the noes first
}

// choice is one answer to a problem.
type choice struct {
	order []int // examples, as driven
	place int
	goes  int
	score float64 // with every violation taken off
	short float64 // seconds by which musts are missed; 0: feasible
	worth float64 // of the roads to judge and the place, without goes and minutes
	outMs int64   // planned drive from the start to the place
}

// missed is what one second of a missed must costs: more than any worth.
const missed = 10.0

// judge scores an order and a place. Parity and number of goes follow from
// them: as many goes as fit, of a parity from which the way home is legal.
func (p *problem) judge(order []int, place int) choice {
	c := choice{place: place}
	drive := int64(p.leg(p.reach[order[0]], &c))
	worth := 0.0
	seen := uint64(0)
	lastUnsuitable, firstSuitable := -1, len(order)
	for i, e := range order {
		w := p.worth[e]
		if p.suits[e] {
			firstSuitable = min(firstSuitable, i)
		} else {
			lastUnsuitable = i
			if bit := uint64(1) << (p.reason[e] & 63); seen&bit != 0 {
				w *= p.weights.ReasonAgain
				if p.distinct {
					c.short += 60
				}
			} else {
				seen |= bit
			}
		}
		for _, f := range order[:i] {
			if p.stretch[e] == p.stretch[f] {
				c.short += 60
			}
			if p.road[e] == p.road[f] && p.road[e] != 0 {
				w -= p.weights.SameRoad
			}
		}
		worth += w
		if p.stretch[e] == p.at[place] {
			c.short += 60
		}
		if p.road[e] == p.beside[place] && p.road[e] != 0 && !p.suits[e] {
			worth -= p.weights.SameRoad
		}
		if i+1 < len(order) {
			t := p.leg(p.between[e][order[i+1]], &c)
			if gap := int64(t) - int64(p.drive[e]); gap < int64(p.apartMs) {
				c.short += float64(int64(p.apartMs)-gap) / 1000
			}
			drive += int64(t)
		}
	}
	switch {
	case p.mixed && p.mixes(order, firstSuitable, lastUnsuitable), !p.mixed && lastUnsuitable < firstSuitable:
		worth += p.weights.UnsuitableFirst
	}
	drive += int64(p.leg(p.arrive[order[len(order)-1]][place], &c))
	worth += p.place[place]
	c.worth, c.outMs = worth, drive

	best := math.Inf(-1)
	short := 0.0
	for parity := range 2 {
		h := p.home[place][parity]
		if h == never {
			continue
		}
		total := drive + int64(h)
		rests := p.rests(drive) + p.rests(int64(h))
		left := p.budgetMs - total - rests*p.restMs
		goes := p.fit(place, left)
		if goes%2 != parity {
			goes--
		}
		s, miss := 0.0, 0.0
		if goes < p.goesLeast {
			goes = p.goesLeast + (p.goesLeast+parity)%2
			miss = float64(int64(goes)*p.goMs+p.rounds(goes, place)-left) / 1000
		}
		s = p.practised(goes, total+p.rounds(goes, place)) - missed*miss
		if s > best {
			best, short, c.goes = s, miss, goes
		}
	}
	if math.IsInf(best, -1) {
		best, short, c.goes = 0, 3600, p.goesLeast
		c.score -= missed * 3600
	}
	c.score += worth + best - missed*c.short
	c.short += short
	return c
}

// fit is how many goes some time has room for, with the way round to each but
// the first.
func (p *problem) fit(place int, ms int64) int {
	if ms < p.goMs {
		return 0
	}
	return min(1+int((ms-p.goMs)/(p.goMs+int64(p.round[place]))), p.goesMost)
}

// rounds is the time for the way round between goes.
func (p *problem) rounds(goes, place int) int64 { return int64(max(goes-1, 0)) * int64(p.round[place]) }

// practised is what goes are worth, with the cost of the minutes of driving.
func (p *problem) practised(goes int, driveMs int64) float64 {
	return p.weights.goes(goes-p.goesLeast) - p.weights.DriveMinute*float64(driveMs)/60000
}

// leg counts an impossible leg as an hour missed.
func (p *problem) leg(ms uint32, c *choice) uint32 {
	if ms == never {
		c.short += 3600
		return 0
	}
	return ms
}

// rests is how many pull-ups a drive needs on the way.
func (p *problem) rests(driveMs int64) int64 {
	return driveMs / p.restEveryMs
}

// search is an iterated local search: from a seeded first choice, the best of
// all replacements of one example, put in anywhere, and of all places is taken
// until none is better; then one or two examples or the place are struck out
// at random and it begins again from there, keeping the better. It ends after
// so many restarts of so many rounds, or when enough choices have been judged.
// After Lourenço, Martin and Stützle, "Iterated Local Search" (2003), with the
// "better" acceptance; restarts, since k is small and the basins are many.
//
// It returns feasible choices, best first, at most `keep` of them and no two
// with the same examples and place; and the best infeasible one where there is
// none.
func (p *problem) search(seed uint64, restarts, rounds, keep int) []choice {
	var fit, other []int
	for e, s := range p.suits {
		if s {
			fit = append(fit, e)
		} else {
			other = append(other, e)
		}
	}
	var places []int
	for i, has := range p.backup {
		if has {
			places = append(places, i)
		}
	}
	if len(other) < p.unsuitable || len(fit) < p.suitable || len(places) == 0 || p.unsuitable+p.suitable == 0 {
		return nil
	}
	s := &searcher{p: p, rng: rand.New(rand.NewPCG(seed, 0x6c6f6f70)), fit: fit, other: other, places: places, keep: keep}
	for range restarts {
		if s.judged >= p.judgements {
			break
		}
		at := s.climb(s.fresh())
		for range rounds {
			if s.judged >= p.judgements {
				break
			}
			if next := s.climb(s.shake(at)); next.score > at.score {
				at = next
			}
		}
	}
	return s.found()
}

type searcher struct {
	p          *problem
	rng        *rand.Rand
	fit, other []int // examples by kind
	places     []int // those with a backup
	keep       int
	judged     int
	pool       []choice
	nearest    choice // best infeasible
	any        bool
}

// kind is the candidates of the same kind as an example.
func (s *searcher) kind(e int) []int {
	if s.p.suits[e] {
		return s.fit
	}
	return s.other
}

// fresh draws a first choice: examples without repeats, unsuitable first.
func (s *searcher) fresh() choice {
	order := make([]int, 0, s.p.unsuitable+s.p.suitable)
	draw := func(from []int, n int) {
		for _, i := range s.rng.Perm(len(from))[:n] {
			order = append(order, from[i])
		}
	}
	draw(s.other, s.p.unsuitable)
	draw(s.fit, s.p.suitable)
	return s.judge(order, s.places[s.rng.IntN(len(s.places))])
}

// judge scores and remembers.
func (s *searcher) judge(order []int, place int) choice {
	c := s.p.judge(order, place)
	c.order = order
	return c
}

// shake strikes out one or two examples, or the place, and draws others.
func (s *searcher) shake(c choice) choice {
	order, place := slices.Clone(c.order), c.place
	if s.rng.IntN(3) == 0 {
		place = s.places[s.rng.IntN(len(s.places))]
	}
	for range 1 + s.rng.IntN(2) {
		i := s.rng.IntN(len(order))
		kind := s.kind(order[i])
		if e := kind[s.rng.IntN(len(kind))]; !slices.Contains(order, e) {
			order[i] = e
		}
	}
	return s.judge(order, place)
}

// climb takes the best neighbour until none is better.
func (s *searcher) climb(c choice) choice {
	trial := slices.Clone(c.order)
	for {
		if s.judged >= s.p.judgements {
			s.remember(c)
			return c
		}
		best := c
		from := trial[:0:0]
		consider := func(place int) {
			s.judged++
			if n := s.p.judge(trial, place); n.score > best.score+1e-9 {
				n.order = append(from, trial...)
				best = n
			}
		}
		for i, was := range c.order {
			for _, e := range s.kind(was) {
				if slices.Contains(c.order, e) && e != was {
					continue
				}
				// e in place of the i-th, at any position
				copy(trial[1:], c.order[:i])
				copy(trial[i+1:], c.order[i+1:])
				trial[0] = e
				for j := range trial {
					if j > 0 {
						trial[j-1], trial[j] = trial[j], trial[j-1]
					}
					consider(c.place)
				}
			}
		}
		copy(trial, c.order)
		for _, place := range s.places {
			if place != c.place {
				consider(place)
			}
		}
		if best.score <= c.score {
			s.remember(c)
			return c
		}
		c = best
		copy(trial, c.order)
	}
}

// remember keeps the best feasible choices apart from one another.
func (s *searcher) remember(c choice) {
	if c.short > 0 {
		if !s.any || c.score > s.nearest.score {
			s.nearest, s.any = c, true
		}
		return
	}
	for i := range s.pool {
		if q := &s.pool[i]; q.place == c.place && sameSet(q.order, c.order) {
			if c.score > q.score {
				*q = c
			}
			return
		}
	}
	s.pool = append(s.pool, c)
	slices.SortStableFunc(s.pool, byScore)
	if len(s.pool) > s.keep {
		s.pool = s.pool[:s.keep]
	}
}

func (s *searcher) found() []choice {
	slices.SortStableFunc(s.pool, byScore)
	if len(s.pool) == 0 && s.any {
		return []choice{s.nearest}
	}
	return s.pool
}

// byScore puts the best first; equal scores by place and order, so that the
// result does not hang on the order of discovery.
func byScore(a, b choice) int {
	switch {
	case a.score > b.score:
		return -1
	case a.score < b.score:
		return 1
	case a.place != b.place:
		return a.place - b.place
	}
	return slices.Compare(a.order, b.order)
}

func sameSet(a, b []int) bool {
	if len(a) != len(b) {
		return false
	}
	for _, x := range a {
		if !slices.Contains(b, x) {
			return false
		}
	}
	return true
}
