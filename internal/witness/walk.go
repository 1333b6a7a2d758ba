package witness

import (
	"encoding/json"
	"fmt"
	"math"
	"sort"

	"github.com/paulmach/osm"
)

// leg is what the walk needs of one leg feature.
type leg struct {
	order  int
	coords [][2]float64
	ways   []int64
}

// move is one node-to-node step of the drive.
type move struct {
	way      *osm.Way
	forward  bool
	at       int // index in the way's nodes of the end nearer the way's start
	leg      int
	partial  bool // begins or ends between nodes
	reversed bool // the first move after the car has turned round at the practice place
}

func (m move) tail() osm.NodeID {
	if m.forward {
		return m.way.Nodes[m.at].ID
	}
	return m.way.Nodes[m.at+1].ID
}

func (m move) head() osm.NodeID {
	if m.forward {
		return m.way.Nodes[m.at+1].ID
	}
	return m.way.Nodes[m.at].ID
}

// Walk drives a circuit file's legs over the raw map and gives every fault
// found: a point that is no node of its way, a way not to be driven, a movement
// barred, a turn back on the spot away from the practice place. Empty is legal.
func (w *Witness) Walk(file []byte) []string {
	legs, practice, rounds, err := readLegs(file)
	if err != nil {
		return []string{err.Error()}
	}
	if len(legs) == 0 {
		return []string{"no legs"}
	}
	var moves []move
	for i, l := range legs {
		if i > 0 {
			a, b := legs[i-1].coords[len(legs[i-1].coords)-1], l.coords[0]
			if ex, stops := practice[key(a)]; a != b && !(stops && ex == reverseCorner && away(a, b) < intoSideRoad) {
				return []string{fmt.Sprintf("leg %d begins at %v, but the one before it ended at %v", l.order, b, a)}
			}
		}
		m, err := w.trace(l)
		if err != nil {
			return []string{err.Error()}
		}
		if len(m) > 0 && len(moves) > 0 {
			_, m[0].reversed = practice[key(legs[i-1].coords[len(legs[i-1].coords)-1])]
		}
		moves = append(moves, m...)
	}
	faults := w.judge(moves)
	for _, r := range rounds { // each a drive of its own
		m, err := w.trace(r)
		if err != nil {
			return append(faults, "the way round: "+err.Error())
		}
		for _, f := range w.judge(m) {
			faults = append(faults, "the way round: "+f)
		}
	}
	return faults
}

// After a go of this exercise the car stands in the side road, so far from
// where it began at the most. Our choice: more than twice what is usual, 10 m past
// the corner and 25 m into the side road.
const (
	reverseCorner = "reverse-corner"
	intoSideRoad  = 80.0 // metres
)

// away is how far apart two points are, in metres: near enough for a corner.
func away(a, b [2]float64) float64 {
	const degree = 111_195
	x := (a[0] - b[0]) * math.Cos(a[1]*math.Pi/180)
	return degree * math.Hypot(x, a[1]-b[1])
}

func key(c [2]float64) [2]int64 { return [2]int64{e7(c[0]), e7(c[1])} }

// readLegs gives the legs in order, the exercise of each practice place, and the
// ways round to the next go.
func readLegs(file []byte) ([]leg, map[[2]int64]string, []leg, error) {
	var fc struct {
		Features []struct {
			Geometry struct {
				Type        string
				Coordinates json.RawMessage
			}
			Properties struct {
				Role     string
				Order    int
				Ways     []int64
				Exercise string
				WayRound struct {
					Ways []int64
					Line [][2]float64
				} `json:"way_round"`
			}
		}
	}
	if err := json.Unmarshal(file, &fc); err != nil {
		return nil, nil, nil, err
	}
	var legs, rounds []leg
	practice := map[[2]int64]string{}
	for _, f := range fc.Features {
		if r := f.Properties.WayRound; len(r.Line) > 1 {
			rounds = append(rounds, leg{coords: r.Line, ways: r.Ways})
		}
		switch f.Properties.Role {
		case "leg":
			l := leg{order: f.Properties.Order, ways: f.Properties.Ways}
			if err := json.Unmarshal(f.Geometry.Coordinates, &l.coords); err != nil {
				return nil, nil, nil, fmt.Errorf("leg %d: %w", l.order, err)
			}
			if len(l.coords) < 2 || len(l.ways) == 0 {
				return nil, nil, nil, fmt.Errorf("leg %d has %d points and %d ways", l.order, len(l.coords), len(l.ways))
			}
			legs = append(legs, l)
		case "practice", "second-practice":
			var c [2]float64
			if err := json.Unmarshal(f.Geometry.Coordinates, &c); err != nil {
				return nil, nil, nil, fmt.Errorf("practice: %w", err)
			}
			practice[key(c)] = f.Properties.Exercise
		}
	}
	sort.SliceStable(legs, func(i, j int) bool { return legs[i].order < legs[j].order })
	return legs, practice, rounds, nil
}

// trace finds the run of nodes along the leg's ways that its points follow:
// every node is there, in order, and only the first and last points may lie
// between two nodes.
func (w *Witness) trace(l leg) ([]move, error) {
	for _, id := range l.ways {
		if w.ways[osm.WayID(abs(id))] == nil {
			return nil, fmt.Errorf("leg %d: way %d is no highway of the extract", l.order, abs(id))
		}
	}
	var best int
	var try func(point, way int, done []move) []move
	try = func(point, way int, done []move) []move {
		best = max(best, point)
		if point == len(l.coords)-1 {
			if way >= len(l.ways)-1 {
				return append([]move(nil), done...)
			}
			return nil
		}
		// go on along this way, or begin the next one here
		for next := way; next <= way+1 && next < len(l.ways); next++ {
			if next < 0 {
				continue
			}
			for _, m := range w.steps(l, point, next, done, next == way) {
				if found := try(point+1, next, append(done, m)); found != nil {
					return found
				}
			}
		}
		return nil
	}
	if found := try(0, -1, nil); found != nil {
		return found, nil
	}
	return nil, fmt.Errorf("leg %d: after point %d (%v) the points do not follow the nodes of ways %v", l.order, best, l.coords[best], l.ways)
}

// after is the part of a way that follows another; parts of no length, where a
// way has a node twice in a row, are passed over.
func after(way *osm.Way, at, step int) int {
	at += step
	for at >= 0 && at+1 < len(way.Nodes) && way.Nodes[at].ID == way.Nodes[at+1].ID {
		at += step
	}
	return at
}

// steps are the node-to-node moves on one of the leg's ways that take a point
// of the leg to the next.
func (w *Witness) steps(l leg, point, wayIndex int, done []move, same bool) []move {
	way, forward := w.ways[osm.WayID(abs(l.ways[wayIndex]))], l.ways[wayIndex] > 0
	a, b := l.coords[point], l.coords[point+1]
	first, last := point == 0, point+1 == len(l.coords)-1
	var out []move
	for i := 0; i+1 < len(way.Nodes); i++ {
		m := move{way: way, forward: forward, at: i, leg: l.order}
		tail, head := w.nodes[m.tail()], w.nodes[m.head()]
		if tail == nil || head == nil || tail == head {
			continue
		}
		if len(done) > 0 {
			before := done[len(done)-1]
			if before.head() != m.tail() || same && way == before.way && m.at != after(way, before.at, step(forward)) && !(wraps(way, before.at, m.at)) {
				continue
			}
		}
		atTail, atHead := at(a, tail), at(b, head)
		switch {
		case atTail && atHead:
		case atTail && last && on(b, tail, head), atHead && first && on(a, tail, head):
			m.partial = true
		case first && last && on(a, tail, head) && on(b, tail, head) && along(a, tail, head) < along(b, tail, head):
			m.partial = true
		default:
			continue
		}
		out = append(out, m)
	}
	return out
}

func step(forward bool) int {
	if forward {
		return 1
	}
	return -1
}

// wraps is true where a closed way goes on from its last node to its first.
func wraps(way *osm.Way, before, now int) bool {
	n := len(way.Nodes)
	return way.Nodes[0].ID == way.Nodes[n-1].ID && (before == n-2 && now == 0 || before == 0 && now == n-2)
}

func abs(v int64) int64 {
	if v < 0 {
		return -v
	}
	return v
}

func at(c [2]float64, n *osm.Node) bool { return e7(c[0]) == e7(n.Lon) && e7(c[1]) == e7(n.Lat) }

// along is how far a point lies from a to b, as a share of the way.
func along(c [2]float64, a, b *osm.Node) float64 {
	k := math.Cos(a.Lat * math.Pi / 180)
	dx, dy := (b.Lon-a.Lon)*k, b.Lat-a.Lat
	if dx == 0 && dy == 0 {
		return 0
	}
	return ((c[0]-a.Lon)*k*dx + (c[1]-a.Lat)*dy) / (dx*dx + dy*dy)
}

// on says that a point lies within half a metre of the line between two nodes.
func on(c [2]float64, a, b *osm.Node) bool {
	t := along(c, a, b)
	if t < -1e-3 || t > 1+1e-3 {
		return false
	}
	k := math.Cos(a.Lat * math.Pi / 180)
	x, y := (c[0]-a.Lon-t*(b.Lon-a.Lon))*k, c[1]-a.Lat-t*(b.Lat-a.Lat)
	return math.Hypot(x, y)*111e3 < 0.5
}
