//go:build long

package traffic

import (
	"math"
	"testing"

	"loopwright/internal/geo"
)

// Range and fall are chosen on Delaware alone, with every road equal: the
// choice is within 0.01 of the best of the table.
func TestTuneRangeAndFall(t *testing.T) {
	n, _ := realNetwork(t, delaware)
	m, classes := withheld(n)
	pivots := pivotsOf(n, m.graph, m.ends, pivotsLeast)
	measure := func(within, tau geo.Seconds) float64 {
		d := &demand{ends: m.ends, rangeMs: uint32(within * 1000), fall: fallOff(within, tau), even: true}
		auc, _, _ := ranking(m, classes, scores(m, d, pivots), false)
		return auc
	}
	best := 0.0
	for _, minutes := range []geo.Seconds{10, 20, 30, 45, 60} {
		for _, fall := range []geo.Seconds{2, 4, 8, 16, 32, geo.Seconds(math.Inf(1))} {
			auc := measure(60*minutes, 60*fall)
			t.Logf("range %v min, fall %v min: AUC %.3f", minutes, fall, auc)
			best = max(best, auc)
		}
	}
	if chosen := measure(within, tau); chosen < best-0.01 {
		t.Errorf("the range and fall chosen give %.3f, the best is %.3f", chosen, best)
	}
}

// On a network too large to search from everywhere, samples still rank as all
// sources do.
func TestSamplesRankAsAllSourcesOfAState(t *testing.T) {
	n, p := realNetwork(t, delaware)
	m := surveyOf(n, weights(t, n, p), FactsOf(n))
	sample := func(count int) []float64 { return scores(m, m.demand(), pivotsOf(n, m.graph, m.ends, count)) }
	exact := sample(0)
	for _, count := range []int{pivotsLeast, m.graph.nodes() / 32, m.graph.nodes() / pivotEvery} {
		rho := spearman(sample(count), exact)
		t.Logf("%d pivots: Spearman %.4f", count, rho)
		if count >= m.graph.nodes()/pivotEvery && rho < 0.95 {
			t.Errorf("%d pivots: Spearman %.3f, want 0.95 or more", count, rho)
		}
	}
}
