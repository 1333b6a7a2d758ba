package traffic

import "runtime"

// flows are the sums over all pivots, by arc.
type flows struct{ all, through []float64 }

// flowsOf searches from every pivot. The pivots are dealt out to the workers
// in turn, and their flows are added in the pivots' own order, so that the sum
// is the same to the last bit with any number of workers (0: one per
// processor).
func flowsOf(g *graph, c *cells, d *demand, pivots []pivot, workers int) flows {
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	workers = max(1, min(workers, len(pivots)))
	full, empty := make([]chan []flow, workers), make([]chan []flow, workers)
	for w := range workers {
		full[w], empty[w] = make(chan []flow, 2), make(chan []flow, 2)
		empty[w] <- nil
		empty[w] <- nil
		go func() {
			s := newSearch(g, d, c)
			for i := w; i < len(pivots); i += workers {
				full[w] <- s.from(pivots[i].node, (<-empty[w])[:0])
			}
		}()
	}
	sum := flows{make([]float64, len(g.arcs)), make([]float64, len(g.arcs))}
	for i, p := range pivots {
		sent := <-full[i%workers]
		for _, f := range sent {
			sum.all[f.arc] += p.scale * f.all
			sum.through[f.arc] += p.scale * f.through
		}
		empty[i%workers] <- sent
	}
	return sum
}
