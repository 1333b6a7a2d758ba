//go:build long

package lesson_test

import "testing"

// Fifty seeded requests in each place, over exercises, learners and lengths from
// 30 to 120 minutes.
func TestRequests(t *testing.T) {
	for _, r := range places() {
		t.Run(r.name, func(t *testing.T) {
			ask(t, r, 2027, 50).hold(t)
		})
	}
}
