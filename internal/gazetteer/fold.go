package gazetteer

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// abbreviations are written out when two names are compared, unless they are
// the first word ("St Mary's Road" is no street): those of signs and
// addresses in the languages of the country profiles. Our choice of a list;
// what is not on it must be typed as the map has it.
var abbreviations = map[string]string{
	"rd": "road", "ave": "avenue", "av": "avenue", "ln": "lane", "dr": "drive", "drv": "drive",
	"cl": "close", "clo": "close", "ct": "court", "cres": "crescent", "cr": "crescent", "pl": "place",
	"sq": "square", "ter": "terrace", "terr": "terrace", "tce": "terrace", "gdns": "gardens", "gdn": "garden",
	"gr": "grove", "gro": "grove", "blvd": "boulevard", "hwy": "highway", "pkwy": "parkway", "cir": "circle",
	"trl": "trail", "rte": "route", "mt": "mount", "pk": "park", "wy": "way", "wlk": "walk",
	"n": "north", "s": "south", "e": "east", "w": "west",
	"ne": "northeast", "nw": "northwest", "se": "southeast", "sw": "southwest",
	"str": "strasse", "pde": "parade", "nth": "north", "sth": "south",
}

// firstAbbreviations are written out as the first word too: in some languages
// the kind of road comes first.
var firstAbbreviations = map[string]string{
	"av": "avenue", "ave": "avenue", "bd": "boulevard", "bld": "boulevard", "blvd": "boulevard", "st": "saint", "ste": "sainte",
	"n": "north", "s": "south", "e": "east", "w": "west", "mt": "mount", "rte": "route",
}

// letters that have no decomposition and are often typed without their mark.
var letters = strings.NewReplacer("ß", "ss", "æ", "ae", "œ", "oe", "ø", "o", "ł", "l", "đ", "d", "ð", "d", "þ", "th", "ı", "i")

// fold brings a name to the form in which names are compared: lower case, no
// marks on letters (Unicode normalization form KD without its marks), no
// punctuation, single spaces, abbreviations written out, & as "and". Names that
// fold alike are taken for the same.
func fold(name string) string {
	var b strings.Builder
	for _, r := range letters.Replace(strings.ToLower(norm.NFKD.String(strings.ToValidUTF8(name, " ")))) {
		switch {
		case unicode.Is(unicode.Mn, r), r == '\'', r == '’': // Mary's, Marys
		case r == '&':
			b.WriteString(" and ")
		case unicode.IsLetter(r), unicode.IsDigit(r):
			b.WriteRune(r)
		default:
			b.WriteByte(' ')
		}
	}
	words := strings.Fields(b.String())
	for i, word := range words {
		words[i] = writtenOut(words, i, word)
	}
	if len(words) == 2 && len(words[0]) <= 3 && words[1][0] <= '9' {
		return words[0] + words[1] // a road number: A 606
	}
	return strings.Join(words, " ")
}

// writtenOut is the word i of a name without abbreviation. "St" is a street as
// the last word and before a point of the compass, a saint otherwise.
func writtenOut(words []string, i int, word string) string {
	known := abbreviations
	if i == 0 {
		known = firstAbbreviations
	}
	long, ok := known[word]
	switch {
	case i > 0 && word == "st" && (i == len(words)-1 || compass(words[i+1])):
		return "street"
	case i > 0 && word == "st":
		return "saint"
	case ok && len(words) > 1:
		return long
	}
	if stem, ok := strings.CutSuffix(word, "str"); ok && len(stem) > 2 {
		return stem + "strasse" // Bahnhofstr.
	}
	return word
}

func compass(word string) bool {
	switch word {
	case "n", "s", "e", "w", "north", "south", "east", "west":
		return true
	}
	return false
}

// SameName says whether two names are taken for the same.
func SameName(a, b string) bool { return a == b || fold(a) == fold(b) }
