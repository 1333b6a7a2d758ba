package calendar

import (
	"strconv"
	"strings"
	"time"
)

// Conditional is the value of a :conditional tag ("Conditional restrictions",
// OpenStreetMap wiki), such as "no @ (Mo-Fr 08:00-09:30,15:00-16:00)": values,
// each with the conditions under which it stands. Of those that hold, the last
// counts; where none does, the plain tag does.
type Conditional struct {
	text    string
	clauses []clause
}

// clause is a value and its conditions, all of which must hold.
type clause struct {
	value  string
	unread string // the text, where it has no value or no end
	all    []condition
}

// condition is about the hour, or else compares a measure of the vehicle.
type condition struct {
	hours   Hours
	measure string
	compare func(a, b float64) bool
	limit   float64
}

// ParseConditional reads a conditional value. It never fails: what can't be
// read is unknown, and Unread lists it.
func ParseConditional(text string) Conditional {
	c := Conditional{text: text}
	for _, piece := range outsideBrackets(text, ";") {
		if piece = strings.TrimSpace(piece); piece == "" {
			continue
		}
		value, conditions, found := strings.Cut(piece, "@")
		value, conditions = strings.TrimSpace(value), strings.TrimSpace(conditions)
		if inner, ok := strings.CutPrefix(conditions, "("); ok && strings.HasSuffix(inner, ")") && balanced(inner[:len(inner)-1]) {
			conditions = strings.TrimSpace(inner[:len(inner)-1])
		}
		// What is left of brackets that don't match would be read amiss.
		if !found || value == "" || conditions == "" || !balanced(conditions) {
			c.clauses = append(c.clauses, clause{unread: piece})
			continue
		}
		k := clause{value: value}
		for _, one := range splitFold(conditions, " and ") {
			k.all = append(k.all, parseCondition(strings.TrimSpace(one)))
		}
		c.clauses = append(c.clauses, k)
	}
	return c
}

// outsideBrackets splits at a mark that stands outside brackets and quotes.
func outsideBrackets(text, mark string) []string {
	var out []string
	depth, quoted, start := 0, false, 0
	for i := range len(text) {
		switch c := text[i]; {
		case c == '"':
			quoted = !quoted
		case quoted:
		case c == '(':
			depth++
		case c == ')':
			depth--
		case depth <= 0 && strings.HasPrefix(text[i:], mark):
			out = append(out, text[start:i])
			start = i + len(mark)
		}
	}
	return append(out, text[start:])
}

// balanced tells whether every bracket has its partner.
func balanced(text string) bool {
	depth := 0
	for _, c := range text {
		switch c {
		case '(':
			depth++
		case ')':
			depth--
		}
		if depth < 0 {
			return false
		}
	}
	return depth == 0
}

// splitFold splits at a mark in any case.
func splitFold(text, mark string) []string {
	var out []string
	for {
		i := strings.Index(strings.ToLower(text), mark)
		if i < 0 || len(strings.ToLower(text)) != len(text) {
			return append(out, text)
		}
		out, text = append(out, text[:i]), text[i+len(mark):]
	}
}

var comparisons = []struct {
	mark    string
	compare func(a, b float64) bool
}{
	{"<=", func(a, b float64) bool { return a <= b }},
	{">=", func(a, b float64) bool { return a >= b }},
	{"<", func(a, b float64) bool { return a < b }},
	{">", func(a, b float64) bool { return a > b }},
	{"=", func(a, b float64) bool { return a == b }},
}

func parseCondition(text string) condition {
	for _, c := range comparisons {
		name, number, found := strings.Cut(text, c.mark)
		if !found {
			continue
		}
		name = strings.ToLower(strings.TrimSpace(name))
		unit := map[string]string{"weight": "t", "length": "m", "width": "m", "height": "m"}[name]
		limit, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(number), unit)), 64)
		if unit != "" && err == nil {
			return condition{measure: name, compare: c.compare, limit: limit}
		}
		break
	}
	return condition{hours: ParseHours(text)}
}

func (c condition) at(s Setting, at time.Time) Answer {
	if c.compare == nil {
		return c.hours.At(s, at)
	}
	measure, known := s.Measures[c.measure]
	if !known {
		return Unknown
	}
	return yes(c.compare(measure, c.limit))
}

// String is the text as it was given.
func (c Conditional) String() string { return c.text }

// Unread gives the parts that could not be read, as they stand in the text.
func (c Conditional) Unread() []string {
	var out []string
	for _, k := range c.clauses {
		if k.unread != "" {
			out = append(out, k.unread)
		}
		for _, q := range k.all {
			out = append(out, q.hours.Unread()...)
		}
	}
	return out
}

// Values lists the values in the order of the text, each once.
func (c Conditional) Values() []string {
	var out []string
	seen := make(map[string]bool)
	for _, k := range c.clauses {
		if k.unread == "" && !seen[k.value] {
			seen[k.value] = true
			out = append(out, k.value)
		}
	}
	return out
}

// At tells whether a value counts at an instant. For the value "" it tells
// whether none of them does, so that the plain tag counts.
func (c Conditional) At(s Setting, value string, at time.Time) Answer {
	result := yes(value == "")
	for _, k := range c.clauses {
		if k.unread != "" {
			result = Unknown
			continue
		}
		holds := Yes
		for _, q := range k.all {
			holds = holds.And(q.at(s, at))
		}
		result = holds.choose(yes(k.value == value), result)
	}
	return result
}

// Over tells how much of the time from an instant until just before another a
// value counts. Where the second is not later it is the instant alone.
func (c Conditional) Over(s Setting, value string, from, until time.Time) Share {
	var changes []time.Time
	for _, k := range c.clauses {
		for _, q := range k.all {
			changes = append(changes, q.hours.changes(s, from, until)...)
		}
	}
	return shareOver(from, until, changes, func(at time.Time) Answer { return c.At(s, value, at) })
}
