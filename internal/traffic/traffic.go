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
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// Chosen by measurement on Delaware (US) alone, with every road made equal:
// how well the score ranks main above residential roads in built-up areas. It
// rises with the range and with a slower fall, steeply up to 30 minutes and
// hardly beyond 60 and 16.
const (
	within geo.Seconds = 60 * 60 // how long a drive may be
	tau    geo.Seconds = 16 * 60 // traffic falls to 1/e over this
)

// Pivots: one for so many places that send traffic, and no fewer than the
// least. Chosen by measurement on Rutland and Delaware: see the tests.
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
	ms := make([]uint32, n.NumSegments())
	for s := range ms {
		ms[s] = w.SegmentMs(roadnet.SegmentID(s))
	}
	classes := make([]extract.Class, n.NumStretches())
	for s := range classes {
		classes[s] = classOf(n, roadnet.StretchID(s))
	}
	m := survey(n, ms, classes, facts)
	g := m.graph
	pivots := pivotsOf(n, g, m.ends, max(pivotsLeast, g.nodes()/pivotEvery))
	sums := flowsOf(g, cellsOf(g, classes), m.demand(), pivots, workers)
	j := judge{m: m, facts: facts, flow: m.bySegment(sums.all), through: m.bySegment(sums.through), behind: m.behind()}
	return &Quiet{rows: j.rows(), coverage: coverageOf(n, facts, m.built, m.loads, m.homes)}
}
