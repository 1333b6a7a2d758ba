//go:build long

package lesson_test

import (
	"errors"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/geo"
	"loopwright/internal/lesson"
)

// drivenAgain is the share of a circuit's length that goes along a piece of road
// in a direction in which it was driven before.
func drivenAgain(c *circuit.Circuit) float64 {
	seen := map[[2]orb.Point]bool{}
	again, all := geo.Metres(0), geo.Metres(0)
	for _, l := range c.Legs {
		for i := 1; i < len(l.Line); i++ {
			piece := [2]orb.Point{l.Line[i-1], l.Line[i]}
			all += geo.Distance(piece[0], piece[1])
			if seen[piece] {
				again += geo.Distance(piece[0], piece[1])
			}
			seen[piece] = true
		}
	}
	return float64(again / all)
}

// Fifty seeded requests in each town, over exercises, learners and lengths: every
// circuit and alternative passes Check and is legal by the raw map, says so where
// much of it goes the same way twice, and the median gap to the bound is at most a
// tenth.
func TestRequests(t *testing.T) {
	const seed, requests = 2027, 50
	for _, r := range reals {
		if r.name != "rutland" && r.name != "monaco" && r.name != "delaware" {
			continue
		}
		t.Run(r.name, func(t *testing.T) {
			n, p := r.open(t)
			a, outside := assess.New(n, p), r.witness(t)
			rng := rand.New(rand.NewPCG(seed, 7))
			t.Logf("seed %d", seed)
			var gaps, repeats []float64
			two, unmet := 0, 0
			for i, at := range starts(n, seed, requests) {
				ask := request(at)
				ask.Minutes = float64(30 + 15*rng.IntN(7))
				ask.Exercise = []string{"turn-in-the-road", "parallel-park", "pull-up-right", "straight-reverse", "moving-off"}[rng.IntN(5)]
				if level := []string{"", "early", "middle", "near-test"}[rng.IntN(4)]; level != "" {
					ask.Learner = &circuit.LearnerRecord{Reference: "L-1", Level: level}
				}
				all, err := lesson.Alternatives(n, p, a, ask, 2)
				var u *lesson.Unmet
				if errors.As(err, &u) {
					unmet++
					continue
				}
				if err != nil {
					t.Errorf("request %d: %v", i, err)
					continue
				}
				if len(all) == 3 {
					two++
				}
				for _, c := range all {
					file, err := circuit.Encode(c)
					if err != nil {
						t.Fatal(err)
					}
					for _, b := range lesson.Check(n, p, through(t, c)) {
						t.Errorf("request %d, %s for %g minutes: %v", i, ask.Exercise, ask.Minutes, b)
					}
					if outside != nil {
						for _, fault := range outside.Walk(file) {
							t.Errorf("request %d: by the raw map: %s", i, fault)
						}
					}
				}
				if all[0].Bound != nil {
					gaps = append(gaps, all[0].Bound.Gap)
				}
				again := drivenAgain(all[0])
				repeats = append(repeats, again)
				said := slices.ContainsFunc(all[0].Cautions, func(c string) bool { return strings.Contains(c, "the same way twice") })
				if again > 0.15 && !said { // the planner counts a segment of which other parts are driven, too
					t.Errorf("request %d: %.2f of the drive goes the same way twice, and nothing is said of it", i, again)
				}
			}
			if len(gaps) == 0 {
				t.Fatal("no circuit with a bound")
			}
			slices.Sort(gaps)
			slices.Sort(repeats)
			over := len(repeats) - func() int { i, _ := slices.BinarySearch(repeats, 0.15); return i }()
			t.Logf("%d circuits of %d requests, %d unmet; gap: median %.3f, greatest %.3f; %d with two alternatives; repeats: median %.3f, %d above 0.15, greatest %.3f",
				len(repeats), requests, unmet, gaps[len(gaps)/2], gaps[len(gaps)-1], two, repeats[len(repeats)/2], over, repeats[len(repeats)-1])
			if gaps[len(gaps)/2] > 0.1 {
				t.Errorf("the median gap is %.3f, want 0.1 at most", gaps[len(gaps)/2])
			}
		})
	}
}
