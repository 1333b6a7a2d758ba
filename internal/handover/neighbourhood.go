package handover

import (
	"cmp"
	"slices"

	"github.com/paulmach/orb"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/traffic"
)

// What it takes to hide a home. Our choice, but for the first two, which whoever
// sends is promised.
const (
	fewestHomes            = 20  // that a circuit sent to anyone may come from
	leastAway   geo.Metres = 100 // from its ends to the home
	// A neighbourhood has twice as many, since its homes leave it by more than
	// one road.
	neighbourhoodHomes = 2 * fewestHomes
	// A home for so much road where no addresses are mapped: fewer than there
	// are, for it must not be thought that there are more.
	roadPerHome geo.Metres = 30
	// In a built-up area a main road has homes too.
	mainRoadPerHome geo.Metres = 90
	builtUp         uint16     = 500 // tenths of km/h: a limit up to this stands for it
)

// neighbourhoods part the stretches of a network into neighbourhoods of so many
// homes, once and for all: which one a home is in hangs on the network alone, so
// that every circuit from it is cut by the same bounds, and from any other home
// of it too. That is the reciprocity of Kalnis, Ghinita, Mouratidis and
// Papadias, "Preventing Location-Based Identity Inference in Anonymous Spatial
// Queries", IEEE TKDE 19(12), 2007, section 5 (Hilbert Cloak): homes in the order
// of a Hilbert curve, in runs of k. Differences: a no-through tree is never
// parted, roads with no homes have neighbourhoods of their own, and a run has k
// homes or more.
type neighbourhoods struct {
	n     *roadnet.Network
	homes []int // by stretch
	of    []int // neighbourhood, by stretch
	all   []neighbourhood
}

type neighbourhood struct {
	homes     int
	box       orb.Bound // of all its roads
	stretches []roadnet.StretchID
}

// unit is what is never parted: a stretch of the through core, or a whole
// no-through tree.
type unit struct {
	key       uint64 // along the Hilbert curve
	root      roadnet.NodeID
	homes     int
	stretches []roadnet.StretchID
}

func neighbourhoodsOf(n *roadnet.Network) *neighbourhoods {
	h := &neighbourhoods{n: n, homes: homesOf(n), of: make([]int, n.NumStretches())}
	units := h.units()
	for _, lived := range []bool{true, false} {
		open := false
		for _, u := range units {
			if (u.homes > 0) != lived {
				continue
			}
			if !open {
				h.all = append(h.all, neighbourhood{})
				open = true
			}
			h.add(len(h.all)-1, u)
			if h.all[len(h.all)-1].homes >= neighbourhoodHomes {
				open = false
			}
		}
		if last := len(h.all) - 1; open && lived && last > 0 { // too few left over: they join the one before
			rest := h.all[last]
			h.all = h.all[:last]
			h.add(last-1, unit{homes: rest.homes, stretches: rest.stretches})
		}
	}
	return h
}

func (h *neighbourhoods) add(i int, u unit) {
	b := &h.all[i]
	for _, s := range u.stretches {
		if bound := h.n.Line(s.Segment(true)).Bound(); len(b.stretches) == 0 {
			b.box = bound
		} else {
			b.box = b.box.Union(bound)
		}
		b.stretches = append(b.stretches, s)
		h.of[s] = i
	}
	b.homes += u.homes
}

// homesOf counts the homes along each stretch: those with an address, or by
// the length of road, whichever are more.
func homesOf(n *roadnet.Network) []int {
	facts := traffic.FactsOf(n)
	homes := make([]int, n.NumStretches())
	for i := range homes {
		s := roadnet.StretchID(i)
		a := n.PieceAt(s, n.Length(s)/2).Attributes
		per := mainRoadPerHome
		switch limit := max(a.LimitHighDkmh[0], a.LimitHighDkmh[1]); {
		case a.Class == extract.Residential || a.Class == extract.LivingStreet:
			per = roadPerHome
		case a.Class < extract.Primary || limit == 0 || limit > builtUp:
			per = geo.Metres(1e9)
		}
		homes[i] = max(int(facts.Homes[i]), int(n.Length(s)/per))
	}
	return homes
}

// units are in the order of a Hilbert curve over the network's bounds.
func (h *neighbourhoods) units() []unit {
	n := h.n
	root := rootsOf(n)
	trees := map[roadnet.NodeID]*unit{}
	var units []*unit
	bounds := n.About().Bounds
	for i := range n.NumStretches() {
		s := roadnet.StretchID(i)
		var u *unit
		if !n.InCore(s) {
			if u = trees[root[s]]; u == nil {
				u = &unit{key: along(bounds, n.NodeAt(root[s])), root: root[s]}
				trees[root[s]] = u
				units = append(units, u)
			}
		} else {
			at, _ := n.At(roadnet.Position{Segment: s.Segment(true), Along: n.Length(s) / 2})
			u = &unit{key: along(bounds, at), root: n.Tail(s.Segment(true))}
			units = append(units, u)
		}
		u.homes += h.homes[i]
		u.stretches = append(u.stretches, s)
	}
	out := make([]unit, len(units))
	for i, u := range units {
		out[i] = *u
	}
	slices.SortFunc(out, func(a, b unit) int {
		return cmp.Or(cmp.Compare(a.key, b.key), cmp.Compare(a.stretches[0], b.stretches[0]))
	})
	return out
}

// rootsOf gives, for each stretch outside the through core, the node by which
// its no-through tree hangs on the core; where none does, the least of its
// nodes.
func rootsOf(n *roadnet.Network) []roadnet.NodeID {
	root := make([]roadnet.NodeID, n.NumStretches())
	done := make([]bool, n.NumStretches())
	spread := func(from roadnet.NodeID) {
		for queue := []roadnet.NodeID{from}; len(queue) > 0; {
			v := queue[0]
			queue = queue[1:]
			for _, s := range n.Out(v) {
				if t := s.Stretch(); !done[t] && !n.InCore(t) {
					done[t], root[t] = true, from
					queue = append(queue, n.Head(s))
				}
			}
		}
	}
	for v := range roadnet.NodeID(n.NumNodes()) {
		if slices.ContainsFunc(n.Out(v), func(s roadnet.SegmentID) bool { return n.InCore(s.Stretch()) }) {
			spread(v)
		}
	}
	for v := range roadnet.NodeID(n.NumNodes()) {
		spread(v)
	}
	return root
}

// along is the place of a point on a Hilbert curve of order 16 over a box
// (Hamilton and Rau-Chaplin give the history; the loop is the common one of
// Warren, "Hacker's Delight", 2002, section 14-2).
func along(box orb.Bound, p orb.Point) uint64 {
	const order = 16
	cell := func(v, lo, hi float64) uint64 {
		if hi <= lo {
			return 0
		}
		return uint64(min(max((v-lo)/(hi-lo), 0), 1) * (1<<order - 1))
	}
	x, y := cell(p.Lon(), box.Min.Lon(), box.Max.Lon()), cell(p.Lat(), box.Min.Lat(), box.Max.Lat())
	var d uint64
	for s := uint64(1) << (order - 1); s > 0; s /= 2 {
		var rx, ry uint64
		if x&s > 0 {
			rx = 1
		}
		if y&s > 0 {
			ry = 1
		}
		d += s * s * (3*rx ^ ry)
		if ry == 0 {
			if rx == 1 {
				x, y = (1<<order-1)-x, (1<<order-1)-y
			}
			x, y = y, x
		}
	}
	return d
}
