package assess

import (
	"fmt"
	"slices"
	"strings"

	"loopwright/internal/country"
)

// looks say what to look for on the day where a criterion rests on an
// assumption or may go either way.
var looks = map[string]string{
	"clear-width":     "whether it is wide enough: pace it, kerb to kerb, or try the first go yourself",
	"parked":          "parked cars, on both sides, along the whole of the place",
	"kerb":            "yellow lines, signs and zig-zags at the kerb",
	"quiet":           "how many cars pass in two minutes",
	"limit":           "the sign of the speed limit where you turn in",
	"calming":         "humps and narrowings",
	"crossing":        "a crossing near by",
	"bus-stop":        "a bus stop near by",
	"sight":           "hedges, walls, parked cars and crests that hide the road",
	"gradient":        "whether it is level enough",
	"climb":           "how steep it is, and whether it is so for long enough",
	"surface":         "loose or broken surface",
	"setting":         "whether it runs among homes",
	"junction":        "how near the junction really is",
	"bend":            "whether the bend hides the place",
	"access":          "signs that it is private",
	"mouths":          "cars that come out of the openings",
	"lighting":        "whether the street lights work",
	"school":          "children and parents' cars",
	"car-park-access": "signs against learners, and whose car park it is",
	"fee":             "whether parking is charged",
	"empty-bays":      "a whole row of empty bays",
	"bays":            "a whole row of empty bays",
	"corner":          "whether the side road is open and clear",
	"corner-length":   "room in the side road to come to rest",
	"ahead":           "how near the junction ahead really is",
}

// LookFor says what to look for on the day, each thing once: of the findings that
// rest on an assumption or may go either way, those that decide most first. None
// where something known rules the place out.
func LookFor(findings []Finding) []string {
	var open []Finding
	for _, f := range findings {
		known := f.Evidence != Assumed && f.Evidence != EvidenceUnknown
		if known && f.Holds == HoldsNo {
			return nil
		}
		if looks[f.Criterion] != "" && f.Chance < surelyEnough && (!known || f.Holds == HoldsPerhaps) {
			open = append(open, f)
		}
	}
	slices.SortStableFunc(open, func(x, y Finding) int {
		switch {
		case x.Chance < y.Chance:
			return -1
		case x.Chance > y.Chance:
			return 1
		}
		return 0
	})
	var out []string
	for _, f := range open {
		if look := looks[f.Criterion]; !slices.Contains(out, look) {
			out = append(out, look)
		}
	}
	return out
}

// Asks says what a need asks, in a driver's words.
func Asks(n *Need, p *country.Profile) string {
	label := n.Criterion
	if say, ok := sayings[n.Criterion]; ok {
		label = say.label
	}
	f := Finding{Unit: n.Unit, Limit: n.Limit}
	switch {
	case n.Words != nil:
		return label + ": " + wordsAsked(n.Words)
	case n.Limit.Min != nil && n.Limit.Max != nil:
		return fmt.Sprintf("%s: %s", label, f.asked(p))
	case n.Limit.Min != nil:
		return fmt.Sprintf("%s: at least %s", label, f.asked(p))
	case *n.Limit.Max == 0:
		return label + ": none"
	}
	return fmt.Sprintf("%s: at most %s", label, f.asked(p))
}

// wordsAsked says a list of words in short: those that four instructors in five
// would take where they are few, else those that four in five would not.
func wordsAsked(words map[string]float64) string {
	var good, bad []string
	for word, share := range words {
		switch {
		case word == "not mapped" || word == "not surveyed":
		case share >= 0.8:
			good = append(good, word)
		case share < 0.2:
			bad = append(bad, word)
		}
	}
	slices.Sort(good)
	slices.Sort(bad)
	if len(bad) == 0 || len(good) > 0 && len(good) <= 2 {
		return strings.Join(good, " or ")
	}
	return "not " + strings.Join(bad, ", ")
}
