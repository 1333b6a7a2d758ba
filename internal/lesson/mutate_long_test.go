//go:build long

package lesson_test

import (
	"flag"
	"testing"

	"loopwright/internal/lesson"
)

var mutants = flag.Int("mutants", 100, "changed maps, of twenty requests each")

// Thousands of requests on maps with other restrictions, one-ways and closed
// roads: no circuit is illegal.
func TestManyMutants(t *testing.T) {
	askMutants(t, *lesson.Seed, *mutants, 20)
}
