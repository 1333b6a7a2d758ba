package web

import (
	"errors"
	"net/http"

	"loopwright/internal/desk"
)

var errTooMuchLeftOut = errors.New("too many roads are left out; put some back")

// file is the circuit file of a plan: one made lately, or one that was kept.
func (s *Server) file(id string) ([]byte, bool, error) {
	if made, ok := s.plans.get(id); ok {
		p, err := made.plan()
		if err != nil {
			return nil, false, err
		}
		_, notKept := s.config.Kept.Plan(id)
		return p.Circuit, notKept == nil, nil
	}
	file, err := s.config.Kept.Plan(id)
	return file, err == nil, err
}

func (s *Server) getPlans(w http.ResponseWriter, _ *http.Request) {
	plans, err := s.config.Kept.Plans()
	if err != nil {
		fail(w, err)
		return
	}
	answer(w, struct {
		Plans []desk.KeptPlan `json:"plans"`
	}{plans})
}

func (s *Server) getPlan(w http.ResponseWriter, r *http.Request) {
	id := r.PathValue("id")
	file, kept, err := s.file(id)
	if err != nil {
		fail(w, err)
		return
	}
	answer(w, plan{ID: id, Circuit: file, Kept: kept})
}

func (s *Server) postPlan(w http.ResponseWriter, r *http.Request) {
	var q struct {
		ID string `json:"id"` // of a plan made lately
	}
	if err := read(w, r, &q); err != nil {
		fail(w, err)
		return
	}
	file, _, err := s.file(q.ID)
	if err != nil {
		fail(w, err)
		return
	}
	saved, err := s.config.Kept.Save(file)
	if err != nil {
		fail(w, err)
		return
	}
	answer(w, saved)
}

func (s *Server) deletePlan(w http.ResponseWriter, r *http.Request) {
	if err := s.config.Kept.Delete(r.PathValue("id")); err != nil {
		fail(w, err)
		return
	}
	answer(w, struct{}{})
}

func (s *Server) getNames(w http.ResponseWriter, _ *http.Request) {
	names, err := s.config.Kept.Names()
	if err != nil {
		fail(w, err)
		return
	}
	answer(w, struct {
		Names []desk.NamedPlace `json:"names"`
	}{names})
}

// postName gives a place a name; an empty kerb takes the name away.
func (s *Server) postName(w http.ResponseWriter, r *http.Request) {
	var q desk.NamedPlace
	if err := read(w, r, &q); err != nil {
		fail(w, err)
		return
	}
	if err := s.config.Kept.Name(q); err != nil {
		fail(w, err)
		return
	}
	s.getNames(w, r)
}
