package laying

import (
	"slices"

	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
)

// maxPaths bounds the paths along one restriction's via ways: ways that meet
// more than once make several.
const maxPaths = 64

// readOverWays reads a restriction with via ways.
func (s *site) readOverWays(r *extract.Restriction) outcome {
	for _, way := range r.Via {
		if !s.known([]extract.WayID{way}) {
			return incomplete
		}
	}
	if !s.known(r.From) || !s.known(r.To) {
		return incomplete
	}
	paths := s.pathsOver(r)
	if paths == nil {
		return unconnected
	}
	paths = slices.DeleteFunc(paths, func(path []roadnet.SegmentID) bool { return !s.drivable(path) })
	slices.SortFunc(paths, slices.Compare)
	paths = slices.CompactFunc(paths, slices.Equal)
	done := needless
	for i, path := range paths {
		if !r.Only {
			done = max(done, s.ban(path...))
			continue
		}
		if i > 0 && paths[i-1][0] == path[0] || i+1 < len(paths) && paths[i+1][0] == path[0] {
			return unconnected // it does not say which of two paths is the only one
		}
		for k := 1; k < len(path); k++ {
			for _, other := range s.out(path[k-1]) {
				if other != path[k] {
					done = max(done, s.ban(append(slices.Clone(path[:k]), other)...))
				}
			}
		}
	}
	return done
}

// drivable says whether the path has a movement, and each of them is possible.
func (s *site) drivable(path []roadnet.SegmentID) bool {
	for i := 1; i < len(path); i++ {
		if !s.possible(path[i-1], path[i]) {
			return false
		}
	}
	return len(path) > 1
}

// pathsOver gives the paths from the last segment of the from way along the
// via ways to the first of the to way; nil if the ways do not meet.
func (s *site) pathsOver(r *extract.Restriction) [][]roadnet.SegmentID {
	var paths [][]roadnet.SegmentID
	met := false
	var follow func(done int, node uint32, path []roadnet.SegmentID)
	follow = func(done int, node uint32, path []roadnet.SegmentID) {
		if done == len(r.Via) {
			met = true
			for _, to := range s.armsOn(r.To, node, false) {
				if len(paths) < maxPaths {
					paths = append(paths, joined(slices.Clone(path), to.segment))
				}
			}
			return
		}
		next := r.To
		if done+1 < len(r.Via) {
			next = r.Via[done+1 : done+2]
		}
		for _, way := range next {
			for _, end := range s.sharedNodes(r.Via[done], way) {
				s.runs(r.Via[done], node, end, func(run []linkEnd) {
					longer := slices.Clone(path)
					for _, e := range run {
						longer = joined(longer, s.segmentAlong(e))
					}
					follow(done+1, end, longer)
				})
			}
		}
	}
	for _, way := range r.From {
		for _, start := range s.sharedNodes(way, r.Via[0]) {
			for _, in := range s.armsOn([]extract.WayID{way}, start, true) {
				follow(0, start, []roadnet.SegmentID{in.segment})
			}
		}
	}
	if met && paths == nil {
		paths = [][]roadnet.SegmentID{}
	}
	return paths
}

// joined adds a segment unless the path is on it already.
func joined(path []roadnet.SegmentID, segment roadnet.SegmentID) []roadnet.SegmentID {
	if path[len(path)-1] == segment {
		return path
	}
	return append(path, segment)
}

// runs visits the ways along one way from a node to another of its nodes: the
// links left, in order. A closed way has two.
func (s *site) runs(way extract.WayID, from, to uint32, visit func([]linkEnd)) {
	lo, hi := s.roadsOf(way)
	for i := lo; i < hi; i++ {
		first, last := s.refStart[i], s.refStart[i+1]-1
		for a := first; a <= last; a++ {
			if s.ref[a] != from {
				continue
			}
			closed := s.ref[first] == s.ref[last]
			for _, back := range [2]bool{false, true} {
				var run []linkEnd
				for at, k := a, first; k < last; k++ { // once round at most
					if closed && !back && at == last {
						at = first
					} else if closed && back && at == first {
						at = last
					}
					if !back && at == last || back && at == first {
						break
					}
					e := linkEnd(at << 1)
					at++
					if back {
						at -= 2
						e = linkEnd(at<<1 | 1)
					}
					if s.kind[e.link()] != networkLink {
						break
					}
					run = append(run, e)
					if s.ref[at] == to {
						visit(run)
						break
					}
				}
			}
		}
	}
}
