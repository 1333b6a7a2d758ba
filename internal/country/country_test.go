package country

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"loopwright/data"
	"loopwright/internal/geo"
)

// Town positions are public geography, to a hundredth of a degree or so, from
// memory. The neighbours' towns just over a border are the ones that matter.
func TestLocate(t *testing.T) {
	cases := []struct {
		town     string
		lat, lon float64
		want     string
	}{
		{"Oakham", 52.67, -0.73, "gb"},
		{"Dover", 51.13, 1.31, "gb"},
		{"Penzance", 50.12, -5.54, "gb"},
		{"Cardiff", 51.48, -3.18, "gb"},
		{"Kirkwall", 58.98, -2.96, "gb"},
		{"Stranraer", 54.90, -5.03, "gb"},
		{"Belfast", 54.60, -5.93, "gb"},
		{"Newry", 54.18, -6.34, "gb ie"},
		{"Londonderry", 55.00, -7.32, "gb ie"},
		{"Dublin", 53.35, -6.26, "ie"},
		{"Cork", 51.90, -8.47, "ie"},
		{"Galway", 53.27, -9.05, "ie"},
		{"Douglas, Isle of Man", 54.15, -4.48, ""},
		{"St Helier, Jersey", 49.19, -2.11, ""},
		{"Calais", 50.95, 1.86, ""},
		{"Dieppe", 49.92, 1.08, ""},
		{"Berlin", 52.48, 13.43, "de"},
		{"München", 48.14, 11.58, "de"},
		{"Freiburg", 48.00, 7.85, "de"},
		{"Kiel", 54.32, 10.14, "de"},
		{"Leipzig", 51.34, 12.37, "de"},
		{"Strasbourg", 48.58, 7.75, ""},
		{"Basel", 47.56, 7.59, ""},
		{"Salzburg", 47.80, 13.04, ""},
		{"Cheb", 50.08, 12.37, ""},
		{"Szczecin", 53.43, 14.55, ""},
		{"Enschede", 52.22, 6.89, ""},
		{"Monaco", 43.74, 7.42, ""},
		{"Andorra la Vella", 42.51, 1.52, ""},
		{"Dover, Delaware", 39.16, -75.52, "us"},
		{"Seattle", 47.61, -122.33, "us"},
		{"San Antonio", 29.42, -98.49, "us"},
		{"Miami", 25.76, -80.19, "us"},
		{"Honolulu", 21.31, -157.86, "us"},
		{"Toronto", 43.65, -79.38, ""},
		{"Vancouver", 49.28, -123.12, ""},
		{"Victoria", 48.43, -123.37, ""},
		{"Tijuana", 32.51, -117.04, ""},
		{"Ciudad Juárez", 31.69, -106.42, ""},
		{"Nassau", 25.05, -77.35, ""},
		{"open sea", 0, 0, ""},
	}
	for _, c := range cases {
		var codes []string
		for _, p := range Locate(orb.Point{c.lon, c.lat}.Bound()) {
			codes = append(codes, p.Code)
		}
		if got := strings.Join(codes, " "); got != c.want {
			t.Errorf("Locate(%s) = %q, want %q", c.town, got, c.want)
		}
	}
}

func TestByCode(t *testing.T) {
	for _, p := range All() {
		if got, err := ByCode(p.Code); err != nil || got != p {
			t.Errorf("ByCode(%q) = %v, %v, want the profile", p.Code, got, err)
		}
	}
	if _, err := ByCode("xx"); err == nil || !strings.Contains(err.Error(), "gb, ie, de, us, left, right") {
		t.Errorf(`ByCode("xx") = %v, want an error that lists the codes`, err)
	}
}

// The numbers are the published ones, written again here from their sources,
// not read from the table.
func TestPublishedValues(t *testing.T) {
	gb, _ := ByCode("gb")
	de, _ := ByCode("de")
	us, _ := ByCode("us")
	cases := []struct {
		name      string
		got, want float64
	}{
		{"The Highway Code rule 124: built-up 30 mph in km/h", gb.Defaults.BuiltUp.KilometresPerHour(), 48.28032},
		{"The Highway Code rule 124: single carriageway 60 mph", gb.LimitTags["GB:nsl_single"].MilesPerHour(), 60},
		{"The Highway Code rule 124: dual carriageway 70 mph", gb.LimitTags["GB:nsl_dual"].MilesPerHour(), 70},
		{"The Highway Code rule 124: Wales 20 mph", gb.Defaults.Borders[0].Other.MilesPerHour(), 20},
		{"The Highway Code rule 243: 10 m", float64(gb.JunctionClear), 10},
		{"StVO § 3: 50 km/h", de.Defaults.BuiltUp.KilometresPerHour(), 50},
		{"StVO § 3: 100 km/h", de.LimitTags["DE:rural"].KilometresPerHour(), 100},
		{"StVO § 12: 5 m", float64(de.JunctionClear), 5},
		{"Uniform Vehicle Code: 30 ft", float64(us.JunctionClear / geo.Foot), 30},
		{"no federal limit in the United States", float64(us.Defaults.BuiltUp), 0},
	}
	for _, c := range cases {
		if math.Abs(c.got-c.want) > 1e-9*math.Max(1, c.want) {
			t.Errorf("%s: got %v, want %v", c.name, c.got, c.want)
		}
	}
	if !gb.Defaults.StreetLightsDecide || de.Defaults.StreetLightsDecide {
		t.Error("street lights decide in Britain (rule 124) and not in Germany (town signs)")
	}
	if !gb.DrivesLeft || de.DrivesLeft || us.DrivesLeft || !gb.SignsInMph || de.SignsInMph || !us.SignsInMph {
		t.Error("sides or units of signs are not those of gb (left, mph), de (right, km/h), us (right, mph)")
	}
}

// A border's box must take in the whole of the country beyond the border: a
// Welsh town outside it would get the English limit as certain.
func TestWalesIsInTheBorderBoxes(t *testing.T) {
	gb, _ := ByCode("gb")
	inside := func(lat, lon float64) bool {
		for _, b := range gb.Defaults.Borders {
			if b.Name == "Wales" && b.Holds(lon, lat) {
				return true
			}
		}
		return false
	}
	for name, at := range map[string][2]float64{
		"Cardiff": {51.48, -3.18}, "Newport": {51.58, -3.00}, "Chepstow": {51.64, -2.68},
		"St Davids": {51.88, -5.27}, "Holyhead": {53.31, -4.63}, "Wrexham": {53.05, -2.99},
		"Prestatyn": {53.34, -3.41}, "Barry": {51.40, -3.28}, "Welshpool": {52.66, -3.15},
	} {
		if !inside(at[0], at[1]) {
			t.Errorf("%s is outside the boxes of Wales", name)
		}
	}
	for name, at := range map[string][2]float64{
		"Oakham": {52.67, -0.73}, "Bristol": {51.45, -2.59}, "Liverpool": {53.41, -2.98}, "Ilfracombe": {51.21, -4.11},
	} {
		if inside(at[0], at[1]) {
			t.Errorf("%s is inside the boxes of Wales: its limit would be an interval for nothing", name)
		}
	}
}

func TestZoneAt(t *testing.T) {
	cases := []struct {
		code     string
		lat, lon float64
		want     string
	}{
		{"gb", 52.67, -0.73, "Europe/London"},
		{"ie", 53.35, -6.26, "Europe/Dublin"},
		{"de", 52.48, 13.43, "Europe/Berlin"},
		{"us", 39.16, -75.52, "America/New_York"},
		{"us", 41.88, -87.63, "America/Chicago"},
		{"us", 39.74, -104.99, "America/Denver"},
		{"us", 33.45, -112.07, "America/Phoenix"},
		{"us", 34.05, -118.24, "America/Los_Angeles"},
		{"us", 36.17, -115.14, "America/Los_Angeles"},
		{"us", 43.62, -116.20, "America/Denver"},
		{"us", 61.22, -149.90, "America/Anchorage"},
		{"us", 21.31, -157.86, "Pacific/Honolulu"},
		{"right", 43.74, 7.42, "Etc/GMT+0"},
		{"right", 42.51, 17.5, "Etc/GMT-1"},
		{"left", -33.9, 151.2, "Etc/GMT-10"},
	}
	for _, c := range cases {
		p, err := ByCode(c.code)
		if err != nil {
			t.Fatal(err)
		}
		zone, err := p.ZoneAt(orb.Point{c.lon, c.lat})
		if err != nil || zone.String() != c.want {
			t.Errorf("%s.ZoneAt(%v, %v) = %v, %v, want %s", c.code, c.lat, c.lon, zone, err, c.want)
		}
	}
	us, _ := ByCode("us")
	if _, err := us.ZoneAt(orb.Point{7.4, 43.7}); err == nil {
		t.Error("a place in Europe has a zone of the United States")
	}
	gb, _ := ByCode("gb")
	zone, _ := gb.ZoneAt(orb.Point{-0.73, 52.67})
	if _, offset := time.Date(2027, 7, 1, 12, 0, 0, 0, zone).Zone(); offset != 3600 {
		t.Errorf("British summer time is %d s from UTC, want 3600", offset)
	}
}

func TestUnitString(t *testing.T) {
	seen := make(map[string]bool)
	for u := UnitUnknown; u < unitCount; u++ {
		if s := u.String(); s == "" || seen[s] {
			t.Errorf("Unit(%d).String() = %q: empty or said twice", u, s)
		} else {
			seen[s] = true
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
		{"side", "drives: {value: left, source: \"The", "drives: {value: port, source: \"The", `profile "gb": drives is "port": left or right`},
		{"no source", `source: "StVO § 2"`, `source: ""`, `profile "de": drives has no source`},
		{"speed", "value: 60 mph", "value: sixty", `limit_tags GB:nsl_single is "sixty"`},
		{"unknown tag limit", "value: 60 mph", "value: unknown", `limit_tags GB:nsl_single is unknown`},
		{"box", "[-6.50, 49.85, -3.00, 51.30]", "[-3.00, 49.85, -6.50, 51.30]", `profile "gb": boxes has the box`},
		{"unit", "spoken: {value: yards", "spoken: {value: rods", `spoken is "rods"`},
		{"class", "      service: {mean: 4.5, sd: 1.3, source: \"our choice: from", "      alley: {mean: 4.5, sd: 1.3, source: \"our choice: from", "carriageway service"},
		{"spread", "mean: 5.5, sd: 1.2", "mean: 5.5, sd: 0", "carriageway residential needs a mean and a spread"},
		{"field", "  - code: gb\n", "  - code: gb\n    colour: blue\n", "colour"},
		{"code", "  - code: ie\n", "  - code: gb\n", `profile "gb" stands twice`},
		{"default", "      living_street: {value: unknown, source: \"a home", "      lane: {value: unknown, source: \"a home", `defaults has no "lane"`},
		{"clear", "junction_clear: {value: 10,", "junction_clear: {value: 0,", "junction_clear takes a value above 0"},
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
	if _, err := Parse("x.yaml", []byte("profiles: []")); err == nil {
		t.Error("an empty table is no error")
	}
}
