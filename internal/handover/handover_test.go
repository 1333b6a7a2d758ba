package handover_test

import (
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"loopwright/internal/circuit"
	"loopwright/internal/handover"
)

// sample is the circuit of the golden file: everything that a circuit can hold,
// with names that try to get out of their quotes.
func sample(t testing.TB) *circuit.Circuit {
	t.Helper()
	b, err := os.ReadFile("../circuit/testdata/sample.geojson")
	if err != nil {
		t.Fatal(err)
	}
	c, err := circuit.Decode(b)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// hostile are names as a vandal would map them.
var hostile = []string{
	"<script>alert(1)</script>", `"><img src=x onerror=alert(1)>`, "' onload='x", "a\u202eevil\u2066", "]]>&lt;", "{{.Title}}", "\x00\x1b[31m",
	strings.Repeat("Long ", 400), "🚗🛑", "--><!--", "</td></style></title>",
}

// spoiled is the sample with a hostile name in every text.
func spoiled(t testing.TB, name string) *circuit.Circuit {
	c := sample(t)
	c.Request.From, c.Request.To, c.Request.Exercise, c.Attribution = name, name, name, name
	c.Cautions = []string{name}
	c.Learner = &circuit.LearnerRecord{Reference: name, Covered: []string{name}, Level: name, Next: []string{name}, WatchFor: []string{name}, Needs: []string{name}}
	for _, s := range []*circuit.Stop{&c.Start, &c.Finish, &c.Practice.Stop, &c.Backups[0].Stop, &c.PullUps[0]} {
		s.Road, s.Towards, s.What = name, name, name
	}
	c.Examples[0].Road = name
	c.Examples[0].Key = &circuit.Key{Answer: name, Known: name, FollowUp: name}
	for i := range c.Steps {
		c.Steps[i].Say = name
	}
	return c
}

func gpx(t testing.TB, c *circuit.Circuit) []byte {
	t.Helper()
	b, err := handover.GPX(c)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// ourRules are the rules of GPX 1.1 for what is written here.
const ourRules = "testdata/gpx-1.1-rules.xsd"

// validate asks xmllint whether a GPX file keeps a schema.
func validate(t *testing.T, schema string, b []byte) error {
	t.Helper()
	if _, err := exec.LookPath("xmllint"); err != nil {
		t.Skip("xmllint (Debian libxml2-utils) is not installed: GPX can't be validated")
	}
	file := filepath.Join(t.TempDir(), "lesson.gpx")
	if err := os.WriteFile(file, b, 0o644); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("xmllint", "--noout", "--schema", schema, file).CombinedOutput()
	if err != nil {
		return fmt.Errorf("%w: %s", err, out)
	}
	return nil
}

func TestGPXKeepsOurRules(t *testing.T) { keepsSchema(t, ourRules) }

// The official schema of GPX 1.1 (TopoGrafix, 2004), as a Debian package carries
// it: .ci/run unpacks one.
func TestGPXKeepsTheOfficialSchema(t *testing.T) {
	schema := os.Getenv("LOOPWRIGHT_GPX_SCHEMA")
	if schema == "" {
		t.Skip("LOOPWRIGHT_GPX_SCHEMA does not name a file with the official schema of GPX 1.1: only our own rules are checked")
	}
	keepsSchema(t, schema)
}

func keepsSchema(t *testing.T, schema string) {
	good := gpx(t, sample(t))
	if err := validate(t, schema, good); err != nil {
		t.Error(err)
	}
	for _, name := range hostile {
		if err := validate(t, schema, gpx(t, spoiled(t, name))); err != nil {
			t.Errorf("name %.20q: %v", name, err)
		}
	}
	// The schema bites.
	for _, c := range [][2]string{{"<wpt lat=", "<wpt lot="}, {`version="1.1"`, `version="1.0"`}, {"<rte>", "<rte><rtept lat='0' lon='0'/>"}, {`lat="52.6000000"`, `lat="152.6"`}} {
		bad := strings.Replace(string(good), c[0], c[1], 1)
		if bad == string(good) {
			t.Fatalf("%q is not in the file", c[0])
		}
		if err := validate(t, schema, []byte(bad)); err == nil {
			t.Errorf("%q in place of %q: no complaint", c[1], c[0])
		}
	}
}

// What ogrinfo (GDAL) reads in both files is what the circuit has.
func TestOGRReadsBoth(t *testing.T) {
	if _, err := exec.LookPath("ogrinfo"); err != nil {
		t.Skip("ogrinfo (Debian gdal-bin) is not installed")
	}
	c := sample(t)
	dir := t.TempDir()
	files := map[string][]byte{"lesson.gpx": gpx(t, c)}
	var err error
	if files["lesson.geojson"], err = circuit.Encode(c); err != nil {
		t.Fatal(err)
	}
	for name, b := range files {
		if err := os.WriteFile(filepath.Join(dir, name), b, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	count := func(file, layer string) int {
		out, err := exec.Command("ogrinfo", "-so", filepath.Join(dir, file), layer).CombinedOutput()
		m := regexp.MustCompile(`Feature Count: (\d+)`).FindSubmatch(out)
		if err != nil || m == nil {
			t.Fatalf("ogrinfo %s %s: %v: %s", file, layer, err, out)
		}
		n, _ := strconv.Atoi(string(m[1]))
		return n
	}
	points := 0
	for _, l := range c.Legs {
		points += len(l.Line)
	}
	stops := 3 + len(c.PullUps) + len(c.Backups)
	for _, l := range []struct {
		file, layer string
		want        int
	}{
		{"lesson.gpx", "waypoints", stops + len(c.Examples)},
		{"lesson.gpx", "routes", 1},
		{"lesson.gpx", "route_points", len(c.Steps)},
		{"lesson.gpx", "tracks", 1},
		{"lesson.gpx", "track_points", points},
		{"lesson.geojson", "lesson", stops + len(c.Examples) + len(c.Legs) + len(c.Steps) + len(c.WaysBack) + len(c.Around) + len(c.Buildings)},
	} {
		if got := count(l.file, l.layer); got != l.want {
			t.Errorf("%s, layer %s: %d features, want %d", l.file, l.layer, got, l.want)
		}
	}
}

func TestGPXHasNoTagOfAName(t *testing.T) {
	for _, name := range hostile {
		d := xml.NewDecoder(strings.NewReader(string(gpx(t, spoiled(t, name)))))
		for {
			token, err := d.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatalf("name %.20q: %v", name, err)
			}
			if e, ok := token.(xml.StartElement); ok && !regexp.MustCompile(`^(gpx|metadata|name|desc|copyright|license|time|wpt|cmt|type|rte|rtept|trk|trkseg|trkpt)$`).MatchString(e.Name.Local) {
				t.Errorf("name %.20q: an element %q", name, e.Name.Local)
			}
		}
	}
}

func TestHandBackIsOnePageWithNothingFetched(t *testing.T) {
	count := func(name string) (tags int, page string) {
		b, err := handover.HandBack(spoiled(t, name))
		if err != nil {
			t.Fatal(err)
		}
		page = string(b)
		return len(regexp.MustCompile(`<[a-zA-Z/!]`).FindAllString(page, -1)), page
	}
	want, _ := count("plain")
	for _, name := range hostile {
		got, page := count(name)
		if got != want {
			t.Errorf("name %.20q: %d tags, with a plain name %d", name, got, want)
		}
		for _, bad := range []string{"<script", "src=", "href=", "url(", "@import", "<link", "<img", "http:", "https:"} {
			if strings.Contains(page, bad) && !strings.Contains(name, bad) {
				t.Errorf("name %.20q: the page has %q", name, bad)
			}
		}
	}
	c := sample(t)
	b, err := handover.HandBack(c)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Covered today", "Level now", "Next, and watch for", "How each road was", "L-7 &lt;b&gt;", "late mirrors", c.Attribution} {
		if !strings.Contains(string(b), want) {
			t.Errorf("the card has not got %q", want)
		}
	}
	if math.Abs(c.Start.At.Lat()) > 0 && strings.Contains(string(b), fmt.Sprintf("%.3f", c.Start.At.Lat())) {
		t.Error("the card has the position of the pick-up")
	}
}
