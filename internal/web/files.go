package web

import (
	"context"
	"net/http"
	"slices"

	"loopwright/internal/circuit"
	"loopwright/internal/desk"
	"loopwright/internal/handover"
)

// handed is a kind of file that a plan is handed over as.
type handed struct {
	kind, title string // in the address; as users read it
	name, media string // of the file
	download    bool   // else it is shown, to be printed
	make        func(*circuit.Circuit) ([]byte, error)
}

// handedOver lists them, what is done most first.
var handedOver = []handed{
	{"card", "Print the car card", "car-card.html", markup, false, handover.Card},
	{"cover", "Send for cover", "for-cover.geojson", geoJSON, true, forCover},
	{"sheet", "Print the planning sheet", "planning-sheet.html", markup, false, handover.Sheet},
	{"learner", "Print the learner's card", "learner-card.html", markup, false, handover.LearnerCard},
	{"handback", "Print the card to hand back", "hand-back.html", markup, false, handover.HandBack},
	{"gpx", "For a phone (GPX)", "lesson.gpx", "application/gpx+xml", true, handover.GPX},
	{"circuit", "The plan as a file", "lesson.geojson", geoJSON, true, circuit.Encode},
}

const (
	markup  = "text/html; charset=utf-8"
	geoJSON = "application/geo+json"
)

func forCover(c *circuit.Circuit) ([]byte, error) {
	sent, err := handover.ForCover(c)
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
	file, _, err := s.file(r.PathValue("id"))
	if err != nil {
		fail(w, err)
		return
	}
	c, err := circuit.Decode(file)
	if err != nil {
		fail(w, &desk.Fault{Kind: desk.BadInput, Err: err})
		return
	}
	content, err := as.make(c)
	if err != nil {
		fail(w, err)
		return
	}
	h := w.Header()
	h.Set("Content-Type", as.media)
	h.Set("Cache-Control", "no-store")
	if as.download {
		h.Set("Content-Disposition", `attachment; filename="`+as.name+`"`)
	} else {
		h.Set("Content-Security-Policy", printed)
	}
	_, _ = w.Write(content)
}

// getPicture draws an exercise at a place. As an image it runs no script,
// whatever is in it.
func (s *Server) getPicture(w http.ResponseWriter, r *http.Request) {
	ctx, cancel := context.WithTimeout(r.Context(), answerWithin)
	defer cancel()
	m, d, err := s.maps.borrow(ctx)
	if err != nil {
		fail(w, err)
		return
	}
	picture, err := d.Picture(desk.WhyRequest{Exercise: r.PathValue("exercise"), At: r.PathValue("kerb")})
	m.giveBack(d)
	if err != nil {
		fail(w, err)
		return
	}
	h := w.Header()
	h.Set("Content-Type", "image/svg+xml")
	h.Set("Content-Security-Policy", printed)
	h.Set("Cache-Control", "no-store")
	_, _ = w.Write([]byte(picture))
}
