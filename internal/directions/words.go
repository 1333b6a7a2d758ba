package directions

import (
	"strconv"
	"strings"

	"loopwright/internal/country"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// Form is a sentence form of the table, or a phrase that goes into one.
type Form uint8

const (
	FormUnknown Form = iota
	MoveOff
	MoveOffBack
	Next
	ThenNext
	End
	Lights
	Bear
	Sharp
	Fork
	Slip
	Ahead
	Crossroads
	LightsAhead
	Bend
	LeaveBend
	RoundaboutExit
	RoundaboutTurn
	RoundaboutAhead
	RoundaboutBack
	MiniTurn
	MiniAhead
	MiniExit
	MiniBack
	TurnRound
	TurnBack
	PullUp
	IntoCarPark
	Then
	Into
	Onto
	Past
	After
	NextOne
	Not
	CountingNoEntry
	Question
	QuestionPassed
	QuestionStopped
	Choose
	ChooseStopped
	Nameless
	ThingRoad
	ThingCarPark
	MySide
	YourSide
	Signs
	RoundaboutSigns
	formCount
)

var formNames = [formCount]string{
	"unknown", "move-off", "move-off-back", "next", "then-next", "end", "lights", "bear", "sharp", "fork", "slip", "ahead",
	"crossroads", "lights-ahead", "bend", "leave-bend", "roundabout-exit", "roundabout-turn", "roundabout-ahead", "roundabout-back",
	"mini-turn", "mini-ahead", "mini-exit", "mini-back", "turn-round", "turn-back", "pull-up", "into-car-park", "then", "into", "onto", "past",
	"after", "next-one", "not", "counting-no-entry", "question", "question-passed", "question-stopped", "choose", "choose-stopped", "nameless", "thing-road", "thing-car-park",
	"my-side", "your-side", "signs", "roundabout-signs",
}

// String is the form's name in the table.
func (f Form) String() string { return formNames[f] }

// words are the sentences of one way of speaking.
type words struct {
	ordinals []string
	forms    [formCount]string
	things   map[string]string // landmarks, by their names in the program
	openings map[string]string // what could be taken for the road meant
	actions  map[string]string // in short, by the circuit's words for them
	places   map[string]string // likewise
	table    *table
	sides    [roadnet.Both]string // in place of left and right, "" for the words themselves
}

// seenFrom is a copy of the words in which left and right are said to be my
// side and yours, as from the seat beside the driver's.
func (w *words) seenFrom(drivesLeft bool) *words {
	c := *w
	mine := roadnet.Right
	if drivesLeft {
		mine = roadnet.Left
	}
	c.sides[mine], c.sides[mine.Opposite()] = w.fill(w.forms[MySide], blanks{side: mine}), w.fill(w.forms[YourSide], blanks{side: mine.Opposite()})
	return &c
}

// side is what a side is called.
func (w *words) side(s roadnet.Side) string {
	if s < roadnet.Both && w.sides[s] != "" {
		return w.sides[s]
	}
	return s.String()
}

// wordsOf are those that a country speaks; a profile without a row of its own
// speaks those of its side.
func wordsOf(p *country.Profile) *words {
	t := theTable()
	name, ok := t.Profiles[p.Code]
	if !ok {
		name = t.Profiles["right"]
		if p.DrivesLeft {
			name = t.Profiles["left"]
		}
	}
	return t.spoken[name]
}

// blanks is what a form is filled with.
type blanks struct {
	side     roadnet.Side
	nth      int // from 1
	road     string
	where    []string
	exercise string
	thing    string // road or car park
}

// sentence is a form filled in: its parts, each trimmed.
type sentence struct{ alert, direction, where string }

// phrase fills a form that has no parts.
func (w *words) phrase(f Form, b blanks) string { return w.fill(w.forms[f], b) }

// fill puts what is known into the braces. A name with braces of its own is
// left as it is: the blanks are filled in one pass.
func (w *words) fill(s string, b blanks) string {
	return strings.NewReplacer("{side},", strings.TrimSuffix(w.side(b.side), ",")+",", "{side}", w.side(b.side), "{nth}", w.ordinal(b.nth), "{next}", w.next(b.nth), "{road}", b.road,
		"{where}", strings.Join(b.where, ", "), "{exercise}", b.exercise, "{thing}", b.thing).Replace(s)
}

// say fills a form with three parts.
func (w *words) say(f Form, b blanks) sentence {
	parts := strings.Split(w.forms[f], "|")
	for i, p := range parts {
		parts[i] = strings.TrimSpace(w.fill(p, b))
	}
	s := sentence{parts[0], parts[1], strings.TrimRight(parts[2], ", ")}
	if s.where == "" {
		s.direction = strings.TrimRight(s.direction, ", ")
	}
	return s
}

// ordinal is the word for the n-th, n from 1; in figures where the table has
// no word.
func (w *words) ordinal(n int) string {
	if n >= 1 && n <= len(w.ordinals) {
		return w.ordinals[n-1]
	}
	return figures(n)
}

// figures are the n-th in figures.
func figures(n int) string {
	suffix := "th"
	if n/10%10 != 1 && n%10 >= 1 && n%10 <= 3 {
		suffix = [...]string{"st", "nd", "rd"}[n%10-1]
	}
	return strconv.Itoa(n) + suffix
}

// next is the word for the next one, or the ordinal of one further on.
func (w *words) next(n int) string {
	if n <= 1 {
		return w.forms[NextOne]
	}
	return w.ordinal(n)
}

// text is the whole sentence, with its capital and its stop.
func (s sentence) text() string {
	var parts []string
	for _, p := range []string{s.alert, s.direction, s.where} {
		if p != "" {
			parts = append(parts, p)
		}
	}
	t := strings.Join(parts, " ")
	if t == "" {
		return ""
	}
	if !strings.HasSuffix(t, "?") {
		t += "."
	}
	return strings.ToUpper(t[:1]) + t[1:]
}

// lead is how far ahead a direction is said at a speed, and the least that
// does where it has to wait.
func (t *table) lead(v geo.MetresPerSecond, beginner bool) (usual, least geo.Metres) {
	s := t.Timing.LeadS
	if beginner {
		s = t.Timing.BeginnerLeadS
	}
	if v.KilometresPerHour() > t.Timing.FastKmh {
		s += t.Timing.FastLeadS
	}
	usual = geo.Metres(s * float64(v))
	return usual, geo.Metres(t.Timing.LeastShare) * usual
}

// close says whether a gap is too short to say a direction in.
func (t *table) close(gap geo.Metres, v geo.MetresPerSecond) bool {
	return gap < geo.Metres(t.Timing.JoinedM) || float64(gap) < t.Timing.JoinedS*float64(v)
}
