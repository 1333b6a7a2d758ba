package directions

import (
	"strings"

	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
)

// signed is the number of the road that is taken, where a learner could follow
// signs to it: a numbered main road, another than the one that the car is on,
// to which no other arm of the junction leads. That signs stand there is common
// practice on such roads (Traffic Signs Manual, chapter 7, DfT, from memory) and
// no fact of the map.
func (r *run) signed(p passage) string {
	if p.taken < 0 {
		return ""
	}
	// A leg beside an island goes by the number of its road.
	number := func(k int) string {
		for ; k < len(r.segments); k++ {
			if ref := r.n.RefOf(r.segments[k].Stretch()); ref != "" || r.n.Length(r.segments[k].Stretch()) >= widest {
				return first(ref)
			}
		}
		return ""
	}
	ref := number(p.out)
	if ref == "" || ref == first(r.n.RefOf(r.segments[p.in].Stretch())) || attributes(r.n, r.segments[p.out].Stretch()).Class > extract.Secondary {
		return ""
	}
	for i, a := range p.arms {
		if i != p.taken && leadsTo(r.n, a.segment, ref) {
			return ""
		}
	}
	return ref
}

// first is the first of several numbers.
func first(ref string) string {
	ref, _, _ = strings.Cut(ref, ";")
	return ref
}

// leadsTo says whether a segment has a number, or a short one without any goes
// on to it.
func leadsTo(n *roadnet.Network, s roadnet.SegmentID, ref string) bool {
	own := n.RefOf(s.Stretch())
	if strings.Contains(";"+own+";", ";"+ref+";") {
		return true
	}
	if own != "" || n.Length(s.Stretch()) >= widest {
		return false
	}
	for _, o := range n.Out(n.Head(s)) {
		if o != s.Opposite() && strings.Contains(";"+n.RefOf(o.Stretch())+";", ";"+ref+";") {
			return true
		}
	}
	return false
}
