package roadnet

import (
	"runtime"
	"runtime/debug"
	"sync"
	"sync/atomic"
)

// InParallel shares n pieces of work among as many workers as there are
// processors: each takes the number of the next piece until there is none. A
// fault in the mapped index, which the caller's guard waits for, becomes the
// caller's.
func InParallel(n int, work func(next func() (int, bool))) {
	var taken atomic.Int64
	next := func() (int, bool) {
		i := int(taken.Add(1)) - 1
		return i, i < n
	}
	var workers sync.WaitGroup
	var first sync.Once
	var fault any
	for range min(runtime.GOMAXPROCS(0), n) {
		workers.Go(func() {
			debug.SetPanicOnFault(true)
			defer func() {
				switch p := recover().(type) {
				case nil:
				case interface{ Addr() uintptr }:
					first.Do(func() { fault = p })
				default:
					panic(p)
				}
			}()
			work(next)
		})
	}
	workers.Wait()
	if fault != nil {
		panic(fault)
	}
}
