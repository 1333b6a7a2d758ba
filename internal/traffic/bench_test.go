package traffic

import (
	"testing"
	"time"
)

// plain is Dijkstra's search alone: times from one source within range.
func (s *search) plain(source uint32) {
	s.ms[source] = 0
	s.q = s.q[:0]
	s.q.push(0, source)
	for len(s.q) > 0 {
		ms, v := s.q.pop()
		if ms != s.ms[v] {
			continue
		}
		s.settled = append(s.settled, v)
		for _, a := range s.g.from(v) {
			if to := ms + a.ms; to <= s.d.rangeMs && to < s.ms[a.head] {
				s.ms[a.head] = to
				s.q.push(to, a.head)
			}
		}
	}
	s.clear()
}

// The floor is the same pivots as plain searches on the same graph, measured
// in turn with the whole of Measure, one worker each. x-floor is to stay at 3
// or below.
func BenchmarkMeasure(b *testing.B) {
	for _, file := range []string{rutland, delaware} {
		b.Run(file, func(b *testing.B) {
			n, p := realNetwork(b, file)
			w, facts := weights(b, n, p), FactsOf(n)
			m := surveyOf(n, w, facts)
			pivots := pivotsOf(n, m.graph, m.ends, max(pivotsLeast, m.graph.nodes()/pivotEvery))
			var floor, ours time.Duration
			for b.Loop() {
				start := time.Now()
				s := newSearch(m.graph, m.demand(), cellsOf(m.graph, m.classes))
				for _, p := range pivots {
					s.plain(p.node)
				}
				middle := time.Now()
				Measure(n, w, facts, 1)
				floor, ours = floor+middle.Sub(start), ours+time.Since(middle)
			}
			b.ReportMetric(float64(ours)/float64(floor), "x-floor")
			b.ReportMetric(float64(len(pivots)), "pivots")
		})
	}
}
