// Package roadnettest draws small networks as text, for tests of whatever
// works on a network. A drawing is made into typed facts and laid by the same
// code as a real extract.
//
//	A 0,0                                 a node: metres east and north of the origin
//	B 100,0                               (52° N, 1° W unless an option says otherwise)
//	A-B Mill Lane residential 30mph       a way both ways; its name is the words with capitals or figures
//	A>B>C High Street tertiary            a one-way way through several nodes
//	A-B service driveway                  an opening
//	ban A-B-C                             no driving from the way of A-B over B to the way of B-C
//	ban A-B-C-D                           the same by way of B-C: a restriction via a way
//	only A-B-C                            from A-B over B only to B-C
//	mini A B | signals A | zebra A | turning A | shut A | give A | stop A | calming A | bus A | island A
//	signals A forward                     signals for traffic along the way at A only; or backward
//	drive on A-B at 40 left               a drive onto the straight line from A to B
//	roundabout A>B>C>A Ring               a way with junction=roundabout
//	settlement 50,50 Littleton village    or city, town, suburb, hamlet
//	address 20,5 12 Mill Lane AB1 2CD     house number, street, postcode (two last words, if the last begins with a figure)
//	site school 20,5 60,40 Mill School    a box between two corners, or a node; or bus-stop, shop, car-park ...
//	building house 10,10 18,20            a box; or terrace, garage, place-of-work ...
//	wall hedge 0,4 50,4                   a line; or wall, fence
//	gate 20,10                            an entrance
//	# a remark
//
// Words on a way, in any order: a class (motorway, trunk, primary, secondary,
// tertiary, unclassified, residential, living_street, service, track), else
// residential; 30mph or 50kmh; width=5.5; lanes=2; ref=B1; destination,
// private, barred; driveway, parking_aisle; dual, bridge, tunnel, lit, loose,
// bumps, link, roundabout; incline=5 (per cent along the way); parking=lane,
// parking-left=lane, parking-right=no ...; nostopping-left, nostopping-right.
//
// Ways are numbered from 1 in the order of the lines; the way of a drive is
// numbered among them. Node numbers tell their names, see Node. Nothing is
// near the rim unless the option Bounds makes it so.
package roadnettest

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/laying"
)

// Option changes how a drawing is made into a network.
type Option func(*drawing)

// Origin puts 0,0 elsewhere.
func Origin(p orb.Point) Option { return func(d *drawing) { d.plane = geo.PlaneAt(p) } }

// Country sets the profile code that the network says it was made for: gb
// unless given.
func Country(code string) Option { return func(d *drawing) { d.country = code } }

// Bounds sets the extract's box, in metres east and north.
func Bounds(west, south, east, north float64) Option {
	return func(d *drawing) { d.box = &[4]float64{west, south, east, north} }
}

// Parse makes a network of a drawing; the test ends there if it can't be read.
func Parse(t testing.TB, text string, options ...Option) *roadnet.Network {
	t.Helper()
	x, code, err := facts(text, options)
	if err != nil {
		t.Fatal(err)
	}
	columns, err := laying.Lay(context.Background(), x, 1)
	if err != nil {
		t.Fatal(err)
	}
	columns.About.Country = code
	n, err := roadnet.New(columns)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// Extract makes the typed facts of a drawing, for tests of what lays networks.
func Extract(t testing.TB, text string, options ...Option) *extract.Extract {
	t.Helper()
	x, _, err := facts(text, options)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

func facts(text string, options []Option) (*extract.Extract, string, error) {
	d := &drawing{
		plane: geo.PlaneAt(orb.Point{-1, 52}), country: "gb",
		x:     &extract.Extract{Source: extract.Source{Name: "drawing.osm", Timestamp: time.Date(2024, 5, 1, 0, 0, 0, 0, time.UTC)}},
		nodes: map[string]*extract.Node{}, spare: map[extract.NodeID]bool{},
	}
	for _, option := range options {
		option(d)
	}
	for i, line := range strings.Split(text, "\n") {
		line, _, _ = strings.Cut(line, "#")
		if words := strings.Fields(line); len(words) > 0 {
			if err := d.line(words); err != nil {
				return nil, "", fmt.Errorf("drawing, line %d, %q: %w", i+1, strings.TrimSpace(line), err)
			}
		}
	}
	d.finish()
	return d.x, d.country, nil
}

// Node is the network's node of that name in the drawing.
func Node(t testing.TB, n *roadnet.Network, name string) roadnet.NodeID {
	t.Helper()
	id, err := nodeNumber(name)
	if err != nil {
		t.Fatal(err)
	}
	for v := range roadnet.NodeID(n.NumNodes()) {
		if n.NodeOSM(v) == id {
			return v
		}
	}
	t.Fatalf("node %s of the drawing is none of the network: no stretch ends there", name)
	return 0
}

// Segment is the segment from one node of the network to the next, "A>B"; of
// several the one with the least number.
func Segment(t testing.TB, n *roadnet.Network, arrow string) roadnet.SegmentID {
	t.Helper()
	path := Path(t, n, arrow)
	if len(path) != 1 {
		t.Fatalf("%q is not one segment", arrow)
	}
	return path[0]
}

// Path is the segments through nodes of the network, "A>B>C".
func Path(t testing.TB, n *roadnet.Network, arrows string) []roadnet.SegmentID {
	t.Helper()
	names := strings.Split(arrows, ">")
	var path []roadnet.SegmentID
	for i := 1; i < len(names); i++ {
		from, to := Node(t, n, names[i-1]), Node(t, n, names[i])
		found := false
		for _, s := range n.Out(from) {
			if !found && n.Head(s) == to {
				path, found = append(path, s), true
			}
		}
		if !found {
			t.Fatalf("no segment leads from %s to %s", names[i-1], names[i])
		}
	}
	return path
}
