package web

import (
	"context"
	"encoding/json"
	"net/http"
	"slices"

	"loopwright/internal/desk"
)

type surveyQuestion struct {
	Around string  `json:"around"`
	Within float64 `json:"within_minutes"`
}

// surveyed is a report on an area.
type surveyed struct {
	ID     string          `json:"id"` // names its files under /surveys/
	Report json.RawMessage `json:"report"`
	Said   string          `json:"said,omitempty"`
}

// surveyOn reports on an area, and remembers the report's files.
func surveyOn(ctx context.Context, s *Server, d *desk.Desk, q surveyQuestion) (*surveyed, error) {
	around, err := s.config.Kept.Resolve(q.Around)
	if err != nil {
		return nil, err
	}
	found, err := d.Survey(desk.SurveyRequest{Around: around, Within: q.Within, Now: s.config.Now(), Done: ctx.Done()})
	if err != nil {
		return nil, err
	}
	files, err := found.Made()
	if err != nil {
		return nil, err
	}
	out := &surveyed{Said: found.Said}
	out.Report = files[slices.IndexFunc(files, func(f desk.SurveyFile) bool { return f.Name == reportFile })].Content
	out.ID = desk.PlanID(out.Report)
	for _, f := range files {
		if err := s.surveys.put(out.ID+" "+f.Name, f.Content); err != nil {
			return nil, err
		}
	}
	return out, nil
}

const reportFile = "report.geojson"

// getSurveyFile gives a file of a report made lately.
func (s *Server) getSurveyFile(w http.ResponseWriter, r *http.Request) {
	name, media := r.PathValue("name"), markup
	if name == reportFile {
		media = geoJSON
	}
	content, held, err := s.surveys.get(r.PathValue("id") + " " + name)
	switch {
	case err != nil:
		fail(w, err)
	case !held:
		refuse(w, http.StatusNotFound, "this report is not at hand any longer: ask for it again")
	default:
		handedAs(w, media, name)
		_, _ = w.Write(content)
	}
}

type surveyDriveQuestion struct {
	surveyQuestion
	Minutes  float64 `json:"minutes"`
	Exercise string  `json:"exercise"`
	When     string  `json:"when"`
	Seed     uint64  `json:"seed"`
}

// surveyDriveOn plans a survey drive, and remembers it as any plan.
func surveyDriveOn(ctx context.Context, s *Server, d *desk.Desk, q surveyDriveQuestion) (*plan, error) {
	around, err := s.config.Kept.Resolve(q.Around)
	if err != nil {
		return nil, err
	}
	if q.Seed == 0 {
		q.Seed = 1 // as the command line
	}
	planned, err := d.SurveyDrive(desk.SurveyRequest{
		Around: around, Within: q.Within, Drive: q.Minutes, Exercise: q.Exercise, When: q.When, Seed: q.Seed, Now: s.config.Now(), Done: ctx.Done(),
	})
	if err != nil {
		return nil, err
	}
	p := plan{ID: desk.PlanID(planned.File), Circuit: planned.File, Said: planned.Said}
	return &p, s.plans.put(p.ID, p.Circuit)
}

// answers does something with the answers of the drive that the address names.
func answers[A any](s *Server, w http.ResponseWriter, r *http.Request, work func(*desk.Answers) (A, error)) {
	c, err := s.circuit(r.PathValue("id"))
	if err != nil {
		fail(w, err)
		return
	}
	answerFrom(w, r, s.quick, func(_ context.Context, d *desk.Desk) (out A, err error) {
		a, err := d.AnswersOf(c)
		if err != nil {
			return out, err
		}
		return work(a)
	})
}

func (s *Server) getStops(w http.ResponseWriter, r *http.Request) {
	answers(s, w, r, (*desk.Answers).Stops)
}

// postAnswer takes in what was seen of one road. A drive that is answered is kept.
func (s *Server) postAnswer(w http.ResponseWriter, r *http.Request) {
	var q struct {
		Road   int         `json:"road"` // its number
		Answer desk.Answer `json:"answer"`
		By     string      `json:"by"`
	}
	if err := read(w, r, &q); err != nil {
		fail(w, err)
		return
	}
	file, kept, err := s.file(r.PathValue("id"))
	if err != nil {
		fail(w, err)
		return
	}
	answers(s, w, r, func(a *desk.Answers) (*desk.Entered, error) {
		out, err := a.EnterOf(q.Road, q.Answer, q.By, s.config.Now())
		if err == nil && !kept {
			_, err = s.config.Kept.Save(file)
		}
		return out, err
	})
}

func (s *Server) getReversed(w http.ResponseWriter, r *http.Request) {
	answers(s, w, r, func(a *desk.Answers) (out struct {
		Changed []desk.Reversed `json:"changed"`
	}, err error) {
		out.Changed, err = a.Changed()
		return out, err
	})
}

type changesQuestion struct {
	Since  string  `json:"since"` // the path of the older map or of its index
	Near   string  `json:"near"`
	Within float64 `json:"within_minutes"`
}

// changesOn compares the open map with an older one, and the plans kept.
func changesOn(ctx context.Context, s *Server, d *desk.Desk, q changesQuestion) (*desk.Changed, error) {
	near, err := s.config.Kept.Resolve(q.Near)
	if err != nil {
		return nil, err
	}
	if q.Within == 0 {
		q.Within = 15 // as the command line
	}
	return d.Changes(ctx, desk.ChangesRequest{Since: q.Since, Near: near, Within: q.Within, Plans: s.config.Kept.PlansIn(), Now: s.config.Now()})
}
