package web

import (
	"context"
	"io"
	"net/http"
	"slices"

	"loopwright/internal/circuit"
	"loopwright/internal/desk"
	"loopwright/internal/drawing"
	"loopwright/internal/handover"
)

// handed is a kind of file that a plan is handed over as.
type handed struct {
	kind, title string // in the address; as users read it
	name, media string // of the file
	download    bool   // else it is shown, to be printed
	of          made   // what it is made of
	make        func(*desk.Desk, *circuit.Circuit) ([]byte, error)
}

// made is what a file is made of.
type made uint8

const (
	ofLesson made = iota + 1
	ofSurvey      // a survey drive
	ofEither
)

// handedOver lists them, what is done most first.
var handedOver = []handed{
	{"card", "Print the car card", "car-card.html", markup, false, ofLesson, alone(handover.Card)},
	{"cover", "Send for cover", "for-cover.geojson", geoJSON, true, ofEither, alone(forCover)},
	{"anyone", "For anyone, without the pick-up", "for-anyone.geojson", geoJSON, true, ofLesson, forAnyone},
	{"sheet", "The planning sheet", "planning-sheet.html", markup, false, ofLesson, alone(handover.Sheet)},
	{"learner", "The learner's card", "learner-card.html", markup, false, ofLesson, alone(handover.LearnerCard)},
	{"handback", "The card to hand back", "hand-back.html", markup, false, ofLesson, alone(handover.HandBack)},
	{"gpx", "For a phone (GPX)", "lesson.gpx", "application/gpx+xml", true, ofEither, alone(handover.GPX)},
	{"circuit", "The plan itself", "lesson.geojson", geoJSON, true, ofLesson, alone(circuit.Encode)},
	{"survey-sheet", "Print the survey sheet", "drive-sheet.html", markup, false, ofSurvey, alone(handover.SurveySheet)},
	{"survey-drive", "The drive as a file", "drive.geojson", geoJSON, true, ofSurvey, alone(circuit.Encode)},
}

const (
	markup  = "text/html; charset=utf-8"
	geoJSON = "application/geo+json"
)

// alone makes a file of the plan, whatever map is open.
func alone(make func(*circuit.Circuit) ([]byte, error)) func(*desk.Desk, *circuit.Circuit) ([]byte, error) {
	return func(_ *desk.Desk, c *circuit.Circuit) ([]byte, error) { return make(c) }
}

func forCover(c *circuit.Circuit) ([]byte, error) {
	sent, err := handover.ForCover(c)
	if err != nil {
		return nil, err
	}
	return circuit.Encode(sent)
}

func forAnyone(d *desk.Desk, c *circuit.Circuit) ([]byte, error) {
	sent, err := d.ForAnyone(c)
	if err != nil {
		return nil, err
	}
	return circuit.Encode(sent)
}

// printed is the policy of a file to print: its own styles, no script, framed by
// the page alone.
const printed = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'self'"

func (s *Server) getFile(w http.ResponseWriter, r *http.Request) {
	i := slices.IndexFunc(handedOver, func(h handed) bool { return h.kind == r.PathValue("kind") })
	if i < 0 {
		refuse(w, http.StatusNotFound, "there is no such file of a plan")
		return
	}
	as := handedOver[i]
	c, err := s.circuit(r.PathValue("id"))
	if err != nil {
		fail(w, err)
		return
	}
	of := ofLesson
	if c.Request.Kind == circuit.SurveyDrive {
		of = ofSurvey
	}
	if as.of != of && as.of != ofEither {
		refuse(w, http.StatusNotFound, "a plan of this kind has no such file")
		return
	}
	var content []byte
	err = atDesk(r, s.quick, func(_ context.Context, d *desk.Desk) (err error) {
		content, err = as.make(d, c)
		return err
	})
	if err != nil {
		fail(w, err)
		return
	}
	if as.download {
		handedAs(w, as.media, as.name)
	} else {
		shownAs(w, as.media)
	}
	_, _ = w.Write(content)
}

// handedAs says that what follows is a file to keep.
func handedAs(w http.ResponseWriter, media, name string) {
	h := w.Header()
	h.Set("Content-Type", media)
	h.Set("Cache-Control", "no-store")
	h.Set("Content-Disposition", `attachment; filename="`+name+`"`)
}

// shownAs says that what follows is shown.
func shownAs(w http.ResponseWriter, media string) {
	h := w.Header()
	h.Set("Content-Type", media)
	h.Set("Cache-Control", "no-store")
	h.Set("Content-Security-Policy", printed)
}

// getPicture draws an exercise at a place. As an image it runs no script,
// whatever is in it.
func (s *Server) getPicture(w http.ResponseWriter, r *http.Request) {
	var picture drawing.SVG
	err := atDesk(r, s.quick, func(_ context.Context, d *desk.Desk) (err error) {
		picture, err = d.Picture(desk.WhyRequest{Exercise: r.PathValue("exercise"), At: r.PathValue("kerb")})
		return err
	})
	if err != nil {
		fail(w, err)
		return
	}
	shownAs(w, "image/svg+xml")
	_, _ = io.WriteString(w, string(picture))
}
