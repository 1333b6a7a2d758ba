package handover

import (
	"regexp"
	"strings"

	"loopwright/internal/circuit"
)

// arrow is the picture beside a move.
type arrow string

const (
	arrowAhead      arrow = "ahead"
	arrowLeft       arrow = "left"
	arrowRight      arrow = "right"
	arrowBearLeft   arrow = "bear-left"
	arrowBearRight  arrow = "bear-right"
	arrowRoundabout arrow = "roundabout"
	arrowBack       arrow = "back"
	arrowStop       arrow = "stop"
	arrowGo         arrow = "go"
	arrowOther      arrow = "other"
)

// move is one thing that a learner does: a picture, one to three words, and
// where.
type move struct {
	arrow  arrow
	action string // left, 2nd right, 3rd exit
	place  string // end of road, lights
	where  string // into Mill Lane
}

// form is how the words of the trade say a move; the table of sentences of
// package directions has them.
type form struct {
	words *regexp.Regexp // after the place; submatches: an ordinal, a side
	arrow func(side string) arrow
	say   string // $1 ordinal, $2 side
}

var forms = []form{
	{regexp.MustCompile(`^take the (\w+) (?:slip road|ramp) on the (left|right)\b`), bearing, "$1 slip road $2"},
	{regexp.MustCompile(`^take the (\w+) (?:road on the )?(left|right)\b`), turning, "$1 $2"},
	{regexp.MustCompile(`^()turn (left|right)\b`), turning, "$2"},
	{regexp.MustCompile(`^()turn sharp (left|right)\b`), turning, "sharp $2"},
	{regexp.MustCompile(`^()bear (left|right)\b`), bearing, "bear $2"},
	{regexp.MustCompile(`^()keep (left|right)\b`), bearing, "keep $2"},
	{regexp.MustCompile(`^()follow the road a?round to the (left|right)\b`), bearing, "round $2"},
	{regexp.MustCompile(`^take the (\w+)() exit\b`), always(arrowRoundabout), "$1 exit"},
	{regexp.MustCompile(`^()()(?:follow|take) the road ahead\b`), always(arrowAhead), "ahead"},
	{regexp.MustCompile(`^()()go all the way a?round\b`), always(arrowBack), "all round"},
	{regexp.MustCompile(`^()()turn a?round\b`), always(arrowBack), "turn round"},
	{regexp.MustCompile(`^()pull (?:up|over) on the (left|right)(?: at a convenient place| where it is convenient)?`), always(arrowStop), "stop $2"},
	{regexp.MustCompile(`^()()(?:move off|pull out)\b`), always(arrowGo), "move off"},
}

func always(a arrow) func(string) arrow { return func(string) arrow { return a } }

func turning(side string) arrow {
	if side == "left" {
		return arrowLeft
	}
	return arrowRight
}

func bearing(side string) arrow {
	if side == "left" {
		return arrowBearLeft
	}
	return arrowBearRight
}

var (
	joint   = regexp.MustCompile(`, then (?:immediately )?`)
	inPlace = regexp.MustCompile(`^(?i:at) the ([^,]+), `)
	asking  = regexp.MustCompile(`^I'd like you to `)
	comma   = regexp.MustCompile(`^[, ]+`)
)

// short are the words of the table that a card has no room for.
var short = strings.NewReplacer("end of the road", "end of road", "next traffic lights", "lights", "next traffic light", "light", "traffic light", "light",
	"next junction", "junction", "next intersection", "intersection", "next crossroads", "crossroads", "next fork", "fork", "next roundabout", "roundabout")

var ordinals = strings.NewReplacer("next ", "", "first", "1st", "second", "2nd", "third", "3rd", "fourth", "4th", "fifth", "5th", "sixth", "6th", "seventh", "7th", "eighth", "8th", "ninth", "9th", "tenth", "10th")

// movesOf takes a step's words apart. Words of a form that it does not know
// make a move of their own, as they are.
func movesOf(s circuit.Step) []move {
	words := s.Direction
	if s.Alert != "" {
		words = s.Alert + " " + words
	}
	if s.Where != "" {
		words += " " + s.Where
	}
	if words == "" {
		words = strings.TrimSuffix(s.Say, ".")
	}
	return movesIn(words)
}

func movesIn(words string) []move {
	var out []move
	for _, clause := range joint.Split(asking.ReplaceAllString(words, ""), -1) {
		out = append(out, moveOf(clause))
	}
	return out
}

func moveOf(clause string) move {
	m := move{arrow: arrowOther, action: clause}
	rest := clause
	if p := inPlace.FindStringSubmatch(clause); p != nil {
		m.place, rest = short.Replace(p[1]), clause[len(p[0]):]
	}
	for _, f := range forms {
		at := f.words.FindStringSubmatchIndex(rest)
		if at == nil {
			continue
		}
		m.arrow = f.arrow(submatch(rest, at, 2))
		said := strings.NewReplacer("$1", strings.TrimSpace(submatch(rest, at, 1)), "$2", submatch(rest, at, 2)).Replace(f.say)
		m.action = strings.TrimSpace(ordinals.Replace(said))
		m.where = comma.ReplaceAllString(rest[at[1]:], "")
		return m
	}
	m.place = ""
	return m
}

func submatch(s string, at []int, n int) string { return s[at[2*n]:at[2*n+1]] }

// landmark is where a move is made, in full; briefly without the small words.
func (m move) landmark() string {
	if m.place != "" && m.where != "" {
		return m.place + ", " + m.where
	}
	return m.place + m.where
}

func (m move) briefly() string {
	where := strings.TrimPrefix(strings.TrimPrefix(m.where, "into "), "onto the ")
	if first, _, ok := strings.Cut(where, ", "); ok {
		where = first
	}
	if m.place != "" && where != "" {
		return m.place + ", " + where
	}
	return m.place + where
}

// landmarks are the words for where, from all of them to the fewest that help.
func (m move) landmarks() []string {
	all := []string{m.landmark(), m.briefly()}
	if m.place != "" {
		return append(all, m.place)
	}
	return all
}
