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
	CarPark  bool // it is a car park that is driven by
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
	at, form, ok := q.moment()
	if !ok {
		return Step{}, 0, false
	}
	return q.say(p, form), at, true
}

// AskToChoose places the request to choose a road that would do: as early as may
// be while driving along Along, else at the next stop. The rest is as for Ask.
func AskToChoose(p *country.Profile, q Asking) (Step, geo.Seconds, bool) {
	for at := q.Along.From; !q.Parked && at <= q.Along.To; at++ {
		if q.free(at) {
			return q.say(p, Choose), at, true
		}
	}
	at, ok := q.nextStop()
	if !ok {
		return Step{}, 0, false
	}
	return q.say(p, ChooseStopped), at, true
}

func (q Asking) say(p *country.Profile, form Form) Step {
	w := wordsOf(p)
	b := blanks{road: q.Road, exercise: q.Exercise, thing: w.phrase(ThingRoad, blanks{})}
	if q.CarPark {
		b.thing = w.phrase(ThingCarPark, blanks{})
	}
	if b.road == "" {
		b.road = w.phrase(Nameless, b)
	}
	if name := w.table.Exercises[q.Exercise]; name != "" {
		b.exercise = name
	}
	s := w.say(form, b)
	return Step{Kind: KindQuestion, Alert: s.alert, Direction: s.direction, Where: s.where, Say: s.text()}
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
	at, ok := q.nextStop()
	return at, QuestionStopped, ok
}

// nextStop is when the car stops next, after what is asked about.
func (q Asking) nextStop() (first geo.Seconds, ok bool) {
	for _, s := range q.Stops {
		if s.From >= q.Along.To && (!ok || s.From < first) {
			first, ok = s.From, true
		}
	}
	return first, ok
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
