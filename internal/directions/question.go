package directions

import (
	"loopwright/internal/country"
	"loopwright/internal/geo"
)

// Span is a part of the lesson, in seconds from its start.
type Span struct{ From, To geo.Seconds }

// Asking is what a question about a road to judge needs: when the car drives
// along the road; when the learner is busy, from the saying of each direction
// until its turn is done; and when the car waits or stands.
type Asking struct {
	Road     string // its name, "" if it has none
	Exercise string
	Along    Span
	Busy     []Span
	Waits    []Span // at junctions, giving way
	Stops    []Span
	Clear    geo.Seconds // between a question and a direction
	Parked   bool        // ask at a stop only
}

// When a question is asked, counted from where the road begins or ends. Our
// choice: a look before the question, and no longer "just passed" after 20 s.
const (
	lookFirst  geo.Seconds = 3
	justPassed geo.Seconds = 20
)

// Ask places the question about a road: while driving along it, else just
// after, else at the next stop; never within Clear of a direction or before
// its turn is done. False where not even a stop follows. Said, Done and
// Distance of the step are left for the caller, who knows where the car is at
// that time.
func Ask(p *country.Profile, q Asking) (Step, geo.Seconds, bool) {
	w := wordsOf(p)
	b := blanks{road: q.Road, exercise: q.Exercise}
	if b.road == "" {
		b.road = w.phrase(Nameless, blanks{})
	}
	if name := w.table.Exercises[q.Exercise]; name != "" {
		b.exercise = name
	}
	at, form, ok := q.moment()
	if !ok {
		return Step{}, 0, false
	}
	s := w.say(form, b)
	return Step{Kind: KindQuestion, Alert: s.alert, Direction: s.direction, Where: s.where, Say: s.text()}, at, true
}

func (q Asking) moment() (geo.Seconds, Form, bool) {
	// Where the road is left sooner than one can look, it is asked about after.
	for at := q.Along.From + lookFirst; !q.Parked && at <= q.Along.To+justPassed; at++ {
		if !q.free(at) {
			continue
		}
		if at <= q.Along.To {
			return at, Question, true
		}
		return at, QuestionPassed, true
	}
	first, ok := geo.Seconds(0), false
	for _, s := range q.Stops {
		if s.From >= q.Along.To && (!ok || s.From < first) {
			first, ok = s.From, true
		}
	}
	return first, QuestionStopped, ok
}

func (q Asking) free(at geo.Seconds) bool {
	for _, b := range q.Busy {
		if at > b.From-q.Clear && at < max(b.To, b.From+q.Clear) {
			return false
		}
	}
	for _, s := range q.Waits {
		if at > s.From && at < s.To {
			return false
		}
	}
	for _, s := range q.Stops {
		if at >= s.From-q.Clear && at <= s.To {
			return false
		}
	}
	return true
}
