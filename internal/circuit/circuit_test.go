package circuit_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"math"
	"math/rand/v2"
	"os"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geojson"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/geo"
)

var update = flag.Bool("update", false, "write the golden files anew")

func number(v float64) *float64 { return &v }

// sample is a small circuit in an invented place, with everything that the
// file can hold, and names that try to get out of their quotes.
func sample(t testing.TB) *circuit.Circuit {
	t.Helper()
	zone, err := time.LoadLocation("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	at := func(e, n float64) orb.Point {
		return orb.Point{math.Round((-0.7+e)*1e7) / 1e7, math.Round((52.6+n)*1e7) / 1e7}
	}
	findings := []assess.Finding{
		{Criterion: "clear-width", Low: number(4.1), High: number(6.9), Unit: "m", Limit: assess.Limit{Min: number(6.1)},
			Holds: assess.HoldsPerhaps, Chance: 0.31, Evidence: assess.Assumed, Source: "usual width of a residential road"},
		{Criterion: "surface", Text: "asphalt", Holds: assess.HoldsYes, Chance: 0.99, Evidence: assess.Mapped, Source: "surface=asphalt"},
		{Criterion: "gradient", Unit: "%", Limit: assess.Limit{Max: number(5)}, Source: "no heights"},
	}
	stop := func(p orb.Point, what string, atS float64) circuit.Stop {
		return circuit.Stop{At: p, Kerb: "w123+45l", Road: "Mill Lane", Side: "left", FacesDeg: 93.4, Towards: "High Street", AtS: atS, Minutes: 4.5, What: what}
	}
	practice := circuit.Practice{
		Stop: stop(at(0.004, 0.002), "goes", 1500), Exercise: "turn-in-the-road", Goes: 3, FacesAfterDeg: 273.4, Late: &circuit.Late{Minutes: 10, Goes: 1},
		Verdict: assess.Likely, Chance: 0.31, MapFit: 0.9, Findings: findings,
		Line: orb.LineString{at(0.003, 0.002), at(0.005, 0.002)},
		Round: &circuit.Round{
			Leg: circuit.Leg{Line: orb.LineString{at(0.004, 0.002), at(0.005, 0.002), at(0.004, 0.002)}, Ways: []int64{789, -12}, Roads: []string{"Field Close"}, LengthM: 380.5, DriveS: 71.25},
			Say: "first left, left again", Moves: []circuit.Move{{Do: circuit.Turn, Side: "left", Number: 1}},
		},
	}
	backup := practice
	backup.Goes, backup.What, backup.Late = 0, "", nil
	backup.Way = &circuit.Leg{Line: orb.LineString{at(0.004, 0.002), at(0.005, 0.002)}, Ways: []int64{-789}, Roads: []string{"Field Close"}, LengthM: 157.25, DriveS: 41.5}
	return &circuit.Circuit{
		MadeFrom: circuit.MadeFrom{Extract: "town.osm.pbf", SHA256: strings.Repeat("0f", 32), Timestamp: time.Date(2027, 1, 1, 20, 0, 0, 0, time.UTC)},
		Request: circuit.Request{From: "Mill Lane & High Street", To: "Mill Lane & High Street", Exercise: "turn-in-the-road", Minutes: 60,
			Unsuitable: 2, Suitable: 1, When: "2027-07-04T10:00:00+01:00", Seed: 7, Country: "gb", InHand: 5},
		StartsAt: time.Date(2027, 7, 4, 10, 0, 0, 0, zone), Zone: "Europe/London",
		Timeline:    []circuit.Row{{AtS: 0, What: "recap", Minutes: 3}, {AtS: 180.25, What: "drive", Minutes: 12.5}},
		DriveS:      1800.123,
		LengthM:     9001.25,
		Bound:       &circuit.Bound{Score: 3.5, Best: 4, Gap: 0.125},
		Attribution: "© OpenStreetMap contributors, ODbL 1.0",
		Cautions:    []string{"the map may be old or wrong"},
		NoBound:     "because",
		Choice:      &circuit.Choice{Step: 1, Roads: []circuit.Choosable{{Road: "Mill <Lane>", Verdict: assess.Likely}}},
		Start:       stop(at(0, 0), "", 0),
		Finish:      stop(at(0.001, 0), "debrief", 3300),
		Legs: []circuit.Leg{
			{Order: 1, Line: orb.LineString{at(0, 0), at(0.001, 0.00012345), at(0.004, 0.002)}, Ways: []int64{123, -456}, Roads: []string{"Mill Lane", "King's & Queen's <Row>"},
				LengthM: 350.5, DriveS: 61.002, Driver: circuit.Learner, AtS: 180, Heights: []geo.Metres{12.5, 14, -0.3}},
			{Order: 2, Line: orb.LineString{at(0.004, 0.002), at(0.001, 0)}, Ways: []int64{456}, LengthM: 260, DriveS: 44, Driver: circuit.Instructor, AtS: 3000},
		},
		PullUps:  []circuit.Stop{stop(at(0.0005, 0), "briefing", 300)},
		Practice: practice,
		Backups:  []circuit.Practice{backup},
		Examples: []circuit.Example{{Order: 1, Line: orb.LineString{at(0.001, 0), at(0.002, 0)}, AtS: 400, Verdict: assess.Unsuitable, Reason: "bend",
			Road: "\"</script>\u202e Row\" 🚗", Chance: 0.01, Findings: findings,
			Key: &circuit.Key{Answer: "The road bends.", Known: "from the map's line of the road", FollowUp: "What would you do instead?"}}},
		WaysBack:  []circuit.WayBack{{Step: 2, Say: "second left, left again", Moves: []circuit.Move{{Do: circuit.Turn, Side: "left", Number: 2}, {Do: circuit.Turn, Side: "left", Number: 1}}, Line: orb.LineString{at(0.001, 0), at(0.002, 0.001)}}},
		Around:    []circuit.Road{{Name: "Field & Close", Class: "residential", Line: orb.LineString{at(0, 0), at(0, 0.001)}}, {Class: "service", Line: orb.LineString{at(0, 0), at(0.001, 0)}}},
		Buildings: []circuit.Building{{Outline: orb.Ring{at(0, 0), at(0.001, 0), at(0.001, 0.001), at(0, 0)}}},
		Sent:      circuit.ForCover,
		Learner: &circuit.LearnerRecord{Reference: "L-7 <b>", Stages: map[string]string{"hill-start": "prompted", "bay-park": "untaught"}, Covered: []string{"moving off"},
			Level: "prompted", Next: []string{"hill start"}, WatchFor: []string{"late mirrors"}, Needs: []string{"glasses"}},
		Steps: []circuit.Step{
			{Order: 1, At: at(0, 0), AtS: 180, Say: "Move off when you are ready.", Kind: "move-off", Direction: "move off", Where: "when you are ready", Moves: []circuit.Move{{Do: circuit.MoveOff}}},
			{Order: 2, At: at(0.0005, 0), AtS: 200, Say: "I'd like you to take the next road on the left.", Alert: "I'd like you to",
				Direction: "take the next road on the left", DistanceM: 80.25, Kind: "turn",
				Moves: []circuit.Move{{Do: circuit.Turn, Side: "left", Number: 1, Past: "post box", Road: "Mill <Lane>"}, {Do: circuit.TakeExit, Number: 3, At: circuit.MiniRoundabout}}},
		},
	}
}

func encode(t testing.TB, c *circuit.Circuit) []byte {
	t.Helper()
	b, err := circuit.Encode(c)
	if err != nil {
		t.Fatalf("Encode: %v", err)
	}
	return b
}

func TestRoundTrip(t *testing.T) {
	c := sample(t)
	b := encode(t, c)
	got, err := circuit.Decode(b)
	if err != nil {
		t.Fatalf("Decode: %v", err)
	}
	if !got.StartsAt.Equal(c.StartsAt) || got.StartsAt.Location().String() != "Europe/London" {
		t.Errorf("StartsAt = %v, want %v", got.StartsAt, c.StartsAt)
	}
	got.StartsAt = c.StartsAt // equal, but with its own *time.Location
	if !reflect.DeepEqual(got, c) {
		t.Errorf("Decode(Encode(c)) = %+v\nwant %+v", got, c)
	}
	if again := encode(t, got); !bytes.Equal(again, b) {
		t.Errorf("Encode(Decode(b)) differs from b:\n%s", again)
	}
}

func TestGolden(t *testing.T) {
	const path = "testdata/sample.geojson"
	b := encode(t, sample(t))
	if *update {
		if err := os.WriteFile(path, b, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(b, want) {
		t.Errorf("Encode(sample) =\n%s\nwant (%s)\n%s", b, path, want)
	}
}

// The file is GeoJSON to a reader that knows nothing of ours
// (github.com/paulmach/orb/geojson), with the positions that we put in.
func TestReadElsewhere(t *testing.T) {
	c := sample(t)
	fc, err := geojson.UnmarshalFeatureCollection(encode(t, c))
	if err != nil {
		t.Fatal(err)
	}
	roles := map[string]int{}
	for _, f := range fc.Features {
		role := f.Properties.MustString("role")
		roles[role]++
		if role == "leg" && f.Properties.MustInt("order") == 1 && !f.Geometry.(orb.LineString).Equal(c.Legs[0].Line) {
			t.Errorf("leg 1 = %v, want %v", f.Geometry, c.Legs[0].Line)
		}
	}
	want := map[string]int{"leg": 2, "example": 1, "start": 1, "pull-up": 1, "practice": 1, "backup": 1, "finish": 1, "step": 2, "way-back": 1, "around": 3}
	if !reflect.DeepEqual(roles, want) {
		t.Errorf("roles = %v, want %v", roles, want)
	}
	bound := orb.MultiPoint{c.Legs[0].Line[0], c.Practice.Line[1], c.Practice.At}.Bound()
	if got := fc.BBox.Bound(); got != bound {
		t.Errorf("bbox = %v, want %v", got, bound)
	}
}

func compileSchema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	b, err := os.ReadFile("../../data/circuit.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	compiler := jsonschema.NewCompiler()
	compiler.AssertFormat()
	if err := compiler.AddResource("circuit.schema.json", doc); err != nil {
		t.Fatal(err)
	}
	schema, err := compiler.Compile("circuit.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return schema
}

func TestSchema(t *testing.T) {
	schema := compileSchema(t)
	good := string(encode(t, sample(t)))
	for _, tc := range []struct {
		name, old, new string
		ok             bool
	}{
		{"as written", "", "", true},
		{"unknown role", `"role":"step"`, `"role":"around"`, true},
		{"unknown member", `"format":1`, `"weather":"icy","format":1`, true},
		{"role twice", `"role":"finish"`, `"role":"start"`, false},
		{"no practice", `"role":"practice"`, `"role":"backup"`, false},
		{"other format", `"format":1`, `"format":2`, false},
		{"verdict that is none", `"verdict":"likely"`, `"verdict":"fine"`, false},
		{"evidence that is none", `"evidence":"assumed"`, `"evidence":"guessed"`, false},
		{"off the earth", `[-0.7000000,52.6000000]`, `[-0.7,152.6]`, false},
		{"a driver that is none", `"driver":"learner"`, `"driver":"dog"`, false},
		{"half an interval", `"low":4.1,`, ``, false},
		{"a time that is none", `"starts_at":"2027-07-04T`, `"starts_at":"4 July T`, false},
		{"a learner sent to anyone", `"sent_for":"cover"`, `"sent_for":"anyone"`, false},
		{"sent to nobody we know", `"sent_for":"cover"`, `"sent_for":"moon"`, false},
		{"a way back of no step", `"step":2,`, ``, false},
		{"a road of no class", `"class":"residential"`, `"klass":"residential"`, false},
		{"a move that is none", `"do":"turn"`, `"do":"fly"`, false},
		{"a move with no action", `"do":"move-off"`, `"due":"move-off"`, false},
		{"the road number nothing", `"number":2`, `"number":0`, false},
		{"half a key", `"known":"from the map's line of the road",`, ``, false},
		{"a building of three corners and no more", `,[-0.6990000,52.6010000],[-0.7000000,52.6000000]]]`, `]]`, false},
		{"another thing around", `"kind":"road","name":"Field & Close","class":"residential"`, `"kind":"pond"`, true},
		{"crs", `"features"`, `"crs":{},"features"`, false},
	} {
		text := strings.Replace(good, tc.old, tc.new, 1)
		if tc.old != "" && text == good {
			t.Fatalf("%s: %q is not in the file", tc.name, tc.old)
		}
		doc, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		if err := schema.Validate(doc); (err == nil) != tc.ok {
			t.Errorf("%s: Validate = %v, want ok %v", tc.name, err, tc.ok)
		}
	}
}

func TestUnknownIsPassedOver(t *testing.T) {
	b := encode(t, sample(t))
	more := strings.Replace(string(b), `"features":[`, `"weather":{"a":[1,{"b":null}]},"features":[
{"type":"Feature","geometry":{"type":"Polygon","coordinates":[[[0,0],[1,0],[1,1],[0,0]]]},"properties":{"role":"around"}},
{"type":"Feature","geometry":null,"properties":null},
{"type":"Feature","geometry":{"type":"Point","coordinates":[0,0]},"properties":{"role":7}},`, 1)
	more = strings.Replace(more, `"role":"leg"`, `"later":[1],"role":"leg"`, 1)
	got, err := circuit.Decode([]byte("\uFEFF" + more))
	if err != nil {
		t.Fatal(err)
	}
	if again := encode(t, got); !bytes.Equal(again, b) {
		t.Error("what is unknown changed what is known")
	}
}

// An action from a later program leaves the step to its words, and another place
// to what else is known of the move.
func TestMovesOfALaterProgram(t *testing.T) {
	b := string(encode(t, sample(t)))
	later := strings.Replace(strings.Replace(b, `"do":"take-exit"`, `"do":"fly"`, 1), `"do":"move-off"`, `"do":"move-off","at":"sky"`, 1)
	c, err := circuit.Decode([]byte(later))
	if err != nil {
		t.Fatal(err)
	}
	if c.Steps[1].Moves != nil || c.Steps[1].Say == "" {
		t.Errorf("a step with an unknown action has the moves %v", c.Steps[1].Moves)
	}
	if want := []circuit.Move{{Do: circuit.MoveOff}}; !reflect.DeepEqual(c.Steps[0].Moves, want) {
		t.Errorf("a step with an unknown place has the moves %v, want %v", c.Steps[0].Moves, want)
	}
}

func TestEnumerations(t *testing.T) {
	for _, a := range append(circuit.Actions(), circuit.ActionUnknown) {
		var back circuit.Action
		if b, _ := a.MarshalText(); back.UnmarshalText(b) != nil || back != a || a.String() == "" {
			t.Errorf("action %d is %q and comes back as %q", a, b, back)
		}
	}
	for _, w := range append(circuit.Wheres(), circuit.WhereUnknown) {
		var back circuit.Where
		if b, _ := w.MarshalText(); back.UnmarshalText(b) != nil || back != w || w.String() == "" {
			t.Errorf("place %d is %q and comes back as %q", w, b, back)
		}
	}
}

func TestFeaturesInAnyOrder(t *testing.T) {
	b := encode(t, sample(t))
	lines := strings.Split(string(b), "\n")
	lines[4], lines[5] = lines[5], lines[4] // the legs
	got, err := circuit.Decode([]byte(strings.Join(lines, "\n")))
	if err != nil {
		t.Fatal(err)
	}
	if again := encode(t, got); !bytes.Equal(again, b) {
		t.Error("legs in another order in the file: not the same circuit")
	}
}

// RFC 7946, 3.1.9 and 5.2 (the example of Fiji): lines are cut at the
// antimeridian, and west is greater than east.
func TestAntimeridian(t *testing.T) {
	for _, line := range []orb.LineString{
		{{179.9, -16.5}, {-179.9, -16.7}, {-179.8, -16.7}, {179.95, -16.8}},
		{{179.9, -16.5}, {180, -16.6}, {-179.9, -16.7}},
		{{-179.9, -16.5}, {-180, -16.6}, {179.9, -16.7}},
		{{180, -16.5}, {-180, -16.5}, {180, -16.4}},
	} {
		c := sample(t)
		c.Legs[0].Line = line
		c.Start.At, c.Finish.At, c.Practice.At = line[0], line[0], line[0]
		c.Legs, c.Examples, c.PullUps, c.Backups, c.Steps = c.Legs[:1], nil, nil, nil, nil
		c.Practice.Line = line[:2]
		b := encode(t, c)
		got, err := circuit.Decode(b)
		if err != nil {
			t.Fatal(err)
		}
		if !got.Legs[0].Line.Equal(line) {
			t.Errorf("line %v came back as %v", line, got.Legs[0].Line)
		}
		var file struct {
			BBox     [4]float64
			Features []struct {
				Geometry struct {
					Type        string
					Coordinates json.RawMessage
				}
			}
		}
		if err := json.Unmarshal(b, &file); err != nil {
			t.Fatal(err)
		}
		if file.BBox[0] <= file.BBox[2] {
			t.Errorf("bbox of %v = %v, want west greater than east", line, file.BBox)
		}
		var parts [][][2]float64
		if err := json.Unmarshal(file.Features[0].Geometry.Coordinates, &parts); err != nil {
			t.Fatalf("%v: %v", line, err)
		}
		for _, part := range parts {
			for i := 1; i < len(part); i++ {
				if math.Abs(part[i][0]-part[i-1][0]) > 180 {
					t.Errorf("line %v: part %v still crosses", line, part)
				}
			}
		}
	}
}

func TestEncodeRefuses(t *testing.T) {
	for _, tc := range []struct {
		name  string
		spoil func(*circuit.Circuit)
	}{
		{"not a number", func(c *circuit.Circuit) { c.Legs[0].DriveS = math.NaN() }},
		{"off the earth", func(c *circuit.Circuit) { c.Start.At = orb.Point{200, 0} }},
		{"no position", func(c *circuit.Circuit) { c.Steps[0].At = orb.Point{math.NaN(), 0} }},
		{"a line of one point", func(c *circuit.Circuit) { c.Legs[1].Line = c.Legs[1].Line[:1] }},
		{"a building that is not closed", func(c *circuit.Circuit) { c.Buildings[0].Outline = c.Buildings[0].Outline[:3] }},
		{"infinite", func(c *circuit.Circuit) { c.Practice.Chance = math.Inf(1) }},
	} {
		c := sample(t)
		tc.spoil(c)
		if b, err := circuit.Encode(c); err == nil || b != nil {
			t.Errorf("%s: Encode gives no error", tc.name)
		}
	}
}

func TestDecodeRefuses(t *testing.T) {
	good := string(encode(t, sample(t)))
	change := func(old, new string) string {
		out := strings.Replace(good, old, new, 1)
		if out == good {
			t.Fatalf("%q is not in the file", old)
		}
		return out
	}
	for _, tc := range []struct{ name, file, want string }{
		{"empty", "", "missing"},
		{"not JSON", "hello", "line 1, column 1: not JSON"},
		{"another GeoJSON", `{"type":"FeatureCollection","features":[]}`, "not a circuit"},
		{"an array", `[1,2]`, "wrong kind of value (array)"},
		{"cut short", good[:len(good)/2], "not JSON"},
		{"not UTF-8", change("Mill", "M\xffll"), "not UTF-8"},
		{"NaN", change(`"drive_s":1800.123`, `"drive_s":NaN`), "line 3, column"},
		{"too large a number", change(`"drive_s":1800.123`, `"drive_s":1e999`), "drive_s"},
		{"a drive of years", change(`"drive_s":1800.123`, `"drive_s":1e9`), "drive_s: 1e+09 is out of range"},
		{"off the earth", change(`[-0.7000000,52.6000000]`, `[-0.7,152.6]`), "feature 1 (leg): longitude -0.7, latitude 152.6 is not on the earth"},
		{"half a position", change(`[-0.7000000,52.6000000]`, `[-0.7]`), "two numbers"},
		{"position of nothing", change(`[-0.7000000,52.6000000]`, `[null,null]`), "two numbers"},
		{"a way round of no line", change(`"line":[[-0.6960000,52.6020000],[-0.6950000,52.6020000],[-0.6960000,52.6020000]],"say":"first left, left again"`, `"line":[],"say":"first left, left again"`), "way_round: a line needs two points or more, it has 0"},
		{"newer", change(`"format":1`, `"format":2`), "format 2"},
		{"another zone", change(`"zone":"Europe/London"`, `"zone":"Local"`), "zone"},
		{"a zone from elsewhere", change(`"zone":"Europe/London"`, `"zone":"../../etc/passwd"`), "zone"},
		{"no time", change(`"starts_at":"2027`, `"starts_at":"next year`), "starts_at"},
		{"no legs", strings.ReplaceAll(good, `"role":"leg"`, `"role":"lug"`), `"leg"`},
		{"two starts", change(`"role":"finish"`, `"role":"start"`), `2 features with the role "start"`},
		{"wrong shape", change(`"type":"LineString"`, `"type":"Point"`), "LineString"},
		{"other driver", change(`"driver":"learner"`, `"driver":"dog"`), "dog"},
		{"chance of two", change(`"map_fit":0.9`, `"map_fit":2`), "map_fit"},
		{"verdict that is none", change(`"verdict":"likely"`, `"verdict":"fine"`), "fine"},
		{"sent to nobody we know", change(`"sent_for":"cover"`, `"sent_for":"moon"`), "moon"},
		{"a building that is a line", change(`"type":"Polygon"`, `"type":"LineString"`), "must be a Polygon"},
		{"a building that is not closed", change(`[-0.6990000,52.6010000],[-0.7000000,52.6000000]]]`, `[-0.6990000,52.6010000],[-0.7000001,52.6000000]]]`), "an outline needs four points"},
		{"a building without a corner", change(`[[[-0.7000000,52.6000000],[-0.6990000,52.6000000],[-0.6990000,52.6010000],[-0.7000000,52.6000000]]]`, `[]`), "an outline needs four points"},
		{"a side that is none", change(`"side":"left","number":2`, `"side":"up","number":2`), "up"},
		{"road minus one", change(`"number":3`, `"number":-1`), "number -1"},
		{"deep", strings.Repeat("[", 10_000) + strings.Repeat("]", 10_000), "nested more than 32 deep"},
		{"deep in an unknown member", change(`"format":1`, `"x":`+strings.Repeat(`{"a":`, 10_000)+"1"+strings.Repeat("}", 10_000)+`,"format":1`), "nested more than 32 deep"},
		{"long text", change("Mill Lane", strings.Repeat("Mill ", 10_000)), "a text of more than"},
		{"many objects", change(`"findings":[`, `"findings":[`+strings.Repeat("{},", 300_000)), "more entries"},
		{"many numbers", change(`"ways":[`, `"ways":[`+strings.Repeat("1,", 3_000_000)), "more entries"},
		{"200 MB", `{"type":"` + strings.Repeat(" ", 200_000_000) + `"}`, "200 MB"},
	} {
		c, err := circuit.Decode([]byte(tc.file))
		if err == nil || c != nil {
			t.Errorf("%s: Decode gives no error", tc.name)
			continue
		}
		if got := err.Error(); !strings.Contains(got, tc.want) || strings.Contains(got, "\n") || len(got) > 300 {
			t.Errorf("%s: Decode = %q, want one sentence with %q", tc.name, got, tc.want)
		}
	}
}

// Damaged files give an error or a circuit that can be written again.
func TestDamage(t *testing.T) {
	good := encode(t, sample(t))
	const seed = 1
	r := rand.New(rand.NewPCG(seed, 0))
	for range 20_000 {
		b := bytes.Clone(good)
		for range 1 + r.IntN(3) {
			i := r.IntN(len(b))
			switch r.IntN(3) {
			case 0:
				b[i] ^= 1 << r.IntN(8)
			case 1:
				b = append(b[:i], b[min(len(b), i+1+r.IntN(40)):]...)
			default:
				b[i] = "0123456789{}[],:\"-.e"[r.IntN(20)]
			}
		}
		checkDecode(t, b)
	}
}

func checkDecode(t *testing.T, b []byte) {
	c, err := circuit.Decode(b)
	if err != nil {
		if strings.Contains(err.Error(), "\n") {
			t.Errorf("Decode: more than one sentence: %q", err)
		}
		return
	}
	once, err := circuit.Encode(c)
	if err != nil {
		t.Fatalf("Decode accepts what Encode refuses: %v\n%s", err, b)
	}
	again, err := circuit.Decode(once)
	if err != nil {
		t.Fatalf("Encode writes what Decode refuses: %v\n%s", err, once)
	}
	if twice := encode(t, again); !bytes.Equal(once, twice) {
		t.Fatalf("writing is not stable:\n%s\n%s", once, twice)
	}
}

func FuzzDecode(f *testing.F) {
	f.Add(encode(f, sample(f)))
	f.Fuzz(checkDecode)
}

func BenchmarkDecode(b *testing.B) {
	file := encode(b, sample(b))
	b.SetBytes(int64(len(file)))
	for b.Loop() {
		if _, err := circuit.Decode(file); err != nil {
			b.Fatal(err)
		}
	}
}
