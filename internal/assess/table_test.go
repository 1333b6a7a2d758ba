package assess

import (
	"math"
	"strings"
	"testing"

	"loopwright/data"
	"loopwright/internal/manoeuvre"
)

func TestNamed(t *testing.T) {
	for _, ex := range Exercises() {
		if got, err := Named(ex.Name); err != nil || got != ex {
			t.Errorf("Named(%q) = %v, %v, want the exercise", ex.Name, got, err)
		}
	}
	if _, err := Named("waltz"); err == nil || !strings.Contains(err.Error(), "turn-in-the-road") {
		t.Errorf(`Named("waltz") = %v, want an error that lists the exercises`, err)
	}
}

// The widths in the table are what the simulation of the manoeuvre gives for
// the small hatch: the table must follow if the simulation changes.
func TestWidthsAreTheManoeuvres(t *testing.T) {
	text, err := data.Tables.ReadFile("vehicles.yaml")
	if err != nil {
		t.Fatal(err)
	}
	vehicles, err := manoeuvre.ParseVehicles("vehicles.yaml", text)
	if err != nil {
		t.Fatal(err)
	}
	ex, err := Named("turn-in-the-road")
	if err != nil {
		t.Fatal(err)
	}
	need := ex.need("clear-width")
	for _, c := range []struct {
		within manoeuvre.Within
		want   float64
	}{{manoeuvre.Body, *need.Limit.Min}, {manoeuvre.Wheels, need.accepts[0].at}} {
		got, ok := manoeuvre.LeastWidth(vehicles[0], 3, c.within, manoeuvre.Expert)
		if !ok || math.Abs(float64(got)-c.want) > 0.15 {
			t.Errorf("least width for three movements, %v: %.2f m, the table has %.2f", c.within, got, c.want)
		}
	}
}

// Every fault of a table must be told with its place.
func TestParseFaults(t *testing.T) {
	text, err := data.Tables.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	good := string(text)
	cases := []struct{ name, old, new, want string }{
		{"criterion", "{name: bend,", "{name: wiggle,", `criterion "wiggle"`},
		{"card", `card: "bend"}`, `card: ""}`, `criterion "bend" has no card`},
		{"group", "criteria: [bend, sight]", "criteria: [bend, class]", "in another group"},
		{"correlation", "correlation: 0.4", "correlation: 1", "correlation from 0 to below 1"},
		{"spread", "  bend_deg: {value: 3,", "  bend_rad: {value: 3,", "spreads bend_deg needs a value"},
		{"verdict", "suitable_from: {value: 0.8", "suitable_from: {value: 80", "verdicts suitable_from is 80"},
		{"kerb", "kerb: driving", "kerb: near", `exercise "turn-in-the-road": kerb is "near"`},
		{"faces", "faces_after: back", "faces_after: up", `faces_after is "up"`},
		{"points", "[[12, 1], [27, 0]]", "[[27, 1], [12, 0]]", `criterion "bend": accepts goes back`},
		{"share", "[[12, 1], [27, 0]]", "[[12, 2], [27, 0]]", "accepts has the share 2"},
		{"form", `words: {"no": 1, "yes": 0}`, `words: {"no": 1, "yes": 7}`, `"yes" has the share 7`},
		{"twice", "- criterion: one-way", "- criterion: clear-width", `"clear-width" stands twice`},
	}
	for _, c := range cases {
		bad := strings.Replace(good, c.old, c.new, 1)
		if bad == good {
			t.Errorf("%s: the table no longer holds %q", c.name, c.old)
			continue
		}
		if _, err := Parse("x.yaml", []byte(bad)); err == nil || !strings.Contains(err.Error(), c.want) || !strings.HasPrefix(err.Error(), "x.yaml: ") {
			t.Errorf("%s: Parse = %v, want an error with %q", c.name, err, c.want)
		}
	}
	if _, err := Parse("x.yaml", nil); err == nil {
		t.Error("an empty file is no error")
	}
}

// A word of the table that no reader can give is a slip of the pen. The words
// are listed here a second time, from the readers' own text.
func TestWordsOfTheTableAreRead(t *testing.T) {
	given := map[string]string{
		"one-way": "two-way one-way roundabout", "dual": "yes no",
		"calming": "none some island", "kerb": "free|no parking|no stopping|barred at times|not mapped",
		"parked":    "none|in bays|one side|other side|both sides|not mapped",
		"structure": "none|bridge|tunnel|ford|level crossing", "surface": "smooth setts loose rough",
		"access": "public|at times|callers only|private|unclear", "setting": "built-up|country road",
		"quiet":  "own traffic|works traffic|light traffic|through traffic|busy|no way through|side road|bus road|unclassified|living street|service road|not surveyed|tertiary|main road",
		"school": "none near|near|beside|at its hours", "car-park": "none|open ground|in a building|along a road", "car-park-access": "public|callers only|private|not mapped",
		"fee": "none|at times|yes|not mapped", "height-bar": "none|high enough|too low", "empty-bays": "by day|off peak",
		"corner":   "side road|no room past it|none|crossroads|controlled|one-way|busier road",
		"noted":    "used lately|bin day|complaint|closed|never again|does not suit",
		"daylight": "daylight twilight dark", "lighting": "lit|unlit|not mapped",
		"class": "residential|living street|unclassified|service|tertiary|secondary|primary|trunk|motorway|track|not surveyed",
	}
	for _, ex := range Exercises() {
		for i := range ex.Needs {
			need := &ex.Needs[i]
			if need.Words == nil {
				continue
			}
			list, ok := given[need.Criterion]
			if !ok {
				t.Errorf("%s %s has words and is not in this test's list", ex.Name, need.Criterion)
				continue
			}
			separator := "|"
			if !strings.Contains(list, separator) {
				separator = " "
			}
			known := strings.Split(list, separator)
			for _, word := range known {
				if _, ok := need.Words[word]; !ok {
					t.Errorf("%s %s does not rate %q", ex.Name, need.Criterion, word)
				}
			}
			if len(known) != len(need.Words) {
				t.Errorf("%s %s rates %d words, %d are ever read", ex.Name, need.Criterion, len(need.Words), len(known))
			}
		}
	}
}
