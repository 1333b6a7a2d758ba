package orienteer

import (
	"flag"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"
)

var seed = flag.Uint64("seed", 1, "seed of the random tests")

// random makes a small problem with every kind of constraint now and then.
func random(rng *rand.Rand, n int) *Problem {
	type point struct{ x, y float64 }
	at := make([]point, n+2)
	for i := range at {
		at[i] = point{rng.Float64() * 100, rng.Float64() * 100}
	}
	p := &Problem{Budget: 150 + int64(rng.IntN(200)), Times: make([][]int64, n+2)}
	skew := float64(rng.IntN(2))
	for i := range at {
		p.Times[i] = make([]int64, n+2)
		for j := range at {
			p.Times[i][j] = int64(math.Hypot(at[i].x-at[j].x, at[i].y-at[j].y) * (1 + skew*0.3*rng.Float64()))
		}
	}
	for k := range at { // least times, as a search of roads gives them
		for i := range at {
			for j := range at {
				p.Times[i][j] = min(p.Times[i][j], p.Times[i][k]+p.Times[k][j])
			}
		}
	}
	grouped, phased, spaced := rng.IntN(2) == 0, rng.IntN(2) == 0, rng.IntN(3) == 0
	for i := range n {
		s := Stop{Reward: float64(1 + rng.IntN(20)), Service: int64(rng.IntN(10)), Group: -1}
		if grouped {
			s.Group = rng.IntN(4)
		}
		if phased {
			s.Phase = rng.IntN(2)
		}
		s.Spaced = spaced && rng.IntN(2) == 0
		s.Must = i == 0 && rng.IntN(4) == 0
		p.Stops = append(p.Stops, s)
	}
	if grouped {
		p.Diminish = []float64{1, 0.5, 0}
	}
	if spaced {
		p.Gap = int64(rng.IntN(40))
	}
	if rng.IntN(3) == 0 {
		p.Overlap = make([][]float64, n)
		for i := range n {
			p.Overlap[i] = make([]float64, n)
		}
		for i := range n {
			for j := range i {
				if rng.IntN(4) == 0 {
					o := float64(rng.IntN(5))
					p.Overlap[i][j], p.Overlap[j][i] = o, o
				}
			}
		}
	}
	return p
}

// exhaustive tries every order of every subset that the budget allows, with
// Check's own reading of reward and rules.
func exhaustive(p *Problem) (best float64, found bool) {
	n := len(p.Stops)
	var order []int
	used := make([]bool, n)
	var try func(clock int64)
	try = func(clock int64) {
		at := n
		if len(order) > 0 {
			at = order[len(order)-1]
		}
		t := Tour{Order: order, Time: clock + p.Times[at][n+1]}
		if t.Time <= p.Budget {
			t.Reward = collect(p, order)
			if p.Check(t) == nil && (!found || t.Reward > best) {
				best, found = t.Reward, true
			}
		}
		for s := range n {
			if next := clock + p.Times[at][s] + p.Stops[s].Service; !used[s] && next <= p.Budget {
				used[s] = true
				order = append(order, s)
				try(next)
				order = order[:len(order)-1]
				used[s] = false
			}
		}
	}
	try(0)
	return best, found
}

// collect is the reward of an order, written anew: rank by counting the better.
func collect(p *Problem, order []int) float64 {
	sum := 0.0
	for i, s := range order {
		rank := 0
		for j, o := range order {
			a, b := p.Stops[s], p.Stops[o]
			if a.Group >= 0 && a.Group == b.Group && (b.Reward > a.Reward || b.Reward == a.Reward && j < i) {
				rank++
			}
			if p.Overlap != nil && j < i {
				sum -= p.Overlap[s][o]
			}
		}
		f := 1.0
		if p.Stops[s].Group >= 0 && len(p.Diminish) > 0 {
			f = p.Diminish[min(rank, len(p.Diminish)-1)]
		}
		sum += f * p.Stops[s].Reward
	}
	return sum
}

func TestAgainstExhaustiveSearch(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seed, 1))
	const trials = 200
	optimal := 0
	for trial := range trials {
		p := random(rng, 3+rng.IntN(6))
		want, possible := exhaustive(p)
		got, err := Solve(p, Options{Seed: 1, Iterations: 400})
		if err != nil {
			if possible {
				t.Errorf("seed %d, trial %d: %v, but %g can be had", *seed, trial, err, want)
			}
			continue
		}
		if err := p.Check(got); err != nil {
			t.Fatalf("seed %d, trial %d: %v", *seed, trial, err)
		}
		if !possible || got.Reward > want+1e-9 {
			t.Fatalf("seed %d, trial %d: reward %g, but the best there is is %g (possible: %v)", *seed, trial, got.Reward, want, possible)
		}
		if got.Reward > want-1e-9 {
			optimal++
		} else {
			t.Logf("seed %d, trial %d: %g of %g", *seed, trial, got.Reward, want)
		}
	}
	t.Logf("seed %d: best tour found in %d of %d", *seed, optimal, trials)
	if optimal < trials*97/100 {
		t.Errorf("best tour found in %d of %d, want 97 %%", optimal, trials)
	}
}

func TestSameSeedSameTour(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seed, 2))
	for range 20 {
		p := random(rng, 30)
		a, errA := Solve(p, Options{Seed: 7, Iterations: 50})
		b, errB := Solve(p, Options{Seed: 7, Iterations: 50})
		if !reflect.DeepEqual(a, b) || (errA == nil) != (errB == nil) {
			t.Fatalf("seed %d: %v, %v and %v, %v", *seed, a, errA, b, errB)
		}
	}
}

// More budget never collects less, and a bound on time is kept at once.
func TestMoreBudgetNeverLess(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seed, 3))
	for range 30 {
		p := random(rng, 7)
		before := math.Inf(-1)
		for _, b := range []int64{100, 200, 300} {
			p.Budget = b
			got, err := Solve(p, Options{Seed: 1, Iterations: 400})
			if err != nil {
				continue
			}
			if got.Reward < before-1e-9 {
				t.Errorf("seed %d: budget %d collects %g, a smaller one %g", *seed, b, got.Reward, before)
			}
			before = got.Reward
		}
	}
	p := random(rng, 20)
	asked := 0
	if _, err := Solve(p, Options{Stop: func() bool { asked++; return true }}); err != nil && err != ErrNoTour {
		t.Fatal(err)
	}
	if asked != 1 {
		t.Errorf("asked %d times whether to stop, want once", asked)
	}
}

func TestCheckFindsFaults(t *testing.T) {
	p := &Problem{
		Stops:  []Stop{{Reward: 1, Group: -1, Phase: 1}, {Reward: 2, Group: -1, Must: true}, {Reward: 3, Group: -1, Service: 4}},
		Times:  [][]int64{{0, 1, 1, 1, 1}, {1, 0, 1, 1, 1}, {1, 1, 0, 1, 1}, {1, 1, 1, 0, 1}, {1, 1, 1, 1, 0}},
		Budget: 9,
	}
	if err := p.Check(Tour{Order: []int{1, 0}, Time: 3, Reward: 3}); err != nil {
		t.Errorf("a good tour: %v", err)
	}
	for name, bad := range map[string]Tour{
		"twice":         {Order: []int{1, 1}, Time: 3, Reward: 4},
		"a stop of air": {Order: []int{9}, Time: 3, Reward: 4},
		"phases":        {Order: []int{0, 1}, Time: 3, Reward: 3},
		"no must":       {Order: []int{2}, Time: 6, Reward: 3},
		"time":          {Order: []int{1, 0}, Time: 2, Reward: 3},
		"reward":        {Order: []int{1, 0}, Time: 3, Reward: 4},
	} {
		if p.Check(bad) == nil {
			t.Errorf("%s: not found", name)
		}
	}
	p.Budget = 2
	if p.Check(Tour{Order: []int{1, 0}, Time: 3, Reward: 3}) == nil {
		t.Error("over the budget: not found")
	}
}

func TestSolveRefusesWhatCanNotBeMeant(t *testing.T) {
	good := func() *Problem {
		return &Problem{Stops: []Stop{{Reward: 1, Group: -1}}, Times: [][]int64{{0, 1, 1}, {1, 0, 1}, {1, 1, 0}}, Budget: 5}
	}
	for name, spoil := range map[string]func(*Problem, *Options){
		"too few rows":       func(p *Problem, _ *Options) { p.Times = p.Times[:2] },
		"a short row":        func(p *Problem, _ *Options) { p.Times[1] = nil },
		"a negative time":    func(p *Problem, _ *Options) { p.Times[0][1] = -1 },
		"a negative reward":  func(p *Problem, _ *Options) { p.Stops[0].Reward = -1 },
		"no reward at all":   func(p *Problem, _ *Options) { p.Stops[0].Reward = math.NaN() },
		"growing groups":     func(p *Problem, _ *Options) { p.Diminish = []float64{1, 2} },
		"a search unbounded": func(_ *Problem, o *Options) { o.Iterations = 0 },
	} {
		p, o := good(), Options{Iterations: 5}
		if _, err := Solve(p, o); err != nil {
			t.Fatal(err)
		}
		spoil(p, &o)
		if _, err := Solve(p, o); err == nil {
			t.Errorf("%s: not refused", name)
		}
	}
	p := good()
	p.Stops[0].Must, p.Budget = true, 1
	if _, err := Solve(p, Options{Iterations: 5}); err != ErrNoTour {
		t.Errorf("a must out of reach: %v, want ErrNoTour", err)
	}
}

// Six of the published instances by iterations, so that the result is the same
// on every machine; all 54 by time stand in the long tests.
func TestSixPublishedInstances(t *testing.T) {
	wanted := map[string]bool{"berlin52-gen1": true, "eil51-gen2": true, "st70-gen1": true, "eil76-gen2": true, "kroA100-gen2": true, "pr107-gen1": true}
	sum := 0.0
	for _, in := range readInstances(t) {
		if !wanted[in.name] {
			continue
		}
		delete(wanted, in.name)
		tour, err := Solve(in.p, Options{Seed: 1, Iterations: 2000})
		if err != nil {
			t.Fatalf("%s: %v", in.name, err)
		}
		if err := in.p.Check(tour); err != nil {
			t.Fatalf("%s: %v", in.name, err)
		}
		gap := math.Max(0, (in.best-tour.Reward-in.home)/in.best)
		sum += gap
		t.Logf("%s: %g of %g", in.name, tour.Reward+in.home, in.best)
		if gap > 0.05 {
			t.Errorf("%s: %g of %g, want within 5 %%", in.name, tour.Reward+in.home, in.best)
		}
	}
	if len(wanted) > 0 {
		t.Fatalf("not in the set: %v", wanted)
	}
	if sum/6 > 0.01 {
		t.Errorf("mean gap %.2f %%, want at most 1 %%", 100*sum/6)
	}
}

// BenchmarkSolve reports the time of one iteration on a hundred stops.
func BenchmarkSolve(b *testing.B) {
	p := random(rand.New(rand.NewPCG(1, 4)), 100)
	for b.Loop() {
		if _, err := Solve(p, Options{Seed: 1, Iterations: 100}); err != nil && err != ErrNoTour {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/100, "µs/iteration")
}
