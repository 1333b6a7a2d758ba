package elevation

import (
	"context"
	"math"
	"runtime"
	"sync"
	"sync/atomic"
)

// Ends name the shared points that a line runs between: lines with the same
// number meet there and share its height.
type Ends struct{ From, To int }

// Along takes the profiles of many roads that meet at their ends. Each road is
// smoothed alone first; the height of a shared point is the mean of what its
// roads say, and each road is smoothed again with its ends held there. The
// result does not depend on the number of workers (0: all cores).
func Along(ctx context.Context, f *Folder, lines []Line, ends []Ends, points, workers int) ([]Profile, error) {
	raws := make([]*raw, len(lines))
	firsts := make([][2]float64, len(lines))
	err := inParallel(ctx, len(lines), workers, func(i int) error {
		r, err := sampleLine(f, lines[i])
		if err != nil {
			return err
		}
		raws[i] = r
		firsts[i] = [2]float64{math.NaN(), math.NaN()}
		if r.enough() {
			z := r.smoother(false, false).smooth(r.heights)
			firsts[i] = [2]float64{z[0], z[len(z)-1]}
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	sum, count := make([]float64, points), make([]float64, points)
	for i, e := range ends {
		for k, p := range [2]int{e.From, e.To} {
			if h := firsts[i][k]; !math.IsNaN(h) {
				sum[p], count[p] = sum[p]+h, count[p]+1
			}
		}
	}
	shared := func(p int) float64 {
		if count[p] < 2 {
			return math.NaN()
		}
		return sum[p] / count[p]
	}
	out := make([]Profile, len(lines))
	err = inParallel(ctx, len(lines), workers, func(i int) error {
		if !raws[i].enough() {
			out[i] = raws[i].unknown()
			return nil
		}
		out[i] = raws[i].finish(shared(ends[i].From), shared(ends[i].To))
		return nil
	})
	return out, err
}

// inParallel does n pieces of work; the error is that of the lowest number, or
// the context's.
func inParallel(ctx context.Context, n, workers int, do func(i int) error) error {
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	errs := make([]error, n)
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(workers, n) {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for {
				i := int(next.Add(1)) - 1
				if i >= n || ctx.Err() != nil {
					return
				}
				errs[i] = do(i)
			}
		}()
	}
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return ctx.Err()
}
