package extract

import (
	"fmt"
	"slices"
	"testing"
)

// OpenStreetMap wiki, "Relation:restriction", from memory.
func TestRestrictionTags(t *testing.T) {
	atNode := []member{{AWay, 1, "from"}, {ANode, 9, "via"}, {AWay, 2, "to"}}
	for _, c := range []struct {
		tags     string
		members  []member
		want     string // kind, only, condition of each
		problems int
	}{
		{"restriction=no_left_turn", atNode, "[no_left_turn false ]", 0},
		{"restriction=only_straight_on", atNode, "[only_straight_on true ]", 0},
		{"restriction=no_u_turn|except=psv;bicycle", atNode, "[no_u_turn false ]", 0},
		{"restriction=no_u_turn|except=psv;motorcar", atNode, "", 0},
		{"restriction:hgv=no_left_turn", atNode, "", 0},
		{"restriction:motorcar=no_left_turn", atNode, "[no_left_turn false ]", 0},
		{"restriction=no_left_turn|restriction:motorcar=none", atNode, "", 0},
		{"restriction:conditional=no_right_turn @ (Mo-Fr 07:00-09:00)", atNode, "[no_right_turn false Mo-Fr 07:00-09:00]", 0},
		{"restriction:conditional=no_right_turn @ (weight>7.5)", atNode, "", 0},
		{"restriction=no_u_turn|restriction:conditional=no_right_turn @ (Su)", atNode, "[no_u_turn false ][no_right_turn false Su]", 0},
		{"restriction:conditional=no_right_turn at noon", atNode, "", 1},
		{"restriction:conditional=no_right_turn @", atNode, "[no_right_turn false no_right_turn @]", 0},
		{"restriction=no_left_turn|day_on=Monday|hour_on=07:00", atNode, "[no_left_turn false day_on=Monday hour_on=07:00]", 0},
		{"restriction=no_left_turn;no_u_turn", atNode, "[no_left_turn false ][no_u_turn false ]", 0},
		{"restriction=no_flying", atNode, "", 1},
		{"restriction=no_left_turn", atNode[:2], "", 1},
		{"restriction=no_left_turn", atNode[1:], "", 1},
		{"restriction=no_left_turn", []member{atNode[0], atNode[2]}, "", 1},
		{"restriction=no_left_turn", append(slices.Clone(atNode), member{ANode, 8, "via"}), "", 1},
		{"restriction=no_left_turn", append(slices.Clone(atNode), member{ANode, 8, "location_hint"}), "[no_left_turn false ]", 0},
		{"restriction=no_entry", append(slices.Clone(atNode), member{AWay, 3, "from"}), "[no_entry false ]", 0},
	} {
		o, problems := tagged(ARelation, "type=restriction|"+c.tags)
		got := ""
		for _, r := range o.restrictions(c.members) {
			got += fmt.Sprintf("[%s %v %s]", r.Kind, r.Only, r.Conditional)
		}
		if got != c.want || len(*problems) != c.problems {
			t.Errorf("restrictions of %q = %q, %d problems, want %q, %d", c.tags, got, len(*problems), c.want, c.problems)
		}
	}
}

func road(id WayID, nodes ...NodeID) *Road { return &Road{ID: id, Nodes: nodes} }

// The via ways come out in the order in which they are driven, whatever the
// order in the file and whichever way they run.
func TestViaWaysInOrder(t *testing.T) {
	//	1 -(10)- 2 -(20)- 3 -(30 runs back)- 4 -(40)- 5 -(50)- 6
	roads := []*Road{road(10, 1, 2), road(20, 2, 3), road(30, 4, 3), road(40, 4, 5), road(50, 5, 6), road(60, 7, 8)}
	for _, via := range [][]WayID{{20, 30, 40}, {40, 30, 20}, {30, 20, 40}, {30, 40, 20}} {
		var report problems
		out := settle([]Restriction{{ID: 1, Kind: "no_u_turn", From: []WayID{10}, Via: slices.Clone(via), To: []WayID{50}}}, roads, &report)
		if len(out) != 1 || !slices.Equal(out[0].Via, []WayID{20, 30, 40}) {
			t.Errorf("via %v is put in order as %+v", via, out)
		}
	}
}

func TestSettle(t *testing.T) {
	roads := []*Road{road(10, 1, 2), road(11, 0, 1), road(20, 2, 3), road(30, 2, 4), road(60, 7, 8)}
	for _, c := range []struct {
		name     string
		r        Restriction
		from, to []WayID // nil: dropped
		problems int
	}{
		{"at a node", Restriction{Kind: "no_left_turn", From: []WayID{10}, ViaNode: 2, To: []WayID{20}}, []WayID{10}, []WayID{20}, 0},
		{"a far piece", Restriction{Kind: "no_left_turn", From: []WayID{11, 10}, ViaNode: 2, To: []WayID{20}}, []WayID{10}, []WayID{20}, 0},
		{"from absent", Restriction{Kind: "no_left_turn", From: []WayID{99}, ViaNode: 2, To: []WayID{20}}, nil, nil, 0},
		{"to absent", Restriction{Kind: "no_left_turn", From: []WayID{10}, ViaNode: 2, To: []WayID{99}}, nil, nil, 0},
		{"command to an absent way", Restriction{Kind: "only_left_turn", Only: true, From: []WayID{10}, ViaNode: 2, To: []WayID{99}}, []WayID{10}, []WayID{99}, 0},
		{"command to two", Restriction{Kind: "only_left_turn", Only: true, From: []WayID{10}, ViaNode: 2, To: []WayID{20, 30}}, nil, nil, 1},
		{"ban to two", Restriction{Kind: "no_exit", From: []WayID{10}, ViaNode: 2, To: []WayID{20, 30}}, []WayID{10}, []WayID{20, 30}, 0},
		{"from elsewhere", Restriction{Kind: "no_left_turn", From: []WayID{60}, ViaNode: 2, To: []WayID{20}}, nil, nil, 1},
		{"to elsewhere", Restriction{Kind: "no_left_turn", From: []WayID{10}, ViaNode: 2, To: []WayID{60}}, nil, nil, 1},
		{"via elsewhere", Restriction{Kind: "no_u_turn", From: []WayID{10}, Via: []WayID{60}, To: []WayID{20}}, nil, nil, 1},
	} {
		var report problems
		out := settle([]Restriction{c.r}, roads, &report)
		switch {
		case c.from == nil && len(out) != 0, c.from != nil && (len(out) != 1 || !slices.Equal(out[0].From, c.from) || !slices.Equal(out[0].To, c.to)):
			t.Errorf("%s: %+v, want from %v to %v", c.name, out, c.from, c.to)
		}
		if got := len(report.list()); got != c.problems {
			t.Errorf("%s: %d problems, want %d", c.name, got, c.problems)
		}
	}
}

// Many via ways that all touch each other end the search soon.
func TestTangledViaWays(t *testing.T) {
	var roads []*Road
	r := Restriction{ID: 1, Kind: "no_u_turn", From: []WayID{1}, To: []WayID{2}}
	roads = append(roads, road(1, 0, 1), road(2, 98, 99))
	for id := WayID(10); id < 70; id++ {
		roads = append(roads, road(id, 1, 2))
		r.Via = append(r.Via, id)
	}
	var report problems
	if out := settle([]Restriction{r}, roads, &report); len(out) != 0 {
		t.Errorf("a tangle is read as %+v", out)
	}
}

// Parts of a way that is cut are found together; ids come out sorted.
func TestCutWays(t *testing.T) {
	m := smallMap{
		nodes: []mapNode{{1, 1, 1, ""}, {2, 1, 1.001, ""}, {4, 1, 1.003, ""}, {5, 1, 1.004, ""}, {6, 1, 1.005, ""}},
		ways:  []mapWay{{9, []int64{1, 2, 3, 4, 5, 6}, "highway=residential"}, {8, []int64{6, 6}, "highway=residential"}},
	}
	e := mustRead(t, write(t, "cut.osm.pbf", m.pbf(packRaw).Bytes()), britain(), 1)
	got := ""
	for _, r := range e.Roads {
		got += fmt.Sprintf("%d.%d@%d%v ", r.ID, r.Part, r.FirstNode, r.Nodes)
	}
	if want := "9.0@0[1 2] 9.1@3[4 5 6] "; got != want {
		t.Errorf("roads = %s, want %s", got, want)
	}
	if e.Report.MissingNodes != 1 || e.Report.BrokenWays != 1 {
		t.Errorf("missing nodes, broken ways = %d, %d, want 1, 1", e.Report.MissingNodes, e.Report.BrokenWays)
	}
}
