package orienteer

import "math/rand/v2"

// search holds the tour being worked on and what makes its moves cheap.
type search struct {
	p     *Problem
	n     int
	start int32
	end   int32
	t     []int64 // times, flat, (n+2)²
	w     int     // row width of t

	symmetric   bool
	constrained bool      // phases or gaps: a change of order needs a look at the whole tour
	members     [][]int32 // by group: its stops
	near        [][]int32 // by stop: the other stops, nearest first

	rng *rand.Rand

	order []int32 // the tour without start and end
	pos   []int32 // by stop: index in order, or −1
	time  int64   // travel and service

	// by stop, for the insertion in hand
	cost    []int64 // least extra time of an unvisited stop, ≥ Never if none
	at      []int32 // index in order before which it goes
	held    []bool  // kept out for this repair
	scratch []int32
	queue   []float64
}

func newSearch(p *Problem, seed uint64) *search {
	n := len(p.Stops)
	s := &search{p: p, n: n, start: int32(n), end: int32(n + 1), w: n + 2,
		rng: rand.New(rand.NewPCG(seed, 0x10095)),
		pos: make([]int32, n), cost: make([]int64, n), at: make([]int32, n), held: make([]bool, n)}
	s.t = make([]int64, s.w*s.w)
	s.symmetric = true
	for i, row := range p.Times {
		copy(s.t[i*s.w:], row)
	}
	for i := range n {
		for j := range i {
			if s.t[i*s.w+j] != s.t[j*s.w+i] {
				s.symmetric = false
			}
		}
	}
	groups := 0
	for _, stop := range p.Stops {
		groups = max(groups, stop.Group+1)
		if stop.Phase != p.Stops[0].Phase || stop.Spaced && p.Gap > 0 {
			s.constrained = true
		}
	}
	s.members = make([][]int32, groups)
	for i, stop := range p.Stops {
		s.pos[i] = -1
		if stop.Group >= 0 {
			s.members[stop.Group] = append(s.members[stop.Group], int32(i))
		}
	}
	s.near = nearest(s)
	s.time = s.d(s.start, s.end)
	return s
}

func (s *search) d(i, j int32) int64 { return s.t[int(i)*s.w+int(j)] }

// node is the k-th of the tour; −1 is the start, len(order) the end.
func (s *search) node(k int) int32 {
	switch {
	case k < 0:
		return s.start
	case k >= len(s.order):
		return s.end
	}
	return s.order[k]
}

// extra is the time that a stop adds before index k of the tour.
func (s *search) extra(stop int32, k int) int64 {
	a, b := s.node(k-1), s.node(k)
	return s.d(a, stop) + s.d(stop, b) - s.d(a, b) + s.p.Stops[stop].Service
}

// saved is the time that taking out index k frees.
func (s *search) saved(k int) int64 {
	a, x, b := s.node(k-1), s.order[k], s.node(k+1)
	return s.d(a, x) + s.d(x, b) - s.d(a, b) + s.p.Stops[x].Service
}

func (s *search) insert(stop int32, k int) {
	s.time += s.extra(stop, k)
	s.order = append(s.order, 0)
	copy(s.order[k+1:], s.order[k:])
	s.order[k] = stop
	s.renumber(k, len(s.order))
}

func (s *search) remove(k int) {
	s.time -= s.saved(k)
	s.pos[s.order[k]] = -1
	s.order = append(s.order[:k], s.order[k+1:]...)
	s.renumber(k, len(s.order))
}

func (s *search) renumber(from, to int) {
	for k := from; k < to; k++ {
		s.pos[s.order[k]] = int32(k)
	}
}

// set makes an order the tour.
func (s *search) set(order []int32) {
	for _, x := range s.order {
		s.pos[x] = -1
	}
	s.order = append(s.order[:0], order...)
	s.renumber(0, len(s.order))
	s.time = 0
	for k := 0; k <= len(s.order); k++ {
		s.time += s.d(s.node(k-1), s.node(k))
		if k < len(s.order) {
			s.time += s.p.Stops[s.order[k]].Service
		}
	}
}

// lawful reads phases and gaps over the whole tour.
func (s *search) lawful() bool {
	if !s.constrained {
		return true
	}
	clock, last := int64(0), int64(-1)
	for k, x := range s.order {
		stop := &s.p.Stops[x]
		if k > 0 && stop.Phase < s.p.Stops[s.order[k-1]].Phase {
			return false
		}
		clock += s.d(s.node(k-1), x)
		if stop.Spaced {
			if last >= 0 && clock-last < s.p.Gap {
				return false
			}
			last = clock + stop.Service
		}
		clock += stop.Service
	}
	return true
}

// gain is the reward that visiting an unvisited stop adds, the others as they
// are.
func (s *search) gain(x int32) float64 {
	stop := &s.p.Stops[x]
	g := stop.Reward
	if stop.Group >= 0 && len(s.p.Diminish) > 0 {
		g = s.groupReward(stop.Group, x, -1) - s.groupReward(stop.Group, -1, -1)
	}
	if s.p.Overlap != nil {
		row := s.p.Overlap[x]
		for _, o := range s.order {
			if s.pos[o] >= 0 {
				g -= row[o]
			}
		}
	}
	return g
}

// groupReward sums a group's visited stops, with one more and without another.
func (s *search) groupReward(group int, with, without int32) float64 {
	s.queue = s.queue[:0]
	for _, m := range s.members[group] {
		if (s.pos[m] >= 0 || m == with) && m != without {
			r := s.p.Stops[m].Reward
			s.queue = append(s.queue, r)
			for k := len(s.queue) - 1; k > 0 && s.queue[k-1] < r; k-- {
				s.queue[k-1], s.queue[k] = s.queue[k], s.queue[k-1]
			}
		}
	}
	sum := 0.0
	for k, r := range s.queue {
		sum += r * s.p.Diminish[min(k, len(s.p.Diminish)-1)]
	}
	return sum
}

// reward sums the whole tour.
func (s *search) reward() float64 {
	sum := 0.0
	for k, x := range s.order {
		stop := &s.p.Stops[x]
		if stop.Group < 0 || len(s.p.Diminish) == 0 {
			sum += stop.Reward
		}
		if s.p.Overlap != nil {
			for _, o := range s.order[:k] {
				sum -= s.p.Overlap[x][o]
			}
		}
	}
	if len(s.p.Diminish) > 0 {
		for g := range s.members {
			sum += s.groupReward(g, -1, -1)
		}
	}
	return sum
}
