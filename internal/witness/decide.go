package witness

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"github.com/paulmach/osm"
)

// heard is what the driver was last told, and how many of its like they passed
// since.
type heard struct {
	order
	passed int
}

// decide says which arm a driver takes who knows only what was said; nil goes on
// the way that they are on, or round and back where back is true. Done says that
// the order is carried out.
func (w *Witness) decide(c *crossing, from, v osm.NodeID, h *heard, left bool) (choice *arm, back, done bool, err error) {
	on := w.onwards(c, from, v)
	follow := func(done bool) (*arm, bool, bool, error) {
		if on < 0 {
			return nil, false, false, errors.New("the road ends and nothing was said of it")
		}
		return &c.arms[on], false, done, nil
	}
	if h == nil {
		return follow(false)
	}
	only := func(fits func(arm) bool) (*arm, bool, bool, error) {
		found := -1
		for i, a := range c.arms {
			if !fits(a) {
				continue
			}
			if found >= 0 {
				return nil, false, false, errors.New("what was said fits two roads")
			}
			found = i
		}
		if found < 0 {
			return nil, false, false, errors.New("what was said fits no road")
		}
		return &c.arms[found], false, true, nil
	}
	reached := func(is bool) bool {
		if is {
			h.passed++
		}
		return is && h.passed == h.n
	}
	onSide := func(a arm) bool { return (a.turn > 0) == h.right }
	straightest := 180.0
	for _, a := range c.arms {
		if a.enter {
			straightest = math.Min(straightest, math.Abs(a.turn))
		}
	}
	several := len(c.arms) > 1
	switch h.what {
	case exit, circleTurn, circleOn, circleBack:
		if !c.ring && !c.mini {
			return follow(false)
		}
		if h.what == circleBack {
			return nil, true, true, nil
		}
		return w.circle(c, from, v, h.order, left)
	case endTurn:
		if !several || straightest <= 45 || c.ring || c.mini {
			return follow(false)
		}
		return only(func(a arm) bool { return onSide(a) && math.Abs(a.turn) < 170 })
	case lightsTurn:
		if !reached(c.lights && several) {
			return follow(false)
		}
		return only(func(a arm) bool { return onSide(a) && math.Abs(a.turn) > 30 })
	case lightsOn:
		return follow(reached(c.lights && several))
	case crossroadsOn:
		return follow(reached(several && on > 0 && on < len(c.arms)-1))
	case junctionBack:
		if !reached(len(c.arms) > 0) {
			return follow(false)
		}
		return nil, true, true, nil
	case junctionOn:
		if !reached(several) {
			return follow(false)
		}
		return only(func(a arm) bool { return a.enter && math.Abs(a.turn) == straightest })
	case junctionRound:
		if !reached(several) {
			return follow(false)
		}
		return only(func(a arm) bool { return onSide(a) && math.Abs(a.turn) > 12 && math.Abs(a.turn) < 140 })
	case bear:
		if !reached(several) {
			return follow(false)
		}
		return only(func(a arm) bool { return onSide(a) && math.Abs(a.turn) > 25 && math.Abs(a.turn) < 75 })
	case sharp:
		if !reached(several) {
			return follow(false)
		}
		return only(func(a arm) bool { return onSide(a) && math.Abs(a.turn) > 85 })
	case fork:
		var ways []arm // also one that only traffic the other way comes by: it looks the same
		for _, a := range append(slices.Clone(c.arms), c.shut...) {
			if math.Abs(a.turn) < 56 && (a.enter || w.goesFar(a)) {
				ways = append(ways, a)
			}
		}
		if len(ways) != 2 || !reached(true) {
			return follow(false)
		}
		if (ways[1].turn > ways[0].turn) == h.right {
			return &ways[1], false, true, nil
		}
		return &ways[0], false, true, nil
	case leaveBend:
		own := rankOf(w.edgeTo(v, from).way)
		bends := slices.ContainsFunc(c.arms, func(a arm) bool { return onSide(a) && math.Abs(a.turn) > 30 && a.rank <= own })
		if !several || !bends {
			return follow(false)
		}
		return only(func(a arm) bool { return math.Abs(a.turn) <= 36 })
	case followSigns:
		if !several || !slices.ContainsFunc(c.arms, func(a arm) bool { return w.signedTo(a, h.signs) }) {
			return follow(false)
		}
		return only(func(a arm) bool { return w.signedTo(a, h.signs) })
	case takeRoad, takeSlip:
		if !several || c.ring {
			return follow(false)
		}
		return w.count(c, h, on)
	}
	return follow(false)
}

// signedTo says whether a road has a number, or a short one without any goes on
// to it.
func (w *Witness) signedTo(a arm, number string) bool {
	has := func(way *osm.Way) bool {
		return slices.Contains(strings.Split(way.Tags.Find("ref"), ";"), number)
	}
	if !a.enter || has(a.way) || a.way.Tags.Find("ref") != "" {
		return a.enter && has(a.way)
	}
	end, ok := w.shortEnd(a.from, edge{way: a.way, to: a.to})
	return ok && slices.ContainsFunc(w.roadsAt(end), func(e edge) bool { return has(e.way) && shut(e.way, e.forward) == "" })
}

// goesFar says whether a road leads on for 60 m or more: a shorter one that only
// leads out is the other side of an island.
func (w *Witness) goesFar(a arm) bool {
	length, at := 0.0, slices.IndexFunc(a.way.Nodes, func(n osm.WayNode) bool { return n.ID == a.from })
	for i := 1; i < len(a.way.Nodes); i++ {
		if forward := a.way.Nodes[min(at+1, len(a.way.Nodes)-1)].ID == a.to; forward == (i > at) {
			length += w.metres(a.way.Nodes[i-1].ID, a.way.Nodes[i].ID)
		}
	}
	return length >= 60
}

// onwards is the road of a driver who is told nothing: their own where it goes
// on, as a main road does past lesser ones, else the straightest; -1 for none.
func (w *Witness) onwards(c *crossing, from, v osm.NodeID) int {
	own := rankOf(w.edgeTo(v, from).way)
	best, main := -1, -1
	lesser := own < 6
	for i, a := range c.arms {
		if a.enter && (best < 0 || math.Abs(a.turn) < math.Abs(c.arms[best].turn)) {
			best = i
		}
		switch {
		case a.rank > own:
		case main >= 0:
			lesser = false
		default:
			main = i
		}
	}
	if lesser && main >= 0 && c.arms[main].enter && math.Abs(c.arms[main].turn) < 75 && math.Abs(c.arms[best].turn) > 15 {
		return main
	}
	return best
}

// count counts the roads on the side that was said: beside the road that goes
// on, or where none does, all that lie to that side.
func (w *Witness) count(c *crossing, h *heard, on int) (*arm, bool, bool, error) {
	var there []int
	for i, a := range c.arms {
		line := 0.0
		if on >= 0 && math.Abs(c.arms[on].turn) < 36 {
			if i == on {
				continue
			}
			line = c.arms[on].turn
		}
		slipEnd := !a.enter && len(a.way.Tags.Find("highway")) > 5 && a.way.Tags.Find("highway")[len(a.way.Tags.Find("highway"))-5:] == "_link"
		if (a.turn > line) == h.right && !slipEnd {
			there = append(there, i)
		}
	}
	sort.SliceStable(there, func(i, j int) bool {
		a, b := c.arms[there[i]], c.arms[there[j]]
		if math.Abs(a.ahead-b.ahead) > 8 {
			return a.ahead < b.ahead
		}
		return math.Abs(a.turn) > math.Abs(b.turn)
	})
	for _, i := range there {
		if h.passed++; h.passed == h.n {
			if !c.arms[i].enter {
				return nil, false, false, errors.New("the road counted has no entry")
			}
			return &c.arms[i], false, true, nil
		}
	}
	if on < 0 {
		return nil, false, false, errors.New("the road ends before the one counted")
	}
	return &c.arms[on], false, false, nil
}

// circle takes a road of a roundabout or mini-roundabout.
func (w *Witness) circle(c *crossing, from, v osm.NodeID, o order, left bool) (*arm, bool, bool, error) {
	exits := make([]int, 0, len(c.arms))
	for i := range c.arms {
		exits = append(exits, i)
	}
	if c.ring {
		exits = w.passing(c, v)
	} else if !left {
		slices.Reverse(exits)
	}
	found, fits, count := -1, 0, 0
	for _, i := range exits {
		a := c.arms[i]
		if !a.enter {
			continue
		}
		count++
		ok := false
		switch o.what {
		case exit:
			ok = count == o.n
		case circleTurn:
			ok = (a.turn > 0) == o.right && math.Abs(a.turn) > 45
		case circleOn:
			ok = math.Abs(a.turn) <= 45
		}
		if ok {
			found = i
			fits++
		}
	}
	if fits != 1 {
		return nil, false, false, fmt.Errorf("what was said fits %d roads of the circle", fits)
	}
	return &c.arms[found], false, true, nil
}

// passing gives the roads of a ring in the order in which the car passes them.
func (w *Witness) passing(c *crossing, v osm.NodeID) []int {
	var out []int
	at := v
	for range 200 {
		for i, a := range c.arms {
			if a.from == at {
				out = append(out, i)
			}
		}
		next := osm.NodeID(0)
		for _, e := range w.roadsAt(at) {
			if isRing(e.way) && shut(e.way, e.forward) == "" {
				next = e.to
			}
		}
		if at = next; at == v || at == 0 {
			break
		}
	}
	return out
}
