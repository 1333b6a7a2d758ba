package roadnettest

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
)

// drawing is a drawing while it is read.
type drawing struct {
	plane   geo.Plane
	country string
	box     *[4]float64
	x       *extract.Extract
	nodes   map[string]*extract.Node
	spare   map[extract.NodeID]bool // nodes that drives needed
}

var features = map[string]extract.Feature{
	"mini": extract.MiniRoundabout, "signals": extract.Signals, "zebra": extract.CrossingZebra,
	"turning": extract.TurningCircle, "shut": extract.BarrierShut, "give": extract.GiveWay, "stop": extract.Stop,
	"calming": extract.Calming, "bus": extract.BusStop, "island": extract.Island, "level": extract.LevelCrossing,
}

func (d *drawing) line(words []string) error {
	switch first := words[0]; {
	case first == "ban" || first == "only":
		return d.restriction(first == "only", words[1:])
	case first == "drive":
		return d.drive(words[1:])
	case first == "roundabout" && len(words) > 1:
		return d.way(words[1], append(words[2:], "roundabout"))
	case first == "settlement":
		return d.settlement(words[1:])
	case first == "site":
		return d.site(words[1:])
	case first == "building":
		return d.building(words[1:])
	case first == "wall":
		return d.wall(words[1:])
	case first == "gate":
		return d.gate(words[1:])
	case first == "address":
		return d.address(words[1:])
	case features[first] != 0:
		return d.feature(features[first], words[1:])
	case strings.ContainsAny(first, "->"):
		return d.way(first, words[1:])
	case len(words) == 2:
		return d.node(first, words[1])
	}
	return fmt.Errorf("it is no line of a drawing")
}

func (d *drawing) node(name, at string) error {
	p, err := d.position(at)
	if err != nil {
		return err
	}
	if d.nodes[name] != nil {
		return fmt.Errorf("node %s is there already", name)
	}
	return d.addNode(name, p)
}

func (d *drawing) addNode(name string, p orb.Point) error {
	id, err := nodeNumber(name)
	if err != nil {
		return err
	}
	d.nodes[name] = &extract.Node{ID: id, LonE7: int32(math.Round(p.Lon() * 1e7)), LatE7: int32(math.Round(p.Lat() * 1e7))}
	return nil
}

// position reads "120,-30".
func (d *drawing) position(at string) (orb.Point, error) {
	east, north, ok := strings.Cut(at, ",")
	x, err1 := strconv.ParseFloat(east, 64)
	y, err2 := strconv.ParseFloat(north, 64)
	if !ok || err1 != nil || err2 != nil {
		return orb.Point{}, fmt.Errorf("%q is not metres east and north", at)
	}
	return d.plane.From(geo.XY{X: x, Y: y}), nil
}

const digits = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"

// nodeNumber makes a number of a name of capitals and figures: to base 37, the
// digits from 1.
func nodeNumber(name string) (extract.NodeID, error) {
	var id extract.NodeID
	for _, r := range name {
		i := strings.IndexRune(digits, r)
		if i < 0 || len(name) > 11 {
			return 0, fmt.Errorf("%q is no name of a node: at most 11 capitals and figures", name)
		}
		id = id*37 + extract.NodeID(i) + 1
	}
	return id, nil
}

func (d *drawing) named(name string) (*extract.Node, error) {
	if n := d.nodes[name]; n != nil {
		return n, nil
	}
	return nil, fmt.Errorf("node %s is not drawn above", name)
}

func (d *drawing) feature(f extract.Feature, names []string) error {
	direction := int8(0)
	if k := len(names) - 1; k > 0 && (names[k] == "forward" || names[k] == "backward") {
		direction = 1
		if names[k] == "backward" {
			direction = -1
		}
		names = names[:k]
	}
	for _, name := range names {
		n, err := d.named(name)
		if err != nil {
			return err
		}
		n.Features |= f
		n.Direction = direction
	}
	return nil
}

// restriction reads "A-B-C" and longer: the first and the last pair are the
// from and to ways, the pairs between are the via ways.
func (d *drawing) restriction(only bool, words []string) error {
	if len(words) == 0 {
		return fmt.Errorf("the path is missing")
	}
	names := strings.Split(words[0], "-")
	if len(names) < 3 {
		return fmt.Errorf("%q is no path over a node", words[0])
	}
	var ways []extract.WayID
	for i := 1; i < len(names); i++ {
		way, err := d.wayBetween(names[i-1], names[i])
		if err != nil {
			return err
		}
		if len(ways) == 0 || way != ways[len(ways)-1] || len(names) == 3 {
			ways = append(ways, way)
		}
	}
	r := extract.Restriction{
		ID: extract.RelationID(len(d.x.Restrictions) + 1), Only: only, Kind: "no_left_turn",
		From: ways[:1], To: ways[len(ways)-1:],
	}
	if only {
		r.Kind = "only_straight_on"
	}
	if names[0] == names[len(names)-1] && len(names) == 3 {
		r.Kind = map[bool]string{false: "no_u_turn", true: "only_u_turn"}[only]
	}
	if len(names) == 3 {
		via, err := d.named(names[1])
		if err != nil {
			return err
		}
		r.ViaNode = via.ID
	} else {
		r.Via = ways[1 : len(ways)-1]
	}
	if len(words) > 1 {
		r.Conditional = strings.Join(words[1:], " ")
	}
	d.x.Restrictions = append(d.x.Restrictions, r)
	return nil
}

// wayBetween is the first way that has both nodes.
func (d *drawing) wayBetween(a, b string) (extract.WayID, error) {
	x, err := d.named(a)
	if err != nil {
		return 0, err
	}
	y, err := d.named(b)
	if err != nil {
		return 0, err
	}
	for _, r := range d.x.Roads {
		if slices.Contains(r.Nodes, x.ID) && slices.Contains(r.Nodes, y.ID) {
			return r.ID, nil
		}
	}
	return 0, fmt.Errorf("no way is drawn above from %s to %s", a, b)
}

// drive reads "on A-B at 40 left": it puts a node on the line, and a driveway
// of 10 m at right angles.
func (d *drawing) drive(words []string) error {
	if len(words) != 5 || words[0] != "on" || words[2] != "at" || words[4] != "left" && words[4] != "right" {
		return fmt.Errorf("a drive is drawn as: drive on A-B at 40 left")
	}
	a, b, _ := strings.Cut(words[1], "-")
	from, err := d.named(a)
	if err != nil {
		return err
	}
	to, err := d.named(b)
	if err != nil {
		return err
	}
	at, err := strconv.ParseFloat(words[3], 64)
	if err != nil {
		return err
	}
	p, q := d.plane.To(at7(from)), d.plane.To(at7(to))
	road, k := d.linkOf(from.ID, to.ID, func(id extract.NodeID) bool {
		for _, n := range d.nodes {
			if n.ID == id {
				return float64(d.plane.To(at7(n)).Sub(p).Norm()) < at
			}
		}
		return false
	})
	if road == nil {
		return fmt.Errorf("no way has %s and %s as neighbours", a, b)
	}
	along := geo.Towards(q.Sub(p).Heading())
	mouth := p.Add(along.Scale(at))
	aside := geo.XY{X: along.Y, Y: -along.X} // to the right
	if words[4] == "left" {
		aside = aside.Scale(-1)
	}
	names := [2]string{fmt.Sprintf("ZZ%d", len(d.spare)), fmt.Sprintf("ZZ%d", len(d.spare)+1)}
	if err := d.addNode(names[0], d.plane.From(mouth)); err != nil {
		return err
	}
	if err := d.addNode(names[1], d.plane.From(mouth.Add(aside.Scale(10)))); err != nil {
		return err
	}
	for _, name := range names {
		d.spare[d.nodes[name].ID] = true
	}
	road.Nodes = slices.Insert(road.Nodes, k, d.nodes[names[0]].ID)
	return d.way(names[0]+"-"+names[1], []string{"service", "driveway"})
}

// linkOf finds where in a way's nodes a point of the line from a to b goes:
// drives drawn earlier may lie there, some of them before the point.
func (d *drawing) linkOf(a, b extract.NodeID, before func(extract.NodeID) bool) (*extract.Road, int) {
	for _, r := range d.x.Roads {
		from, to := slices.Index(r.Nodes, a), slices.Index(r.Nodes, b)
		if from < 0 || to < 0 {
			continue
		}
		low, high := min(from, to), max(from, to)
		if slices.ContainsFunc(r.Nodes[low+1:high], func(id extract.NodeID) bool { return !d.spare[id] }) {
			continue
		}
		k := low + 1
		for from < to && k < high && before(r.Nodes[k]) || from > to && k < high && !before(r.Nodes[k]) {
			k++
		}
		return r, k
	}
	return nil, 0
}

func at7(n *extract.Node) orb.Point { return orb.Point{float64(n.LonE7) / 1e7, float64(n.LatE7) / 1e7} }

// finish sorts the facts as an extract has them and sets its box.
func (d *drawing) finish() {
	used := map[extract.NodeID]bool{}
	for _, r := range d.x.Roads {
		for _, id := range r.Nodes {
			used[id] = true
		}
	}
	hull := orb.Bound{Min: orb.Point{180, 90}, Max: orb.Point{-180, -90}}
	for _, n := range d.nodes {
		hull = hull.Extend(at7(n))
		if used[n.ID] {
			d.x.Nodes = append(d.x.Nodes, *n)
		}
	}
	slices.SortFunc(d.x.Nodes, func(a, b extract.Node) int { return cmp.Compare(a.ID, b.ID) })
	low, high := d.plane.To(hull.Min), d.plane.To(hull.Max)
	box := [4]float64{low.X - 2000, low.Y - 2000, high.X + 2000, high.Y + 2000}
	if d.box != nil {
		box = *d.box
	}
	d.x.Source.Bounds = orb.Bound{
		Min: d.plane.From(geo.XY{X: box[0], Y: box[1]}),
		Max: d.plane.From(geo.XY{X: box[2], Y: box[3]}),
	}
	d.x.Report.Counts = extract.Counts{
		Nodes: int64(len(d.x.Nodes)), Ways: int64(len(d.x.Roads)), Relations: int64(len(d.x.Restrictions)),
	}
}
