package demotown

import (
	"math"

	"loopwright/internal/geo"
)

// node is a position that roads are drawn through.
type node struct {
	at   geo.XY
	arms int // segments that meet here
	tags tags
}

// road is one line of the network with one name and one character. A name may
// cover several roads, end to end.
type road struct {
	name     string
	class    class
	district *district
	parent   *road // the road that it grew from
	nodes    []int // into network.nodes
	oneWay   bool
	bridge   bool
	dual     bool // drawn as one line, to become two carriageways
	ring     bool // a roundabout, nodes clockwise, first node repeated at the end
	spacing  float64
	head     bool // ends in a turning head
	limit    int  // mph
	private  bool // only for those who live or work there
	gate     int  // node of the gate, 0 for none
	lane     bool // one car wide, with passing places
	rough    bool // unsealed
	measured bool // its width is on the map
	told     bool // the map tells something of its parked cars
	bus      bool // on a bus route
	backward bool // one-way, and drawn on the map against the traffic
	setts    bool
	tags     tags // what sets it apart from its class and district
}

// piece is a straight part of a road between two of its nodes. A piece that a
// new node has cut in two is gone.
type piece struct {
	road *road
	a, b int
	gone bool
}

// network is the growing town: roads through shared nodes, with the pieces
// hashed into square cells so that neighbours are found quickly.
type network struct {
	nodes  []node
	roads  []*road
	pieces []piece
	cells  map[cell][]int // into pieces
}

type cell struct{ x, y int }

const cellSize = 50.0

func newNetwork() *network { return &network{cells: map[cell][]int{}} }

func cellOf(p geo.XY) cell {
	return cell{int(math.Floor(p.X / cellSize)), int(math.Floor(p.Y / cellSize))}
}

func (n *network) addNode(p geo.XY) int {
	n.nodes = append(n.nodes, node{at: p})
	return len(n.nodes) - 1
}

// addRoad takes over a road whose nodes are already there.
func (n *network) addRoad(r *road) {
	n.roads = append(n.roads, r)
	for i := 1; i < len(r.nodes); i++ {
		n.addPiece(r, r.nodes[i-1], r.nodes[i])
	}
}

func (n *network) addPiece(r *road, a, b int) {
	id := len(n.pieces)
	n.pieces = append(n.pieces, piece{road: r, a: a, b: b})
	n.nodes[a].arms++
	n.nodes[b].arms++
	p, q := n.nodes[a].at, n.nodes[b].at
	lo, hi := cellOf(geo.XY{X: math.Min(p.X, q.X), Y: math.Min(p.Y, q.Y)}), cellOf(geo.XY{X: math.Max(p.X, q.X), Y: math.Max(p.Y, q.Y)})
	for x := lo.x; x <= hi.x; x++ {
		for y := lo.y; y <= hi.y; y++ {
			n.cells[cell{x, y}] = append(n.cells[cell{x, y}], id)
		}
	}
}

// near calls visit for every piece that may lie within reach of p, in a fixed
// order; a piece may come more than once.
func (n *network) near(p geo.XY, reach float64, visit func(id int, s *piece)) {
	lo, hi := cellOf(geo.XY{X: p.X - reach, Y: p.Y - reach}), cellOf(geo.XY{X: p.X + reach, Y: p.Y + reach})
	for x := lo.x; x <= hi.x; x++ {
		for y := lo.y; y <= hi.y; y++ {
			for _, id := range n.cells[cell{x, y}] {
				if s := &n.pieces[id]; !s.gone {
					visit(id, s)
				}
			}
		}
	}
}

// cut puts a new node on a piece, t of the way along it.
func (n *network) cut(id int, t float64) int {
	s := n.pieces[id]
	c := n.addNode(between(n.nodes[s.a].at, n.nodes[s.b].at, t))
	n.insert(id, c)
	return c
}

// insert leads a piece through a node that is there already.
func (n *network) insert(id, c int) {
	s := &n.pieces[id]
	s.gone = true
	r, a, b := s.road, s.a, s.b
	n.nodes[a].arms--
	n.nodes[b].arms--
	for i := 1; i < len(r.nodes); i++ {
		if r.nodes[i-1] == a && r.nodes[i] == b {
			r.nodes = append(r.nodes[:i], append([]int{c}, r.nodes[i:]...)...)
			break
		}
	}
	n.addPiece(r, a, c)
	n.addPiece(r, c, b)
}

// line is the shape of a road.
func (n *network) line(r *road) []geo.XY {
	out := make([]geo.XY, len(r.nodes))
	for i, id := range r.nodes {
		out[i] = n.nodes[id].at
	}
	return out
}

// nearestPiece is the piece nearest to p within reach that wanted accepts.
func (n *network) nearestPiece(p geo.XY, reach float64, wanted func(*piece) bool) (id int, away, t float64) {
	id, away = -1, reach
	n.near(p, reach, func(i int, s *piece) {
		if wanted != nil && !wanted(s) {
			return
		}
		if d, u := toSegment(p, n.nodes[s.a].at, n.nodes[s.b].at); d < away {
			id, away, t = i, d, u
		}
	})
	return id, away, t
}

// nearestJunction finds a node with three arms or more, or a road's end,
// within reach of p.
func (n *network) nearestJunction(p geo.XY, reach float64) (id int, away float64) {
	id, away = -1, reach
	n.near(p, reach, func(_ int, s *piece) {
		for _, k := range [2]int{s.a, s.b} {
			if n.nodes[k].arms != 2 {
				if d := distance(p, n.nodes[k].at); d < away {
					id, away = k, d
				}
			}
		}
	})
	return id, away
}

// on says whether a road runs through a node.
func (n *network) on(r *road, id int) bool {
	for _, k := range r.nodes {
		if k == id {
			return true
		}
	}
	return false
}

// rebuild hashes the pieces anew from the roads, after roads were replaced.
func (n *network) rebuild() {
	roads := n.roads
	n.roads, n.pieces, n.cells = nil, nil, map[cell][]int{}
	for i := range n.nodes {
		n.nodes[i].arms = 0
	}
	for _, r := range roads {
		n.addRoad(r)
	}
}

func lengthOf(line []geo.XY) float64 { return float64(geo.Polyline(line).Length()) }
