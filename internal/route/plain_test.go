package route_test

import (
	"math/rand/v2"
	"testing"

	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// TestPlain asks that drives on weights in which turns cost more are the same
// forward and backward, cost what Drive says, use nothing that is shut, and, with
// the turns counted again by their angles, are the best: none that is quickest
// costs less.
func TestPlain(t *testing.T) {
	eachRandom(t, func(t *testing.T, r *rand.Rand, _ *plan, w *route.Weights) {
		n := w.Network()
		const far, longer geo.Seconds = 3600, 30
		const angle = 45 * geo.Degree
		salt := r.Uint64()
		open := func(from, to roadnet.SegmentID) bool {
			return (uint64(from)*2654435761^uint64(to)*40503^salt)%7 != 0
		}
		w = w.Keep(func(roadnet.SegmentID) bool { return true }, open)
		plain := w.Plain(angle, longer)
		turns := func(p route.Path) (count uint32) {
			for i := range p.States[1:] {
				lo, hi := n.TurnRange(p.States[i])
				for k := lo; k < hi; k++ {
					if turn := n.TurnAt(k); turn.To == p.States[i+1] && (turn.Angle >= angle || turn.Angle <= -angle) {
						count++
					}
				}
			}
			return count
		}
		for range 3 {
			from := roadnet.Position{Segment: roadnet.SegmentID(r.IntN(n.NumSegments()))}
			if !w.Open(from.Segment) {
				continue
			}
			tree, quick := route.NewFinder(plain).From(from, far, route.Options{}), route.NewFinder(w).From(from, far, route.Options{})
			for s := range roadnet.SegmentID(n.NumSegments()) {
				to := roadnet.Position{Segment: s, Along: n.Length(s.Stretch()) / 2}
				ms, ok := tree.Ms(to)
				back, okBack := route.NewFinder(plain).Into(to, far, route.Options{}).Ms(from)
				if ok != okBack || ok && ms != back {
					t.Fatalf("from %v to %v: %d, %v forward, %d, %v backward", from, to, ms, ok, back, okBack)
				}
				if !ok {
					continue
				}
				path, _ := tree.Path(to)
				again, legal := w.Drive(from, to, path.Segments, route.Options{})
				if !legal || again.Ms+30_000*turns(again) != ms {
					t.Fatalf("from %v to %v costs %d; read again %d, %v, with %d turns", from, to, ms, again.Ms, legal, turns(again))
				}
				if q, ok := quick.Path(to); ok && q.Ms+30_000*turns(q) < ms {
					t.Fatalf("from %v to %v costs %d, and the quickest %d with %d turns", from, to, ms, q.Ms, turns(q))
				}
			}
		}
	})
}
