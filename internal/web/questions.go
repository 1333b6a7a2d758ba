package web

import (
	"context"
	"encoding/json"

	"loopwright/internal/circuit"
	"loopwright/internal/desk"
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
	KeepOff    []string `json:"keep_off"` // PLACEs in stretches that the drive keeps off
	DriveOut   bool     `json:"drive_out"`
	Mixed      bool     `json:"mixed_order"`
	Kind       string   `json:"kind"`
	Wishes     []string `json:"wishes"`
	PractiseAt string   `json:"practise_at"`

	Learner *circuit.LearnerRecord `json:"learner"` // null where nobody says
}

// plan is what planning answered.
type plan struct {
	ID      string          `json:"id"` // names its files under /files/
	Circuit json.RawMessage `json:"circuit"`
	Said    []string        `json:"said"`
	Kept    bool            `json:"kept"`
}

// mostWithout is how many roads may be left out: our choice.
const mostWithout = 200

// planOn plans, and remembers the plan by its name so that its files can be had.
func planOn(ctx context.Context, s *Server, d *desk.Desk, q planQuestion) (*plan, error) {
	if len(q.Without)+len(q.KeepOff) > mostWithout {
		return nil, &desk.Fault{Kind: desk.WrongUse, Err: errTooMuchLeftOut}
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
	for _, places := range [][]string{q.Without, q.KeepOff} { // a road that was clicked is a point
		for i, place := range places {
			found, err := d.Find(place)
			if err != nil {
				return nil, err
			}
			places[i] = found.Kerb
		}
	}
	planned, err := d.Plan(desk.PlanRequest{
		From: q.From, To: q.To, Exercise: q.Exercise, Minutes: q.Minutes, Unsuitable: q.Unsuitable, Suitable: q.Suitable,
		When: q.When, Now: s.config.Now(), Seed: q.Seed, Learner: q.Learner, Without: q.Without, KeepOff: q.KeepOff, DriveOut: q.DriveOut, Mixed: q.Mixed, Kind: q.Kind, Wishes: q.Wishes, PractiseAt: q.PractiseAt, Done: ctx.Done(),
	})
	if err != nil {
		return nil, err
	}
	p := plan{ID: desk.PlanID(planned.File), Circuit: planned.File, Said: planned.Said}
	return &p, s.plans.put(p.ID, p.Circuit)
}
