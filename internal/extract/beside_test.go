package extract

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// read makes a file of a small map and reads it.
func (m smallMap) read(t *testing.T, workers int) *Extract {
	t.Helper()
	path := filepath.Join(t.TempDir(), "map.osm")
	if err := os.WriteFile(path, []byte(m.xml()), 0o600); err != nil {
		t.Fatal(err)
	}
	return mustRead(t, path, britain(), workers)
}

// Each row is a way of three corners; what it is follows from its tags. Values
// are those of the OpenStreetMap wiki, from memory.
func TestWhatStandsBesideTheRoads(t *testing.T) {
	for _, c := range []struct{ tags, want string }{
		{"building=house", "house"},
		{"building=semidetached_house", "semi-detached house"},
		{"building=apartments|building:levels=3|building:flats=12", "flats of 3 levels for 12"},
		{"building=garages", "row of garages"},
		{"building=yes", "unsaid"},
		{"building=no", ""},
		{"building=yes|amenity=school|name=Mill School", "place of work; school Mill School"},
		{"building=retail|shop=bakery", "place of work; shop; bakery"},
		{"building=roof|amenity=parking", "roof; car park"},
		{"building=carport", "roof"},
		{"building=cathedral", "place of work"},
		{"shop=vacant", ""},
		{"shop=supermarket", "shop; supermarket"},
		{"shop=butcher", "shop; butcher"},
		{"amenity=pharmacy|shop=chemist", "chemist; shop"},
		{"shop=chemist", "shop; chemist"},
		{"amenity=place_of_worship|religion=christian|name=Saint Ann", "church Saint Ann"},
		{"amenity=place_of_worship|religion=buddhist", ""},
		{"amenity=pub", "pub"},
		{"amenity=post_box", "post box"},
		{"amenity=fuel", "petrol station"},
		{"amenity=post_office", "post office"},
		{"amenity=library", "library"},
		{"amenity=fire_station", "fire station"},
		{"railway=rail|bridge=viaduct", "railway bridge"},
		{"railway=rail|bridge=no", ""},
		{"railway=rail", ""},
		{"landuse=residential", "housing"},
		{"leisure=playground", "playground"},
		{"barrier=hedge", "hedge"},
		{"barrier=wall|height=1.8", "wall of 1.8 m"},
		{"barrier=retaining_wall|landuse=residential", "housing; wall"},
		{"barrier=kerb", ""},
		{"amenity=parking|capacity=40|fee=no|parking=surface|access=customers|surface=asphalt", "car park: surface destination 40 no  0.0 smooth"},
		{"amenity=parking|capacity=many|fee=Mo-Sa 08:00-18:00|parking=multi-storey|maxheight=2.1", "car park: multi-storey unknown 0 yes Mo-Sa 08:00-18:00 2.1 unknown"},
		{"amenity=parking|maxheight=6'6&quot;|parking=underground|access=private", "car park: underground private 0 not said  2.0 unknown"},
		{"amenity=parking|maxheight=none|parking=street_side", "car park: roadside unknown 0 not said  0.0 unknown"},
		{"public_transport=platform|bus=yes", "bus stop"},
		{"public_transport=platform", ""},
	} {
		m := crossroads()
		m.ways = append(m.ways, mapWay{300, []int64{10, 11, 12, 10}, c.tags})
		x := m.read(t, 1)
		var got []string
		for _, b := range x.Buildings {
			if b.Object.ID == 300 {
				text := b.Kind.String()
				if b.Levels > 0 {
					text += fmt.Sprintf(" of %d levels for %d", b.Levels, b.Flats)
				}
				got = append(got, text)
			}
		}
		for _, s := range x.Sites {
			if p := s.CarPark; s.Kind == SiteCarPark && p != (CarPark{}) {
				got = append(got, fmt.Sprintf("%v: %v %v %d %v %s %.1f %v", s.Kind, p.Form, p.Use, p.Capacity, p.Fee, p.FeeWhen, float64(p.MaxHeight), p.Surface))
			} else {
				got = append(got, strings.TrimSpace(s.Kind.String()+" "+s.Name))
			}
		}
		for _, w := range x.Walls {
			text := w.Kind.String()
			if w.Height > 0 {
				text += fmt.Sprintf(" of %.1f m", float64(w.Height))
			}
			got = append(got, text)
		}
		if strings.Join(got, "; ") != c.want {
			t.Errorf("%s: %q, want %q", c.tags, strings.Join(got, "; "), c.want)
		}
	}
}

func TestHomesNumbered(t *testing.T) {
	for number, want := range map[string]uint16{
		"1": 1, "12a": 1, "Mill Cottage": 1, "1-19": 10, "2-8": 4, "1-12": 12, "3;5": 2, "3,5,7": 3, "1-5;9": 4, "9-1": 1, "1-a": 1, "-": 1,
		"1-99999999": 1, "7-7": 1, ";": 1, "1-999;2-998": 999,
	} {
		if got := homesNumbered(number); got != want {
			t.Errorf("homesNumbered(%q) = %d, want %d", number, got, want)
		}
	}
}

// Rings that were drawn in pieces are joined, whichever way the pieces run.
func TestJoinRings(t *testing.T) {
	for _, c := range []struct {
		name  string
		parts [][]NodeID
		want  string
	}{
		{"one ring", [][]NodeID{{1, 2, 3, 1}}, "[[1 2 3 1]]"},
		{"two halves", [][]NodeID{{1, 2, 3}, {1, 4, 3}}, "[[1 2 3 4 1]]"},
		{"three parts", [][]NodeID{{1, 2}, {3, 1}, {3, 2}}, "[[1 2 3 1]]"},
		{"two rings", [][]NodeID{{1, 2, 1}, {5, 6, 7}, {7, 5}}, "[[1 2 1] [5 6 7 5]]"},
		{"a part is missing", [][]NodeID{{1, 2}, {2, 3}}, "[[1 2 3]]"},
		{"the same ends thrice", [][]NodeID{{1, 2}, {1, 2}, {1, 2}}, "[[1 2 1] [1 2]]"},
		{"nothing", nil, "[]"},
	} {
		if got := fmt.Sprint(joinRings(c.parts)); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

// A school as a multipolygon has the ring of its pieces, of which one is a way
// without tags and one a fence.
func TestAreaInPieces(t *testing.T) {
	m := crossroads()
	m.ways = append(m.ways, mapWay{300, []int64{10, 11}, ""}, mapWay{301, []int64{10, 12, 11}, "barrier=fence"}, mapWay{302, []int64{1, 2, 4, 1}, ""})
	m.relations = append(m.relations, mapRelation{400, []member{{AWay, 300, "outer"}, {AWay, 301, "outer"}, {AWay, 302, "inner"}, {AWay, 999, "outer"}},
		"type=multipolygon|amenity=school|building=school|name=Ford School"})
	x := m.read(t, 2)
	want := "[{-6700000 525800000} {-6710000 525800000} {-6710000 525810000} {-6700000 525800000}]"
	if len(x.Sites) != 1 || x.Sites[0].Object != (ObjectID{ARelation, 400}) || fmt.Sprint(x.Sites[0].Shape) != want {
		t.Errorf("sites %v, want a school with %s", x.Sites, want)
	}
	if k := slices.IndexFunc(x.Buildings, func(b Building) bool { return b.Object.Kind == ARelation }); k < 0 || fmt.Sprint(x.Buildings[k].Shape) != want {
		t.Errorf("buildings %v", x.Buildings)
	}
}

// Outlines that nobody should draw are read without a fall: unclosed,
// self-crossing, of one point, without their nodes, round half the world.
func TestHostileOutlines(t *testing.T) {
	const seed = 17
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, seed))
	m := crossroads()
	for id := int64(1000); id < 1200; id++ {
		lon, lat := -180+360*random.Float64(), -90+180*random.Float64()
		if id%2 == 0 {
			lon, lat = -0.69+0.01*random.Float64(), 52.59+0.01*random.Float64()
		}
		m.nodes = append(m.nodes, mapNode{id, lon, lat, ""})
	}
	tags := []string{"building=yes", "amenity=parking", "amenity=school", "barrier=wall", "landuse=residential", "building=house|addr:housenumber=1-9999", "shop=x"}
	for id := int64(1000); id < 1300; id++ {
		refs := make([]int64, random.IntN(9))
		for i := range refs {
			refs[i] = 1000 + random.Int64N(210)
			if i > 0 && random.IntN(4) == 0 {
				refs[i] = refs[random.IntN(i)]
			}
		}
		m.ways = append(m.ways, mapWay{id, refs, tags[random.IntN(len(tags))]})
		m.relations = append(m.relations, mapRelation{id, []member{{AWay, id, "outer"}, {AWay, 1000 + random.Int64N(400), ""}, {AWay, id, ""}}, "type=multipolygon|" + tags[random.IntN(len(tags))]})
	}
	x := m.read(t, 3)
	for _, b := range x.Buildings {
		if len(b.Shape) < 4 || b.Shape[0] != b.Shape[len(b.Shape)-1] {
			t.Errorf("building %v is no ring: %v", b.Object, b.Shape)
		}
		if b.Shape.width() > widestBuilding {
			t.Errorf("building %v is %.0f m wide", b.Object, b.Shape.width())
		}
	}
	wide := slices.ContainsFunc(x.Report.Problems, func(p Problem) bool { return p.Key == "building" && p.Value == "(wider than 1.5 km)" })
	if !wide || len(x.Sites) == 0 || len(x.Walls) == 0 {
		t.Errorf("%d sites, %d walls, wide buildings reported: %v", len(x.Sites), len(x.Walls), wide)
	}
}

// The objects of each kind are those that osmium-tool finds by the same tags.
// A relation whose outer ways the extract lacks has no shape and is left out.
func TestCountsAgainstOsmium(t *testing.T) {
	osmium, err := exec.LookPath("osmium")
	if err != nil {
		t.Skip("osmium-tool is not installed")
	}
	shared := filepath.Join("..", "..", "..", "shared", "extracts")
	for _, file := range []string{"rutland-uk_2022-07-20.osm.pbf", "monaco_2023-11-21.osm.pbf", "berlin-neukoelln_2024-03-28.osm"} {
		t.Run(file, func(t *testing.T) {
			path := filepath.Join(shared, file)
			if _, err := os.Stat(path); err != nil {
				t.Skipf("%s is not at hand", file)
			}
			x := mustRead(t, path, britain(), 0)
			site := func(k SiteKind) func() []ObjectID {
				return func() (out []ObjectID) {
					for _, s := range x.Sites {
						if s.Kind == k {
							out = append(out, s.Object)
						}
					}
					return out
				}
			}
			for _, c := range []struct {
				name    string
				objects func() []ObjectID
				filters []string
			}{
				{"schools", site(SiteSchool), []string{"nwr/amenity=school"}},
				{"nurseries", site(SiteNursery), []string{"nwr/amenity=kindergarten"}},
				{"hospitals", site(SiteHospital), []string{"nwr/amenity=hospital"}},
				{"stations", site(SiteStation), []string{"nwr/railway=station,halt"}},
				{"shops", site(SiteShop), []string{"nwr/shop!=no,vacant,disused,closed,empty"}},
				{"car parks", site(SiteCarPark), []string{"nwr/amenity=parking"}},
				{"bays", site(SiteBay), []string{"nwr/amenity=parking_space"}},
				{"playgrounds", site(SitePlayground), []string{"nwr/leisure=playground"}},
				{"parks", site(SitePark), []string{"nwr/leisure=park"}},
				{"housing", site(SiteHousing), []string{"nwr/landuse=residential"}},
				{"buildings", func() (out []ObjectID) {
					for _, b := range x.Buildings {
						out = append(out, b.Object)
					}
					return out
				}, []string{"wr/building!=no"}},
				{"walls", func() (out []ObjectID) {
					for _, w := range x.Walls {
						out = append(out, w.Object)
					}
					return out
				}, []string{"w/barrier=wall,retaining_wall,city_wall,fence,hedge"}},
			} {
				got := map[ObjectKind]map[int64]bool{}
				for _, o := range c.objects() {
					if got[o.Kind] == nil {
						got[o.Kind] = map[int64]bool{}
					}
					got[o.Kind][o.ID] = true
				}
				want := osmiumCounts(t, osmium, path, c.filters...)
				t.Logf("%s: %d nodes, %d ways, %d relations", c.name, want[0], want[1], want[2])
				if len(got[ANode]) != want[0] || len(got[AWay]) != want[1] || len(got[ARelation]) > want[2] || len(got[ARelation]) < want[2]*9/10-1 {
					t.Errorf("%s: %d nodes, %d ways, %d relations, and osmium-tool finds %v", c.name, len(got[ANode]), len(got[AWay]), len(got[ARelation]), want)
				}
			}
		})
	}
}

// osmiumCounts are the nodes, ways and relations that pass some filters.
func osmiumCounts(t *testing.T, osmium, path string, filters ...string) (n [3]int) {
	t.Helper()
	out := filepath.Join(t.TempDir(), "some.osm.pbf")
	run := func(args ...string) string {
		text, err := exec.CommandContext(context.Background(), osmium, args...).CombinedOutput()
		if err != nil {
			t.Fatalf("osmium %v: %v: %s", args, err, text)
		}
		return string(text)
	}
	run(append([]string{"tags-filter", "--omit-referenced", "--overwrite", "-o", out, path}, filters...)...)
	info := run("fileinfo", "--extended", out)
	for i, kind := range []string{"nodes", "ways", "relations"} {
		m := regexp.MustCompile("Number of " + kind + `: (\d+)`).FindStringSubmatch(info)
		if m == nil {
			t.Fatalf("osmium fileinfo says nothing of %s: %s", kind, info)
		}
		n[i], _ = strconv.Atoi(m[1])
	}
	return n
}

// The width of a shape is never less than it is.
func TestShapeWidth(t *testing.T) {
	s := Shape{{0, 0}, {90000, 0}, {90000, 45000}}
	if got, want := s.width(), 1001.9; math.Abs(got-want) > 5 { // 0.009° of the equator: 40,075 km / 360
		t.Errorf("width %.1f m, want %.1f", got, want)
	}
}
