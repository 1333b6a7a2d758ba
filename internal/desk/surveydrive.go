package desk

import (
	"time"

	"loopwright/internal/assess"
	"loopwright/internal/survey"
)

// SurveyStops is a survey drive stop by stop, with what was answered so far.
type SurveyStops struct {
	Exercise string       `json:"exercise"`
	Title    string       `json:"title"` // of the exercise
	Roads    int          `json:"roads"`
	Answered int          `json:"answered"` // of them
	Stops    []SurveyStop `json:"stops"`    // the last is the way home
}

// SurveyStop is where roads are written down.
type SurveyStop struct {
	Road  string       `json:"road,omitempty"` // "": at home
	Kerb  string       `json:"kerb,omitempty"`
	AtS   float64      `json:"at_s"`
	Roads []SurveyRoad `json:"roads"`
}

// SurveyRoad is a road to look at.
type SurveyRoad struct {
	Order   int            `json:"order"`
	Road    string         `json:"road"`
	Kerb    string         `json:"kerb"`
	Paced   bool           `json:"paced"` // its width is paced, where the car stands; else it is told by eye
	Why     string         `json:"why"`
	Verdict assess.Verdict `json:"verdict"` // when the drive was planned
	Answer  Answer         `json:"answer"`
}

// Stops lists the drive stop by stop.
func (a *Answers) Stops() (*SurveyStops, error) {
	given, err := a.Given()
	if err != nil {
		return nil, err
	}
	out := &SurveyStops{Exercise: a.ex.Name, Title: a.ex.Title, Roads: len(a.Roads)}
	for _, p := range survey.Parts(a.c) {
		stop := SurveyStop{AtS: a.c.Finish.AtS, Roads: []SurveyRoad{}}
		if p.Stop != nil {
			stop = SurveyStop{p.Stop.Road, p.Stop.Kerb, p.Stop.AtS, stop.Roads}
		}
		for _, r := range p.Roads {
			answer := given[r.Order-1]
			if answer != (Answer{}) {
				out.Answered++
			}
			stop.Roads = append(stop.Roads, SurveyRoad{r.Order, r.Road, r.Kerb, r.Paced, survey.Why(&r.Example), r.Verdict, answer})
		}
		out.Stops = append(out.Stops, stop)
	}
	return out, nil
}

// Entered is what became of an answer.
type Entered struct {
	Road   int            `json:"road"` // its number
	Answer Answer         `json:"answer"`
	Before assess.Verdict `json:"before"` // of its place, without the answers to this drive
	After  assess.Verdict `json:"after"`  // with them
}

// EnterOf is Enter of a road by its number, and what it tells.
func (a *Answers) EnterOf(number int, says Answer, by string, now time.Time) (*Entered, error) {
	if number < 1 || number > len(a.Roads) {
		return nil, fault(WrongUse, "", "there is no road %d: the drive has roads 1 to %d", number, len(a.Roads))
	}
	if _, err := a.Enter(number-1, says, by, "", now); err != nil {
		return nil, err
	}
	at, err := a.d.find(a.Roads[number-1].Kerb)
	if err != nil {
		return nil, err
	}
	return guarded(a.d, func() (*Entered, error) {
		without, with, err := a.judges()
		if err != nil {
			return nil, err
		}
		return &Entered{number, says, without.At(a.ex, at.Position, at.Side).Verdict, with.At(a.ex, at.Position, at.Side).Verdict}, nil
	})
}
