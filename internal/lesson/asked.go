package lesson

import "loopwright/internal/roadnet"

// stopped says whether the request is no longer wanted.
func (pl *planner) stopped() bool {
	select {
	case <-pl.wish.Done:
		return true
	default:
		return false
	}
}

// asked is 1 for a place in the stretch that was asked for, else 0.
func (pl *planner) asked(p *practice) int {
	if only := pl.wish.PractiseIn; only != nil && p.Position.Segment.Stretch() == *only {
		return 1
	}
	return 0
}

// leaveOut adds the road of a stretch to out: the stretches that share its name
// and meet at a junction, across a roundabout too; only the stretch itself where
// it has none.
func leaveOut(n *roadnet.Network, s roadnet.StretchID, out map[roadnet.StretchID]bool) {
	out[s] = true
	name := n.NameOf(s)
	if name == 0 {
		return
	}
	for _, node := range [2]roadnet.NodeID{n.Tail(s.Segment(true)), n.Head(s.Segment(true))} {
		for _, at := range n.Junction(n.JunctionOf(node)).Nodes {
			for _, next := range n.Out(at) {
				if t := next.Stretch(); !out[t] && n.NameOf(t) == name {
					leaveOut(n, t, out)
				}
			}
		}
	}
}
