package country

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"loopwright/internal/geo"
)

// The table as the file has it. Each value stands with its source.
type (
	word struct {
		Value, Source string
	}
	spread struct {
		Mean, SD float64
		Source   string
	}
	row struct {
		Code, Name            string
		Drives, Signs, Spoken word
		Zones                 []struct {
			Zone string
			Box  []float64
		}
		Boxes     [][]float64
		LimitTags map[string]word `yaml:"limit_tags"`
		Defaults  map[string]word
		Lights    word `yaml:"street_lights"`
		Borders   []struct {
			Name    string
			Boxes   [][]float64
			BuiltUp word `yaml:"built_up"`
		}
		Carriageway map[string]spread
		Fronts      []struct {
			Front  float64
			spread `yaml:",inline"`
		} `yaml:"residential_by_front"`
		LaneWidth     spread `yaml:"lane_width"`
		JunctionClear struct {
			Value        float64
			From, Source string
		} `yaml:"junction_clear"`
	}
)

// classes are the highway classes whose usual width every profile gives.
var classes = []string{"trunk", "primary", "secondary", "tertiary", "unclassified", "residential", "living_street", "service", "road"}

// Parse reads a table of country profiles; data/countries.yaml shows the form.
// file is the name for messages. A field that the form does not have, a value
// without its source and one that can't be read are errors which name file,
// profile and field.
func Parse(file string, text []byte) ([]*Profile, error) {
	var table struct{ Profiles []row }
	dec := yaml.NewDecoder(bytes.NewReader(text))
	dec.KnownFields(true)
	if err := dec.Decode(&table); err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	if len(table.Profiles) == 0 {
		return nil, fmt.Errorf("%s: no profiles: list at least one under profiles", file)
	}
	out := make([]*Profile, 0, len(table.Profiles))
	seen := make(map[string]bool)
	for i, r := range table.Profiles {
		if r.Code == "" {
			return nil, fmt.Errorf("%s: profile %d has no code: give it one", file, i+1)
		}
		if seen[r.Code] {
			return nil, fmt.Errorf("%s: profile %q stands twice: remove one", file, r.Code)
		}
		seen[r.Code] = true
		b := builder{Profile: &Profile{Code: r.Code, Name: r.Name, Sources: make(map[string]string)}}
		b.fill(r)
		if b.err != nil {
			return nil, fmt.Errorf("%s: profile %q: %w", file, r.Code, b.err)
		}
		out = append(out, b.Profile)
	}
	return out, nil
}

// builder fills a profile from its row and keeps the first fault.
type builder struct {
	*Profile
	err error
}

func (b *builder) fault(format string, args ...any) {
	if b.err == nil {
		b.err = fmt.Errorf(format, args...)
	}
}

func (b *builder) source(key, source string) {
	if source == "" {
		b.fault("%s has no source: say where it comes from, or our choice and why", key)
	}
	b.Sources[key] = source
}

func (b *builder) fill(r row) {
	if r.Name == "" {
		b.fault("no name: give the words to show")
	}
	b.DrivesLeft = b.either("drives", r.Drives, "left", "right")
	b.SignsInMph = b.either("signs", r.Signs, "mph", "km/h")
	b.source("spoken", r.Spoken.Source)
	for u := InMetres; u < unitCount; u++ {
		if r.Spoken.Value == u.String() {
			b.Spoken = u
		}
	}
	if b.Spoken == UnitUnknown {
		b.fault("spoken is %q: metres, yards or feet", r.Spoken.Value)
	}
	if len(r.Zones) == 0 {
		b.fault("no zones: give at least one")
	}
	for _, z := range r.Zones {
		zone := Zone{Name: z.Zone, Everywhere: z.Box == nil}
		if !zone.Everywhere {
			zone.Box = b.box("zones", z.Box)
		}
		b.Zones = append(b.Zones, zone)
	}
	for _, x := range r.Boxes {
		b.Boxes = append(b.Boxes, b.box("boxes", x))
	}
	b.LimitTags = make(map[string]geo.MetresPerSecond, len(r.LimitTags))
	for tag, w := range r.LimitTags {
		if b.LimitTags[tag] = b.speed("limit_tags "+tag, w); b.LimitTags[tag] == 0 {
			b.fault("limit_tags %s is unknown: leave it out", tag)
		}
	}
	b.defaults(r)
	b.Defaults.StreetLightsDecide = b.either("street_lights", r.Lights, "decide", "do not decide")
	b.Carriageway = make(map[string]Spread, len(r.Carriageway))
	for _, class := range classes {
		b.Carriageway[class] = b.width("carriageway "+class, r.Carriageway[class])
	}
	if len(r.Carriageway) != len(classes) {
		b.fault("carriageway has %d classes: it takes %s", len(r.Carriageway), strings.Join(classes, ", "))
	}
	for i, f := range r.Fronts {
		key := fmt.Sprintf("residential_by_front %v", f.Front)
		b.Fronts = append(b.Fronts, Front{geo.Metres(f.Front), b.width(key, f.spread)})
		if !(f.Front > 0) || i > 0 && f.Front <= r.Fronts[i-1].Front {
			b.fault("%s: fronts are above 0 and rise", key)
		}
	}
	b.LaneWidth = b.width("lane_width", r.LaneWidth)
	b.JunctionClear, b.ClearFrom = geo.Metres(r.JunctionClear.Value), r.JunctionClear.From
	b.source("junction_clear", r.JunctionClear.Source)
	if b.JunctionClear <= 0 || b.ClearFrom == "" {
		b.fault("junction_clear takes a value above 0 and from where it is measured")
	}
}

func (b *builder) defaults(r row) {
	kinds := map[string]*geo.MetresPerSecond{
		"built_up": &b.Defaults.BuiltUp, "rural_single": &b.Defaults.RuralSingle,
		"rural_dual": &b.Defaults.RuralDual, "motorway": &b.Defaults.Motorway,
		"living_street": &b.Defaults.LivingStreet,
	}
	for kind, w := range r.Defaults {
		to, ok := kinds[kind]
		if !ok {
			b.fault("defaults has no %q", kind)
			continue
		}
		*to = b.speed("defaults "+kind, w)
	}
	if len(r.Defaults) != len(kinds) {
		b.fault("defaults takes built_up, rural_single, rural_dual, motorway and living_street")
	}
	for _, border := range r.Borders {
		other := b.speed("borders "+border.Name, border.BuiltUp)
		for _, x := range border.Boxes {
			b.Defaults.Borders = append(b.Defaults.Borders, Border{b.box("borders "+border.Name, x), border.Name, other})
		}
	}
}

// either reads a value that is one of two words: true for the first.
func (b *builder) either(key string, w word, yes, no string) bool {
	b.source(key, w.Source)
	if w.Value != yes && w.Value != no {
		b.fault("%s is %q: %s or %s", key, w.Value, yes, no)
	}
	return w.Value == yes
}

// speed reads "30 mph" or "50 km/h"; "unknown" is 0.
func (b *builder) speed(key string, w word) geo.MetresPerSecond {
	b.source(key, w.Source)
	if w.Value == "unknown" {
		return 0
	}
	number, unit, _ := strings.Cut(w.Value, " ")
	v, err := strconv.ParseFloat(number, 64)
	scale := map[string]geo.MetresPerSecond{"mph": geo.MilePerHour, "km/h": geo.KilometrePerHour}[unit]
	if err != nil || !(v > 0 && v < 500) || scale == 0 {
		b.fault("%s is %q: a speed such as 30 mph or 50 km/h, or unknown", key, w.Value)
		return 0
	}
	return geo.MetresPerSecond(v) * scale
}

func (b *builder) width(key string, s spread) Spread {
	b.source(key, s.Source)
	if !(s.Mean > 0 && s.SD > 0) {
		b.fault("%s needs a mean and a spread sd, both above 0", key)
	}
	return Spread{geo.Metres(s.Mean), geo.Metres(s.SD)}
}

func (b *builder) box(key string, x []float64) Box {
	if len(x) != 4 || x[0] >= x[2] || x[1] >= x[3] {
		b.fault("%s has the box %v: west, south, east, north", key, x)
		return Box{}
	}
	return Box{x[0], x[1], x[2], x[3]}
}
