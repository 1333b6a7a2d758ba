package changes

import (
	"context"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	orbgeo "github.com/paulmach/orb/geo"
	"github.com/paulmach/osm"
	"github.com/paulmach/osm/osmxml"

	"loopwright/internal/indexing/indexingtest"
)

// rawWay is a road as osmium-tool writes it.
type rawWay struct {
	tags osm.Tags
	line orb.LineString
}

// raw is what an extract holds, read through osmium-tool and osmxml alone.
type raw struct {
	ways         map[osm.WayID]*rawWay
	restrictions map[osm.RelationID]*osm.Relation
	humps        map[osm.NodeID]orb.Point // that lie on a way
	grid         map[[2]int][]*rawWay     // of roads, by the cells that their parts touch
}

// roads are the classes that a learner may be taken along; drives, aisles and
// other service roads are none.
var roads = map[string]bool{
	"motorway": true, "trunk": true, "primary": true, "secondary": true, "tertiary": true, "unclassified": true, "residential": true, "living_street": true,
	"motorway_link": true, "trunk_link": true, "primary_link": true, "secondary_link": true, "tertiary_link": true,
}

func readRaw(t *testing.T, path string) *raw {
	t.Helper()
	if _, err := exec.LookPath("osmium"); err != nil {
		t.Skip("osmium-tool is not installed: nothing to compare with")
	}
	file := filepath.Join(t.TempDir(), "raw.osm")
	if out, err := exec.Command("osmium", "tags-filter", "-o", file, path, "w/highway", "n/traffic_calming", "r/type=restriction").CombinedOutput(); err != nil {
		t.Fatalf("osmium: %v: %s", err, out)
	}
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := &raw{map[osm.WayID]*rawWay{}, map[osm.RelationID]*osm.Relation{}, map[osm.NodeID]orb.Point{}, map[[2]int][]*rawWay{}}
	at, calmed := map[osm.NodeID]orb.Point{}, map[osm.NodeID]bool{}
	in := osmxml.New(context.Background(), f)
	defer in.Close()
	for in.Scan() {
		switch o := in.Object().(type) {
		case *osm.Node:
			at[o.ID] = orb.Point{o.Lon, o.Lat}
			if c := o.Tags.Find("traffic_calming"); c != "" && c != "no" {
				calmed[o.ID] = true
			}
		case *osm.Way:
			w := &rawWay{tags: o.Tags}
			for _, n := range o.Nodes {
				if p, ok := at[n.ID]; ok {
					w.line = append(w.line, p)
				}
				if calmed[n.ID] {
					r.humps[n.ID] = at[n.ID]
				}
			}
			if roads[o.Tags.Find("highway")] && o.Tags.Find("area") != "yes" && len(w.line) > 1 && open(o.Tags) {
				r.ways[o.ID] = w
				for _, p := range fine(w.line) {
					c := cell(p)
					if n := len(r.grid[c]); n == 0 || r.grid[c][n-1] != w {
						r.grid[c] = append(r.grid[c], w)
					}
				}
			}
		case *osm.Relation:
			r.restrictions[o.ID] = o
		}
	}
	if err := in.Err(); err != nil {
		t.Fatal(err)
	}
	return r
}

// open says whether a car may be on a road at all.
func open(tags osm.Tags) bool {
	for _, k := range []string{"motorcar", "motor_vehicle", "vehicle", "access"} {
		switch tags.Find(k) {
		case "":
			continue
		case "no", "private", "agricultural", "forestry", "delivery":
			return false
		}
		return true
	}
	return true
}

func cell(p orb.Point) [2]int {
	return [2]int{int(math.Floor(p[0] * 500)), int(math.Floor(p[1] * 1000))}
}

// fine gives points every 10 m of a line.
func fine(l orb.LineString) orb.LineString {
	out := orb.LineString{l[0]}
	for i := 1; i < len(l); i++ {
		n := math.Ceil(orbgeo.Distance(l[i-1], l[i]) / 10)
		for k := 1.0; k <= n; k++ {
			f := k / n
			out = append(out, orb.Point{l[i-1][0] + f*(l[i][0]-l[i-1][0]), l[i-1][1] + f*(l[i][1]-l[i-1][1])})
		}
	}
	return out
}

// away is how far a point lies from the nearest road, in metres, and that road.
func (r *raw) away(p orb.Point) (float64, *rawWay) {
	best, on := math.Inf(1), (*rawWay)(nil)
	c := cell(p)
	for dx := -1; dx <= 1; dx++ {
		for dy := -1; dy <= 1; dy++ {
			for _, w := range r.grid[[2]int{c[0] + dx, c[1] + dy}] {
				for i := 1; i < len(w.line); i++ {
					if d := apart(p, w.line[i-1], w.line[i]); d < best {
						best, on = d, w
					}
				}
			}
		}
	}
	return best, on
}

// apart is the distance of a point from a straight part, in metres.
func apart(p, a, b orb.Point) float64 {
	k := math.Cos(p[1] * math.Pi / 180)
	ax, ay := (a[0]-p[0])*k*111320, (a[1]-p[1])*111320
	bx, by := (b[0]-p[0])*k*111320, (b[1]-p[1])*111320
	dx, dy := bx-ax, by-ay
	f := 0.0
	if l := dx*dx + dy*dy; l > 0 {
		f = math.Max(0, math.Min(1, -(ax*dx+ay*dy)/l))
	}
	return math.Hypot(ax+f*dx, ay+f*dy)
}

// taggedLimit is what a road's tags give as its limit, in miles per hour; ""
// where they give none. Values as the tagging scheme's page on maxspeed has
// them, from memory.
func taggedLimit(tags osm.Tags) string {
	for _, k := range []string{"maxspeed", "maxspeed:type", "source:maxspeed", "zone:maxspeed"} {
		v := strings.ReplaceAll(tags.Find(k), " ", "")
		switch v {
		case "GB:nsl_single", "GB:national_speed_limit":
			return "60 mph"
		case "GB:nsl_dual", "GB:motorway":
			return "70 mph"
		case "GB:zone20", "GB:20":
			return "20 mph"
		}
		if n, ok := strings.CutSuffix(v, "mph"); ok {
			if _, err := strconv.ParseFloat(n, 64); err == nil {
				return n + " mph"
			}
		}
		if n, err := strconv.ParseFloat(v, 64); err == nil {
			return strconv.FormatFloat(math.Round(n*1000/1609.344), 'f', 0, 64) + " mph"
		}
	}
	return ""
}

// taggedOneWay is which way a road's tags let cars go: 1 as drawn, -1 against,
// 0 both.
func taggedOneWay(tags osm.Tags) int {
	switch tags.Find("oneway") {
	case "yes", "true", "1":
		return 1
	case "-1", "reverse":
		return -1
	case "no", "false", "0":
		return 0
	}
	if j := tags.Find("junction"); j == "roundabout" || j == "circular" || strings.HasPrefix(tags.Find("highway"), "motorway") {
		return 1
	}
	return 0
}

// Rutland of 2018 and of 2022, compared way by way through osmium-tool and
// osmxml, with nothing of this project: each change found there is told, and
// nothing is told that is not found there.
func TestRutland(t *testing.T) {
	oldPath, nowPath := indexingtest.Shared(t, indexingtest.Rutland2018), indexingtest.Shared(t, indexingtest.Rutland2022)
	before, after := readRaw(t, oldPath), readRaw(t, nowPath)
	old, _ := indexingtest.Lay(t, oldPath, "gb")
	now, p := indexingtest.Lay(t, nowPath, "gb")
	all := Compare(old, now, p)

	told := map[Kind]map[osm.WayID]bool{}
	for k := range kindCount {
		told[k] = map[osm.WayID]bool{}
	}
	count := map[Kind]int{}
	for _, c := range all {
		told[c.Kind][osm.WayID(c.Way)] = true
		count[c.Kind]++
	}
	t.Logf("told: %v", count)

	differs := map[Kind]func(a, b *rawWay) bool{
		Limit:  func(a, b *rawWay) bool { return taggedLimit(a.tags) != taggedLimit(b.tags) },
		OneWay: func(a, b *rawWay) bool { return taggedOneWay(a.tags) != taggedOneWay(b.tags) },
	}
	for _, kind := range []Kind{Limit, OneWay} {
		found, missed := 0, 0
		for id, now := range after.ways {
			old, same := before.ways[id]
			if !same || !differs[kind](old, now) {
				continue
			}
			found++
			if !told[kind][id] {
				missed++
				t.Errorf("%s of way %d is not told: %v, then %v", kind, id, old.tags, now.tags)
			}
		}
		wrong := 0
		for id := range told[kind] {
			now := after.ways[id]
			if now == nil {
				wrong++
				t.Errorf("%s of way %d is told, which is no road", kind, id)
				continue
			}
			if old, same := before.ways[id]; same && differs[kind](old, now) || underIt(before, now, differs[kind]) {
				continue
			}
			wrong++
			t.Errorf("%s of way %d is told, and its tags have not changed: %v", kind, id, now.tags)
		}
		t.Logf("%s: %d ways changed by number and all but %d told; %d told in all, %d of them wrong", kind, found, missed, len(told[kind]), wrong)
	}

	t.Run("new and gone", func(t *testing.T) {
		for kind, maps := range map[Kind][2]*raw{RoadNew: {after, before}, RoadGone: {before, after}} {
			found, missed, wrong := 0, 0, 0
			for id, w := range maps[0].ways {
				if _, same := maps[1].ways[id]; !same && beyond(maps[1], w, 35) >= 60 {
					found++
					if !told[kind][id] {
						missed++
						t.Errorf("%s, way %d, is not told: %v", kind, id, w.tags)
					}
				}
			}
			for id := range told[kind] {
				if w := maps[0].ways[id]; w == nil || beyond(maps[1], w, 4) == 0 && !stub(maps[1], w) {
					wrong++
					t.Errorf("%s, way %d, is told, and lies where a road lay", kind, id)
				}
			}
			t.Logf("%s: %d plain ones, %d of them not told; %d told in all, %d of them wrong", kind, found, missed, len(told[kind]), wrong)
		}
	})
	t.Run("restrictions", func(t *testing.T) {
		found := map[osm.WayID]bool{}
		for id, r := range after.restrictions {
			old := before.restrictions[id]
			for _, m := range r.Members {
				if w := osm.WayID(m.Ref); m.Role == "from" && after.ways[w] != nil && (old == nil || old.Tags.Find("restriction") != r.Tags.Find("restriction")) {
					found[w] = true
				}
			}
		}
		for w := range found {
			if !told[MoveBarred][w] {
				t.Errorf("a restriction from way %d is not told", w)
			}
		}
		for w := range told[MoveBarred] {
			if !found[w] {
				t.Errorf("a restriction from way %d is told that is not there", w)
			}
		}
		if len(told[MoveAllowed]) > 0 {
			t.Errorf("%d movements are told to be allowed anew; the older extract has no restriction", len(told[MoveAllowed]))
		}
		t.Logf("%d ways with a new restriction, %d told", len(found), len(told[MoveBarred]))
	})
	t.Run("traffic calming", func(t *testing.T) {
		if count[Calming] == 0 {
			t.Error("none is told, and humps have come and gone")
		}
		for _, c := range all {
			if c.Kind != Calming || c.Length > 0 {
				continue
			}
			has, lacks := after, before
			if c.Is == "" {
				has, lacks = before, after
			}
			for _, l := range c.Where {
				if !has.humpNear(l[0], 1) || lacks.humpNear(l[0], 14) {
					t.Errorf("%s %q, then %q at %v: the extracts' nodes say otherwise", c.Road, c.Was, c.Is, l[0])
				}
			}
		}
	})
}

func (r *raw) humpNear(p orb.Point, metres float64) bool {
	for _, q := range r.humps {
		if orbgeo.Distance(p, q) <= metres {
			return true
		}
	}
	return false
}

// An extract differs in nothing from itself.
func TestNoChange(t *testing.T) {
	n, p := indexingtest.Lay(t, indexingtest.Shared(t, indexingtest.Rutland2022), "gb")
	if all := Compare(n, n, p); len(all) != 0 {
		t.Errorf("%d changes of an extract from itself: %+v", len(all), all[0])
	}
}

// stub says whether a way lies where another extract has only a short dead end
// without a name, which is an opening and no road.
func stub(r *raw, w *rawWay) bool {
	for _, p := range fine(w.line) {
		if d, old := r.away(p); d < 4 && old.tags.Find("name") == "" && orbgeo.Length(old.line) < 35 {
			return true
		}
	}
	return false
}

// underIt says whether any road of another extract under a way differs from it.
func underIt(r *raw, w *rawWay, differs func(a, b *rawWay) bool) bool {
	for _, p := range fine(w.line) {
		if d, old := r.away(p); d < 15 && differs(old, w) {
			return true
		}
	}
	return false
}

// beyond is how much of a way, in metres, lies further than so many metres from
// every road of an extract.
func beyond(r *raw, w *rawWay, metres float64) float64 {
	n := 0
	for _, p := range fine(w.line) {
		if d, _ := r.away(p); d > metres {
			n++
		}
	}
	return float64(n) * 10
}
