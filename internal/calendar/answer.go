// Package calendar answers questions of the hour: is it light, are the schools
// in, is this condition in force? It knows the sun by NOAA's solar equations,
// the opening_hours and :conditional tags of OpenStreetMap by a small grammar,
// and school terms.
//
// Tags are written by hand, so what can't be read is never guessed: an answer
// is yes, no or unknown, and unknown spreads no further than it must (a holiday
// rule that can't be decided matters only in the hours that it would change).
// Over a span of time the answer is always, never, sometimes or unknown.
//
// Times carry their own zone; what "Mo-Fr 08:00" means is read on the clock of
// the Setting. Zone data is embedded. There is no clock in here: every question
// brings its time.
package calendar

// Answer is yes, no or unknown.
type Answer uint8

// The zero Answer is Unknown.
const (
	Unknown Answer = iota
	No
	Yes
)

// String gives the word.
func (a Answer) String() string {
	switch a {
	case No:
		return "no"
	case Yes:
		return "yes"
	}
	return "unknown"
}

// The logic of three values is Kleene's, "On notation for ordinal numbers",
// 1938: unknown is a value that is not yet known to be yes or no.

// Not is the contrary; unknown stays unknown.
func (a Answer) Not() Answer {
	switch a {
	case No:
		return Yes
	case Yes:
		return No
	}
	return Unknown
}

// And is no if either is no, yes if both are yes.
func (a Answer) And(b Answer) Answer {
	switch {
	case a == No || b == No:
		return No
	case a == Yes && b == Yes:
		return Yes
	}
	return Unknown
}

// Or is yes if either is yes, no if both are no.
func (a Answer) Or(b Answer) Answer { return a.Not().And(b.Not()).Not() }

// choose is then where a is yes, otherwise where it is no, and what both agree
// on where it is unknown.
func (a Answer) choose(then, otherwise Answer) Answer {
	switch {
	case a == Yes:
		return then
	case a == No:
		return otherwise
	case then == otherwise:
		return then
	}
	return Unknown
}

// yes turns a claim into an Answer.
func yes(claim bool) Answer {
	if claim {
		return Yes
	}
	return No
}

// Share is how much of a span of time an answer is yes.
type Share uint8

// The zero Share is ShareUnknown. Sometimes is certain: yes for a part, no for
// another.
const (
	ShareUnknown Share = iota
	Never
	Sometimes
	Always
)

// String gives the word.
func (s Share) String() string {
	switch s {
	case Never:
		return "never"
	case Sometimes:
		return "sometimes"
	case Always:
		return "always"
	}
	return "unknown"
}
