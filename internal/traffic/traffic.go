// Package traffic says how quiet each stretch of road is: from how the roads
// hang together, in bands and with reasons, never as vehicles a day.
//
//		roads ----> blocks: what has only one way in, and what lies behind it
//		  |
//		  +-------> flows: who would pass on the way from anywhere to anywhere
//		  |           +--> cut-throughs: of these, who only passes from one main
//		  |                road to another
//		homes, bus routes, schools, shops ----> what draws traffic
//
//	 1. Homes are counted where addresses are mapped, and elsewhere estimated by
//	    the length and kind of road.
//	 2. Roads behind a bridge, or behind a junction that is the only way in,
//	    have their own traffic alone.
//	 3. Every home sends as much traffic as the next, to all others within
//	    range, the nearer the more, by the quickest way. A road's score is the
//	    homes whose only way in would be as busy.
//	 4. Bands are told by thresholds on these, and by class and bus routes.
//
// Not guaranteed: that any of it is so on the day. Queues, the hour, and what
// lies beyond the map file are not known; stretches near the file's rim are
// marked, for there the roads end where the file does.
package traffic

import (
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// Chosen by measurement on Delaware (US) alone, with every road made equal:
// how well the score ranks main above residential roads in built-up areas. The
// area under the curve is 0.85 at 10 minutes and a fall of 2, 0.91 at 30 and 8,
// and 0.92 at 60 and 16; a slower fall gains nothing.
const (
	within geo.Seconds = 60 * 60 // how long a drive may be
	tau    geo.Seconds = 16 * 60 // traffic falls to 1/e over this
)

// Pivots: one for so many nodes, and no fewer than the least. Chosen by
// measurement: on Delaware the ranks of all stretches correlate with those of
// an exact count at 0.95 with 1 in 50 and 0.97 with 1 in 16; on Rutland at 0.98
// with 250.
const (
	pivotsLeast = 1000
	pivotEvery  = 16
)

// Quiet is what is known of the traffic on every stretch of one network. It is
// immutable.
type Quiet struct {
	rows     []Row // by StretchID
	coverage Coverage
}

// At is what is known of one stretch.
func (q *Quiet) At(s roadnet.StretchID) Row { return q.rows[s] }

// Coverage says how completely the extract maps what this rests on.
func (q *Quiet) Coverage() Coverage { return q.coverage }

// Measure finds the traffic of a whole network. Driving times come from the
// weights of a pace that is no slower than other traffic. The result does not
// depend on the number of workers (0: one per processor).
func Measure(n *roadnet.Network, w *route.Weights, facts Facts, workers int) *Quiet {
	m := surveyOf(n, w, facts)
	g := m.graph
	pivots := pivotsOf(n, g, m.ends, max(pivotsLeast, g.nodes()/pivotEvery))
	sums := flowsOf(g, cellsOf(g, m.classes), m.demand(), pivots, workers)
	j := judge{m: m, facts: facts, flow: m.bySegment(sums.all), through: m.bySegment(sums.through), behind: m.behind()}
	return &Quiet{rows: j.rows(), coverage: coverageOf(n, facts, m.built, m.loads, m.homes)}
}
