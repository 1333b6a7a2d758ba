package lesson

import (
	"math"

	"loopwright/internal/circuit"
	"loopwright/internal/geo"
)

// finish drives a choice and takes off what its directions cost, and, unless it
// is below a floor already, what its dear turns do; false where some must is
// missed.
func (pl *planner) finish(c choice, floor float64) (*finalist, bool) {
	f, ok := pl.drive(c)
	if !ok {
		return nil, false
	}
	t := pl.telling(f.legs())
	if f.score -= pl.awkward(t); f.score > floor {
		f.score -= pl.dear(t)
	}
	return f, true
}

// farOff is how many times as many are driven in vain where the best is not
// enough, or nothing was found and reasons may come again. Our choice: few plans
// take so long.
const farOff = 10

// proven goes through the choices from the best down, drives them, and ends when
// what is still to come can't beat the best finalist, or when enough in a row
// have been driven in vain. It gives the best finalist, the one it was given or
// a better one, nil where none keeps the musts, and leaves in it what none can
// exceed.
func (pl *planner) proven(best *finalist, enough float64) *finalist {
	floor := math.Inf(-1)
	if best != nil {
		floor = best.score
	}
	s := pl.table.Search
	k := rank(pl.problem, floor, s.Steps)
	more := func(vain int) bool {
		far := floor < enough && enough <= k.limit() || best == nil && !pl.problem.distinct
		return vain < s.InVain || far && vain < farOff*s.InVain
	}
	for vain := 0; more(vain); vain++ {
		c, ok := k.next(floor)
		if pl.exhausted = !ok && k.steps > 0; !ok || pl.stopped() {
			break
		}
		if f, ok := pl.finish(c, floor); ok && f.score > floor {
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

// Why no bound is given. A bound goes through what may be chosen before it is
// driven; these do not let themselves be gone through so.
const (
	noBoundOfChanges = "The seats are changed on the way, and not every kerb for that was gone through: how near to the best this is, is not known."
	noBoundOfTours   = "What a drive comes by shows when it is driven, and not every drive was: how near to the best this is, is not known."
)

// thousandths rounds to three places.
func thousandths(v float64, round func(float64) float64) float64 {
	const unit = 1000
	return round(v*unit) / unit
}
