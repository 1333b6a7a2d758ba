package route_test

import (
	"math/rand/v2"
	"testing"

	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// TestKeep asks that drives on weights with some segments and turns shut use
// none of them, are the same forward and backward, are never quicker than
// without, and that Drive refuses what is shut.
func TestKeep(t *testing.T) {
	eachRandom(t, func(t *testing.T, r *rand.Rand, _ *plan, w *route.Weights) {
		n := w.Network()
		shut := make([]bool, n.NumSegments())
		for i := range shut {
			shut[i] = r.IntN(6) == 0
		}
		salt := r.Uint64()
		barred := func(from, to roadnet.SegmentID) bool {
			return (uint64(from)*2654435761^uint64(to)*40503^salt)%5 == 0
		}
		k := w.Keep(func(s roadnet.SegmentID) bool { return !shut[s] }, func(from, to roadnet.SegmentID) bool { return !barred(from, to) })
		const far geo.Seconds = 3600
		for range 3 {
			from := roadnet.Position{Segment: roadnet.SegmentID(r.IntN(n.NumSegments()))}
			if !k.Open(from.Segment) {
				continue
			}
			tree, free := route.NewFinder(k).From(from, far, route.Options{}), route.NewFinder(w).From(from, far, route.Options{})
			for s := range roadnet.SegmentID(n.NumSegments()) {
				to := roadnet.Position{Segment: s, Along: n.Length(s.Stretch()) / 2}
				ms, ok := tree.Ms(to)
				back, okBack := route.NewFinder(k).Into(to, far, route.Options{}).Ms(from)
				if ok != okBack || ok && ms != back {
					t.Fatalf("from %v to %v: %d, %v forward, %d, %v backward", from, to, ms, ok, back, okBack)
				}
				if path, there := free.Path(to); there {
					_, legal := k.Drive(from, to, path.Segments, route.Options{})
					if clean := uses(path, shut, barred) == ""; legal != clean {
						t.Fatalf("Drive along %v: %v, want %v", path.Segments, legal, clean)
					}
				}
				if !ok {
					continue
				}
				if was, there := free.Ms(to); !there || was > ms {
					t.Fatalf("from %v to %v takes %d with less open, %d with more", from, to, ms, was)
				}
				path, _ := tree.Path(to)
				if what := uses(path, shut, barred); what != "" {
					t.Fatalf("from %v to %v goes along a %s", from, to, what)
				}
			}
		}
	})
}

// uses names what a path uses that is shut.
func uses(p route.Path, shut []bool, barred func(from, to roadnet.SegmentID) bool) string {
	for i, s := range p.Segments {
		if shut[s] {
			return "segment that is shut"
		}
		if i > 0 && barred(p.Segments[i-1], s) {
			return "turn that is shut"
		}
	}
	return ""
}
