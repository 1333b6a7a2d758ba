package web

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"

	"loopwright/internal/circuit"
	"loopwright/internal/desk"
)

var (
	errTooMuchLeftOut = errors.New("too many roads are left out; put some back")
	errTooManyPlans   = fmt.Errorf("ask for 0 to %d other plans", mostAlternatives)
)

// file is the circuit file of a plan: one made lately, or one that was kept.
func (s *Server) file(id string) (file []byte, kept bool, err error) {
	file, keptErr := s.config.Kept.Plan(id)
	if keptErr == nil {
		return file, true, nil
	}
	file, held, err := s.plans.get(id)
	if err == nil && !held {
		err = keptErr
	}
	return file, false, err
}

// circuit reads the same.
func (s *Server) circuit(id string) (*circuit.Circuit, error) {
	file, _, err := s.file(id)
	if err != nil {
		return nil, err
	}
	c, err := circuit.Decode(file)
	if err != nil {
		return nil, &desk.Fault{Kind: desk.BadInput, Err: err}
	}
	return c, nil
}

type checkQuestion struct {
	ID   string `json:"id"`   // of a plan
	When string `json:"when"` // another start; "" as planned
}

func checkOn(_ context.Context, s *Server, d *desk.Desk, q checkQuestion) (*desk.Checked, error) {
	c, err := s.circuit(q.ID)
	if err != nil {
		return nil, err
	}
	return d.CheckCircuit(c, q.When)
}

// postReceived opens a colleague's plan, which is the body.
func (s *Server) postReceived(w http.ResponseWriter, r *http.Request) {
	file, err := io.ReadAll(http.MaxBytesReader(w, r.Body, circuit.MaxBytes))
	if err != nil {
		fail(w, &desk.Fault{Kind: desk.BadInput, Err: fmt.Errorf("the file can't be read: %w", err)})
		return
	}
	c, err := circuit.Decode(file)
	if err != nil {
		fail(w, &desk.Fault{Kind: desk.BadInput, Err: err})
		return
	}
	if file, err = circuit.Encode(c); err != nil { // as we write it, whoever wrote it
		fail(w, err)
		return
	}
	p := plan{ID: desk.PlanID(file), Circuit: file}
	if err := s.plans.put(p.ID, p.Circuit); err != nil {
		fail(w, err)
		return
	}
	answer(w, p)
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
