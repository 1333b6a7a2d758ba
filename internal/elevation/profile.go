package elevation

import (
	"math"

	"github.com/paulmach/orb"

	"loopwright/internal/geo"
)

// Step is how far apart the heights along a road are taken.
const Step geo.Metres = 10

// penalty is the weight λ of curvature against the raw heights, at Step. Our
// choice: a wave is halved where λ (2 sin(π Step / wave))⁴ = 1, at about 130 m,
// which no hill that a driver would call one is shorter than, and which stills
// the stairs of cells of 30 m.
const penalty = 20

// Line is a road to take heights along.
type Line struct {
	Points orb.LineString
	// Skip are the parts on a bridge or in a tunnel, in metres along the line:
	// the ground there is not the road.
	Skip [][2]geo.Metres
}

// Profile is the height of a road at equal steps from its start to its end.
type Profile struct {
	Step    geo.Metres // at most the package's Step
	Heights []float64  // metres; NaN where nothing is known
	// Error[k] is the standard deviation of the difference of two heights Lags[k]
	// apart, metres: at the road's start, in its middle and at its end, since an
	// end has neighbours on one side only. NaN where the road is shorter.
	Error [len(Lags)][3]float64
}

// Lags are the distances for which a profile states its error.
var Lags = [...]geo.Metres{50, 100, 200}

// raw is a profile before its ends are shared with others.
type raw struct {
	step    geo.Metres
	heights []float64
	known   []bool
	weights [][]weight
}

// sampleLine takes the heights of the ground along a line.
func sampleLine(f *Folder, l Line) (*raw, error) {
	plane := geo.PlaneAt(l.Points[0])
	line := plane.Line(l.Points)
	total := line.Length()
	n := max(1, int(math.Ceil(float64(total/Step))))
	r := &raw{step: total / geo.Metres(n), heights: make([]float64, n+1), known: make([]bool, n+1), weights: make([][]weight, n+1)}
	for i := range n + 1 {
		along := total * geo.Metres(i) / geo.Metres(n)
		if skipped(l.Skip, along) {
			continue
		}
		at, _ := line.At(along)
		h, w, ok, err := f.at(plane.From(at), nil)
		if err != nil {
			return nil, err
		}
		r.heights[i], r.known[i], r.weights[i] = h, ok, w
	}
	return r, nil
}

func skipped(skip [][2]geo.Metres, along geo.Metres) bool {
	for _, s := range skip {
		if along > s[0] && along < s[1] {
			return true
		}
	}
	return false
}

// smoother gives the Whittaker smoother of a raw profile; an end that others
// share is held to its height there.
func (r *raw) smoother(holdStart, holdEnd bool) *whittaker {
	w := make([]float64, len(r.heights))
	for i, k := range r.known {
		if k {
			w[i] = 1
		}
	}
	const held = 1e6
	if holdStart {
		w[0] = held
	}
	if holdEnd {
		w[len(w)-1] = held
	}
	// The penalty is stated at Step; a shorter step bends less from one to the
	// next by its fourth power. A road shorter than a metre has no shape.
	scale := float64(Step / max(r.step, 1))
	return newWhittaker(w, penalty*scale*scale*scale*scale)
}

// enough says whether a profile has heights to smooth: two at the least.
func (r *raw) enough() bool {
	n := 0
	for _, k := range r.known {
		if k {
			n++
		}
	}
	return n >= 2
}

// unknown is the profile of a road without heights.
func (r *raw) unknown() Profile {
	p := Profile{Step: r.step, Heights: make([]float64, len(r.heights))}
	for i := range p.Heights {
		p.Heights[i] = math.NaN()
	}
	for k := range p.Error {
		p.Error[k] = [3]float64{math.NaN(), math.NaN(), math.NaN()}
	}
	return p
}

// finish smooths a raw profile and carries the error of the ground's samples
// through to differences of height: with z = S y the difference zⱼ − zᵢ weighs
// each raw height by S (eⱼ − eᵢ) (S is symmetric up to the weights), each raw
// height is a share of up to four samples, and samples err independently by
// their grid's noise.
func (r *raw) finish(start, end float64) Profile {
	holdStart, holdEnd := !math.IsNaN(start), !math.IsNaN(end)
	s := r.smoother(holdStart, holdEnd)
	y := append([]float64(nil), r.heights...)
	last := len(y) - 1
	if holdStart {
		y[0] = start
	}
	if holdEnd {
		y[last] = end
	}
	p := Profile{Step: r.step, Heights: s.smooth(y)}
	free := s
	if holdStart || holdEnd {
		free = r.smoother(false, false)
	}
	p.Error = r.differenceErrors(free)
	return p
}

// cell is one sample of one grid.
type cell struct {
	grid     *grid
	col, row int
}

// cells numbers the samples that a raw profile draws on, in the order met, and
// gives each weight's number.
func (r *raw) cells() (noise []float64, numbers [][]int) {
	seen := map[cell]int{}
	numbers = make([][]int, len(r.weights))
	for i, ws := range r.weights {
		numbers[i] = make([]int, len(ws))
		for k, w := range ws {
			c := cell{w.grid, w.col, w.row}
			n, ok := seen[c]
			if !ok {
				n = len(noise)
				seen[c] = n
				noise = append(noise, w.grid.noise)
			}
			numbers[i][k] = n
		}
	}
	return noise, numbers
}

// differenceErrors gives, for each lag, the standard deviation of the
// difference of two heights that far apart, at the start, middle and end.
func (r *raw) differenceErrors(s *whittaker) (out [len(Lags)][3]float64) {
	noise, numbers := r.cells()
	share := make([]float64, len(noise))
	b := make([]float64, len(r.heights))
	last := len(r.heights) - 1
	for k, lag := range Lags {
		steps := int(math.Round(float64(lag / r.step)))
		if steps < 1 || steps > last {
			out[k] = [3]float64{math.NaN(), math.NaN(), math.NaN()}
			continue
		}
		for part, from := range [3]int{0, (last - steps) / 2, last - steps} {
			clear(share)
			clear(b)
			b[from], b[from+steps] = -1, 1
			for i, u := range s.solve(b) {
				for j, w := range r.weights[i] {
					share[numbers[i][j]] += s.w[i] * u * w.share
				}
			}
			sum := 0.0
			for c, v := range share {
				sum += v * v * noise[c] * noise[c]
			}
			out[k][part] = math.Sqrt(sum)
		}
	}
	return out
}
