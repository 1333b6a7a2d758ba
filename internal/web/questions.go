package web

import (
	"context"
	"encoding/json"

	"loopwright/internal/circuit"
	"loopwright/internal/desk"
	"loopwright/internal/lesson"
)

// The questions are what a browser posts; their keys are those of the command
// line's JSON.

type findQuestion struct {
	Place string `json:"place"` // a PLACE, or a name that the user gave one
}

func findOn(_ context.Context, s *Server, d *desk.Desk, q findQuestion) (*desk.Found, error) {
	place, err := s.config.Kept.Resolve(q.Place)
	if err != nil {
		return nil, err
	}
	return d.Find(place)
}

type lookQuestion struct {
	Exercise string  `json:"exercise"`
	West     float64 `json:"west"`
	South    float64 `json:"south"`
	East     float64 `json:"east"`
	North    float64 `json:"north"`
}

func lookOn(ctx context.Context, s *Server, d *desk.Desk, q lookQuestion) (*desk.Looked, error) {
	return d.Look(desk.LookRequest{Exercise: q.Exercise, West: q.West, South: q.South, East: q.East, North: q.North, Now: s.config.Now(), Done: ctx.Done()})
}

type placesQuestion struct {
	Exercise string  `json:"exercise"`
	Near     string  `json:"near"`
	Within   float64 `json:"within_minutes"`
}

func placesOn(_ context.Context, s *Server, d *desk.Desk, q placesQuestion) (*desk.Places, error) {
	near, err := s.config.Kept.Resolve(q.Near)
	if err != nil {
		return nil, err
	}
	if q.Within == 0 {
		q.Within = 10 // as the command line
	}
	return d.Places(desk.PlacesRequest{Exercise: q.Exercise, Near: near, Within: q.Within, Now: s.config.Now()})
}

type whyQuestion struct {
	Exercise string `json:"exercise"`
	At       string `json:"at"`
}

func whyOn(_ context.Context, s *Server, d *desk.Desk, q whyQuestion) (*desk.Why, error) {
	return d.Why(desk.WhyRequest{Exercise: q.Exercise, At: q.At, Now: s.config.Now()})
}

type areaQuestion struct {
	Near string `json:"near"`
}

func areaOn(ctx context.Context, s *Server, d *desk.Desk, q areaQuestion) (*desk.Area, error) {
	near, err := s.config.Kept.Resolve(q.Near)
	if err != nil {
		return nil, err
	}
	return d.Area(desk.AreaRequest{Near: near, Now: s.config.Now(), Done: ctx.Done()})
}

type planQuestion struct {
	From       string   `json:"from"`
	To         string   `json:"to"`
	Exercise   string   `json:"exercise"`
	Minutes    float64  `json:"minutes"`
	Unsuitable *int     `json:"unsuitable"`
	Suitable   *int     `json:"suitable"`
	When       string   `json:"when"`
	Seed       uint64   `json:"seed"`
	Without    []string `json:"without"`  // PLACEs in roads to leave out
	KeepOff    []string `json:"keep_off"` // PLACEs that the drive keeps off: the whole of a road that is named
	DriveOut   bool     `json:"drive_out"`
	Mixed      bool     `json:"mixed_order"`
	Kind       string   `json:"kind"`
	Second     string   `json:"second_exercise"`
	Wishes     []string `json:"wishes"`
	PractiseAt string   `json:"practise_at"`

	Ice          bool `json:"ice"`
	NearSide     bool `json:"near_side_only"`
	Approved     bool `json:"approved_instructor"`
	DualControls bool `json:"dual_controls"`

	Learner *circuit.LearnerRecord `json:"learner"` // null where nobody says

	Alternatives int `json:"alternatives"` // how many lessons more, that practise in other roads
}

// plan is what planning answered.
type plan struct {
	ID      string          `json:"id"` // names its files under /files/
	Circuit json.RawMessage `json:"circuit"`
	Said    []string        `json:"said"`
	Kept    bool            `json:"kept"`
	Others  []plan          `json:"others,omitempty"` // alternatives, the best first
}

// Our choice: more roads to leave out nobody clicks, more plans nobody compares.
const (
	mostWithout      = 200
	mostAlternatives = 5
)

// planOn plans, and remembers the plan by its name so that its files can be had.
func planOn(ctx context.Context, s *Server, d *desk.Desk, q planQuestion) (*plan, error) {
	switch {
	case len(q.Without)+len(q.KeepOff) > mostWithout:
		return nil, &desk.Fault{Kind: desk.WrongUse, Err: errTooMuchLeftOut}
	case q.Alternatives < 0 || q.Alternatives > mostAlternatives:
		return nil, &desk.Fault{Kind: desk.WrongUse, Err: errTooManyPlans}
	}
	if q.Minutes == 0 {
		q.Minutes = 60 // these two as the command line
	}
	if q.Seed == 0 {
		q.Seed = 1
	}
	for _, place := range []*string{&q.From, &q.To} {
		found, err := s.config.Kept.Resolve(*place)
		if err != nil {
			return nil, err
		}
		*place = found
	}
	planned, err := d.Plan(desk.PlanRequest{
		From: q.From, To: q.To, Exercise: q.Exercise, Minutes: q.Minutes, Unsuitable: q.Unsuitable, Suitable: q.Suitable,
		When: q.When, Now: s.config.Now(), Seed: q.Seed, Learner: q.Learner, Without: q.Without, KeepOff: q.KeepOff, PractiseAt: q.PractiseAt,
		DriveOut: q.DriveOut, Mixed: q.Mixed, Kind: q.Kind, Second: q.Second, Wishes: q.Wishes, Alternatives: q.Alternatives,
		Day: lesson.Day{Ice: q.Ice, NearSide: q.NearSide, Approved: q.Approved, DualControls: q.DualControls}, Done: ctx.Done(),
	})
	if err != nil {
		return nil, err
	}
	p := plan{ID: desk.PlanID(planned.File), Circuit: planned.File, Said: planned.Said}
	for _, file := range planned.Others {
		p.Others = append(p.Others, plan{ID: desk.PlanID(file), Circuit: file})
	}
	for _, made := range append([]plan{p}, p.Others...) {
		if err := s.plans.put(made.ID, made.Circuit); err != nil {
			return nil, err
		}
	}
	return &p, nil
}
