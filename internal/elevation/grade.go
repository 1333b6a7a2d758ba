package elevation

import (
	"math"

	"loopwright/internal/geo"
)

// Grade is the mean gradient over a part of a road, positive uphill from its
// start: rise per run in per cent, 100 tan of the angle.
type Grade struct {
	From, To geo.Metres // along the road
	Percent  float64
	// Error is the half width of the interval that holds the true gradient nine
	// times in ten, in per cent.
	Error float64
}

// nineInTen is the normal distribution's 95th percentile.
const nineInTen = 1.6449

// Between gives the gradient of a part; ok is false where a height is unknown
// or the part is shorter than the shortest lag.
func (p Profile) Between(from, to geo.Metres) (Grade, bool) {
	i, j := int(math.Round(float64(from/p.Step))), int(math.Round(float64(to/p.Step)))
	i, j = max(i, 0), min(j, len(p.Heights)-1)
	run := p.Step * geo.Metres(j-i)
	if run < Lags[0]-p.Step/2 || math.IsNaN(p.Heights[i]) || math.IsNaN(p.Heights[j]) {
		return Grade{}, false
	}
	sd := p.errorOver(i, j)
	if math.IsNaN(sd) {
		return Grade{}, false
	}
	return Grade{
		From: p.Step * geo.Metres(i), To: p.Step * geo.Metres(j),
		Percent: 100 * (p.Heights[j] - p.Heights[i]) / float64(run),
		Error:   100 * nineInTen * sd / float64(run),
	}, true
}

// errorOver is the error of the difference of heights i and j: that of the
// nearest lag at or above it that is known, else of the greatest known below,
// for the part of the road where it lies.
func (p Profile) errorOver(i, j int) float64 {
	const reach = 30 // metres from an end within which the end is felt: our choice
	part := 1
	switch last := len(p.Heights) - 1; {
	case p.Step*geo.Metres(i) < reach:
		part = 0
	case p.Step*geo.Metres(last-j) < reach:
		part = 2
	}
	run, sd := p.Step*geo.Metres(j-i), math.NaN()
	for k, lag := range Lags {
		if math.IsNaN(p.Error[k][part]) {
			break
		}
		if sd = p.Error[k][part]; lag >= run {
			break
		}
	}
	return sd
}

// Steepest gives the steepest gradient over a run anywhere within a part of the
// road, uphill or down; over the whole part where that is shorter than the run.
func (p Profile) Steepest(from, to, run geo.Metres) (Grade, bool) {
	run = min(run, to-from)
	var best Grade
	found := false
	for at := from; at+run <= to+p.Step/2; at += p.Step {
		if g, ok := p.Between(at, at+run); ok && (!found || math.Abs(g.Percent) > math.Abs(best.Percent)) {
			best, found = g, true
		}
	}
	return best, found
}
