package desk

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/gazetteer"
	"loopwright/internal/notes"
	"loopwright/internal/roadnet"
)

// Answers takes in what was written down on a survey drive, road by road. Each
// road's notes are on the disk once Enter has given them.
type Answers struct {
	Roads  []circuit.Example
	d      *Desk
	c      *circuit.Circuit
	ex     *assess.Exercise
	before map[roadnet.SegmentID]assess.Verdict
}

// Reversed is a kerb whose verdict is another one now.
type Reversed struct {
	Road   string         `json:"road"`
	Before assess.Verdict `json:"before"`
	After  assess.Verdict `json:"after"`
}

// AnswersTo opens a survey drive for its answers.
func (d *Desk) AnswersTo(path string) (*Answers, error) {
	c, err := ReadCircuit(path)
	if err != nil {
		return nil, err
	}
	if c.Request.Kind != circuit.SurveyDrive {
		return nil, fault(WrongUse, "Name the drive.geojson that \"loopwright survey --drive\" wrote.", "%s is no survey drive", path)
	}
	ex, err := d.exercise(c.Request.Exercise)
	if err != nil {
		return nil, err
	}
	a := &Answers{Roads: c.Examples, d: d, c: c, ex: ex}
	a.before, err = a.verdicts()
	return a, err
}

func (a *Answers) verdicts() (map[roadnet.SegmentID]assess.Verdict, error) {
	return guarded(a.d, func() (map[roadnet.SegmentID]assess.Verdict, error) {
		out := map[roadnet.SegmentID]assess.Verdict{}
		assessor := a.d.at(a.c.StartsAt)
		for s := range roadnet.StretchID(a.d.net.NumStretches()) {
			for _, p := range assessor.Scan(a.ex, s) {
				out[p.Position.Segment] = p.Verdict
			}
		}
		return out, nil
	})
}

// answerWords are the words of a line and the notes that they are. "both" is
// short for both sides, "one" for one side.
var answerWords = map[string]NoteRequest{
	"none": {Kind: "parked", Value: "none"}, "few": {Kind: "parked", Value: "few"},
	"one": {Kind: "parked", Value: "one side"}, "both": {Kind: "parked", Value: "both sides"},
	"clear": {Kind: "sight", Value: "100"}, "blocked": {Kind: "sight", Value: "blocked"},
	"quiet": {Kind: "traffic", Value: "quiet"}, "some": {Kind: "traffic", Value: "some"}, "busy": {Kind: "traffic", Value: "busy"},
	"yes": {Kind: "suits", Value: "yes"}, "no": {Kind: "suits", Value: "no"},
}

// Enter writes the notes of the i-th road from one line, as "5.4 few clear quiet
// yes": what is left out was not seen. Nothing is written of a line that can't be
// read.
func (a *Answers) Enter(i int, line, by, on string, now time.Time) (rows []NoteRow, err error) {
	e := a.Roads[i]
	var all []NoteRequest
	for _, word := range strings.Fields(strings.ToLower(line)) {
		r, ok := answerWords[word]
		if !ok {
			if _, err := strconv.ParseFloat(word, 64); err != nil {
				return nil, fault(WrongUse, "", "%q is no answer: write the width in metres; none, few, one or both; clear or blocked; quiet, some or busy; yes or no", word)
			}
			r = NoteRequest{Kind: "width", Value: word, How: notes.ByEye.String()}
			if a.stood(e) {
				r.How = notes.Paces.String()
			}
		}
		if slices.ContainsFunc(all, func(o NoteRequest) bool { return o.Kind == r.Kind }) {
			return nil, fault(WrongUse, "", "%q: that was said already of this road", word)
		}
		all = append(all, r)
	}
	if on == "" {
		if seen := a.c.StartsAt.Add(time.Duration(e.AtS * float64(time.Second))); seen.Before(now) {
			on = seen.Format("2006-01-02 15:04")
		}
	}
	for k := range all {
		r := &all[k]
		r.At, r.By, r.On, r.Now = e.Kerb, by, on, now
		if r.Kind == "suits" {
			r.Exercise = a.ex.Name
		}
		if _, err := r.note(); err != nil {
			return nil, &Fault{Kind: WrongUse, Err: err}
		}
	}
	for _, r := range all {
		row, err := a.d.AddNote(r)
		if err != nil {
			return rows, fmt.Errorf("road %d: %w", e.Order, err)
		}
		rows = append(rows, *row)
	}
	return rows, nil
}

// stood says whether the car stood in a road: then its width was paced.
func (a *Answers) stood(e circuit.Example) bool {
	next := a.c.Finish.AtS + 1
	if e.Order < len(a.Roads) {
		next = a.Roads[e.Order].AtS
	}
	return slices.ContainsFunc(a.c.PullUps, func(s circuit.Stop) bool { return s.Road == e.Road && s.AtS >= e.AtS && s.AtS <= next })
}

// Changed gives the kerbs whose verdict changed since the answers were opened.
func (a *Answers) Changed() ([]Reversed, error) {
	after, err := a.verdicts()
	if err != nil {
		return nil, err
	}
	var out []Reversed
	for s := range roadnet.SegmentID(a.d.net.NumSegments()) {
		if b, ok := a.before[s]; ok && b != after[s] {
			out = append(out, Reversed{gazetteer.RoadAt(a.d.net, roadnet.Position{Segment: s, Along: a.d.net.Length(s.Stretch()) / 2}), b, after[s]})
		}
	}
	slices.SortStableFunc(out, func(x, y Reversed) int { return strings.Compare(x.Road, y.Road) })
	return slices.Compact(out), nil
}
