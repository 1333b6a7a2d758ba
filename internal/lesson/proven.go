package lesson

import (
	"math"

	"loopwright/internal/circuit"
	"loopwright/internal/geo"
)

// finish drives a choice and takes off what its directions cost; false where
// some must is missed.
func (pl *planner) finish(c choice) (*finalist, bool) {
	f, ok := pl.drive(c)
	if ok {
		f.score -= pl.awkward(f)
	}
	return f, ok
}

// proven goes through the choices from the best down, drives them, and ends when
// what is still to come can't beat the best finalist, or when enough in a row
// have been driven in vain. It gives the best finalist, the one it was given or
// a better one, nil where none keeps the musts, and leaves in it what none can
// exceed.
func (pl *planner) proven(best *finalist) *finalist {
	floor := math.Inf(-1)
	if best != nil {
		floor = best.score
	}
	s := pl.table.Search
	k := rank(pl.problem, floor, s.Steps)
	for vain := 0; vain < s.InVain; vain++ {
		c, ok := k.next(floor)
		if !ok || pl.stopped() {
			break
		}
		if f, ok := pl.finish(c); ok && f.score > floor {
			best, floor, vain = f, f.score, -1
		}
	}
	if best != nil {
		best.most = max(floor, k.limit())
	}
	return best
}

// bound says how near to the best a score is known to be: 0 is the best, 1 is
// no better than driving straight from the start to the finish. Nil where the
// seats are changed: other places for that were not gone through.
func (pl *planner) bound(f *finalist) *circuit.Bound {
	if f.change != nil {
		return nil
	}
	straight := 0.0
	tree := pl.forward.From(pl.wish.From, geo.Seconds(pl.wish.Minutes*60), pl.turning())
	if ms, ok := tree.Ms(pl.wish.To); ok {
		straight = -pl.table.Weights.DriveMinute * float64(ms) / 60000
	}
	b := &circuit.Bound{Score: thousandths(f.score, math.Floor), Best: thousandths(max(f.most, f.score), math.Ceil)}
	if b.Best > b.Score {
		b.Gap = thousandths((b.Best-b.Score)/(b.Best-straight), math.Ceil)
	}
	return b
}

// thousandths rounds to three places.
func thousandths(v float64, round func(float64) float64) float64 {
	const unit = 1000
	return round(v*unit) / unit
}
