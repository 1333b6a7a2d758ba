package witness

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
)

// The map: a street of two ways (10, 11) from node 1 east to node 5, Side Lane
// (20) north from node 3, a one-way (30) south from node 3, a loop back (40)
// from 8 to 5, and a gated lane (50) beyond node 5.
//
//	      6
//	      |20
//	1--2--3--4--5-|gate|-9
//	  10  |30 11 /
//	      8-----'40
const town = `<osm version="0.6">
<node id="1" lon="0.0000" lat="50.0000"/><node id="2" lon="0.0010" lat="50.0000"/>
<node id="3" lon="0.0020" lat="50.0000"/><node id="4" lon="0.0030" lat="50.0000"/>
<node id="5" lon="0.0040" lat="50.0000"/><node id="6" lon="0.0020" lat="50.0010"/>
<node id="8" lon="0.0020" lat="49.9990"/><node id="9" lon="0.0060" lat="50.0000"/>
<node id="10" lon="0.0050" lat="50.0000"><tag k="barrier" v="bollard"/></node>
<way id="10"><nd ref="1"/><nd ref="2"/><nd ref="3"/><tag k="highway" v="residential"/></way>
<way id="11"><nd ref="3"/><nd ref="4"/><nd ref="5"/><tag k="highway" v="residential"/></way>
<way id="20"><nd ref="3"/><nd ref="6"/><tag k="highway" v="residential"/></way>
<way id="30"><nd ref="3"/><nd ref="8"/><tag k="highway" v="residential"/><tag k="oneway" v="yes"/></way>
<way id="40"><nd ref="8"/><nd ref="5"/><tag k="highway" v="tertiary"/></way>
<way id="50"><nd ref="5"/><nd ref="10"/><nd ref="9"/><tag k="highway" v="residential"/></way>
<relation id="1"><member type="way" ref="10" role="from"/><member type="node" ref="3" role="via"/><member type="way" ref="20" role="to"/><tag k="type" v="restriction"/><tag k="restriction" v="no_left_turn"/></relation>
<relation id="2"><member type="way" ref="20" role="from"/><member type="node" ref="3" role="via"/><member type="way" ref="11" role="to"/><tag k="type" v="restriction"/><tag k="restriction" v="only_left_turn"/></relation>
<relation id="3"><member type="way" ref="10" role="from"/><member type="way" ref="30" role="via"/><member type="way" ref="40" role="to"/><tag k="type" v="restriction"/><tag k="restriction" v="no_left_turn"/></relation>
</osm>`

var place = map[int][2]float64{1: {0, 50}, 2: {.001, 50}, 3: {.002, 50}, 4: {.003, 50}, 5: {.004, 50}, 6: {.002, 50.001}, 8: {.002, 49.999}, 9: {.006, 50}, 10: {.005, 50},
	100: {.0005, 50}, 101: {.0035, 50}, 102: {.0007, 50}}

type drawn struct {
	nodes []int
	ways  []int64
}

func file(t *testing.T, practice int, legs ...drawn) []byte {
	t.Helper()
	type obj = map[string]any
	var features []obj
	for i, l := range legs {
		var c [][2]float64
		for _, n := range l.nodes {
			c = append(c, place[n])
		}
		features = append(features, obj{"type": "Feature", "geometry": obj{"type": "LineString", "coordinates": c}, "properties": obj{"role": "leg", "order": i + 1, "ways": l.ways}})
	}
	if practice != 0 {
		features = append(features, obj{"type": "Feature", "geometry": obj{"type": "Point", "coordinates": place[practice]}, "properties": obj{"role": "practice"}})
	}
	b, err := json.Marshal(obj{"type": "FeatureCollection", "features": features})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestWalk(t *testing.T) {
	w, err := Read(strings.NewReader(town))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name     string
		practice int
		legs     []drawn
		want     string // part of the only fault; "" for a legal drive
	}{
		{"along the street with a stop part-way", 0, []drawn{{[]int{100, 2, 3, 4, 101}, []int64{10, 11}}, {[]int{101, 5}, []int64{11}}}, ""},
		{"a stop in one part of a way", 0, []drawn{{[]int{100, 102}, []int64{10}}, {[]int{102, 2}, []int64{10}}}, ""},
		{"a node left out", 0, []drawn{{[]int{1, 3, 4}, []int64{10, 11}}}, "do not follow"},
		{"a way that is not there", 0, []drawn{{[]int{1, 2}, []int64{99}}}, "no highway"},
		{"signed the wrong way", 0, []drawn{{[]int{1, 2, 3}, []int64{-10}}}, "do not follow"},
		{"legs apart", 0, []drawn{{[]int{1, 2}, []int64{10}}, {[]int{3, 4}, []int64{11}}}, "the one before it ended"},
		{"no left turn", 0, []drawn{{[]int{1, 2, 3, 6}, []int64{10, 20}}}, "may not go on"},
		{"the same turn over two legs", 0, []drawn{{[]int{1, 2, 3}, []int64{10}}, {[]int{3, 6}, []int64{20}}}, "may not go on"},
		{"right turn into the side lane", 0, []drawn{{[]int{5, 4, 3, 6}, []int64{-11, 20}}}, ""},
		{"only left out of the side lane", 0, []drawn{{[]int{6, 3, 2}, []int64{-20, -10}}}, "must go on"},
		{"left out of the side lane", 0, []drawn{{[]int{6, 3, 4}, []int64{-20, 11}}}, ""},
		{"against the one-way", 0, []drawn{{[]int{8, 3, 4}, []int64{-30, 11}}}, "against oneway"},
		{"barred by way of a way", 0, []drawn{{[]int{1, 2, 3, 8, 5}, []int64{10, 30, 40}}}, "may not go by way"},
		{"the same from the other end", 0, []drawn{{[]int{5, 4, 3, 8, 5}, []int64{-11, 30, 40}}}, ""},
		{"past the bollard", 0, []drawn{{[]int{5, 10, 9}, []int64{50}}}, "barrier"},
		{"turning back at a plain node", 0, []drawn{{[]int{1, 2, 1}, []int64{10, -10}}}, "turns back"},
		{"turning back at a stop", 0, []drawn{{[]int{3, 2, 100}, []int64{-10}}, {[]int{100, 2, 3}, []int64{10}}}, "turns back"},
		{"turning round at the practice place", 100, []drawn{{[]int{3, 2, 100}, []int64{-10}}, {[]int{100, 2, 3}, []int64{10}}}, ""},
	} {
		faults := w.Walk(file(t, c.practice, c.legs...))
		switch {
		case c.want == "" && len(faults) > 0:
			t.Errorf("%s: %v, want a legal drive", c.name, faults)
		case c.want != "" && (len(faults) != 1 || !strings.Contains(faults[0], c.want)):
			t.Errorf("%s: %v, want one fault with %q", c.name, faults, c.want)
		}
	}
}

// Of a practice place the exercise says where the next drive may begin, and the
// way round to the next go is driven, too.
func TestWalkFromThePractice(t *testing.T) {
	w, err := Read(strings.NewReader(town))
	if err != nil {
		t.Fatal(err)
	}
	const file = `{"features": [
{"geometry": {"coordinates": [[0.004, 50], [0.003, 50]]}, "properties": {"role": "leg", "order": 1, "ways": [-11]}},
{"geometry": {"coordinates": [0.003, 50]}, "properties": {"role": "practice", "exercise": %q, "way_round": {"line": %s, "ways": %s}}},
{"geometry": {"coordinates": %s}, "properties": {"role": "leg", "order": 2, "ways": [11]}}]}`
	const here, near, far = "[[0.003, 50], [0.004, 50]]", "[[0.0035, 50], [0.004, 50]]", "[[0.0015, 50], [0.002, 50]]"
	const legal, against = "[[0.002, 50], [0.003, 50]]", "[[0.002, 49.999], [0.002, 50], [0.003, 50]]"
	for _, c := range []struct{ name, exercise, line, ways, next, want string }{
		{"on from where the go began", "turn-in-the-road", legal, "[11]", here, ""},
		{"out of the side road", "reverse-corner", legal, "[11]", near, ""},
		{"a go that stays where it began", "turn-in-the-road", legal, "[11]", near, "the one before it ended"},
		{"farther than a side road goes", "reverse-corner", legal, "[11]", far, "the one before it ended"},
		{"a way round against the one-way", "turn-in-the-road", against, "[-30, 11]", here, "the way round: "},
		{"a way round by no way", "turn-in-the-road", legal, "[99]", here, "the way round: "},
	} {
		got := strings.Join(w.Walk(fmt.Appendf(nil, file, c.exercise, c.line, c.ways, c.next)), "; ")
		if (c.want == "") != (got == "") || !strings.Contains(got, c.want) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

func TestWalkReadsAccess(t *testing.T) {
	base := `<osm version="0.6"><node id="1" lon="0" lat="50"/><node id="2" lon="0.001" lat="50"/><node id="3" lon="0.002" lat="50"/><node id="4" lon="0.003" lat="50"/>
<way id="10"><nd ref="1"/><nd ref="2"/><tag k="highway" v="residential"/></way>
<way id="11"><nd ref="2"/><nd ref="3"/><tag k="highway" v="residential"/>%s</way>
<way id="12"><nd ref="3"/><nd ref="4"/><tag k="highway" v="residential"/></way></osm>`
	for _, c := range []struct{ tags, want string }{
		{"", ""},
		{`<tag k="access" v="private"/>`, "access is private"},
		{`<tag k="access" v="no"/><tag k="motor_vehicle" v="yes"/>`, ""},
		{`<tag k="motor_vehicle" v="destination"/>`, "driven through"},
		{`<tag k="motorcar:forward" v="no"/>`, "access is no"},
		{`<tag k="motorcar:backward" v="no"/>`, ""},
		{`<tag k="junction" v="roundabout"/>`, ""},
		{`<tag k="oneway" v="-1"/>`, "against oneway"},
	} {
		w, err := Read(strings.NewReader(fmt.Sprintf(base, c.tags)))
		if err != nil {
			t.Fatal(err)
		}
		place[31], place[32], place[33], place[34] = [2]float64{0, 50}, [2]float64{.001, 50}, [2]float64{.002, 50}, [2]float64{.003, 50}
		faults := w.Walk(file(t, 0, drawn{[]int{31, 32, 33, 34}, []int64{10, 11, 12}}))
		if got := strings.Join(faults, "; "); (c.want == "") != (got == "") || !strings.Contains(got, c.want) {
			t.Errorf("%s: %q, want %q", c.tags, got, c.want)
		}
	}
}
