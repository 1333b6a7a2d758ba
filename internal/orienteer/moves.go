package orienteer

import (
	"cmp"
	"math"
	"slices"
)

// nearest lists for each stop the others by the time to them.
func nearest(s *search) [][]int32 {
	near := make([][]int32, s.n)
	for i := range s.n {
		list := make([]int32, 0, s.n)
		for j := range s.n {
			if j != i {
				list = append(list, int32(j))
			}
		}
		slices.SortFunc(list, func(a, b int32) int {
			return cmp.Or(cmp.Compare(s.d(int32(i), a), s.d(int32(i), b)), cmp.Compare(a, b))
		})
		near[i] = list
	}
	return near
}

// locate finds the cheapest lawful place of an unvisited stop.
func (s *search) locate(x int32) {
	s.cost[x], s.at[x] = 2*Never, -1
	for k := 0; k <= len(s.order); k++ {
		if c := s.extra(x, k); c < s.cost[x] && s.fits(x, k) {
			s.cost[x], s.at[x] = c, int32(k)
		}
	}
}

// fits says whether a stop may stand before index k as far as phases and gaps go.
func (s *search) fits(x int32, k int) bool {
	if !s.constrained {
		return true
	}
	phase := s.p.Stops[x].Phase
	if k > 0 && s.p.Stops[s.order[k-1]].Phase > phase || k < len(s.order) && s.p.Stops[s.order[k]].Phase < phase {
		return false
	}
	if s.p.Gap == 0 {
		return true
	}
	clock, last := int64(0), int64(-1)
	before := s.start
	for i := 0; i <= len(s.order); i++ {
		for step := 0; step < 2; step++ {
			y := x
			if step == 1 {
				if i == len(s.order) {
					break
				}
				y = s.order[i]
			} else if i != k {
				continue
			}
			clock += s.d(before, y)
			stop := &s.p.Stops[y]
			if stop.Spaced {
				if last >= 0 && clock-last < s.p.Gap {
					return false
				}
				last = clock + stop.Service
			}
			clock += stop.Service
			before = y
		}
	}
	return true
}

// fill inserts stops while the budget lasts. The next one has the most reward
// for its time to a power, each choice shaken by noise.
func (s *search) fill(power, noise float64) {
	for x := range int32(s.n) {
		if s.pos[x] < 0 && !s.held[x] {
			s.locate(x)
		}
	}
	for {
		best, bestValue := int32(-1), 0.0
		slack := s.p.Budget - s.time
		for x := range int32(s.n) {
			if s.pos[x] >= 0 || s.held[x] || s.cost[x] > slack || s.at[x] < 0 {
				continue
			}
			g := s.gain(x)
			if s.p.Stops[x].Must {
				g += 1e9
			}
			if g <= 0 {
				continue
			}
			v := g / math.Pow(float64(max(s.cost[x], 0))+1, power)
			if noise > 0 {
				v *= 1 + noise*(2*s.rng.Float64()-1)
			}
			if v > bestValue {
				best, bestValue = x, v
			}
		}
		if best < 0 {
			return
		}
		k := int(s.at[best])
		s.insert(best, k)
		s.relocate(k)
	}
}

// relocate brings the cheapest places up to date after an insertion at k.
func (s *search) relocate(k int) {
	for x := range int32(s.n) {
		if s.pos[x] >= 0 || s.held[x] {
			continue
		}
		if s.constrained {
			s.locate(x)
			continue
		}
		switch at := int(s.at[x]); {
		case at == k || at < 0:
			s.locate(x)
			continue
		case at > k:
			s.at[x]++
		}
		for _, i := range [2]int{k, k + 1} {
			if c := s.extra(x, i); c < s.cost[x] {
				s.cost[x], s.at[x] = c, int32(i)
			}
		}
	}
}

// shorten lowers the time of the tour by 2-opt (where times are symmetric) and
// or-opt (runs of up to three stops moved, turned round where that is lawful)
// until no move helps.
func (s *search) shorten() {
	for s.orOpt() || s.symmetric && s.twoOpt() {
	}
}

// twoOpt turns round runs of the tour (Croes, "A method for solving
// traveling-salesman problems", 1958).
func (s *search) twoOpt() bool {
	improved := false
	for i := 0; i < len(s.order)-1; i++ {
		a := s.node(i - 1)
		for j := i + 1; j < len(s.order); j++ {
			b, c, d := s.order[i], s.order[j], s.node(j+1)
			delta := s.d(a, c) + s.d(b, d) - s.d(a, b) - s.d(c, d)
			if delta >= 0 {
				continue
			}
			slices.Reverse(s.order[i : j+1])
			if !s.lawful() {
				slices.Reverse(s.order[i : j+1])
				continue
			}
			s.renumber(i, j+1)
			s.time += delta
			improved = true
		}
	}
	return improved
}

// orOpt moves runs of up to three stops (Or, "Traveling salesman-type
// combinatorial problems", 1976).
func (s *search) orOpt() bool {
	improved := false
	for length := 1; length <= 3; length++ {
		for i := 0; i+length <= len(s.order); i++ {
			a, first, last, b := s.node(i-1), s.order[i], s.order[i+length-1], s.node(i+length)
			freed := s.d(a, first) + s.d(last, b) - s.d(a, b)
			if freed <= 0 {
				continue
			}
			bestDelta, bestAt, bestTurned := int64(0), -1, false
			for k := 0; k <= len(s.order); k++ {
				if k >= i && k <= i+length {
					continue
				}
				u, v := s.node(k-1), s.node(k)
				gap := s.d(u, v)
				if delta := s.d(u, first) + s.d(last, v) - gap - freed; delta < bestDelta {
					bestDelta, bestAt, bestTurned = delta, k, false
				}
				if s.symmetric {
					if delta := s.d(u, last) + s.d(first, v) - gap - freed; delta < bestDelta {
						bestDelta, bestAt, bestTurned = delta, k, true
					}
				}
			}
			if bestAt < 0 {
				continue
			}
			s.scratch = append(s.scratch[:0], s.order...)
			s.move(i, length, bestAt, bestTurned)
			if !s.lawful() {
				copy(s.order, s.scratch)
				continue
			}
			s.renumber(0, len(s.order))
			s.time += bestDelta
			improved = true
		}
	}
	return improved
}

// move takes the run of length at i out and puts it before index k.
func (s *search) move(i, length, k int, turned bool) {
	run := append([]int32(nil), s.order[i:i+length]...)
	if turned {
		slices.Reverse(run)
	}
	if k > i {
		copy(s.order[i:], s.order[i+length:k])
		copy(s.order[k-length:], run)
	} else {
		copy(s.order[k+length:], s.order[k:i])
		copy(s.order[k:], run)
	}
}

// replace swaps a visited stop for an unvisited one where that collects more,
// or as much in less time. It needs the cheapest places that fill left behind,
// and says whether it changed the tour.
func (s *search) replace() bool {
	if s.constrained {
		return s.replaceSlowly()
	}
	slack := s.p.Budget - s.time
	for k := 0; k < len(s.order); k++ {
		out := s.order[k]
		if s.p.Stops[out].Must {
			continue
		}
		a, b := s.node(k-1), s.node(k+1)
		freed, joined := s.saved(k), s.d(a, b)
		s.pos[out] = -1 // so that gains are those without it
		lost := s.gain(out)
		best, bestGain, bestCost, bestAt := int32(-1), lost, freed, 0
		for x := range int32(s.n) {
			if s.pos[x] >= 0 || x == out {
				continue
			}
			c, at := s.d(a, x)+s.d(x, b)-joined+s.p.Stops[x].Service, k
			if y := int(s.at[x]); s.cost[x] < c && y >= 0 && y != k && y != k+1 {
				if c, at = s.cost[x], y; y > k {
					at--
				}
			}
			if c-freed > slack || c > bestCost && s.p.Stops[x].Reward <= lost && s.plain() {
				continue
			}
			if g := s.gain(x); g > bestGain || g == bestGain && c < bestCost {
				best, bestGain, bestCost, bestAt = x, g, c, at
			}
		}
		s.pos[out] = int32(k)
		if best >= 0 {
			s.remove(k)
			s.insert(best, bestAt)
			return true
		}
	}
	return false
}

// plain is true where a stop's gain is its reward whatever else is visited.
func (s *search) plain() bool { return s.p.Overlap == nil && len(s.p.Diminish) == 0 }

// replaceSlowly is replace where phases or gaps make every place a matter of
// the whole tour.
func (s *search) replaceSlowly() bool {
	for k := 0; k < len(s.order); k++ {
		out := s.order[k]
		if s.p.Stops[out].Must {
			continue
		}
		bestCost := s.saved(k)
		s.remove(k)
		bestGain := s.gain(out)
		best, slack := int32(-1), s.p.Budget-s.time
		for x := range int32(s.n) {
			if s.pos[x] >= 0 || x == out {
				continue
			}
			g := s.gain(x)
			if g < bestGain {
				continue
			}
			s.locate(x)
			if c := s.cost[x]; s.at[x] >= 0 && c <= slack && (g > bestGain || c < bestCost) {
				best, bestGain, bestCost = x, g, c
			}
		}
		if best >= 0 {
			s.insert(best, int(s.at[best]))
			return true
		}
		s.insert(out, k)
	}
	return false
}
