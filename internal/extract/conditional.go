package extract

import (
	"strconv"
	"strings"
)

// clause is one part of a conditional value: "no @ (Mo-Fr 08:00-09:30)".
type clause struct{ value, condition string }

// parseConditional reads value @ condition; value @ (condition); ... A
// semicolon inside brackets belongs to the condition (OpenStreetMap wiki,
// "Conditional restrictions", from memory). False where it is none.
func parseConditional(s string) ([]clause, bool) {
	s = strings.TrimRight(strings.TrimSpace(s), "; ")
	var out []clause
	depth, start := 0, 0
	flush := func(end int) bool {
		value, condition, found := strings.Cut(s[start:end], "@")
		value, condition = strings.TrimSpace(value), strings.TrimSpace(condition)
		if strings.HasPrefix(condition, "(") && strings.HasSuffix(condition, ")") {
			condition = strings.TrimSpace(condition[1 : len(condition)-1])
		}
		if !found || value == "" || condition == "" {
			return false
		}
		out = append(out, clause{value, condition})
		return true
	}
	for i := 0; i < len(s); i++ {
		switch s[i] {
		case '(':
			depth++
		case ')':
			if depth--; depth < 0 {
				return nil, false
			}
		case ';':
			// Without brackets a condition may hold a semicolon itself: a new
			// clause begins only where another "@" follows before the next.
			if depth == 0 && beginsClause(s[i+1:]) {
				if !flush(i) {
					return nil, false
				}
				start = i + 1
			}
		}
	}
	if depth != 0 || !flush(len(s)) {
		return nil, false
	}
	return out, true
}

// beginsClause: an "@" comes before the next semicolon.
func beginsClause(s string) bool {
	at := strings.IndexByte(s, '@')
	if at < 0 {
		return false
	}
	semi := strings.IndexByte(s, ';')
	return semi < 0 || at < semi
}

// Bounds that no learner's car reaches: a condition "weight > 7.5" is not for
// it. Our choice, generous: a large estate car with two people.
var carNeverReaches = map[string]float64{ // tonnes, metres, counts
	"weight": 3.5, "maxweight": 3.5, "weightrating": 3.5, "maxweightrating": 3.5, "grossweight": 3.5,
	"axleload": 2, "axles": 3, "trailers": 1, "length": 6, "width": 2.2, "height": 2.1, "wheels": 5,
}

// otherUsers are conditions on who or what that leave a learner's car out.
var otherUsers = map[string]bool{
	"hgv": true, "bus": true, "psv": true, "taxi": true, "bicycle": true, "motorcycle": true, "moped": true, "mofa": true,
	"trailer": true, "caravan": true, "coach": true, "tourist_bus": true, "goods": true, "agricultural": true, "horse": true,
	"delivery": true, "residents": true, "permit": true, "permit_holders": true, "disabled": true, "emergency": true, "school_bus": true, "doctor": true,
}

// bindsCar says whether a condition may hold for a learner's car at some time:
// false only where one of its terms surely never does.
func bindsCar(condition string) bool {
	for term := range strings.SplitSeq(strings.ReplaceAll(condition, " and ", " AND "), " AND ") {
		term = strings.TrimSpace(term)
		if otherUsers[term] {
			return false
		}
		name, number, found := strings.Cut(term, ">")
		if !found {
			continue
		}
		number = strings.TrimSpace(strings.TrimPrefix(number, "="))
		number = strings.TrimSpace(strings.TrimSuffix(strings.TrimSuffix(number, "t"), "m"))
		least, known := carNeverReaches[strings.TrimSpace(name)]
		if v, err := strconv.ParseFloat(number, 64); known && err == nil && v >= least {
			return false
		}
	}
	return true
}
