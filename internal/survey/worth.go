package survey

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"

	"loopwright/internal/notes"
)

// worth reckons the expected fall of the area's summed Brier score. Knowing a
// value falls it by the variance that this explains (Murphy, "A new vector
// partition of the probability score", 1973: the resolution):
//
//	a road's own kerbs   what a yes or no settles of them (settled)
//	any other stretch    w · (2/π) asin R²
//
// with w what its width would tell were it known (assess.ToldByWidth), R² the
// share of the variance of its width that the measured ones explain, and the
// arcsine the covariance of two normal variables' signs (Sheppard, "On
// the application of the theory of error", 1899), exact where q is a half.
type worth struct {
	doubts []doubt
	noise  []float64 // by doubt: variance of its width as noted over that of the class
	cov    []float64 // doubts × doubts, correlations
}

func newWorth(doubts []doubt) *worth {
	n := len(doubts)
	v := &worth{doubts: doubts, noise: make([]float64, n), cov: make([]float64, n*n)}
	for i := range n {
		v.noise[i] = doubts[i].noise(notes.ByEye)
		for j := range i + 1 {
			rho := 1.0
			if i != j {
				rho = doubts[i].alike.With(doubts[j].alike)
			}
			v.cov[i*n+j], v.cov[j*n+i] = rho, rho
		}
	}
	return v
}

// noise is the variance of a width that is noted so over that of the class.
func (d *doubt) noise(by notes.Method) float64 {
	share := by.Spread(d.alike.Usual) / float64(d.alike.Spread)
	return share * share
}

func (v *worth) term(j int, explained float64) float64 {
	return v.doubts[j].byWidth * 2 / math.Pi * math.Asin(min(max(explained, 0), 1))
}

// knowledge is what visiting a set of stretches tells: with G the covariance of
// what is measured there, the rows of a are G⁻¹k for every stretch.
type knowledge struct {
	v         *worth
	set       []int
	in        map[int]bool
	inverse   *mat.SymDense // G⁻¹
	a         *mat.Dense    // set × doubts; nil for the empty set
	explained []float64     // by stretch
}

func (v *worth) knowing(set []int) *knowledge {
	n, m := len(v.doubts), len(set)
	k := &knowledge{v: v, set: set, in: map[int]bool{}, explained: make([]float64, n)}
	if m == 0 {
		return k
	}
	g, cross := mat.NewSymDense(m, nil), mat.NewDense(m, n, nil)
	for i, s := range set {
		k.in[s] = true
		copy(cross.RawRowView(i), v.cov[s*n:(s+1)*n])
		for j := range i + 1 {
			g.SetSym(i, j, v.cov[s*n+set[j]])
		}
		g.SetSym(i, i, 1+v.noise[s])
	}
	var factor mat.Cholesky
	if !factor.Factorize(g) {
		panic("bug: the widths of roads do not go together")
	}
	k.inverse, k.a = new(mat.SymDense), new(mat.Dense)
	must(factor.InverseTo(k.inverse))
	must(factor.SolveTo(k.a, cross))
	for i := range m {
		for j, c := range cross.RawRowView(i) {
			k.explained[j] += c * k.a.At(i, j)
		}
	}
	return k
}

func must(err error) {
	var condition mat.Condition
	if err != nil && !errors.As(err, &condition) {
		panic("bug: " + err.Error())
	}
}

// sum is the worth of the whole set.
func (k *knowledge) sum() (sum float64) {
	for j, e := range k.explained {
		if k.in[j] {
			sum += k.v.doubts[j].told
		} else {
			sum += k.v.term(j, e)
		}
	}
	return sum
}

// alikeFrom is the correlation of two widths from which one is said to tell of the
// other: our choice, that of roads of one class 200 m apart.
const alikeFrom = 0.4

// alike counts for each of a set the stretches outside it that it tells of.
func (v *worth) alike(set []int) []int {
	in := map[int]bool{}
	for _, i := range set {
		in[i] = true
	}
	out := make([]int, len(set))
	for k, i := range set {
		for j, d := range v.doubts {
			if !in[j] && d.byWidth > 0 && v.cov[i*len(v.doubts)+j] >= alikeFrom {
				out[k]++
			}
		}
	}
	return out
}

// adding is what visiting one more stretch is worth.
func (k *knowledge) adding(i int) float64 {
	v, n := k.v, len(k.v.doubts)
	if k.in[i] {
		return 0
	}
	scale := 1 / (1 - k.explained[i] + v.noise[i])
	gain := v.doubts[i].told - v.term(i, k.explained[i])
	left := append([]float64(nil), v.cov[i*n:(i+1)*n]...) // the covariance that is not explained
	for h, s := range k.set {
		for j, x := range k.a.RawRowView(h) {
			left[j] -= v.cov[s*n+i] * x
		}
	}
	for j, c := range left {
		if j != i && !k.in[j] && v.doubts[j].byWidth > 0 {
			gain += v.term(j, k.explained[j]+c*c*scale) - v.term(j, k.explained[j])
		}
	}
	return max(gain, 0)
}

// losing is what the h-th of the set adds to the others: without it
// a²/(G⁻¹)ₕₕ less is explained.
func (k *knowledge) losing(h int) float64 {
	v, i := k.v, k.set[h]
	row, scale := k.a.RawRowView(h), 1/k.inverse.At(h, h)
	lost := v.doubts[i].told - v.term(i, k.explained[i]-row[i]*row[i]*scale)
	for j, x := range row {
		if !k.in[j] && v.doubts[j].byWidth > 0 {
			lost += v.term(j, k.explained[j]) - v.term(j, k.explained[j]-x*x*scale)
		}
	}
	return max(lost, 0)
}
