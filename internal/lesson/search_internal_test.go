package lesson

import (
	"flag"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

var seedFlag = flag.Uint64("seed", 20270304, "seed of the random tests")

// random draws a problem of places on a square of ten minutes' side: times are
// straight distances with a little of one-way streets.
func random(rng *rand.Rand, examples, places int) *problem {
	type at struct{ x, y float64 }
	draw := func() at { return at{rng.Float64() * 600, rng.Float64() * 600} }
	ms := func(a, b at) uint32 {
		if rng.IntN(20) == 0 {
			return never
		}
		return uint32(1000 * math.Hypot(a.x-b.x, a.y-b.y) * (1 + 0.3*rng.Float64()))
	}
	p := &problem{
		unsuitable: 2, suitable: 1, apartMs: 120000, budgetMs: 34 * 60000, restMs: 90000, restEveryMs: 750000,
		goMs: 240000, goesLeast: 2, goesMost: 6, weights: standard().Weights, judgements: standard().Search.Judgements, distinct: true,
	}
	start := draw()
	es, ps := make([]at, examples), make([]at, places)
	for i := range es {
		es[i] = draw()
		p.reach = append(p.reach, ms(start, es[i]))
		p.drive = append(p.drive, 8000)
		p.worth = append(p.worth, rng.Float64())
		p.reason = append(p.reason, 1+rng.IntN(4))
		p.suits = append(p.suits, i%3 == 0)
		p.road = append(p.road, rng.IntN(10))
		p.stretch = append(p.stretch, i)
	}
	for i := range ps {
		ps[i] = draw()
		p.home = append(p.home, [2]uint32{ms(ps[i], start), ms(ps[i], start)})
		p.round = append(p.round, uint32(rng.IntN(2)*rng.IntN(200000)))
		p.backup = append(p.backup, rng.IntN(5) > 0)
		p.place = append(p.place, 1.5*rng.Float64())
		p.at = append(p.at, rng.IntN(examples))
		p.beside = append(p.beside, rng.IntN(10))
	}
	for i := range es {
		row, arrive := make([]uint32, examples), make([]uint32, places)
		for j := range es {
			row[j] = ms(es[i], es[j])
		}
		for j := range ps {
			arrive[j] = ms(es[i], ps[j])
		}
		p.between, p.arrive = append(p.between, row), append(p.arrive, arrive)
	}
	return p
}

// On problems small enough to try everything, the search finds the best in at
// least 97 of 100, never a better one than there is, and never misses that
// there is one.
func TestSearchFindsTheBest(t *testing.T) {
	seed := *seedFlag
	t.Logf("seed %d", seed)
	s := standard().Search
	equal, feasible := 0, 0
	const problems = 200
	for i := range uint64(problems) {
		p := random(rand.New(rand.NewPCG(seed, i)), 8, 6)
		scores := append(p.all(), math.Inf(-1))
		want, found := scores[0], len(scores) > 1
		got := p.search(i, s.Restarts, s.Rounds, s.Finalists)
		has := len(got) > 0 && got[0].short == 0
		if has != found {
			t.Errorf("problem %d: search found a circuit: %v, there is one: %v", i, has, found)
		}
		if !found {
			continue
		}
		feasible++
		if has && got[0].score > want+1e-9 {
			t.Errorf("problem %d: search scores %v, the best there is is %v", i, got[0].score, want)
		}
		if has && got[0].score > want-1e-9 {
			equal++
		}
	}
	t.Logf("%d of %d feasible problems solved to the best", equal, feasible)
	if feasible < problems/4 {
		t.Errorf("only %d of %d problems are feasible: too few to tell", feasible, problems)
	}
	if equal*100 < feasible*97 {
		t.Errorf("the best found in %d of %d", equal, feasible)
	}
}

// The same seed gives the same finalists, whatever was searched before.
func TestSearchRepeats(t *testing.T) {
	p := random(rand.New(rand.NewPCG(*seedFlag, 1)), 30, 12)
	a, b := p.search(7, 4, 20, 8), p.search(7, 4, 20, 8)
	if len(a) == 0 || len(a) != len(b) {
		t.Fatalf("search gives %d and %d finalists", len(a), len(b))
	}
	for i := range a {
		if a[i].place != b[i].place || !slices.Equal(a[i].order, b[i].order) {
			t.Errorf("finalist %d is %v at %d and %v at %d", i, a[i].order, a[i].place, b[i].order, b[i].place)
		}
	}
}

func TestLesser(t *testing.T) {
	got := lesser(2, 1)
	want := [][2]int{{1, 1}, {0, 1}}
	if !slices.Equal(got, want) {
		t.Errorf("lesser(2, 1) = %v, want %v", got, want)
	}
	if got := lesser(1, 2); !slices.Equal(got, [][2]int{{1, 1}, {0, 2}, {0, 1}}) {
		t.Errorf("lesser(1, 2) = %v", got)
	}
}
