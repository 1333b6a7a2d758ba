package witness

import (
	"fmt"
	"slices"

	"github.com/paulmach/osm"
)

// judge reads the whole drive: each move's way, each node passed, each change
// of way, and each run of ways that a restriction names.
func (w *Witness) judge(moves []move) []string {
	var faults []string
	say := func(m move, format string, args ...any) {
		faults = append(faults, fmt.Sprintf("leg %d, way %d: ", m.leg, m.way.ID)+fmt.Sprintf(format, args...))
	}
	for i, m := range moves {
		if why := shut(m.way, m.forward); why != "" {
			say(m, "%s", why)
		}
		if callers(m.way, m.forward) && !callersOnly(moves[:i]) && !callersOnly(moves[i+1:]) {
			say(m, "only for those who call there, and driven through")
		}
		if i == 0 {
			continue
		}
		before := moves[i-1]
		if m.way == before.way && m.at == before.at && m.forward == before.forward {
			continue // a stop part-way along
		}
		if m.way == before.way && m.at == before.at {
			if !m.reversed && !w.turningHead(before.head()) {
				say(m, "turns back on the spot")
			}
			continue
		}
		if m.tail() != before.head() {
			if !m.reversed {
				say(m, "begins at node %d, but the car is at node %d", m.tail(), before.head())
			}
			continue
		}
		if why := blocked(w.nodes[m.tail()]); why != "" {
			say(m, "passes node %d: %s", m.tail(), why)
		}
		if before.tail() == m.head() && before.way == m.way && !w.turningHead(m.tail()) && !m.reversed {
			say(m, "turns back at node %d, which is no turning head", m.tail())
		}
	}
	return append(faults, w.restrictionsBroken(moves)...)
}

// callersOnly is true for a drive that is on callers' ways throughout, the
// empty one too: where it begins or ends, a car may be there.
func callersOnly(moves []move) bool {
	for _, m := range moves {
		if !callers(m.way, m.forward) {
			return false
		}
	}
	return true
}

func (w *Witness) turningHead(id osm.NodeID) bool {
	n := w.nodes[id]
	if n == nil {
		return false
	}
	h := n.Tags.Find("highway")
	return h == "turning_circle" || h == "turning_loop" || h == "mini_roundabout"
}

// run is one way driven without a break.
type run struct {
	way         osm.WayID
	forward     bool
	enter, exit osm.NodeID
	leg         int
}

// restrictionsBroken looks for each restriction's from, via and to among the
// runs of ways driven, one after another.
func (w *Witness) restrictionsBroken(moves []move) []string {
	var runs []run
	for i, m := range moves {
		if i > 0 {
			before := moves[i-1]
			if m.reversed && (m.tail() != before.head() || m.way == before.way && m.at == before.at) {
				runs = append(runs, run{}) // the car turned round: what came before binds no more
			} else if m.way == before.way && (m.forward == before.forward) && !w.split(m, before) {
				runs[len(runs)-1].exit = m.head()
				continue
			}
		}
		runs = append(runs, run{m.way.ID, m.forward, m.tail(), m.head(), m.leg})
	}
	var faults []string
	for i := range runs {
		for _, ri := range w.byFrom[runs[i].way] {
			if why := w.restrictions[ri].broken(runs[i:], w); why != "" {
				faults = append(faults, fmt.Sprintf("leg %d: relation %d: %s", runs[i].leg, w.restrictions[ri].id, why))
			}
		}
	}
	return faults
}

// split makes a new run where the car passes the via node of a restriction
// from its own way, since the way may go on beyond it.
func (w *Witness) split(m, before move) bool {
	for _, ri := range w.byFrom[m.way.ID] {
		if r := w.restrictions[ri]; r.viaNode != 0 && r.viaNode == before.head() && before.head() == m.tail() {
			return true
		}
	}
	return false
}

// broken says what a drive, beginning with a run along the from way, breaks.
func (r restriction) broken(runs []run, w *Witness) string {
	if r.viaNode != 0 {
		if runs[0].exit != r.viaNode || len(runs) < 2 || runs[1].enter != r.viaNode {
			return ""
		}
		to := slices.Contains(r.to, runs[1].way)
		switch {
		case r.only && !to && w.joins(r.to, r.viaNode):
			return fmt.Sprintf("must go on to way %d, went to %d", r.to[0], runs[1].way)
		case !r.only && to && !(runs[1].way == runs[0].way && runs[1].forward == runs[0].forward):
			return fmt.Sprintf("may not go on to way %d", runs[1].way)
		}
		return ""
	}
	k := 1
	for _, v := range r.via {
		if k >= len(runs) || runs[k].way != v {
			return ""
		}
		k++
	}
	if k >= len(runs) {
		return ""
	}
	to := slices.Contains(r.to, runs[k].way)
	last := w.ways[r.via[len(r.via)-1]]
	ends := last != nil && (runs[k].enter == last.Nodes[0].ID || runs[k].enter == last.Nodes[len(last.Nodes)-1].ID)
	switch {
	case !r.only && to:
		return fmt.Sprintf("may not go by way %d to way %d", r.via[0], runs[k].way)
	case r.only && !to && ends && w.joins(r.to, runs[k].enter):
		return fmt.Sprintf("must go on to way %d, went to %d", r.to[0], runs[k].way)
	}
	return ""
}

// joins is true where one of the ways has the node.
func (w *Witness) joins(ways []osm.WayID, n osm.NodeID) bool {
	for _, id := range ways {
		if way := w.ways[id]; way != nil {
			for _, nd := range way.Nodes {
				if nd.ID == n {
					return true
				}
			}
		}
	}
	return false
}
