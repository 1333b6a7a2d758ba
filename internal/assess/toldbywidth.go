package assess

import (
	"math"

	"loopwright/internal/geo"
)

// ToldByWidth is the variance of a place's chance that its width would explain,
// were it known: how far the chance would move, to and fro. It is drawn again from
// the place's findings for widths over the spread that nobody knows; what cars
// take of the width stays as doubtful as it is. 0 where the width is known.
func ToldByWidth(findings []Finding, ex *Exercise, spread geo.Metres) float64 {
	need := ex.need("clear-width")
	again := append([]Finding(nil), findings...)
	f := named(again, "clear-width")
	if need == nil || f == nil || f.Low == nil || f.Evidence == Mapped || f.Evidence == Measured {
		return 0
	}
	mean, sd := f.middle(), (*f.High-*f.Low)/2
	unknown := min(float64(spread), sd)
	rest := math.Sqrt(sd*sd - unknown*unknown)
	var at [5]float64 // the place's chance by the width's, which it hardly bends with
	for i := range at {
		f.Chance = float64(i) / float64(len(at)-1)
		_, at[i], _ = Judge(again, ex)
	}
	const draws = 128 // quantiles of one normal variable: our choice
	var sum, squares float64
	for i := range draws {
		z := math.Sqrt2 * math.Erfinv(2*(float64(i)+0.5)/draws-1)
		c := shareOf(need.accepts, mean+unknown*z, rest) * float64(len(at)-1)
		k := min(int(c), len(at)-2)
		chance := at[k] + (c-float64(k))*(at[k+1]-at[k])
		sum, squares = sum+chance/draws, squares+chance*chance/draws
	}
	return max(squares-sum*sum, 0)
}
