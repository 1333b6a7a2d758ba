package gazetteer_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"loopwright/internal/country"
	"loopwright/internal/extract"
	"loopwright/internal/gazetteer"
	"loopwright/internal/geo"
	"loopwright/internal/indexing"
	"loopwright/internal/roadnet"
)

// village draws invented villages on a grid of 0.001° (about 68 m by 111 m), for
// indexing as any extract is. Node xxyy lies at column xx, row yy.
type village struct {
	nodes map[int]string // tags by number
	ways  []string
}

func at(node int) orb.Point {
	return orb.Point{0.001 * float64(node/100), 52 + 0.001*float64(node%100)}
}

func tags(pairs string) string {
	var b strings.Builder
	for _, pair := range strings.Split(pairs, ";") {
		if key, value, ok := strings.Cut(pair, "="); ok {
			fmt.Fprintf(&b, "<tag k=%q v=%q/>", key, strings.ReplaceAll(value, "&", "&amp;"))
		}
	}
	return b.String()
}

func (v *village) way(id int, pairs string, nodes ...int) {
	var b strings.Builder
	fmt.Fprintf(&b, `<way id="%d" version="1">`, id)
	for _, n := range nodes {
		fmt.Fprintf(&b, `<nd ref="%d"/>`, n)
		if _, ok := v.nodes[n]; !ok {
			v.nodes[n] = ""
		}
	}
	v.ways = append(v.ways, b.String()+tags(pairs)+"</way>")
}

func (v *village) network(t *testing.T, code string) *roadnet.Network {
	t.Helper()
	var b strings.Builder
	b.WriteString(`<?xml version="1.0" encoding="UTF-8"?><osm version="0.6">`)
	for n := range 10000 {
		if pairs, ok := v.nodes[n]; ok {
			fmt.Fprintf(&b, `<node id="%d" version="1" lat="%.7f" lon="%.7f">%s</node>`, n, at(n).Lat(), at(n).Lon(), tags(pairs))
		}
	}
	b.WriteString(strings.Join(v.ways, "") + "</osm>")
	file := filepath.Join(t.TempDir(), "village.osm")
	if err := os.WriteFile(file, []byte(b.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	profile, err := country.ByCode(code)
	if err != nil {
		t.Fatal(err)
	}
	facts, err := extract.Read(context.Background(), file, extract.Options{Profile: profile, Workers: 1})
	if err != nil {
		t.Fatal(err)
	}
	n, err := indexing.Build(context.Background(), facts, profile, indexing.Options{Workers: 1})
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// twoVillages are Ashby, around 1010, and Marwell, around 8010, five kilometres
// apart, joined by the A999.
func twoVillages(t *testing.T, code string) *roadnet.Network {
	v := &village{nodes: map[int]string{
		1011: "place=village;name=Ashby",
		8011: "place=village;name=Marwell",
		1207: "addr:postcode=AB1 2CD;addr:street=Mill Lane;addr:housenumber=3",
		1307: "addr:postcode=AB1 2CD;addr:street=Mill Lane;addr:housenumber=5",
		8207: "addr:postcode=AB9;addr:street=Mill Lane",
		1506: "addr:postcode=AB9;addr:street=Rose & Crown Lane",
	}}
	v.way(1, "highway=primary;ref=A999;maxspeed=60 mph", 610, 1010, 2010, 8010, 9010)
	v.way(2, "highway=residential;name=High Street", 1010, 1008, 1006, 1004)
	v.way(3, "highway=residential;name=High Street", 8010, 8008, 8004)
	v.way(4, "highway=residential;name=Mill Lane", 1008, 1208, 1408, 1608)
	v.way(5, "highway=residential;name=Rose & Crown Lane;oneway=yes", 1006, 1406, 1408)
	v.way(6, "highway=residential;name=St Mary's Road", 8008, 8208, 8408)
	v.way(7, "highway=residential;name=St Marys Rod", 8004, 8204, 8404)
	v.way(8, "highway=service;access=private;name=Hall Drive", 8204, 8201)
	return v.network(t, code)
}

// near says whether two positions lie within some metres.
func near(a, b orb.Point, within geo.Metres) bool { return geo.Distance(a, b) <= within }

func TestFind(t *testing.T) {
	n := twoVillages(t, "gb")
	for _, c := range []struct {
		words  string
		road   string
		at     orb.Point
		within geo.Metres
		says   string // of Describe
		said   string
	}{
		{words: "Mill Lane", road: "Mill Lane", at: at(1208), within: 25},
		{words: "  mill ln ", road: "Mill Lane", at: at(1208), within: 25},
		{words: "High Street, Ashby", road: "High Street", at: at(1007), within: 250},
		{words: "high st, MARWELL", road: "High Street", at: at(8006), within: 250},
		{words: "A999", road: "A999", at: at(5010), within: 500, says: "A999, facing towards High Street"},
		{words: "Rose & Crown Lane", road: "Rose & Crown Lane", at: at(1306), within: 150, says: "Rose & Crown Lane, facing towards Mill Lane"},
		{words: "rose and crown lane", road: "Rose & Crown Lane", at: at(1306), within: 150},
		{words: "Mill Lane & High Street", road: "Mill Lane", at: at(1008), within: 25},
		{words: "High Street and Mill Lane, Ashby", road: "High Street", at: at(1008), within: 25},
		{words: "High Street & Rose & Crown Lane", road: "High Street", at: at(1006), within: 25},
		{words: "Rose & Crown Lane & High Street", road: "Rose & Crown Lane", at: at(1006), within: 25, says: "Rose & Crown Lane, facing towards Mill Lane"},
		{words: "Mil Lane", road: "Mill Lane", at: at(1208), within: 25, said: "taken as Mill Lane"},
		{words: "Hihg Street, Ashbey", road: "High Street", at: at(1007), within: 250, said: "taken as High Street, Ashby"},
		{words: "Rose & Crown Lane & Mill Lane", road: "Rose & Crown Lane", at: at(1408), within: 25, says: "Rose & Crown Lane, facing towards Mill Lane"},
		{words: "52.0061,0.0120", road: "Rose & Crown Lane", at: at(1206), within: 5, says: "Rose & Crown Lane, facing towards Mill Lane"},
		{words: "52.0059,0.0120", road: "Rose & Crown Lane", at: at(1206), within: 5, says: "Rose & Crown Lane, facing towards Mill Lane"},
		{words: "AB1 2CD", road: "Mill Lane", at: at(1308), within: 80},
		{words: "ab12cd", road: "Mill Lane", at: at(1308), within: 80},
		{words: "52.0081,0.0130", road: "Mill Lane", at: at(1308), within: 15, says: "Mill Lane, facing towards Rose & Crown Lane"},
		{words: "52.0079 0.0130", road: "Mill Lane", at: at(1308), within: 15, says: "Mill Lane, facing towards High Street"},
		{words: "52.0080,0.01601", road: "Mill Lane", at: at(1608), within: 15},
		{words: "w4+200l", road: "Mill Lane", at: at(1308), within: 20, says: "Mill Lane, facing towards Rose & Crown Lane"},
		{words: "w4+200r", road: "Mill Lane", at: at(1308), within: 20, says: "Mill Lane, facing towards High Street"},
		{words: "w5+200r", road: "Rose & Crown Lane", at: at(1306), within: 20, says: "Rose & Crown Lane, facing towards Mill Lane"},
		{words: "St Mary's Road", road: "St Mary's Road", at: at(8308), within: 150, says: "St Mary's Road, facing the end of the road"},
	} {
		r, err := gazetteer.Find(n, c.words)
		if err != nil {
			t.Errorf("Find(%q): %v", c.words, err)
			continue
		}
		if r.Road != c.road || !near(r.At, c.at, c.within) || r.Said != c.said {
			t.Errorf("Find(%q) = %s at %v (%.0f m away), said %q; want %s within %.0f m, said %q",
				c.words, r.Road, r.At, float64(geo.Distance(r.At, c.at)), r.Said, c.road, float64(c.within), c.said)
		}
		if says := gazetteer.Describe(n, r.Position); c.says != "" && says != c.says {
			t.Errorf("Describe(Find(%q)) = %q, want %q", c.words, says, c.says)
		}
		if !n.Drivable(r.Position.Segment) {
			t.Errorf("Find(%q) stands where it may not drive", c.words)
		}
		again, err := gazetteer.Find(n, r.Kerb.String())
		if err != nil || again.Position.Segment != r.Position.Segment || again.Side != r.Side || math.Abs(float64(again.Position.Along-r.Position.Along)) > 1 {
			t.Errorf("Find(%q) is kerb %v, which is %v, %v", c.words, r.Kerb, again, err)
		}
	}
}

// TestFindKerbs asks for the driving side in either kind of country, and for
// the distance from junctions that the country's code asks.
func TestFindKerbs(t *testing.T) {
	for code, side := range map[string]roadnet.Side{"gb": roadnet.Left, "de": roadnet.Right} {
		n := twoVillages(t, code)
		profile, err := country.ByCode(code)
		if err != nil {
			t.Fatal(err)
		}
		for _, words := range []string{"Mill Lane", "52.0080,0.0100", "52.0080,0.0139", "High Street & Mill Lane", "Mill Lane & High Street", "AB1 2CD"} {
			r, err := gazetteer.Find(n, words)
			if err != nil {
				t.Errorf("%s: Find(%q): %v", code, words, err)
				continue
			}
			if r.Side != side {
				t.Errorf("%s: Find(%q) stands on the %v", code, words, r.Side)
			}
			if r.Position.Along < profile.JunctionClear-0.001 || n.Length(r.Position.Segment.Stretch())-r.Position.Along < profile.JunctionClear-0.001 {
				t.Errorf("%s: Find(%q) stands %.1f m along a stretch of %.1f m: too near a junction", code, words,
					float64(r.Position.Along), float64(n.Length(r.Position.Segment.Stretch())))
			}
		}
	}
}

func TestFindSeveral(t *testing.T) {
	n := twoVillages(t, "gb")
	for _, c := range []struct {
		words string
		want  []string
	}{
		{"High Street", []string{"High Street, Ashby", "High Street, Marwell"}},
		{"High Strete", []string{"High Street, Ashby", "High Street, Marwell"}},
		{"St Marys Rode", []string{"St Mary's Road, Marwell", "St Marys Rod, Marwell"}},
		{"AB9", []string{"Mill Lane, Marwell", "Rose & Crown Lane, Ashby"}},
		{"A999 & High Street", []string{"A999 & High Street, Ashby", "A999 & High Street, Marwell"}},
	} {
		_, err := gazetteer.Find(n, c.words)
		var several *gazetteer.Ambiguous
		if !errors.As(err, &several) {
			t.Errorf("Find(%q): %v, want several", c.words, err)
			continue
		}
		var got []string
		for _, m := range several.Matches {
			got = append(got, m.Name)
			if !strings.Contains(err.Error(), fmt.Sprintf("%s at %.5f,%.5f", m.Name, m.At.Lat(), m.At.Lon())) {
				t.Errorf("Find(%q): %v does not name %s with its position", c.words, err, m.Name)
			}
		}
		if fmt.Sprint(got) != fmt.Sprint(c.want) {
			t.Errorf("Find(%q) fits %q, want %q", c.words, got, c.want)
		}
	}
}

func TestFindNothing(t *testing.T) {
	n := twoVillages(t, "gb")
	for _, c := range []struct{ words, want string }{
		{"", "give a place"},
		{"Nowhere Road", "no road, meeting of roads or postcode"},
		{"Hall Drive", "no road, meeting of roads or postcode"},
		{"Mill Lane, Marwell", "none in that settlement, but one at 52.008"},
		{"Mill Lane, Xanadu", "no settlement of that name"},
		{"Mill Lane & St Mary's Road", "do not meet"},
		{"52.5,0.01", "outside this map"},
		{"0.0130,52.0080", "latitude comes first: 52.0080,0.0130"},
		{"52.0050,0.0500", "within 200 m"},
		{"95.1,0.01", "no point on earth"},
		{"w4+20", "w123+45l"},
		{"w77+20l", "77"},
		{"w8+50l", "no road with way 8"},
		{"w4+9999l", "ends at"},
	} {
		r, err := gazetteer.Find(n, c.words)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("Find(%q) = %v, %v; want an error with %q", c.words, r, err, c.want)
		}
	}
}

// TestOneWayThroughAJunction stands beyond the junction on the arm that leaves
// it, though the one that comes to it is longer.
func TestOneWayThroughAJunction(t *testing.T) {
	for _, ids := range [][2]int{{1, 4}, {4, 1}} {
		v := &village{nodes: map[int]string{}}
		v.way(ids[0], "highway=residential;name=Ring Way;oneway=yes", 2030, 2020)
		v.way(2, "highway=residential;name=Cross Street", 1020, 2020, 3020)
		v.way(3, "highway=residential;name=Back Street", 2017, 3017, 3020, 3030, 2030)
		v.way(ids[1], "highway=residential;name=Ring Way;oneway=yes", 2020, 2017)
		r, err := gazetteer.Find(v.network(t, "gb"), "Ring Way & Cross Street")
		if err != nil {
			t.Fatal(err)
		}
		if !near(r.At, at(2020), 25) || r.At.Lat() >= at(2020).Lat() {
			t.Errorf("ways %v: stands at %v, want just south of %v", ids, r.At, at(2020))
		}
	}
}

// TestLongestAcrossPieces measures a stretch by all that bears the name, though
// its limit changes on the way.
func TestLongestAcrossPieces(t *testing.T) {
	v := &village{nodes: map[int]string{}}
	v.way(1, "highway=residential;name=Long Row;maxspeed=20 mph", 1010, 1012)
	v.way(2, "highway=residential;name=Long Row;maxspeed=30 mph", 1012, 1014, 1017)
	v.way(3, "highway=residential;name=Cross Street", 814, 1014, 1214)
	r, err := gazetteer.Find(v.network(t, "gb"), "Long Row")
	if err != nil || !near(r.At, at(1012), 5) {
		t.Errorf("Find = %v, %v; want it at %v", r, err, at(1012))
	}
}

// TestGapInARoad takes two parts of a road in one settlement for one road where
// little lies between, and for two where much does.
func TestGapInARoad(t *testing.T) {
	for gap, places := range map[int]int{2: 1, 6: 2} {
		v := &village{nodes: map[int]string{1010: "place=village;name=Ashby"}}
		v.way(1, "highway=residential;name=Long Row", 1010, 1012)
		v.way(2, "highway=residential;name=Long Row", 1012+gap, 1016+gap)
		_, err := gazetteer.Find(v.network(t, "gb"), "Long Row")
		var several *gazetteer.Ambiguous
		if found := err == nil; found != (places == 1) || !found && (!errors.As(err, &several) || len(several.Matches) != places) {
			t.Errorf("gap of %d m: %v, want %d places", 111*gap, err, places)
		}
	}
}

// TestManyMatches lists ten of more, and counts the rest.
func TestManyMatches(t *testing.T) {
	v := &village{nodes: map[int]string{}}
	for i := range 13 {
		v.way(100+i, "highway=residential;name=Church Lane", 700*i+1, 700*i+3)
	}
	_, err := gazetteer.Find(v.network(t, "gb"), "church lane")
	var several *gazetteer.Ambiguous
	if !errors.As(err, &several) || len(several.Matches) != 10 || several.More != 3 || !strings.HasSuffix(err.Error(), "and 3 more") {
		t.Errorf("Find = %v, want ten and 3 more", err)
	}
}
