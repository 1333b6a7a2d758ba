// Package orienteer finds tours that collect as much reward as a budget of
// time allows: the orienteering problem (Golden, Levy and Vohra, "The
// orienteering problem", 1987), with what a lesson adds to it: phases that
// follow one another, stops that must be made, least gaps between some stops,
// and rewards that diminish within a group. It knows no roads.
//
// The method is iterated local search (Lourenço, Martin and Stützle, "Iterated
// local search", 2003): a part of the tour is destroyed and repaired by
// randomised insertion, the tour is shortened by 2-opt and or-opt, stops are
// replaced, and the result is kept if it is not much worse than the best
// known. For one seed and one number of iterations the tour is always the same.
package orienteer

import "fmt"

// Stop is one candidate of a tour.
type Stop struct {
	Reward  float64 // 0 or more
	Service int64   // time spent there, in the unit of Times
	Group   int     // stops of one group diminish each other's reward; below 0: none
	Phase   int     // phases are visited in rising order
	Must    bool    // a tour without it does not count
	Spaced  bool    // at least Problem.Gap between leaving one such stop and reaching the next
}

// Problem is one request. Times are of any unit, whole numbers.
type Problem struct {
	Stops []Stop
	// Times has len(Stops)+2 rows and columns: the stops, then the start, then
	// the end. It need not be symmetric, and should hold least times: where a
	// way round by a third stop is quicker than the direct one, the search may
	// miss a tour. Never marks what can't be driven.
	Times [][]int64
	// Budget bounds the sum of travel and service from start to end.
	Budget int64
	// Diminish[k] multiplies the reward of the k-th best stop of a group that
	// is visited; the last entry holds for all beyond. Empty: no diminishing.
	Diminish []float64
	// Overlap[i][j] is the reward lost when both stops are visited; nil for none.
	Overlap [][]float64
	Gap     int64
}

// Never is the time of what can't be driven.
const Never int64 = 1 << 50

// Tour is a solution. Order holds indices of stops; it may be empty.
type Tour struct {
	Order  []int
	Time   int64 // travel and service
	Reward float64
}

// Check reads a tour against its problem and says what it breaks; nil for a
// tour that keeps everything and states its time and reward truly. It shares
// no code with the search.
func (p *Problem) Check(t Tour) error {
	n := len(p.Stops)
	seen := map[int]bool{}
	at, clock, phase := n, int64(0), 0
	lastSpaced := int64(-1)
	best := map[int][]float64{}
	reward := 0.0
	for _, s := range t.Order {
		if s < 0 || s >= n || seen[s] {
			return fmt.Errorf("stop %d is visited twice or does not exist", s)
		}
		for o := range seen {
			if p.Overlap != nil {
				reward -= p.Overlap[s][o]
			}
		}
		seen[s] = true
		stop := p.Stops[s]
		clock += p.Times[at][s]
		if len(seen) > 1 && stop.Phase < phase {
			return fmt.Errorf("stop %d of phase %d comes after phase %d", s, stop.Phase, phase)
		}
		phase = stop.Phase
		if stop.Spaced {
			if lastSpaced >= 0 && clock-lastSpaced < p.Gap {
				return fmt.Errorf("stop %d comes %d after the one before, less than %d", s, clock-lastSpaced, p.Gap)
			}
			lastSpaced = clock + stop.Service
		}
		clock += stop.Service
		at = s
		if stop.Group < 0 || len(p.Diminish) == 0 {
			reward += stop.Reward
		} else {
			best[stop.Group] = append(best[stop.Group], stop.Reward)
		}
	}
	clock += p.Times[at][n+1]
	for _, rewards := range best {
		for k := range rewards {
			greatest := k
			for j := k; j < len(rewards); j++ {
				if rewards[j] > rewards[greatest] {
					greatest = j
				}
			}
			rewards[k], rewards[greatest] = rewards[greatest], rewards[k]
			reward += rewards[k] * p.Diminish[min(k, len(p.Diminish)-1)]
		}
	}
	for s, stop := range p.Stops {
		if stop.Must && !seen[s] {
			return fmt.Errorf("stop %d must be visited", s)
		}
	}
	switch {
	case clock != t.Time:
		return fmt.Errorf("the tour takes %d, not %d", clock, t.Time)
	case clock > p.Budget:
		return fmt.Errorf("the tour takes %d of %d", clock, p.Budget)
	case reward-t.Reward > 1e-6 || t.Reward-reward > 1e-6:
		return fmt.Errorf("the tour collects %g, not %g", reward, t.Reward)
	}
	return nil
}

// validate says what of a problem can't be meant.
func (p *Problem) validate() error {
	n := len(p.Stops)
	if len(p.Times) != n+2 {
		return fmt.Errorf("%d rows of times for %d stops, a start and an end", len(p.Times), n)
	}
	for i, row := range p.Times {
		if len(row) != n+2 {
			return fmt.Errorf("row %d of the times has %d entries, not %d", i, len(row), n+2)
		}
		for j, t := range row {
			if t < 0 || t > Never {
				return fmt.Errorf("time %d from %d to %d", t, i, j)
			}
		}
	}
	for i, s := range p.Stops {
		if s.Reward < 0 || s.Service < 0 || s.Reward != s.Reward {
			return fmt.Errorf("stop %d: reward %g, service %d", i, s.Reward, s.Service)
		}
	}
	for k := 1; k < len(p.Diminish); k++ {
		if p.Diminish[k] > p.Diminish[k-1] {
			return fmt.Errorf("the reward of a group may not grow with its number")
		}
	}
	return nil
}
