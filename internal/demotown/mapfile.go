package demotown

import (
	"math"

	"github.com/paulmach/orb"

	"loopwright/internal/geo"
)

// middle is where the market place lies: open sea between Brittany and Cape
// Finisterre, 230 km from the nearest coast, in the sea zone of Greenwich time.
var middle = orb.Point{-7.2, 47}

// mapped is what the map makers drew of the town.
type mapped struct {
	nodes     []mapNode
	ways      []mapWay
	relations []mapRelation
	plane     geo.Plane
}

type mapNode struct {
	id           int64
	lonE7, latE7 int64
	tags         tags
}

type mapWay struct {
	id   int64
	refs []int64
	tags tags
}

type mapRelation struct {
	id      int64
	members []member
	tags    tags
}

// member is one part of a relation.
type member struct {
	kind memberKind
	ref  int64
	role string
}

type memberKind int32

// The kinds as the format numbers them.
const (
	nodeMember memberKind = iota
	wayMember
)

const (
	firstNode     = 1001
	firstWay      = 101
	firstRelation = 11
)

func (m *mapped) addNode(p geo.XY, t tags) int64 {
	at := m.plane.From(p)
	id := int64(firstNode + len(m.nodes))
	m.nodes = append(m.nodes, mapNode{id, int64(math.Round(at.Lon() * 1e7)), int64(math.Round(at.Lat() * 1e7)), t})
	return id
}

func (m *mapped) addWay(refs []int64, t tags) int64 {
	id := int64(firstWay + len(m.ways))
	m.ways = append(m.ways, mapWay{id, refs, t})
	return id
}

func (m *mapped) addRelation(members []member, t tags) int64 {
	id := int64(firstRelation + len(m.relations))
	m.relations = append(m.relations, mapRelation{id, members, t})
	return id
}

// addLine draws a way of its own nodes.
func (m *mapped) addLine(line []geo.XY, t tags) int64 {
	refs := make([]int64, len(line))
	for i, p := range line {
		refs[i] = m.addNode(p, nil)
	}
	return m.addWay(refs, t)
}

// addRing draws a closed way of its own nodes.
func (m *mapped) addRing(ring []geo.XY, t tags) int64 {
	refs := make([]int64, 0, len(ring)+1)
	for _, p := range ring {
		refs = append(refs, m.addNode(p, nil))
	}
	return m.addWay(append(refs, refs[0]), t)
}
