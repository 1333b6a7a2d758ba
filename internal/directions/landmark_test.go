package directions_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"loopwright/internal/directions"
	"loopwright/internal/indexing/indexingtest"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// parade is a road of 400 m with a side road on the left half-way, and what
// else is asked for: x metres along it, y metres to the left.
//
//	      S
//	      |
//	A-----J-----B
func parade(t *testing.T, things string) *roadnet.Network {
	t.Helper()
	node := func(id int, x, y float64, tags string) string {
		const degree = 111_195.0 // metres of a degree, at the equator
		return fmt.Sprintf(`<node id="%d" version="1" lon="%.7f" lat="%.7f">%s</node>`, id, 0.01+x/degree, 0.01+y/degree, tags)
	}
	text := `<osm version="0.6">` + node(1, 0, 0, "") + node(2, 200, 0, "") + node(3, 400, 0, "") + node(4, 200, 200, "")
	id := 10
	for _, line := range strings.Split(strings.TrimSpace(things), "\n") {
		var x, y float64
		var key, value, more string
		if n, _ := fmt.Sscanf(line, "%f %f %s %s %s", &x, &y, &key, &value, &more); n < 4 {
			continue
		}
		tags := fmt.Sprintf(`<tag k="%s" v="%s"/>`, key, value)
		if more != "" {
			k, v, _ := strings.Cut(more, "=")
			tags += fmt.Sprintf(`<tag k="%s" v="%s"/>`, k, v)
		}
		if key == "railway" {
			text += node(id, x, -10, "") + node(id+1, x, 10, "") + fmt.Sprintf(`<way id="%d" version="1"><nd ref="%d"/><nd ref="%d"/>%s</way>`, id, id, id+1, tags)
		} else {
			text += node(id, x, y, tags)
		}
		id += 2
	}
	way := func(id int, name string, nodes ...int) {
		text += fmt.Sprintf(`<way id="%d" version="1">`, id)
		for _, n := range nodes {
			text += fmt.Sprintf(`<nd ref="%d"/>`, n)
		}
		text += fmt.Sprintf(`<tag k="highway" v="residential"/><tag k="name" v="%s"/></way>`, name)
	}
	way(1, "Mill Lane", 1, 2, 3)
	way(2, "Side Close", 2, 4)
	nodes, ways := "", "" // nodes come before ways
	rest := strings.TrimPrefix(text, `<osm version="0.6">`)
	for rest != "" {
		end := strings.Index(rest, "</node>") + len("</node>")
		if strings.HasPrefix(rest, "<way") {
			end = strings.Index(rest, "</way>") + len("</way>")
			ways += rest[:end]
		} else {
			nodes += rest[:end]
		}
		rest = rest[end:]
	}
	file := filepath.Join(t.TempDir(), "parade.osm")
	if err := os.WriteFile(file, []byte(`<osm version="0.6">`+nodes+ways+`</osm>`), 0o644); err != nil {
		t.Fatal(err)
	}
	n, _ := indexingtest.Lay(t, file, "gb")
	return n
}

// A landmark is named where it stands just before the turn and nothing of its
// kind stands between it and where it is spoken of.
func TestLandmarks(t *testing.T) {
	for _, c := range []struct{ name, things, code, want string }{
		{"none", "", "gb", "on the left into Side Close."},
		{"a church", "190 15 amenity place_of_worship religion=christian", "gb", "on the left just past the church, into Side Close."},
		{"on the other side too", "185 -15 amenity place_of_worship religion=christian", "gb", "just past the church,"},
		{"two churches", "190 15 amenity place_of_worship religion=christian\n130 -15 amenity place_of_worship religion=christian", "gb", "on the left into Side Close."},
		{"beyond the turn", "230 15 amenity place_of_worship religion=christian", "gb", "on the left into Side Close."},
		{"long before it", "140 15 amenity place_of_worship religion=christian", "gb", "on the left into Side Close."},
		{"another faith's", "190 15 amenity place_of_worship", "gb", "on the left into Side Close."},
		{"the post box before the church", "190 15 amenity place_of_worship religion=christian\n195 6 amenity post_box", "gb", "just past the post box,"},
		{"a post box mapped twice", "190 6 amenity post_box\n194 6 amenity post_box", "gb", "just past the post box,"},
		{"a railway bridge", "180 0 railway rail bridge=yes", "gb", "just past the railway bridge,"},
		{"in American words", "180 0 railway rail bridge=yes", "us", "just past the railroad bridge,"},
		{"a shop of no plain kind", "190 15 shop gift", "gb", "on the left into Side Close."},
		{"a supermarket", "190 15 shop supermarket", "gb", "just past the supermarket,"},
		{"a baker's", "190 15 shop bakery", "gb", "just past the baker's,"},
		{"a chemist's, mapped as both", "190 15 amenity pharmacy shop=chemist", "gb", "just past the chemist's,"},
		{"a chemist's in American words", "190 15 amenity pharmacy", "us", "just past the drugstore,"},
		{"a post office", "190 15 amenity post_office", "gb", "just past the post office,"},
		{"two butcher's", "190 15 shop butcher\n150 15 shop butcher", "gb", "on the left into Side Close."},
		{"a baker's that is closed", "190 15 disused:shop bakery", "gb", "on the left into Side Close."},
		{"a school", "190 15 amenity school", "gb", "just past the school,"},
		{"a filling station", "190 15 amenity fuel", "us", "just past the gas station,"},
	} {
		n := parade(t, c.things)
		from, _, _, _, ok1 := n.Nearest(orb.Point{0.01, 0.01}, 50, func(s roadnet.StretchID) bool { return n.Name(n.NameOf(s)) == "Mill Lane" })
		to, _, _, _, ok2 := n.Nearest(orb.Point{0.0118, 0.0118}, 50, func(s roadnet.StretchID) bool { return n.Name(n.NameOf(s)) == "Side Close" })
		if !ok1 || !ok2 {
			t.Fatalf("%s: the roads are not there", c.name)
		}
		path := route.Path{Segments: []roadnet.SegmentID{towards(n, from, to), away(n, to, from)}}
		path.From, path.To = roadnet.Position{Segment: path.Segments[0], Along: 5}, roadnet.Position{Segment: path.Segments[1], Along: 150}
		steps := directions.Write(n, profile(t, c.code), []directions.Drive{{Path: path}}, directions.Options{Pace: steady{n, 10}})
		if got := steps[len(steps)-1].Say; !strings.Contains(strings.Replace(got, "onto", "into", 1), c.want) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// towards is the segment of a stretch that ends where the other begins.
func towards(n *roadnet.Network, s, other roadnet.StretchID) roadnet.SegmentID {
	for _, forward := range []bool{true, false} {
		for _, o := range n.Out(n.Head(s.Segment(forward))) {
			if o.Stretch() == other {
				return s.Segment(forward)
			}
		}
	}
	return 0
}

func away(n *roadnet.Network, s, other roadnet.StretchID) roadnet.SegmentID {
	return towards(n, s, other).Opposite()
}
