package traffic

import (
	"slices"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// surveyed is a network as traffic sees it, before anything is searched.
type surveyed struct {
	n       *roadnet.Network
	graph   *graph
	classes []extract.Class // by stretch
	built   []bool          // by stretch: in a built-up area
	loads   []load          // by stretch
	gates   []load          // by node: what lives in the zones that open there
	homes   Share           // of residential roads, where homes are mapped
	ends    []float64       // by node: what sends and draws traffic
}

// surveyOf takes the network as it is.
func surveyOf(n *roadnet.Network, w *route.Weights, f Facts) *surveyed {
	ms := make([]uint32, n.NumSegments())
	for s := range ms {
		ms[s] = w.SegmentMs(roadnet.SegmentID(s))
	}
	classes := make([]extract.Class, n.NumStretches())
	for s := range classes {
		classes[s] = classOf(n, roadnet.StretchID(s))
	}
	return survey(n, ms, classes, f)
}

// survey takes driving times by segment and classes by stretch.
func survey(n *roadnet.Network, segmentMs []uint32, classes []extract.Class, f Facts) *surveyed {
	m := &surveyed{n: n, graph: graphOf(n, segmentMs), classes: classes}
	m.loads, m.built, m.homes = homes(n, classes, f.Homes)
	for i := range m.loads {
		if f.Schools != nil {
			m.loads[i].visits += schoolDraws * float64(f.Schools[i])
		}
		if f.Shops != nil {
			m.loads[i].visits += shopDraws * float64(f.Shops[i])
		}
		if n.NearRim(roadnet.StretchID(i)) {
			m.loads[i].rimRoads = 1
		}
	}
	m.openGates()
	m.ends = make([]float64, n.NumNodes())
	for i, l := range m.loads {
		if s := roadnet.StretchID(i); m.public(s) {
			half := (l.homes + l.visits) / 2
			m.ends[n.Tail(s.Segment(true))] += half
			m.ends[n.Head(s.Segment(true))] += half
		}
	}
	for v, l := range m.gates {
		m.ends[v] += l.homes + l.visits
	}
	return m
}

// public says whether traffic may pass along a stretch in some direction.
func (m *surveyed) public(s roadnet.StretchID) bool {
	return public(m.n, s.Segment(true)) || public(m.n, s.Segment(false))
}

// openGates puts what lives in each zone of residents and callers at the nodes
// where it meets public roads, to equal parts.
func (m *surveyed) openGates() {
	zones, doors := map[uint32]load{}, map[uint32]float64{}
	for i := range m.loads {
		if z := m.n.Zone(roadnet.StretchID(i)); z != 0 {
			sum := zones[z]
			sum.add(m.loads[i])
			zones[z] = sum
		}
	}
	m.gates = make([]load, m.n.NumNodes())
	for v := range m.gates {
		for _, z := range m.zonesAt(roadnet.NodeID(v)) {
			doors[z]++
		}
	}
	for v := range m.gates {
		for _, z := range m.zonesAt(roadnet.NodeID(v)) {
			part, sum := 1/doors[z], zones[z]
			m.gates[v].add(load{sum.homes * part, sum.guessed * part, sum.visits * part, sum.rimRoads})
		}
	}
}

// zonesAt are the zones that open onto a public road at a node, each once.
func (m *surveyed) zonesAt(v roadnet.NodeID) []uint32 {
	var zones []uint32
	open := false
	for _, s := range m.n.Out(v) {
		open = open || m.public(s.Stretch())
		if z := m.n.Zone(s.Stretch()); z != 0 && !slices.Contains(zones, z) {
			zones = append(zones, z)
		}
	}
	if !open {
		return nil
	}
	return zones
}

// demand is the traffic between all ends.
func (m *surveyed) demand() *demand {
	return &demand{ends: m.ends, rangeMs: uint32(within * 1000), fall: fallOff(within, tau), even: true}
}

// bySegment spreads what was counted by arc.
func (m *surveyed) bySegment(byArc []float64) []float64 {
	out := make([]float64, m.n.NumSegments())
	for k, x := range byArc {
		out[m.graph.arcs[k].segment] = x
	}
	return out
}

// withinJunction is the length below which a stretch that leaves and enters
// one junction is a part of it: wider than any central reserve; a crescent is
// longer. Our choice.
const withinJunction geo.Metres = 60

// behind says of each stretch what lies behind it, from the junctions, so that
// the two mouths of a flare or the halves of a dual carriageway are one way
// in. Stretches that are no public road, and parts of a junction, count as
// trunk.
func (m *surveyed) behind() []behind {
	n := m.n
	out := make([]behind, n.NumStretches())
	var ties []tie
	var of []roadnet.StretchID
	var length []float64
	var loads []load
	for i := range out {
		s := roadnet.StretchID(i)
		out[i].trunk = true
		t := tie{uint32(n.JunctionOf(n.Tail(s.Segment(true)))), uint32(n.JunctionOf(n.Head(s.Segment(true))))}
		if !m.public(s) || t.a == t.b && (n.Length(s) < withinJunction || round(n, s)) {
			continue
		}
		ties, of = append(ties, t), append(of, s)
		length, loads = append(length, float64(n.Length(s))), append(loads, m.loads[i])
	}
	gates := make([]load, n.NumJunctions())
	for v, l := range m.gates {
		gates[n.JunctionOf(roadnet.NodeID(v))].add(l)
	}
	at := joined(n.NumJunctions(), ties)
	b := blocksOf(n.NumJunctions(), at, ties)
	found := b.hang(at, ties, length, loads, gates)
	for t, s := range of {
		out[s] = found[b.of[t]]
	}
	return out
}

// round says whether a stretch is part of a roundabout.
func round(n *roadnet.Network, s roadnet.StretchID) bool {
	return n.PieceAt(s, n.Length(s)/2).Attributes.Flags&roadnet.Roundabout != 0
}
