// Package web is the page: it asks the desk, and serves the answers as JSON and
// the map as vector tiles to the browser of the one who runs it.
//
//	browser --- page (dist/) --- /api/... ---> desk
//	        \__ /tiles/... __________________/
//	         \_ /files/... ---> handover
//
// It listens where it is told, on loopback unless asked; it loads nothing from
// elsewhere, and lets nothing else load it: see guard. Every answer is bounded
// in size, time and number, and given up when nobody waits for it.
//
// The front end is TypeScript in ui/, bundled into dist/ by `go generate`.
package web

import (
	"context"
	"errors"
	"io/fs"
	"net"
	"net/http"
	"time"

	"loopwright/internal/desk"
)

//go:generate go run loopwright/internal/web/bundle

// Config is what a server is made of.
type Config struct {
	// Open opens the map to begin with; nil lets the page ask for one.
	Open func(context.Context, desk.Progress) (*desk.Desk, error)
	Kept *desk.Kept
	Page fs.FS            // the built front end
	Now  func() time.Time // the clock
}

// Server answers the page's questions.
type Server struct {
	config            Config
	maps              *maps
	plans             lately
	surveys           lately // files of reports on an area, by report and name
	quick, slow, long queue
	base              context.Context // ends when the server does
}

// New makes a server that lives until the context ends.
func New(ctx context.Context, c Config) *Server {
	s := &Server{config: c, base: ctx}
	s.maps = newMaps(ctx)
	s.quick, s.slow, s.long = s.maps.queues()
	if c.Open != nil {
		s.maps.open(c.Open)
	}
	return s
}

// Handler gives everything behind one guard. host is the address that the
// server listens on.
func (s *Server) Handler(listening net.Addr) http.Handler {
	mux := http.NewServeMux()
	s.routes(mux)
	return guard(listening, mux)
}

func (s *Server) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET /api/map", s.getMap)
	mux.HandleFunc("GET /api/offers", s.getOffers)
	mux.HandleFunc("POST /api/open", s.postOpen)
	mux.HandleFunc("POST /api/find", ask(s, s.quick, findOn))
	mux.HandleFunc("POST /api/look", ask(s, s.quick, lookOn))
	mux.HandleFunc("POST /api/places", ask(s, s.quick, placesOn))
	mux.HandleFunc("POST /api/why", ask(s, s.quick, whyOn))
	mux.HandleFunc("POST /api/area", ask(s, s.quick, areaOn))
	mux.HandleFunc("POST /api/plan", ask(s, s.slow, planOn))
	mux.HandleFunc("POST /api/notes", ask(s, s.quick, noteOn))
	mux.HandleFunc("POST /api/notes/undo", ask(s, s.quick, undoOn))
	mux.HandleFunc("GET /api/notes", s.getNotes)
	mux.HandleFunc("GET /api/notes/file", s.getShared)
	mux.HandleFunc("POST /api/notes/file", s.postShared)
	mux.HandleFunc("POST /api/survey", ask(s, s.long, surveyOn))
	mux.HandleFunc("POST /api/survey/drive", ask(s, s.long, surveyDriveOn))
	mux.HandleFunc("GET /api/survey/drives/{id}", s.getStops)
	mux.HandleFunc("POST /api/survey/drives/{id}", s.postAnswer)
	mux.HandleFunc("GET /api/survey/drives/{id}/changed", s.getReversed)
	mux.HandleFunc("POST /api/changes", ask(s, s.long, changesOn))
	mux.HandleFunc("GET /api/plans", s.getPlans)
	mux.HandleFunc("POST /api/plans", s.postPlan)
	mux.HandleFunc("POST /api/plans/received", s.postReceived)
	mux.HandleFunc("POST /api/check", ask(s, s.quick, checkOn))
	mux.HandleFunc("DELETE /api/plans/{id}", s.deletePlan)
	mux.HandleFunc("GET /api/plans/{id}", s.getPlan)
	mux.HandleFunc("GET /api/names", s.getNames)
	mux.HandleFunc("POST /api/names", s.postName)
	mux.HandleFunc("GET /tiles/{digest}/{z}/{x}/{y}", s.getTile)
	mux.HandleFunc("GET /pictures/{exercise}/{kerb}", s.getPicture)
	mux.HandleFunc("GET /files/{id}/{kind}", s.getFile)
	mux.HandleFunc("GET /surveys/{id}/{name}", s.getSurveyFile)
	mux.HandleFunc("GET /", s.getPage)
}

// Serve answers until the context ends, then lets what is under way finish for
// a moment.
func Serve(ctx context.Context, l net.Listener, s *Server) error {
	server := &http.Server{
		Handler:           s.Handler(l.Addr()),
		ReadHeaderTimeout: 5 * time.Second,
		ReadTimeout:       20 * time.Second,
		WriteTimeout:      longAnswerWithin + 20*time.Second,
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    16 << 10,
		BaseContext:       func(net.Listener) context.Context { return ctx },
	}
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(l) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	finish, cancel := context.WithTimeout(context.WithoutCancel(ctx), 3*time.Second)
	defer cancel()
	err := server.Shutdown(finish)
	s.maps.close()
	return errors.Join(err, s.plans.close(), s.surveys.close())
}
