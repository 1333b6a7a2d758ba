package assess

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The figures of the normal distribution are those of any printed table
// (Abramowitz and Stegun, Handbook of Mathematical Functions, 1964, table
// 26.1): Q(0.5) = 0.30854, Q(1) = 0.15866, Q(1.2816) = 0.1.
func TestShareOfPublishedTails(t *testing.T) {
	step := []point{{at: 6.1, share: 0}, {at: 6.1, share: 1}}
	cases := []struct{ mean, sd, want float64 }{
		{5.5, 1.2, 0.30854}, // the usual British residential road against 6.1 m
		{6.1, 0.3, 0.5},
		{4.9, 1.2, 0.15866},
		{6.1 - 1.2816, 1, 0.1},
		{6.2, 0, 1},
		{6.0, 0, 0},
	}
	for _, c := range cases {
		if got := shareOf(step, c.mean, c.sd); math.Abs(got-c.want) > 2e-5 {
			t.Errorf("shareOf(step at 6.1, %v, %v) = %v, want %v", c.mean, c.sd, got, c.want)
		}
	}
}

// The oracle adds up 200,000 slices of the density.
func TestShareOfAgainstSum(t *testing.T) {
	shapes := map[string][]point{
		"width":    {{at: 4.9, share: 0}, {at: 4.9, share: 0.3}, {at: 6.1, share: 0.3}, {at: 6.1, share: 1}},
		"junction": {{at: 10, share: 0}, {at: 40, share: 1}},
		"bend":     {{at: 12, share: 1}, {at: 27, share: 0}},
		"hump":     {{at: 0, share: 0.2}, {at: 3, share: 0.9}, {at: 5, share: 0.9}, {at: 9, share: 0.1}},
	}
	rng := rand.New(rand.NewPCG(7, 11))
	for name, points := range shapes {
		for range 20 {
			mean, sd := rng.Float64()*45, 0.2+rng.Float64()*6
			want := 0.0
			const slices = 200000
			for i := range slices {
				z := (float64(i)+0.5)/slices*16 - 8
				want += shareAt(points, mean+sd*z) * math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) * 16 / slices
			}
			if got := shareOf(points, mean, sd); math.Abs(got-want) > 1e-4 {
				t.Errorf("seed 7,11: shareOf(%s, %.3f, %.3f) = %.6f, sum gives %.6f", name, mean, sd, got, want)
			}
		}
	}
}

// For two criteria each of chance 1/2 the orthant probability is known:
// 1/4 + arcsin ρ / 2π (Sheppard, "On the application of the theory of error to
// cases of normal distribution and normal correlation", 1899).
func TestTogetherSheppard(t *testing.T) {
	for _, rho := range []float64{0, 0.1, 0.3, 0.5, 0.7, 0.9} {
		want := 0.25 + math.Asin(rho)/(2*math.Pi)
		if got := together([]float64{0.5, 0.5}, rho); math.Abs(got-want) > 1e-4 {
			t.Errorf("together(½, ½; %v) = %.6f, want %.6f", rho, got, want)
		}
	}
	// For three it is 1/8 + 3 arcsin ρ / 4π (same paper).
	for _, rho := range []float64{0, 0.4, 0.8} {
		want := 0.125 + 3*math.Asin(rho)/(4*math.Pi)
		if got := together([]float64{0.5, 0.5, 0.5}, rho); math.Abs(got-want) > 1e-4 {
			t.Errorf("together(½, ½, ½; %v) = %.6f, want %.6f", rho, got, want)
		}
	}
}

// Whatever the correlation, all together is at most the least chance and, since
// correlations are not negative, at least the product; it rises with each.
func TestTogetherBounds(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	for range 500 {
		ps := make([]float64, 1+rng.IntN(mostInGroup))
		product, least := 1.0, 1.0
		for i := range ps {
			ps[i] = math.Round(rng.Float64()*1e4) / 1e4
			product *= ps[i]
			least = min(least, ps[i])
		}
		rho := rng.Float64() * 0.9
		got := together(ps, rho)
		if got > least+1e-4 || got < product-1e-4 {
			t.Fatalf("seed 3,5: together(%v; %.3f) = %v, want within [%v, %v]", ps, rho, got, product, least)
		}
		i := rng.IntN(len(ps))
		ps[i] = min(ps[i]+0.05, 1)
		if more := together(ps, rho); more < got-1e-9 {
			t.Fatalf("seed 3,5: together(%v; %.3f) = %v after raising chance %d, was %v", ps, rho, more, i, got)
		}
	}
}

// Both quadratures give the same for as many criteria as a group may have, and
// for equal chances the values of a single normal variable where the
// correlation leaves nothing to each.
func TestThroughoutIsTogether(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 14))
	for range 200 {
		ps := make([]float64, 2+rng.IntN(mostInGroup-1))
		for i := range ps {
			ps[i] = rng.Float64()
		}
		rho := 0.5 * rng.Float64()
		want := together(ps, rho)
		if got := throughout(append([]float64(nil), ps...), rho); math.Abs(got-want) > 1e-3 {
			t.Errorf("seed 3,14: throughout(%v, %v) = %v, together says %v", ps, rho, got, want)
		}
	}
	if got := throughout([]float64{0.5, 1, 1}, 0.3); got != 0.5 {
		t.Errorf("with certain things = %v, want 0.5", got)
	}
	if got := throughout([]float64{0.9, 0}, 0.3); got != 0 {
		t.Errorf("with an impossible thing = %v, want 0", got)
	}
}
