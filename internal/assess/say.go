package assess

import (
	"fmt"
	"math"
	"strings"

	"loopwright/internal/country"
	"loopwright/internal/geo"
)

// Words says a finding to an instructor: what is known and how, what the
// exercise asks, and whether to look on the day: where it is open, and wherever
// the width is not known. Limits are in the units of the
// country's signs, lengths in metres, or feet where directions say feet. A
// criterion of another version of the table is said by its numbers alone.
func Words(f Finding, p *country.Profile) string {
	say, ok := sayings[f.Criterion]
	if !ok {
		return f.Criterion + ": " + f.amount(p) + "."
	}
	text := say.label + ": " + say.state(f, p)
	open := f.Holds == HoldsPerhaps || f.Holds == HoldsUnknown && f.Chance < surelyEnough
	if open || f.Criterion == "clear-width" && f.Evidence != Mapped && f.Evidence != Measured {
		text += ". Check on the day"
	}
	switch said := say.state(f, p); {
	case f.Evidence == Measured && strings.HasPrefix(f.Source, said): // the note says no more than that
		text = say.label + ": " + f.Source
	case f.Evidence == Measured:
		text += "; noted: " + f.Source
	}
	return text + "."
}

// surelyEnough is the chance from which nobody need look for what is not
// mapped: tarmac in a residential road. Our choice.
const surelyEnough = 0.95

// saying is how one criterion is said.
type saying struct {
	label string
	state func(f Finding, p *country.Profile) string
}

var sayings = map[string]saying{
	"clear-width": {"Width", sayWidth},
	"bend": {"Shape", func(f Finding, p *country.Profile) string {
		return fmt.Sprintf("the road turns %s within 30 m; %s is straight enough", f.amount(p), f.asked(p))
	}},
	"sight": {"Sight", func(f Finding, p *country.Profile) string {
		if f.Value != nil {
			return fmt.Sprintf("%s or more both ways by the line of the road; hedges, parked cars and crests are not on the map", f.amount(p))
		}
		return fmt.Sprintf("%s one way before the road bends out of view; %s is asked", f.amount(p), f.asked(p))
	}},
	"junction": {"Junctions", func(f Finding, p *country.Profile) string {
		if f.Value != nil && *f.Value >= float64(farJunction) {
			return "none near on this road"
		}
		return fmt.Sprintf("the nearer one is %s away; %s is good", f.amount(p), f.asked(p))
	}},
	"mouths": {"Openings", func(f Finding, p *country.Profile) string {
		if f.Value != nil && *f.Value == 0 {
			return "none mapped but house drives"
		}
		return plural(f.middle(), "yard, car park or service road opens here", "yards, car parks or service roads open here")
	}},
	"one-way":   {"One-way", byWord(map[string]string{"two-way": "no, both directions may be driven", "one-way": "yes", "roundabout": "it is a roundabout"})},
	"dual":      {"Dual carriageway", byWord(map[string]string{"no": "no", "yes": "yes, the other half carries the other direction"})},
	"class":     {"Kind of road", byWord(nil)},
	"access":    {"Access", byWord(map[string]string{"public": "public", "at times": "public at some times only", "callers only": "only for those who live or call there", "private": "private", "unclear": "the map is not clear"})},
	"setting":   {"Setting", byWord(map[string]string{"built-up": "among homes", "country road": "a country road", "not known": "town or country, the map does not say"})},
	"quiet":     {"Traffic", sayQuiet},
	"limit":     {"Speed limit", sayLimit},
	"calming":   {"Traffic calming", byWord(map[string]string{"none": "none mapped", "some": "humps or narrowings here", "island": "an island here"})},
	"crossing":  {"Crossings", sayNear("a crossing")},
	"bus-stop":  {"Bus stops", sayNear("a stop")},
	"structure": {"Bridges and the like", byWord(map[string]string{"none": "none", "bridge": "a bridge", "tunnel": "a tunnel", "ford": "a ford", "level crossing": "a level crossing"})},
	"noted":     {"Noted", byWord(map[string]string{"used lately": "used for a lesson not long ago: let it rest", "bin day": "the bins are out then", "complaint": "a resident complained: let the road rest", "closed": "closed then", "never again": "never again", "does not suit": "an instructor says that it does not suit"})},
	"parked":    {"Parked cars", sayParked(map[string]string{"none": "parking is barred or none is mapped as allowed", "few": "a few here and there", "in bays": "in bays beside the road", "not mapped": "not mapped", "one side": "they may stand on one side", "other side": "they may stand on the other side only", "both sides": "they may stand on both sides"})},
	"kerb":      {"Kerb", byWord(map[string]string{"free": "stopping is not barred", "no parking": "no parking", "no stopping": "no stopping", "barred at times": "stopping is barred at some times", "not mapped": "lines and signs are not mapped"})},
	"gradient": {"Gradient", func(f Finding, p *country.Profile) string {
		if f.unsaid() {
			return "not known, no heights"
		}
		if f.Limit.Min == nil {
			return fmt.Sprintf("about %.0f %%; up to %s will do", f.middle(), f.asked(p))
		}
		return fmt.Sprintf("about %.0f %%; %s is asked", f.middle(), f.asked(p))
	}},
	"car-park":        {"Car park", byWord(map[string]string{"none": "none is driven into from here", "open ground": "on open ground", "in a building": "in a building or underground", "along a road": "bays along a road, or garages"})},
	"car-park-access": {"Who may use it", byWord(map[string]string{"public": "anybody", "callers only": "customers or visitors only: ask first", "private": "private", "not mapped": "not mapped: read the signs"})},
	"bays": {"Bays", func(f Finding, p *country.Profile) string {
		if f.unsaid() {
			return "how many is not mapped"
		}
		return fmt.Sprintf("%s; %s or more leave some empty", f.amount(p), f.asked(p))
	}},
	"fee":        {"Charge", byWord(map[string]string{"none": "none", "at times": "at some times", "yes": "yes", "not mapped": "not mapped"})},
	"height-bar": {"Height bar", byWord(map[string]string{"none": "none mapped", "high enough": "one that a car passes under", "too low": "too low for a car with a roof sign"})},
	"empty-bays": {"Empty rows", byWord(map[string]string{"by day": "not known; often full by day", "off peak": "not known; mostly empty at that hour"})},
	"school":     {"Schools", byWord(map[string]string{"none near": "none mapped near", "near": "one is near: keep away when children come and go", "beside": "one is right here: keep away when children come and go", "at its hours": "one is near, and children come or go at that hour"})},
	"climb":      {"Slope", sayClimb},
	"corner":     {"Corner", byWord(map[string]string{"side road": "a side road on the near side, just passed", "none": "no side road on the near side just before", "no room past it": "a side road, but too little road past it to pull up", "crossroads": "a crossroads", "controlled": "a roundabout or signals", "one-way": "the side road is one-way", "busier road": "the side road is the busier one: never reverse into it"})},
	"corner-length": {"Side road", func(f Finding, p *country.Profile) string {
		return fmt.Sprintf("%s to its next junction or end; %s is asked", f.amount(p), f.asked(p))
	}},
	"ahead": {"Junction ahead", func(f Finding, p *country.Profile) string {
		if f.Value != nil && *f.Value >= float64(farJunction) {
			return "none near"
		}
		return fmt.Sprintf("%s away; %s is good", f.amount(p), f.asked(p))
	}},
	"daylight": {"Light", byWord(map[string]string{"daylight": "daylight", "twilight": "twilight", "dark": "after dark"})},
	"lighting": {"Street lights", byWord(map[string]string{"lit": "yes", "unlit": "none", "not mapped": "not mapped"})},
	"surface":  {"Surface", byWord(map[string]string{"smooth": "smooth", "setts": "setts or paving", "loose": "loose", "rough": "rough"})},
}

// sayParked adds to what is not mapped how many are likely.
func sayParked(words map[string]string) func(Finding, *country.Profile) string {
	plain := byWord(words)
	return func(f Finding, p *country.Profile) string {
		text := plain(f, p)
		if _, by, ok := strings.Cut(f.Source, "; by the homes along it "); ok {
			text += "; by the homes along it " + strings.TrimSuffix(by, ": look on the day")
		}
		return text
	}
}

// sayClimb says which way the road slopes for the car that drives there.
func sayClimb(f Finding, p *country.Profile) string {
	if f.unsaid() {
		return "not known, no heights"
	}
	way := "uphill"
	if f.middle() < 0 {
		way = "downhill"
	}
	low, high := math.Abs(*f.Limit.Min), math.Abs(*f.Limit.Max)
	return fmt.Sprintf("about %.0f %% %s; %.0f to %.0f %% is asked", math.Abs(f.middle()), way, min(low, high), max(low, high))
}

func sayWidth(f Finding, p *country.Profile) string {
	switch f.Evidence {
	case Measured:
		return fmt.Sprintf("measured, %s; the car needs %s", f.amount(p), f.asked(p))
	case Mapped:
		return fmt.Sprintf("by the map %s; the car needs %s", f.amount(p), f.asked(p))
	case Inferred:
		if strings.Contains(f.Source, "measured near by") {
			return fmt.Sprintf("not mapped; by the roads near by that are measured %s; the car needs %s", f.amount(p), f.asked(p))
		}
		return fmt.Sprintf("not mapped; one lane for both directions, so %s; the car needs %s", f.amount(p), f.asked(p))
	}
	if f.unsaid() {
		return fmt.Sprintf("not known; the car needs %s", f.asked(p))
	}
	if strings.Contains(f.Source, likelyCars) {
		return fmt.Sprintf("not mapped; with the cars that are likely to stand there perhaps %s; the car needs %s", f.amount(p), f.asked(p))
	}
	if strings.Contains(f.Source, "buildings") {
		return fmt.Sprintf("not mapped; between the buildings perhaps %s; the car needs %s", f.amount(p), f.asked(p))
	}
	return fmt.Sprintf("not mapped; roads like this are usually %s; the car needs %s", f.amount(p), f.asked(p))
}

func sayQuiet(f Finding, _ *country.Profile) string {
	words := map[string]string{
		"own traffic": "one way in, so only its own", "works traffic": "one way in, but works, shops, a station or a hospital draw others", "light traffic": "not counted; few ways lead along it", "through traffic": "some only passes through", "busy": "many pass",
		"no way through": "it leads nowhere else, so only its own", "side road": "not known; a side road is usually quiet",
		"bus road": "a bus road", "unclassified": "not known; a minor road, often quiet", "living street": "not known; usually only its own",
		"service road": "not known; usually only callers", "not surveyed": "not known",
		"tertiary": "a local through road, seldom quiet", "main road": "a main road, busy",
	}
	if f.Evidence == Measured {
		words = map[string]string{"own traffic": "next to none passed", "through traffic": "some passed", "busy": "many passed"}
	}
	text, ok := words[f.Text]
	if !ok {
		text = f.Text
	}
	if strings.Contains(f.Source, "edge of the map") {
		text += "; near the edge of the map file"
	}
	return text
}

func sayLimit(f Finding, p *country.Profile) string {
	switch {
	case f.unsaid():
		return "not mapped; " + f.asked(p) + " or less is asked"
	case f.Evidence == Assumed:
		return fmt.Sprintf("not mapped; by law %s unless a sign says otherwise", f.amount(p))
	}
	return fmt.Sprintf("%s; %s or less is asked", f.amount(p), f.asked(p))
}

func sayNear(what string) func(Finding, *country.Profile) string {
	return func(f Finding, p *country.Profile) string {
		if f.Value == nil {
			return "none mapped near"
		}
		if *f.Value == 0 {
			return what + " is right here"
		}
		return fmt.Sprintf("%s is %s away; %s is asked", what, f.amount(p), f.asked(p))
	}
}

// byWord says a finding's word, by the list where that has it.
func byWord(words map[string]string) func(Finding, *country.Profile) string {
	return func(f Finding, _ *country.Profile) string {
		if f.unsaid() {
			return "not mapped"
		}
		if text, ok := words[f.Text]; ok {
			return text
		}
		return f.Text
	}
}

// unsaid is true where a finding has no value of any form.
func (f *Finding) unsaid() bool {
	return f.Value == nil && f.Low == nil && f.High == nil && f.Text == ""
}

// middle is the value, or the middle of the interval.
func (f *Finding) middle() float64 {
	switch {
	case f.Value != nil:
		return *f.Value
	case f.Low != nil && f.High != nil:
		return (*f.Low + *f.High) / 2
	}
	return 0
}

// amount is the value or the interval in the units that are spoken.
func (f *Finding) amount(p *country.Profile) string {
	switch {
	case f.Text != "":
		return f.Text
	case f.Value != nil:
		return quantity(*f.Value, f.Unit, p)
	case f.Low != nil && f.High != nil:
		if f.Unit == "deg" || *f.High-*f.Low > 0.5*f.middle() && f.Unit != "m" {
			return "about " + quantity(f.middle(), f.Unit, p)
		}
		if f.middle() > 15 && f.Unit == "m" {
			return "about " + quantity(f.middle(), f.Unit, p)
		}
		low, high := quantity(*f.Low, f.Unit, p), quantity(*f.High, f.Unit, p)
		number, unit, _ := strings.Cut(low, " ")
		if strings.HasSuffix(high, " "+unit) {
			low = number
		}
		return low + " to " + high
	}
	return "not known"
}

// asked is the limit that the exercise asks for; a speed in mph as
// signs have it, the multiple of 5 below.
func (f *Finding) asked(p *country.Profile) string {
	switch {
	case f.Unit == "km/h" && f.Limit.Max != nil && p.SignsInMph:
		mph := (geo.MetresPerSecond(*f.Limit.Max) * geo.KilometrePerHour).MilesPerHour()
		return fmt.Sprintf("%.0f mph", 5*math.Floor(mph/5))
	case f.Limit.Min != nil && f.Limit.Max != nil:
		return strings.TrimSuffix(quantity(*f.Limit.Min, f.Unit, p), " "+f.Unit) + " to " + quantity(*f.Limit.Max, f.Unit, p)
	case f.Limit.Min != nil:
		return quantity(*f.Limit.Min, f.Unit, p)
	case f.Limit.Max != nil:
		return quantity(*f.Limit.Max, f.Unit, p)
	}
	return "no more"
}

// quantity writes a number with its unit as people there would say it.
func quantity(v float64, unit string, p *country.Profile) string {
	switch {
	case unit == "deg":
		return fmt.Sprintf("%.0f°", v)
	case unit == "km/h":
		return p.OnSigns(v)
	case unit == "m" && p.Spoken == country.InFeet:
		return fmt.Sprintf("%.0f ft", v/float64(geo.Foot))
	case unit == "m" && v >= 15:
		return fmt.Sprintf("%.0f m", math.Round(v))
	case unit == "m":
		return strings.TrimSuffix(fmt.Sprintf("%.1f", v), ".0") + " m"
	case unit == "":
		return fmt.Sprintf("%g", v)
	}
	return fmt.Sprintf("%.0f %s", v, unit)
}

func plural(n float64, one, many string) string {
	if n == 1 {
		return "a " + one
	}
	return fmt.Sprintf("%.0f %s", n, many)
}
