package orienteer

import (
	"errors"
	"slices"
)

// Options bound a search. At least one of the two must be set.
type Options struct {
	Seed       uint64
	Iterations int         // 0: no bound
	Stop       func() bool // asked between iterations; nil: never
}

// ErrNoTour says that no tour was found that visits every must within the budget.
var ErrNoTour = errors.New("no tour visits every stop that must be visited within the budget")

// Rates of the search; our choice, made while looking at runs of one second on
// the published instances, so that what is reported of those is not blind.
const (
	destroyShare   = 0.35 // of the tour, at the most
	repairNoise    = 0.5
	acceptShare    = 0.02 // how much worse than the best a tour may be to go on from it
	patience       = 400  // iterations without a better tour before going back to the best
	restartsToFall = 6    // returns to the best before starting afresh
	freshStops     = 3    // stops taken at random, at the most, to start afresh from
)

// Solve searches until a bound of the options is reached.
func Solve(p *Problem, o Options) (Tour, error) {
	if err := p.validate(); err != nil {
		return Tour{}, err
	}
	if o.Iterations == 0 && o.Stop == nil {
		return Tour{}, errors.New("a search needs a bound: iterations or a time to stop")
	}
	s := newSearch(p, o.Seed)
	s.fill(1, 0)
	s.improve(1, 0)
	best := s.snapshot()
	current, idle, returns := best, 0, 0
	for i := 0; (o.Iterations == 0 || i < o.Iterations) && (o.Stop == nil || !o.Stop()); i++ {
		s.set(current.order)
		s.destroy()
		power := 0.4 + 1.2*s.rng.Float64()
		s.improve(power, repairNoise)
		now := s.snapshot()
		idle++
		if now.betterThan(current) || s.acceptable(now, best) {
			current = now
		}
		if now.betterThan(best) {
			best, current, idle, returns = now, now, 0, 0
		}
		if idle > patience {
			idle = 0
			current = best
			if returns++; returns > restartsToFall {
				returns = 0
				s.set(nil)
				for range 1 + s.rng.IntN(freshStops) {
					s.force(int32(s.rng.IntN(s.n)))
				}
				s.improve(power, 1)
				current = s.snapshot()
			}
		}
	}
	if !best.complete || best.time > p.Budget {
		return Tour{}, ErrNoTour
	}
	out := Tour{Time: best.time, Reward: best.reward, Order: make([]int, len(best.order))}
	for k, x := range best.order {
		out.Order[k] = int(x)
	}
	return out, nil
}

// snapshot is a tour set aside.
type snapshot struct {
	order    []int32
	time     int64
	reward   float64
	complete bool // every must is visited
}

func (s *search) snapshot() snapshot {
	complete := true
	for x, stop := range s.p.Stops {
		complete = complete && (!stop.Must || s.pos[x] >= 0)
	}
	return snapshot{slices.Clone(s.order), s.time, s.reward(), complete}
}

func (a snapshot) betterThan(b snapshot) bool {
	switch {
	case a.complete != b.complete:
		return a.complete
	case a.reward > b.reward+1e-9:
		return true
	case a.reward < b.reward-1e-9:
		return false
	}
	return a.time < b.time
}

func (s *search) acceptable(now, best snapshot) bool {
	return now.complete == best.complete && now.reward >= best.reward*(1-acceptShare*s.rng.Float64())
}

// improve repairs, shortens, and repairs again while that helps.
func (s *search) improve(power, noise float64) {
	s.fill(power, noise)
	clear(s.held)
	for {
		s.shorten()
		n := len(s.order)
		s.fill(1, 0)
		if len(s.order) == n && !s.replace() {
			return
		}
	}
}

// destroy takes a part of the tour out, in one of four ways, and half the time
// keeps what it took out of the next repair's reach.
func (s *search) destroy() {
	k := len(s.order)
	if k == 0 {
		return
	}
	count := 1 + s.rng.IntN(max(1, int(destroyShare*float64(k))))
	hold := s.rng.IntN(2) == 0
	take := func(at int) {
		x := s.order[at]
		if s.p.Stops[x].Must {
			return
		}
		s.remove(at)
		s.held[x] = hold
	}
	switch s.rng.IntN(4) {
	case 3: // what a stop that is forced in pushes out
		s.force(int32(s.rng.IntN(s.n)))
	case 0: // a run
		from := s.rng.IntN(k)
		for i := min(from+count, k) - 1; i >= from; i-- {
			take(i)
		}
	case 1: // here and there
		for range count {
			if len(s.order) > 0 {
				take(s.rng.IntN(len(s.order)))
			}
		}
	case 2: // what lies about one stop, visited or not
		about := s.rng.IntN(s.n)
		for _, x := range s.near[about] {
			if count == 0 {
				break
			}
			if s.pos[x] >= 0 {
				take(int(s.pos[x]))
				count--
			}
		}
	}
	if !s.lawful() {
		s.set(nil) // a gap closed by what was taken out: begin again
	}
}

// force puts a stop into the tour wherever it costs least, and takes out what
// then gives the least for its time until the budget is kept again.
func (s *search) force(x int32) {
	if s.pos[x] >= 0 {
		return
	}
	if s.locate(x); s.at[x] < 0 || s.cost[x] >= Never {
		return
	}
	s.insert(x, int(s.at[x]))
	for s.time > s.p.Budget {
		worst, worstValue := -1, 0.0
		for k, y := range s.order {
			if y == x || s.p.Stops[y].Must {
				continue
			}
			s.pos[y] = -1
			v := s.gain(y) / (float64(max(s.saved(k), 0)) + 1)
			s.pos[y] = int32(k)
			if worst < 0 || v < worstValue {
				worst, worstValue = k, v
			}
		}
		if worst < 0 {
			s.remove(int(s.pos[x]))
			return
		}
		s.remove(worst)
	}
}
