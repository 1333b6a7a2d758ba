package survey

import (
	"math"
	"math/rand/v2"
	"testing"
)

// What a road adds to a set, and what one of it adds to the others, are the
// differences of the worth of whole sets.
func TestAddingAndLosingAreDifferences(t *testing.T) {
	const seed, n = 2, 30
	random := rand.New(rand.NewPCG(seed, 1))
	v := &worth{doubts: make([]doubt, n), told: 0.85, noise: 0.3, cov: make([]float64, n*n)}
	at := make([]float64, n)
	for i := range n {
		v.doubts[i].byWidth = random.Float64() / 8
		v.doubts[i].own = v.doubts[i].byWidth + random.Float64()/8
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
