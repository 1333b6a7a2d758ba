package web

import (
	"context"
	"net/http"
	"slices"

	"loopwright/internal/desk"
	"loopwright/internal/notes"
)

type noteQuestion struct {
	Kind     string `json:"kind"`
	Value    string `json:"value"`
	At       string `json:"at"`
	By       string `json:"by"` // initials
	Exercise string `json:"exercise"`
	Text     string `json:"text"`
}

func noteOn(_ context.Context, s *Server, d *desk.Desk, q noteQuestion) (*desk.NoteRow, error) {
	return d.AddNote(desk.NoteRequest{Kind: q.Kind, Value: q.Value, At: q.At, By: q.By, Exercise: q.Exercise, Text: q.Text, Now: s.config.Now()})
}

type undoQuestion struct {
	What string `json:"what"` // a note, or an import
	By   string `json:"by"`
}

func undoOn(_ context.Context, s *Server, d *desk.Desk, q undoQuestion) (*desk.Undone, error) {
	return d.Notes().Undo(q.What, q.By, s.config.Now())
}

// noted is the user's notes as the page lists them.
type noted struct {
	Count    int            `json:"count"`
	Unplaced []desk.NoteRow `json:"unplaced"` // that the open map has no road for, the latest first
	Latest   []desk.NoteRow `json:"latest"`   // of the others
}

// mostListed is how many notes of each sort are listed: our choice, nobody reads
// more on a page.
const mostListed = 100

func notedOn(_ context.Context, d *desk.Desk) (*noted, error) {
	all, err := d.Notes().List(d, false)
	if err != nil {
		return nil, err
	}
	out := &noted{Count: len(all), Unplaced: []desk.NoteRow{}, Latest: []desk.NoteRow{}}
	for _, row := range slices.Backward(all) {
		to := &out.Latest
		if row.Unplaced {
			to = &out.Unplaced
		}
		if len(*to) < mostListed {
			*to = append(*to, row)
		}
	}
	return out, nil
}

func (s *Server) getNotes(w http.ResponseWriter, r *http.Request) {
	answerFrom(w, r, s.quick, notedOn)
}

// postShared reads a colleague's notes, which are the body; they are taken in
// only where the address says so.
func (s *Server) postShared(w http.ResponseWriter, r *http.Request) {
	q, file := r.URL.Query(), http.MaxBytesReader(w, r.Body, notes.MaxBytes)
	answerFrom(w, r, s.quick, func(_ context.Context, d *desk.Desk) (*desk.Import, error) {
		return d.Notes().ImportFrom(q.Get("name"), file, q.Get("add") == "yes", s.config.Now())
	})
}

// getShared writes all notes to a file for colleagues.
func (s *Server) getShared(w http.ResponseWriter, r *http.Request) {
	err := atDesk(r, s.quick, func(_ context.Context, d *desk.Desk) error {
		handedAs(w, geoJSON, "notes.geojson")
		_, err := d.Notes().ExportTo(w)
		return err
	})
	if err != nil {
		fail(w, err)
	}
}
