package desk_test

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"loopwright/internal/circuit"
	"loopwright/internal/desk"
)

// demo is the invented town with its lessons, as `loopwright demo` makes them.
func demo(t *testing.T) (dir string, made *desk.Demonstrated) {
	t.Helper()
	dir = t.TempDir()
	made, err := desk.Demo(context.Background(), dir, nil)
	if err != nil {
		t.Fatal(err)
	}
	return dir, made
}

func opened(t *testing.T, index string) *desk.Desk {
	t.Helper()
	d, err := desk.Open(index)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { d.Close() })
	return d
}

// musts are what a circuit breaks.
func musts(c *desk.Checked) []string {
	var out []string
	for _, b := range c.Broken {
		out = append(out, b.Must)
		if b.Means == "" {
			out = append(out, "no meaning for "+b.Must)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// A plan that is received is told what no longer holds. Sunset in London on 20
// December is at 15:53 (nautical almanacs, from memory), and the invented town
// keeps its time.
func TestCheckOnAnotherDay(t *testing.T) {
	_, made := demo(t)
	d := opened(t, made.Index)
	for _, l := range made.Lessons {
		for _, c := range []struct {
			when string
			want string
		}{{"", ""}, {"2027-06-20 11:00", ""}, {"2027-12-20 10:00", ""}, {"2027-12-20 20:00", "light"}, {"yesterday", "no day"}} {
			checked, err := d.CheckOn(l.File, c.when)
			got := ""
			if checked != nil {
				got = strings.Join(musts(checked), ",")
			} else if err != nil {
				got = err.Error()
			}
			if c.want == "" && got != "" || !strings.Contains(got, c.want) {
				t.Errorf("%s on %q: %q, want %q", filepath.Base(l.File), c.when, got, c.want)
			}
		}
	}
}

// On a map to which a restriction was added that bars one of the plan's turns,
// and on which one of its roads was closed, the receiver is told of both.
func TestCheckTellsWhatChanged(t *testing.T) {
	if _, err := exec.LookPath("osmium"); err != nil {
		t.Skip("osmium-tool is not installed: the town can't be changed")
	}
	dir, made := demo(t)
	plain := filepath.Join(dir, "plain.osm")
	if out, err := exec.Command("osmium", "cat", filepath.Join(dir, "town.osm.pbf"), "-o", plain).CombinedOutput(); err != nil {
		t.Fatalf("osmium: %v: %s", err, out)
	}
	text, err := os.ReadFile(plain)
	if err != nil {
		t.Fatal(err)
	}
	c := made.Lessons[0].Circuit
	from, via, to := turnOf(t, string(text), c)
	relation := fmt.Sprintf(`<relation id="999999999" version="1"><member type="way" ref="%d" role="from"/><member type="node" ref="%s" role="via"/><member type="way" ref="%d" role="to"/><tag k="type" v="restriction"/><tag k="restriction" v="no_left_turn"/></relation></osm>`, from, via, to)
	restricted := strings.Replace(string(text), "</osm>", relation, 1)
	closed := strings.Replace(string(text), fmt.Sprintf(`<way id="%d"`, to), fmt.Sprintf(`<way id="%d" x=""`, to), 1)
	closed = regexp.MustCompile(`(<way id="\d+" x=""[^>]*>)`).ReplaceAllString(closed, `$1<tag k="motor_vehicle" v="no"/>`)
	for _, m := range []struct{ name, text, want string }{{"restricted", restricted, "every movement legal"}, {"closed", closed, "follows the roads"}} {
		extract := filepath.Join(dir, m.name+".osm")
		if err := os.WriteFile(extract, []byte(m.text), 0o644); err != nil {
			t.Fatal(err)
		}
		index, err := desk.Index(context.Background(), desk.IndexRequest{Extract: extract, Country: "gb"})
		if err != nil {
			t.Fatal(err)
		}
		checked, err := opened(t, index.Index).Check(made.Lessons[0].File)
		if checked == nil || err == nil {
			t.Fatalf("%s: %v", m.name, err)
		}
		got := musts(checked)
		if !slices.Contains(got, "made from this map") || !slices.Contains(got, m.want) {
			t.Errorf("%s: broken are %q, want the map and %q", m.name, got, m.want)
		}
		if slices.ContainsFunc(got, func(s string) bool { return strings.HasPrefix(s, "no meaning") }) {
			t.Errorf("%s: %q", m.name, got)
		}
	}
}

// turnOf is a change of way on the first leg that has one: two ways and the node
// at which both end or begin.
func turnOf(t *testing.T, text string, c *circuit.Circuit) (from int64, via string, to int64) {
	t.Helper()
	ends := func(way int64) []string {
		m := regexp.MustCompile(fmt.Sprintf(`(?s)<way id="%d".*?</way>`, max(way, -way))).FindString(text)
		refs := regexp.MustCompile(`<nd ref="(\d+)"`).FindAllStringSubmatch(m, -1)
		return []string{refs[0][1], refs[len(refs)-1][1]}
	}
	for _, l := range c.Legs {
		for i := 1; i < len(l.Ways); i++ {
			for _, a := range ends(l.Ways[i-1]) {
				if slices.Contains(ends(l.Ways[i]), a) {
					return max(l.Ways[i-1], -l.Ways[i-1]), a, max(l.Ways[i], -l.Ways[i])
				}
			}
		}
	}
	t.Fatal("no leg of the lesson changes from one way's end to another's")
	return 0, "", 0
}

// A file from a stranger can do no harm: what is wrong is said in one sentence.
func TestStrangersFiles(t *testing.T) {
	dir, made := demo(t)
	d := opened(t, made.Index)
	good, err := os.ReadFile(made.Lessons[0].File)
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{
		"empty":  "",
		"deep":   strings.Repeat("[", 10_000) + strings.Repeat("]", 10_000),
		"nan":    regexp.MustCompile(`"drive_s":[0-9.]+`).ReplaceAllString(string(good), `"drive_s":NaN`),
		"moon":   regexp.MustCompile(`\[-?[0-9.]+,-?[0-9.]+\]`).ReplaceAllString(string(good), `[0,91]`),
		"large":  `{"type":"` + strings.Repeat(" ", 200_000_000) + `"}`,
		"half":   string(good[:len(good)/2]),
		"folder": "",
	} {
		file := filepath.Join(dir, name+".geojson")
		if name == "folder" {
			if err := os.Mkdir(file, 0o755); err != nil {
				t.Fatal(err)
			}
		} else if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		for what, do := range map[string]func() error{
			"check":    func() error { _, err := d.Check(file); return err },
			"gpx":      func() error { _, err := desk.GPX(file, filepath.Join(dir, "out.gpx")); return err },
			"handback": func() error { _, err := desk.HandBack(file, filepath.Join(dir, "out.html")); return err },
			"cover":    func() error { _, err := desk.SendForCover(file, filepath.Join(dir, "out.geojson")); return err },
			"anyone":   func() error { _, err := d.SendForAnyone(file, filepath.Join(dir, "out.geojson")); return err },
		} {
			err := do()
			if err == nil || strings.Contains(err.Error(), "\n") || len(err.Error()) > 400 {
				t.Errorf("%s of %s: %v, want one sentence", what, name, err)
			}
		}
	}
	for _, out := range []string{"out.gpx", "out.html", "out.geojson"} {
		if _, err := os.Stat(filepath.Join(dir, out)); err == nil {
			t.Errorf("%s was written of a bad file", out)
		}
	}
}

// What GDAL measures in both files of a lesson is its length, within half a
// per cent (ST_Length on the ellipsoid, in metres), and both hold what the
// circuit has.
func TestOGRMeasuresTheDrive(t *testing.T) {
	if _, err := exec.LookPath("ogrinfo"); err != nil {
		t.Skip("ogrinfo (Debian gdal-bin) is not installed")
	}
	dir, made := demo(t)
	for _, l := range made.Lessons {
		gpx := filepath.Join(dir, "lesson.gpx")
		if _, err := desk.GPX(l.File, gpx); err != nil {
			t.Fatal(err)
		}
		layer := strings.TrimSuffix(filepath.Base(l.File), ".geojson")
		for file, sql := range map[string]string{
			l.File: fmt.Sprintf(`select sum(ST_Length(geometry, 1)) as m from "%s" where role = 'leg'`, layer),
			gpx:    `select sum(ST_Length(geometry, 1)) as m from tracks`,
		} {
			out, err := exec.Command("ogrinfo", "-q", "-dialect", "SQLite", "-sql", sql, file).CombinedOutput()
			m := regexp.MustCompile(`= ([0-9.]+)`).FindSubmatch(out)
			if err != nil || m == nil {
				t.Fatalf("ogrinfo %s: %v: %s", file, err, out)
			}
			var got float64
			fmt.Sscan(string(m[1]), &got)
			if want := l.Circuit.LengthM; got < 0.995*want || got > 1.005*want {
				t.Errorf("%s: GDAL measures %.0f m, want %.0f", filepath.Base(file), got, want)
			}
		}
	}
}
