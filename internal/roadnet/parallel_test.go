package roadnet

import (
	"sync/atomic"
	"testing"
)

// faultAt is like what the runtime panics with where a mapped page is gone.
type faultAt uintptr

func (f faultAt) Addr() uintptr { return uintptr(f) }

func TestInParallel(t *testing.T) {
	for _, n := range []int{0, 1, 2, 100} {
		done := make([]atomic.Int32, n)
		InParallel(n, func(next func() (int, bool)) {
			for i, ok := next(); ok; i, ok = next() {
				done[i].Add(1)
			}
		})
		for i := range done {
			if got := done[i].Load(); got != 1 {
				t.Errorf("piece %d of %d was done %d times", i, n, got)
			}
		}
	}
	defer func() {
		if got := recover(); got != faultAt(7) {
			t.Errorf("the caller of a worker that met a fault gets %v", got)
		}
	}()
	InParallel(3, func(next func() (int, bool)) {
		if i, _ := next(); i == 1 {
			panic(faultAt(7))
		}
	})
	t.Error("the caller of a worker that met a fault goes on")
}
