package demotown

import (
	"container/heap"
	"math"
)

// driver finds quickest ways over the public roads, for buses and for the
// traffic of the town. Turn restrictions are left out: they are few, and
// neither a bus nor a flow is asked to prove anything about them.
type driver struct {
	*town
	arms [][]arm // by node
}

// arm leads from one node to the next along a road.
type arm struct {
	to      int
	road    *road
	index   int // the arm runs from or to road.nodes[index], the lower of the two
	seconds float64
}

func (t *town) newDriver() *driver {
	d := &driver{town: t, arms: make([][]arm, len(t.nodes))}
	for _, r := range t.roads {
		if !r.class.public() || r.private {
			continue
		}
		speed := float64(min(r.limit, 60)) * 0.447 * 0.85
		if !r.class.major() {
			speed *= 0.72
		}
		for i := 1; i < len(r.nodes); i++ {
			a, b := r.nodes[i-1], r.nodes[i]
			if t.nodes[a].tags["barrier"] != "" || t.nodes[b].tags["barrier"] != "" {
				continue
			}
			s := distance(t.nodes[a].at, t.nodes[b].at) / speed
			if t.nodes[b].arms > 2 {
				s += 3
			}
			d.arms[a] = append(d.arms[a], arm{b, r, i - 1, s})
			if !r.oneWay {
				d.arms[b] = append(d.arms[b], arm{a, r, i - 1, s})
			}
		}
	}
	return d
}

// from gives, for every node, the arm by which it is reached soonest and the
// node before it, within a bound of seconds (Dijkstra, "A note on two problems
// in connexion with graphs", 1959).
func (d *driver) from(start int, bound float64) (before []int, by []arm, seconds []float64) {
	n := len(d.nodes)
	before, by, seconds = make([]int, n), make([]arm, n), make([]float64, n)
	for i := range seconds {
		seconds[i], before[i] = math.Inf(1), -1
	}
	seconds[start] = 0
	q := &frontier{{start, 0}}
	for q.Len() > 0 {
		at := heap.Pop(q).(reached)
		if at.seconds > seconds[at.node] || at.seconds > bound {
			continue
		}
		for _, a := range d.arms[at.node] {
			if s := at.seconds + a.seconds; s < seconds[a.to] {
				seconds[a.to], before[a.to], by[a.to] = s, at.node, a
				heap.Push(q, reached{a.to, s})
			}
		}
	}
	return before, by, seconds
}

// path is the arms from start to end in order, and the nodes they start at.
func (d *driver) path(start, end int) (arms []arm, nodes []int) {
	before, by, _ := d.from(start, math.Inf(1))
	for at := end; at != start; at = before[at] {
		if before[at] < 0 {
			panic("bug in demotown: a stop that no bus can reach")
		}
		arms, nodes = append(arms, by[at]), append(nodes, before[at])
	}
	for i, j := 0, len(arms)-1; i < j; i, j = i+1, j-1 {
		arms[i], arms[j] = arms[j], arms[i]
		nodes[i], nodes[j] = nodes[j], nodes[i]
	}
	return arms, nodes
}

type reached struct {
	node    int
	seconds float64
}

// frontier is a heap by time, then by node, so that ties fall the same way.
type frontier []reached

func (f frontier) Len() int { return len(f) }
func (f frontier) Less(i, j int) bool {
	if f[i].seconds != f[j].seconds {
		return f[i].seconds < f[j].seconds
	}
	return f[i].node < f[j].node
}
func (f frontier) Swap(i, j int) { f[i], f[j] = f[j], f[i] }
func (f *frontier) Push(x any)   { *f = append(*f, x.(reached)) }
func (f *frontier) Pop() any {
	old := *f
	x := old[len(old)-1]
	*f = old[:len(old)-1]
	return x
}
