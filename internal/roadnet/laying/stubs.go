package laying

import (
	"loopwright/internal/extract"
	"loopwright/internal/geo"
)

// A stub is a dead end shorter than stubLength, with no name and no home at
// its end: a driver sees an opening, not a road. Both figures are our choice:
// 25 m is the most that a car should have to reverse (Kent Design), so a longer
// one is driven into; a home's mapped address lies within about 20 m of the
// end of the road that serves it.
const (
	stubLength = 25.0
	homeAway   = 20.0
)

// dropStubs takes stubs out of the network. Two of them at the end of a road,
// a hammerhead, leave it a plain dead end.
func (s *site) dropStubs() {
	var stubs [][]uint32 // links of each
	var tips []uint32    // node at the dead end of each
	for node, degree := range s.degree {
		if degree != 1 {
			continue
		}
		if chain := s.stubFrom(uint32(node)); chain != nil {
			stubs, tips = append(stubs, chain), append(tips, uint32(node))
		}
	}
	home := s.nearAddress(tips)
	for i, chain := range stubs {
		if home[i] {
			continue
		}
		s.c.About.Made.Stubs++
		for _, l := range chain {
			s.kind[l] = stubLink
			s.degree[s.ref[l]]--
			s.degree[s.ref[l+1]]--
		}
	}
}

// stubFrom gives the links of the stub that ends at a node, nil if it is none.
func (s *site) stubFrom(tip uint32) []uint32 {
	if s.x.Nodes[tip].Features&(extract.TurningCircle|extract.TurningLoop|extract.MiniRoundabout|extract.BarrierShut) != 0 {
		return nil
	}
	var chain []uint32
	length := 0.0
	node := tip
	e := s.other(node, ^linkEnd(0))
	for {
		l := e.link()
		road := s.x.Roads[s.roadOf[l]]
		length += s.length(l)
		if length >= stubLength || road.Name != "" || road.Ref != "" || node == tip && s.cutAt(e) {
			return nil
		}
		chain = append(chain, l)
		node = s.far(e)
		if s.degree[node] != 2 {
			break
		}
		e = s.other(node, e^1)
	}
	if s.degree[node] < 3 {
		return nil // all there is: a road of its own
	}
	return chain
}

// cutAt says whether the road goes on beyond the link's end in the way, where
// the extract has no nodes.
func (s *site) cutAt(e linkEnd) bool {
	i := s.roadOf[e.link()]
	road := s.x.Roads[i]
	if !e.arrives() {
		return e.link() == s.refStart[i] && road.FirstNode > 0
	}
	last := e.link()+1 == s.refStart[i+1]-1
	return last && int(i)+1 < len(s.x.Roads) && s.x.Roads[i+1].ID == road.ID
}

// nearAddress says of each node whether a mapped address lies near.
func (s *site) nearAddress(nodes []uint32) []bool {
	near := make([]bool, len(nodes))
	if len(nodes) == 0 {
		return near
	}
	g := s.newGrid(homeAway)
	at := map[cell][]int{}
	for i, node := range nodes {
		n := &s.x.Nodes[node]
		g.cell(n.LonE7, n.LatE7).around(func(c cell) { at[c] = append(at[c], i) })
	}
	for _, a := range s.x.Addresses {
		for _, i := range at[g.cell(int32(a.At.Lon()*1e7), int32(a.At.Lat()*1e7))] {
			near[i] = near[i] || geo.Distance(a.At, s.point(nodes[i])) <= homeAway
		}
	}
	return near
}
