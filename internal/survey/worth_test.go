package survey

import (
	"math"
	"math/rand/v2"
	"testing"

	"loopwright/internal/assess"
	"loopwright/internal/notes"
)

// What a road adds to a set, and what one of it adds to the others, are the
// differences of the worth of whole sets.
func TestAddingAndLosingAreDifferences(t *testing.T) {
	const seed, n = 2, 30
	random := rand.New(rand.NewPCG(seed, 1))
	v := &worth{doubts: make([]doubt, n), noise: make([]float64, n), cov: make([]float64, n*n)}
	at := make([]float64, n)
	for i := range n {
		v.doubts[i].byWidth = random.Float64() / 8
		v.doubts[i].told = v.doubts[i].byWidth + random.Float64()/8
		v.doubts[i].alike = assess.Likeness{Usual: 5.5, Spread: 1.2}
		v.noise[i] = v.doubts[i].noise(notes.ByEye)
		at[i] = random.Float64() * 4
		for j := range i {
			v.cov[i*n+j] = 0.8 * math.Exp(-math.Abs(at[i]-at[j]))
			v.cov[j*n+i] = v.cov[i*n+j]
		}
		v.cov[i*n+i] = 1
	}
	set := []int{3, 8, 21, 4, 15, 29}
	k := v.knowing(set)
	for h := range set {
		rest := append(append([]int(nil), set[:h]...), set[h+1:]...)
		if got, want := k.losing(h), k.sum()-v.knowing(rest).sum(); math.Abs(got-want) > 1e-9 {
			t.Errorf("seed %d: losing %d is worth %v, want %v", seed, set[h], got, want)
		}
	}
	for i := range n {
		want := 0.0
		if !k.in[i] {
			want = v.knowing(append(append([]int(nil), set...), i)).sum() - k.sum()
		}
		if got := k.adding(i); math.Abs(got-want) > 1e-9 {
			t.Errorf("seed %d: adding %d is worth %v, want %v", seed, i, got, want)
		}
	}
}

// What a yes or no settles is the fall of the Brier score over many roads of which
// as many suit as is said; where the map is surer than the instructor it is nothing.
func TestSettledIsTheExpectedFall(t *testing.T) {
	const seed, roads, right = 6, 200000, 0.9
	random := rand.New(rand.NewPCG(seed, 1))
	for _, p := range []float64{0.2, 0.35, 0.5, 0.7} {
		fall := 0.0
		for range roads {
			truth, says := 0.0, random.Float64() < right
			if random.Float64() < p {
				truth = 1
			} else {
				says = !says
			}
			after := p * (1 - right)
			if says {
				after = right
			}
			fall += ((p-truth)*(p-truth) - (after-truth)*(after-truth)) / roads
		}
		if got := settled(p, right); math.Abs(got-fall) > 0.005 {
			t.Errorf("seed %d: settled(%v) = %v, drawn %v", seed, p, got, fall)
		}
	}
	for _, p := range []float64{0.2, 0.5, 0.7} {
		after := 0.0
		for _, says := range [2]float64{right, 1 - right} { // the chance of what is said, were it true that the road suits
			said := says*p + (1-says)*(1-p)
			chance := says * p / said
			after += said * chance * (1 - chance)
		}
		if got, want := resolved(p, right), p*(1-p)-after; math.Abs(got-want) > 1e-12 || got < settled(p, right)-1e-12 {
			t.Errorf("resolved(%v) = %v, want %v", p, got, want)
		}
	}
	for _, p := range []float64{0, 0.03, 1} {
		if got := settled(p, right); got != 0 {
			t.Errorf("settled(%v) = %v, want nothing", p, got)
		}
	}
}
