//go:build long

package lesson_test

import (
	"flag"
	"testing"
)

var (
	kindSeed  = flag.Uint64("kinds.seed", 2027, "seed of the requests of every kind")
	kindCount = flag.Int("kinds.count", 50, "requests of each kind in each place")
)

// places are the invented town and three real extracts.
func places() []real {
	all := []real{town}
	for _, r := range reals {
		if r.name == "rutland" || r.name == "monaco" || r.name == "delaware" {
			all = append(all, r)
		}
	}
	return all
}

// Seeded requests of each kind in the invented town and three real extracts.
func TestKindsEverywhere(t *testing.T) {
	for _, r := range places() {
		t.Run(r.name, func(t *testing.T) {
			met := 0
			for _, got := range askAll(t, r, *kindSeed, *kindCount) {
				met += got.met
			}
			if met == 0 {
				t.Error("no request of any kind is met")
			}
		})
	}
}
