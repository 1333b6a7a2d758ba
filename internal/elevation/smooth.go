package elevation

// whittaker smooths equally spaced values by a curvature penalty: it finds the
// z that makes Σ wᵢ (zᵢ − yᵢ)² + λ Σ (zᵢ₋₁ − 2zᵢ + zᵢ₊₁)² least (Whittaker, "On a
// new method of graduation", 1923; the banded solution as in Eilers, "A perfect
// smoother", 2003). A weight of 0 lets a value be filled from its neighbours; a
// great one holds it.
//
// The matrix W + λ D'D has two bands beside the diagonal; it is factored once
// as L D L' and serves any right side, so that the same smoother can be asked
// what each raw value weighs in a result.
type whittaker struct {
	w       []float64
	d, e, f []float64 // D, and L's first and second bands
}

func newWhittaker(w []float64, lambda float64) *whittaker {
	n := len(w)
	s := &whittaker{w: w, d: make([]float64, n), e: make([]float64, n), f: make([]float64, n)}
	for i := range n {
		a := w[i] + lambda*curvature(i, i, n)
		b := lambda * curvature(i, i+1, n)
		c := lambda * curvature(i, i+2, n)
		if i >= 1 {
			a -= s.e[i-1] * s.e[i-1] * s.d[i-1]
			b -= s.e[i-1] * s.f[i-1] * s.d[i-1]
		}
		if i >= 2 {
			a -= s.f[i-2] * s.f[i-2] * s.d[i-2]
		}
		s.d[i], s.e[i], s.f[i] = a, b/a, c/a
	}
	return s
}

// curvature is an entry of D'D for second differences of n values.
func curvature(i, j, n int) float64 {
	if j >= n || n < 3 {
		return 0
	}
	stencil := [3]float64{1, -2, 1}
	sum := 0.0
	for r := max(0, j-2); r <= min(i, n-3); r++ {
		sum += stencil[i-r] * stencil[j-r]
	}
	return sum
}

// solve gives x of (W + λ D'D) x = b; b is left as it is.
func (s *whittaker) solve(b []float64) []float64 {
	n := len(b)
	x := make([]float64, n)
	for i := range n {
		x[i] = b[i]
		if i >= 1 {
			x[i] -= s.e[i-1] * x[i-1]
		}
		if i >= 2 {
			x[i] -= s.f[i-2] * x[i-2]
		}
	}
	for i := range n {
		x[i] /= s.d[i]
	}
	for i := n - 1; i >= 0; i-- {
		if i+1 < n {
			x[i] -= s.e[i] * x[i+1]
		}
		if i+2 < n {
			x[i] -= s.f[i] * x[i+2]
		}
	}
	return x
}

// smooth gives the smoothed values.
func (s *whittaker) smooth(y []float64) []float64 {
	b := make([]float64, len(y))
	for i := range y {
		b[i] = s.w[i] * y[i]
	}
	return s.solve(b)
}
