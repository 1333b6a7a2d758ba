package desk

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/notes"
	"loopwright/internal/survey"
)

// Answers is what was written down on a survey drive, road by road. They are
// notes, each with the drive that it came from, so that whoever opens the drive
// again finds them. Safe to drop at any time: what Enter has taken is on the disk.
type Answers struct {
	Roads []survey.Road

	d  *Desk
	c  *circuit.Circuit
	id string // that its notes have
	ex *assess.Exercise
}

// Answer is what was seen of one road; what is empty was not seen.
type Answer struct {
	WidthM  float64 `json:"width_m,omitempty"`  // between the kerbs
	Parked  string  `json:"parked,omitempty"`   // none, few, one side, both sides
	View    string  `json:"view,omitempty"`     // clear: 100 m both ways; blocked
	Traffic string  `json:"traffic,omitempty"`  // quiet, some, busy
	WouldDo string  `json:"would_do,omitempty"` // yes, no: for the drive's exercise, as it was then
}

// AnswersTo opens the survey drive of a file for its answers.
func (d *Desk) AnswersTo(path string) (*Answers, error) {
	c, err := ReadCircuit(path)
	if err != nil {
		return nil, err
	}
	a, err := d.AnswersOf(c)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return a, nil
}

// AnswersOf opens a survey drive in hand.
func (d *Desk) AnswersOf(c *circuit.Circuit) (*Answers, error) {
	if c.Request.Kind != circuit.SurveyDrive {
		return nil, fault(WrongUse, "Name the drive.geojson that \"loopwright survey --drive\" wrote.", "this is no survey drive")
	}
	ex, err := d.exercise(c.Request.Exercise)
	if err != nil {
		return nil, err
	}
	file, err := circuit.Encode(c)
	if err != nil {
		return nil, &Fault{Kind: BadInput, Err: err}
	}
	a := &Answers{d: d, c: c, id: PlanID(file), ex: ex}
	for _, p := range survey.Parts(c) {
		a.Roads = append(a.Roads, p.Roads...)
	}
	return a, nil
}

// answerWords are the words of a line and what they answer. "both" is short for
// both sides, "one" for one side.
var answerWords = map[string]Answer{
	"none": {Parked: "none"}, "few": {Parked: "few"}, "one": {Parked: "one side"}, "both": {Parked: "both sides"},
	"clear": {View: "clear"}, "blocked": {View: "blocked"},
	"quiet": {Traffic: "quiet"}, "some": {Traffic: "some"}, "busy": {Traffic: "busy"},
	"yes": {WouldDo: "yes"}, "no": {WouldDo: "no"},
}

// ReadAnswer reads a line as "5.4 few clear quiet yes": what is left out was not
// seen.
func ReadAnswer(line string) (Answer, error) {
	var a Answer
	for _, word := range strings.Fields(strings.ToLower(line)) {
		says, ok := answerWords[word]
		if !ok {
			metres, err := strconv.ParseFloat(word, 64)
			if err != nil || !(metres > 0) {
				return a, fault(WrongUse, "", "%q is no answer: write the width in metres; none, few, one or both; clear or blocked; quiet, some or busy; yes or no", word)
			}
			says = Answer{WidthM: metres}
		}
		if !a.take(says) {
			return a, fault(WrongUse, "", "%q: that was said already of this road", word)
		}
	}
	return a, nil
}

// take takes in what another answer says; false where a says something else of
// the same already.
func (a *Answer) take(b Answer) bool {
	free := a.WidthM == 0 || b.WidthM == 0
	if b.WidthM != 0 {
		a.WidthM = b.WidthM
	}
	for _, of := range [][2]*string{{&a.Parked, &b.Parked}, {&a.View, &b.View}, {&a.Traffic, &b.Traffic}, {&a.WouldDo, &b.WouldDo}} {
		free = free && (*of[0] == "" || *of[1] == "")
		if *of[1] != "" {
			*of[0] = *of[1]
		}
	}
	return free
}

// requests are the notes that an answer makes.
func (a *Answers) requests(i int, says Answer) (out []NoteRequest, err error) {
	if says.WidthM != 0 {
		how := notes.ByEye
		if a.Roads[i].Paced {
			how = notes.Paces
		}
		out = append(out, NoteRequest{Kind: notes.Width.String(), Value: strconv.FormatFloat(math.Round(says.WidthM*100)/100, 'f', -1, 64), How: how.String()})
	}
	if says.Parked != "" {
		out = append(out, NoteRequest{Kind: notes.Parked.String(), Value: says.Parked})
	}
	switch says.View {
	case "":
	case "clear":
		out = append(out, NoteRequest{Kind: notes.Sight.String(), Value: "100"})
	case notes.Blocked.String():
		out = append(out, NoteRequest{Kind: notes.Sight.String(), Value: says.View})
	default:
		return nil, fault(WrongUse, "", "%q is no view: clear, or blocked", says.View)
	}
	if says.Traffic != "" {
		out = append(out, NoteRequest{Kind: notes.Traffic.String(), Value: says.Traffic})
	}
	if says.WouldDo != "" {
		out = append(out, NoteRequest{Kind: notes.Suits.String(), Value: says.WouldDo, Exercise: a.ex.Name})
	}
	return out, nil
}

// said is the answer that a note is.
func said(n *notes.Note) Answer {
	switch word := n.Word.String(); n.Kind {
	case notes.Width:
		return Answer{WidthM: float64(n.Metres)}
	case notes.Parked:
		return Answer{Parked: word}
	case notes.Sight:
		if n.Word == notes.Blocked {
			return Answer{View: word}
		}
		return Answer{View: "clear"}
	case notes.Traffic:
		return Answer{Traffic: word}
	case notes.Suits:
		return Answer{WouldDo: word}
	}
	return Answer{}
}

// Given is what was answered so far, by road.
func (a *Answers) Given() ([]Answer, error) {
	all, err := a.d.noted.store.OfCircuit(a.id)
	if err != nil {
		return nil, notesFault(err)
	}
	out := make([]Answer, len(a.Roads))
	for i := range a.Roads {
		for k := range all { // the latest last
			if all[k].Place.Kerb.String() == a.Roads[i].Kerb {
				out[i].take(said(&all[k].Note))
			}
		}
	}
	return out, nil
}

// Enter notes what was seen of the i-th road, in place of what was answered of it
// before. on is the day, or day and time; "" is when the drive came by, or now
// where it has not yet. Nothing is noted of an answer that can't be read. The new
// notes are written before the old ones are deleted: whatever comes between, nothing
// that was entered is lost.
func (a *Answers) Enter(i int, says Answer, by, on string, now time.Time) (rows []NoteRow, err error) {
	e := a.Roads[i]
	if on == "" {
		if seen := a.c.StartsAt.Add(time.Duration(e.AtS * float64(time.Second))); seen.Before(now) {
			on = seen.Format("2006-01-02 15:04")
		}
	}
	all, err := a.requests(i, says)
	if err != nil {
		return nil, err
	}
	for k := range all {
		r := &all[k]
		r.At, r.By, r.On, r.Now, r.circuit = e.Kerb, by, on, now, a.id
		if _, err := r.note(); err != nil {
			return nil, &Fault{Kind: WrongUse, Err: err}
		}
	}
	before, err := a.d.noted.store.OfCircuit(a.id)
	if err != nil {
		return nil, notesFault(err)
	}
	before = slices.DeleteFunc(before, func(n notes.Revision) bool { return n.Place.Kerb.String() != e.Kerb })
	for _, r := range all {
		n, _ := r.note()
		if same := slices.IndexFunc(before, func(b notes.Revision) bool { return said(&b.Note) == said(&n) }); same >= 0 {
			before = slices.Delete(before, same, same+1)
			continue
		}
		row, err := a.d.AddNote(r)
		if err != nil {
			return rows, fmt.Errorf("road %d: %w", e.Order, err)
		}
		rows = append(rows, *row)
	}
	for _, b := range before {
		if _, err := a.d.noted.store.SetDeleted(b.ID, true, cmp.Or(by, b.Author), now); err != nil {
			return rows, notesFault(err)
		}
	}
	return rows, nil
}
