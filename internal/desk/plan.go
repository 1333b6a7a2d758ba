package desk

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"loopwright/internal/circuit"
	"loopwright/internal/gazetteer"
	"loopwright/internal/lesson"
	"loopwright/internal/roadnet"
)

// PlanRequest asks for a lesson. What is left out is filled in by the lesson's
// table; When by the half hour after Now.
type PlanRequest struct {
	From, To     string // PLACEs; To as From where empty
	Exercise     string
	Minutes      float64
	Unsuitable   *int
	Suitable     *int
	When         string // RFC 3339, or "2027-03-04 10:00" there
	ArriveBy     string // the same, of the lesson's end, in place of When
	Now          time.Time
	Seed         uint64
	Learner      *circuit.LearnerRecord // nil where nobody says
	Avoid        []string               // topics to keep off the drive, as "dual carriageways"
	DriveOut     bool                   // the instructor drives out to where they change over
	Day          lesson.Day             // what the day, the car and the instructor make of it
	Mixed        bool                   // roads to judge in mixed order, else the unsuitable first
	Kind         string                 // of lesson; "" past roads to judge to a place to practise
	Second       string                 // of two exercises, the second
	Wishes       []string               // sentences, as "at least four mini-roundabouts"
	Without      []string               // PLACEs in roads neither to judge nor to practise in
	KeepOff      []string               // PLACEs that the drive keeps off this time: the whole of a road that is named, else the stretch
	PractiseAt   string                 // kerb in the stretch to practise in; "" lets the planner choose
	Alternatives int                    // how many lessons more, that practise elsewhere
	Done         <-chan struct{}        // closed: nobody waits any longer; nil: never
}

// Planned is a circuit and what was understood of the request.
type Planned struct {
	Circuit *circuit.Circuit
	File    []byte   // the circuit file
	Said    []string // what was understood where that is not what was typed
	Others  [][]byte // circuit files of as good lessons that practise elsewhere, the best first
}

// Plan plans the circuit of a lesson. A wish that can't be met is a fault of
// kind AnswerIsNo that carries the best possible.
func (d *Desk) Plan(r PlanRequest) (*Planned, error) {
	return guarded(d, func() (*Planned, error) { return d.plan(r) })
}

func (d *Desk) plan(r PlanRequest) (*Planned, error) {
	kind, wishes, err := d.kindOf(r)
	if err != nil {
		return nil, err
	}
	from, err := d.find(r.From)
	if err != nil {
		return nil, err
	}
	to := from
	if r.To == "" {
		r.To = r.From
	} else if to, err = d.find(r.To); err != nil {
		return nil, err
	}
	when, err := d.when(r, from)
	if err != nil {
		return nil, err
	}
	without, err := d.barredBy(r.Without, "to leave out")
	if err != nil {
		return nil, err
	}
	keepOff, err := d.barredBy(r.KeepOff, "to keep off")
	if err != nil {
		return nil, err
	}
	for _, end := range []struct {
		at gazetteer.Result
		is string
	}{{from, "starts"}, {to, "ends"}} {
		if err := keepOff.kept(end.at.Position, end.is, end.at.Road); err != nil {
			return nil, err
		}
	}
	var practiseIn *roadnet.StretchID
	if r.PractiseAt != "" {
		at, err := d.stretchesOf([]string{r.PractiseAt})
		if err != nil {
			return nil, err
		}
		practiseIn = &at[0]
	}
	all, err := lesson.Alternatives(d.net, d.profile, d.hourly(when, r.Minutes), lesson.Request{
		From: from.Position, To: to.Position, FromWords: r.From, ToWords: r.To,
		Exercise: r.Exercise, Minutes: r.Minutes, Unsuitable: r.Unsuitable, Suitable: r.Suitable,
		When: when, Seed: r.Seed, Learner: r.Learner, Kind: kind, Second: r.Second, Wishes: wishes, DriveOut: r.DriveOut, Day: r.Day, Mixed: r.Mixed,
		Without: without.stretches, PractiseIn: practiseIn, Done: r.Done,
		Closed: append(d.view.Closed(when, when.Add(time.Duration(r.Minutes*float64(time.Minute)))), keepOff.stretches...),
	}, r.Alternatives)
	if errors.Is(err, lesson.ErrStopped) {
		return nil, ErrStopped
	}
	if err != nil {
		var unmet *lesson.Unmet
		if errors.As(err, &unmet) {
			return nil, &Fault{Kind: AnswerIsNo, Err: err, BestPossible: unmet}
		}
		return nil, &Fault{Kind: WrongUse, Err: err}
	}
	var files [][]byte
	for _, c := range all {
		c.Request.Without, c.Request.KeepOff, c.Request.PractiseAt = without.kerbs, keepOff.kerbs, r.PractiseAt
		file, err := circuit.Encode(c)
		if err != nil {
			return nil, err
		}
		files = append(files, file)
	}
	out := &Planned{Circuit: all[0], File: files[0], Others: files[1:]}
	for _, said := range slices.Concat([]string{from.Said, to.Said}, without.said, keepOff.said) {
		if said != "" && (len(out.Said) == 0 || out.Said[0] != said) {
			out.Said = append(out.Said, said)
		}
	}
	return out, nil
}

// stretchesOf finds the stretches that kerbs lie in.
func (d *Desk) stretchesOf(kerbs []string) ([]roadnet.StretchID, error) {
	var out []roadnet.StretchID
	for _, name := range kerbs {
		kerb, err := roadnet.ParseKerb(name)
		if err != nil {
			return nil, &Fault{Kind: WrongUse, Err: err}
		}
		pos, _, err := d.net.LocateKerb(kerb)
		if err != nil {
			return nil, &Fault{Kind: WrongUse, Err: err}
		}
		out = append(out, pos.Segment.Stretch())
	}
	return out, nil
}

// localForms are the ways to write a day and time without its zone.
var localForms = []string{"2006-01-02 15:04", "2006-01-02T15:04"}

// when reads the lesson's start in the zone of the place.
func (d *Desk) when(r PlanRequest, at gazetteer.Result) (time.Time, error) {
	zone, err := d.profile.ZoneAt(at.At)
	if err != nil {
		return time.Time{}, &Fault{Kind: WrongUse, Err: fmt.Errorf("the time zone is not known here: %w", err), Hint: `Say --when with its offset, as 2027-03-04T10:00:00+01:00.`}
	}
	if r.ArriveBy != "" {
		if r.When != "" {
			return time.Time{}, fault(WrongUse, "", "a lesson has a start or an end that it must keep, not both: leave out one")
		}
		end, err := timeIn(r.ArriveBy, zone)
		return end.Add(-time.Duration(r.Minutes * float64(time.Minute))), err
	}
	if r.When == "" {
		return r.Now.In(zone).Truncate(30 * time.Minute).Add(30 * time.Minute), nil
	}
	return timeIn(r.When, zone)
}

// timeIn reads a day and time of a zone.
func timeIn(words string, zone *time.Location) (time.Time, error) {
	if t, err := time.Parse(time.RFC3339, words); err == nil {
		return t.In(zone), nil
	}
	for _, form := range localForms {
		if t, err := time.ParseInLocation(form, words, zone); err == nil {
			return t, nil
		}
	}
	return time.Time{}, fault(WrongUse, "", `%q is no day and time: write "2027-03-04 10:00"`, words)
}
