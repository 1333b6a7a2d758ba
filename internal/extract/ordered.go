package extract

import (
	"context"
	"sync"
)

// ordered runs work on every job that produce hands to its yield, on several
// goroutines, and gives the results to consume in the order of the jobs, in
// the caller's goroutine. At most twice as many jobs as workers are under way.
// The first error in that order ends it all; a cancelled context does too.
// work gets the number of its worker, so that it may keep scratch space.
func ordered[J, R any](ctx context.Context, workers int,
	produce func(yield func(J) bool) error,
	work func(worker int, job J) (R, error),
	consume func(R) error,
) error {
	type task struct {
		job    J
		result R
		err    error
		done   chan struct{}
	}
	ctx, cancel := context.WithCancel(ctx)
	todo := make(chan *task)
	order := make(chan *task, 2*workers)
	var wg sync.WaitGroup
	defer wg.Wait()
	defer cancel()

	wg.Add(1)
	go func() {
		defer wg.Done()
		defer close(order)
		defer close(todo)
		err := produce(func(j J) bool {
			t := &task{job: j, done: make(chan struct{})}
			select {
			case order <- t:
			case <-ctx.Done():
				return false
			}
			select {
			case todo <- t:
				return true
			case <-ctx.Done():
				return false
			}
		})
		if err != nil {
			t := &task{err: err, done: make(chan struct{})}
			close(t.done)
			select {
			case order <- t:
			case <-ctx.Done():
			}
		}
	}()
	for w := range workers {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for t := range todo {
				t.result, t.err = work(w, t.job)
				close(t.done)
			}
		}()
	}
	for {
		select {
		case t, ok := <-order:
			if !ok {
				return ctx.Err()
			}
			select {
			case <-t.done:
			case <-ctx.Done():
				return ctx.Err()
			}
			if t.err != nil {
				return t.err
			}
			if err := consume(t.result); err != nil {
				return err
			}
		case <-ctx.Done():
			return ctx.Err()
		}
	}
}
