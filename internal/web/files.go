package web

import (
	"net/http"

	"loopwright/internal/circuit"
	"loopwright/internal/desk"
	"loopwright/internal/handover"
)

// handed is a kind of file that a plan is handed over as.
type handed struct {
	name, kind string // of the file, media type
	download   bool   // else it is shown, to be printed
	make       func(*circuit.Circuit) ([]byte, error)
}

var handedOver = map[string]handed{
	"circuit":  {"lesson.geojson", "application/geo+json", true, circuit.Encode},
	"gpx":      {"lesson.gpx", "application/gpx+xml", true, handover.GPX},
	"handback": {"hand-back.html", "text/html; charset=utf-8", false, handover.HandBack},
}

// printed is the policy of a file to print: its own styles, no script, framed by
// the page alone.
const printed = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'self'"

func (s *Server) getFile(w http.ResponseWriter, r *http.Request) {
	as, ok := handedOver[r.PathValue("kind")]
	if !ok {
		refuse(w, http.StatusNotFound, "there is no such file of a plan")
		return
	}
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
	h.Set("Content-Type", as.kind)
	h.Set("Cache-Control", "no-store")
	if as.download {
		h.Set("Content-Disposition", `attachment; filename="`+as.name+`"`)
	} else {
		h.Set("Content-Security-Policy", printed)
	}
	_, _ = w.Write(content)
}
