package lesson_test

import (
	"testing"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/lesson"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// BenchmarkPlan plans an hour from seeded starts, the network open.
func BenchmarkPlan(b *testing.B) {
	for _, r := range reals {
		b.Run(r.name, func(b *testing.B) {
			n, p := r.open(b)
			from := starts(n, 2027, 20)
			b.ReportAllocs()
			for i := 0; b.Loop(); i++ {
				if _, err := lesson.Plan(n, p, assess.New(n, p), request(from[i%len(from)])); err != nil {
					b.Log(err)
				}
			}
		})
	}
}

// BenchmarkFloor is the least that a plan needs: the weights of the network and
// one search each from the start and into the finish, over all of it. Ratios to
// it say what choosing costs.
func BenchmarkFloor(b *testing.B) {
	for _, r := range reals {
		b.Run(r.name, func(b *testing.B) {
			n, p := r.open(b)
			from := starts(n, 2027, 20)
			paces, err := route.Paces()
			if err != nil {
				b.Fatal(err)
			}
			for i := 0; b.Loop(); i++ {
				w := route.NewWeights(n, p, paces[route.DefaultStage])
				f := route.NewFinder(w)
				f.From(from[i%len(from)], 1e6, route.Options{})
				f.Into(from[i%len(from)], 1e6, route.Options{})
			}
		})
	}
}

// BenchmarkCheck reads one circuit back.
func BenchmarkCheck(b *testing.B) {
	for _, r := range reals {
		b.Run(r.name, func(b *testing.B) {
			n, p := r.open(b)
			c := first(b, starts(n, 2027, 20), func(at roadnet.Position) (*circuit.Circuit, error) {
				return lesson.Plan(n, p, assess.New(n, p), request(at))
			})
			for b.Loop() {
				lesson.Check(n, p, c)
			}
		})
	}
}

// first is the circuit of the first start that has one.
func first(b *testing.B, from []roadnet.Position, plan func(roadnet.Position) (*circuit.Circuit, error)) *circuit.Circuit {
	for _, at := range from {
		if c, err := plan(at); err == nil {
			return c
		}
	}
	b.Fatal("no start has a circuit")
	return nil
}
