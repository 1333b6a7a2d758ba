package lesson

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// all lists the scores of every order of every choice that keeps the musts, the
// best first.
func (p *problem) all() []float64 {
	var scores []float64
	var order []int
	var try func(unsuitable, suitable int)
	try = func(unsuitable, suitable int) {
		if unsuitable == 0 && suitable == 0 {
			for place := range p.place {
				if c := p.judge(order, place); p.backup[place] && c.short == 0 {
					scores = append(scores, c.score)
				}
			}
			return
		}
		for e := range p.worth {
			if slices.Contains(order, e) || p.suits[e] && suitable == 0 || !p.suits[e] && unsuitable == 0 {
				continue
			}
			order = append(order, e)
			if p.suits[e] {
				try(unsuitable, suitable-1)
			} else {
				try(unsuitable-1, suitable)
			}
			order = order[:len(order)-1]
		}
	}
	try(p.unsuitable, p.suitable)
	slices.SortFunc(scores, func(a, b float64) int { return cmp.Compare(b, a) })
	return scores
}

// On problems of all kinds the choices come from the best down, none left out
// and none made up, and what is to come never exceeds the limit. With rests to
// take, none is worth more than without.
func TestRankedLeavesNoneOut(t *testing.T) {
	seed := *seedFlag
	t.Logf("seed %d", seed)
	choices := 0
	for i := range uint64(150) {
		rng := rand.New(rand.NewPCG(seed, i))
		p := random(rng, 8, 6)
		p.unsuitable, p.suitable = rng.IntN(4), 1+rng.IntN(2)
		p.distinct, p.mixed = rng.IntN(3) > 0, rng.IntN(3) == 0
		p.budgetMs = int64(20+rng.IntN(30)) * 60000
		for e := range p.stretch {
			p.stretch[e] = rng.IntN(12)
		}
		rested := p.all()
		p.restMs = 0
		want := p.all()
		if len(rested) > 0 && rested[0] > want[0] {
			t.Errorf("problem %d: a choice with rests is worth %v, without them %v at the most", i, rested[0], want[0])
		}
		floor := math.Inf(-1)
		if len(want) > 50 {
			floor = want[50]
		}
		k := rank(p, floor, 1e6)
		for _, w := range want {
			if w <= floor {
				break
			}
			limit := k.limit()
			c, ok := k.next(floor)
			if !ok || math.Abs(c.score-w) > 1e-9 || limit < w-1e-9 {
				t.Fatalf("problem %d: the next choice is %v %v below %v, want one of %v", i, c, ok, limit, w)
			}
			if again := p.judge(c.order, c.place); again.score != c.score {
				t.Errorf("problem %d: choice %v is judged %v", i, c, again.score)
			}
			choices++
		}
		if c, ok := k.next(floor); ok {
			t.Errorf("problem %d: %v is left over", i, c)
		}
	}
	if choices < 2000 {
		t.Errorf("only %d choices compared: too few to tell", choices)
	}
}

// Cut short, it still says what the rest can't exceed.
func TestRankedIsCutShort(t *testing.T) {
	p := random(rand.New(rand.NewPCG(*seedFlag, 3)), 12, 6)
	p.restMs = 0
	best := p.all()[0]
	for steps := range 40 {
		k := rank(p, math.Inf(-1), steps)
		c, ok := k.next(math.Inf(-1))
		if ok && math.Abs(c.score-best) > 1e-9 {
			t.Errorf("in %d steps: %v, want %v", steps, c.score, best)
		}
		if !ok && k.limit() < best-1e-9 {
			t.Errorf("in %d steps: the limit is %v, the best is %v", steps, k.limit(), best)
		}
	}
}
