//go:build long

package lesson_test

import "testing"

// Fifty seeded requests in each place, over exercises, learners and lengths from
// 30 to 120 minutes. The gap is that of all together: Monaco has few circuits.
func TestRequests(t *testing.T) {
	var gaps []float64
	for _, r := range places() {
		t.Run(r.name, func(t *testing.T) {
			out := ask(t, r, 2027, 50)
			out.hold(t)
			gaps = append(gaps, out.gaps...)
		})
	}
	if len(gaps) > 0 { // where no place is at hand, all are skipped
		nearTheBest(t, gaps)
	}
}
