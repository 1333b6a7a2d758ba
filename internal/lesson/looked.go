package lesson

import (
	"sync"

	"loopwright/internal/assess"
	"loopwright/internal/roadnet"
)

// looked remembers what the assessor said of the roads: where seats are changed,
// or a wish can't be met, many a road is looked at from several starts.
type looked struct {
	mu       sync.Mutex
	examples map[lookedAt][]assess.Example
	places   map[lookedAt][]assess.Place
}

// lookedAt is an exercise and a segment; for places, either of the stretch's.
type lookedAt struct {
	ex      *assess.Exercise
	segment roadnet.SegmentID
}

func newLooked() *looked {
	return &looked{examples: map[lookedAt][]assess.Example{}, places: map[lookedAt][]assess.Place{}}
}

func (l *looked) examplesOn(a *assess.Assessor, ex *assess.Exercise, s roadnet.SegmentID) []assess.Example {
	return remembered(l, l.examples, lookedAt{ex, s}, func() []assess.Example { return a.Examples(ex, s) })
}

func (l *looked) placesOn(a *assess.Assessor, ex *assess.Exercise, s roadnet.StretchID) []assess.Place {
	return remembered(l, l.places, lookedAt{ex, s.Segment(true)}, func() []assess.Place { return a.Promising(ex, s) })
}

// remembered asks what is not remembered. Two workers may ask the same at once, and
// are told the same.
func remembered[T any](l *looked, said map[lookedAt][]T, q lookedAt, ask func() []T) []T {
	l.mu.Lock()
	answer, known := said[q]
	l.mu.Unlock()
	if !known {
		answer = ask()
		l.mu.Lock()
		said[q] = answer
		l.mu.Unlock()
	}
	return answer
}
