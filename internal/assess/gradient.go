package assess

import (
	"math"

	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// gradientRun is over how much road heights give a gradient: the error of a
// height model is too great over less. Our choice, after the lags for which
// profiles state their error.
const gradientRun geo.Metres = 100

// readGradient is how much a window slopes, up or down.
func readGradient(a *Assessor, st *site, w window) answer {
	x := a.slope(st, w)
	x.mean = math.Abs(x.mean)
	return x
}

// readClimb is how much a window rises for the car that drives along it.
func readClimb(a *Assessor, st *site, w window) answer {
	x := a.slope(st, w)
	if !w.forward {
		x.mean = -x.mean
	}
	x.signed = true
	return x
}

// slope is the gradient of a window along the stretch. A tag outranks heights,
// and heights a tag without a figure; the steepest tagged piece counts.
func (a *Assessor) slope(st *site, w window) answer {
	sp := &a.table.spreads
	x := answer{missing: true, evidence: Assumed, source: "no heights and no sign mapped"}
	direction := 0.0 // as tagged without a figure
	st.in(w, func(p *roadnet.Piece) {
		at := p.Attributes
		switch {
		case at.Flags&roadnet.InclineKnown != 0:
			if g := float64(at.InclinePermil) / 10; x.missing || math.Abs(g) > math.Abs(x.mean) {
				x = answer{mean: g, sd: sp.Incline, evidence: Mapped, source: "tag incline"}
			}
		case at.Flags&roadnet.InclineUp != 0:
			direction = 1
		case at.Flags&roadnet.InclineDown != 0:
			direction = -1
		}
	})
	if !x.missing {
		return x
	}
	if st.hasHeights {
		middle, half := (w.from+w.to)/2, max(w.to-w.from, gradientRun)/2
		from := min(max(middle-half, 0), max(st.length-2*half, 0))
		if g, ok := st.heights.Between(from, min(from+2*half, st.length)); ok {
			const ninetyPercent = 1.645 // half widths of such an interval, in standard deviations
			return answer{mean: g.Percent, sd: math.Hypot(g.Error/ninetyPercent, sp.GradientLocal), evidence: Inferred, source: "from the heights of the ground"}
		}
		x.source = "too short to tell from heights, and no sign mapped"
	}
	if direction != 0 {
		return answer{mean: direction * sp.Sloping, sd: sp.SlopingSpread, evidence: Inferred, source: "mapped as a slope, not how steep"}
	}
	return x
}
