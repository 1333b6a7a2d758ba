package web

import (
	"context"
	"net/http"
	"time"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/desk"
	"loopwright/internal/lesson"
)

// about is what the page must know before it asks anything.
type about struct {
	State     string            `json:"state"` // none, opening, open, failed
	Stage     string            `json:"stage,omitempty"`
	Done      int64             `json:"done,omitempty"`
	Total     int64             `json:"total,omitempty"`
	Fault     *fault            `json:"fault,omitempty"`
	Map       *aboutMap         `json:"map,omitempty"`
	Exercises []aboutExercise   `json:"exercises"`
	Kinds     []aboutKind       `json:"kinds"`     // of lesson
	Levels    []string          `json:"levels"`    // how far a learner is
	Topics    []string          `json:"topics"`    // of driving, that may be untaught
	Sightings []string          `json:"sightings"` // what may be wished for on the way
	Verdicts  map[string]string `json:"verdicts"`  // as users read them
	Files     []aboutFile       `json:"files"`     // that a plan is handed over as
}

type aboutMap struct {
	Digest        string     `json:"digest"`
	Name          string     `json:"name"` // of the extract
	Country       string     `json:"country"`
	DrivesLeft    bool       `json:"drives_left"`
	Bounds        [4]float64 `json:"bounds"` // west, south, east, north
	DataTimestamp *time.Time `json:"data_timestamp"`
	Attribution   string     `json:"attribution"`
	Places        []named    `json:"places"` // the settlements, greatest first
}

type named struct {
	Name string     `json:"name"`
	At   [2]float64 `json:"at"`
}

type aboutFile struct {
	Kind     string `json:"kind"` // in its address: /files/PLAN/KIND
	Title    string `json:"title"`
	Download bool   `json:"download"` // else it is shown, to be printed
	Lesson   bool   `json:"lesson"`   // of a lesson's plan
	Survey   bool   `json:"survey"`   // of a survey drive
}

// aboutKind is a kind of lesson, and what it asks beside what every lesson does.
type aboutKind struct {
	Name     string `json:"name"`
	Title    string `json:"title"`
	Exercise bool   `json:"exercise"`  // it can't do without one
	Second   bool   `json:"second"`    // nor without a second one
	Judged   bool   `json:"judged"`    // how many roads are judged may be said
	DriveOut bool   `json:"drive_out"` // the instructor may drive out
	Sought   bool   `json:"sought"`    // it must be told what to come by
	Centre   bool   `json:"centre"`    // it ends where and when a test begins
}

// kindsOffered are the kinds of lesson that the page offers.
func kindsOffered() []aboutKind {
	titles := [...]struct {
		kind  circuit.Kind
		title string
	}{
		{circuit.RoadsToJudge, "An exercise, past roads to judge"},
		{circuit.TwoExercises, "Two exercises"},
		{circuit.Junctions, "Junctions"},
		{circuit.MockTest, "A mock test"},
		{circuit.TestDay, "Before the test"},
	}
	var out []aboutKind
	for _, k := range titles {
		exercise, second := desk.Asks(k.kind.String())
		out = append(out, aboutKind{k.kind.String(), k.title, exercise, second, k.kind == circuit.RoadsToJudge, k.kind != circuit.MockTest, k.kind == circuit.Junctions, k.kind == circuit.TestDay})
	}
	return out
}

type aboutExercise struct {
	Name    string            `json:"name"`
	Title   string            `json:"title"`
	Reasons map[string]string `json:"reasons"` // in two or three words, by criterion
}

func (s *Server) getMap(w http.ResponseWriter, _ *http.Request) { answer(w, s.about()) }

func (s *Server) about() about {
	m := s.maps
	m.mu.Lock()
	defer m.mu.Unlock()
	out := about{State: "none", Verdicts: verdictWords(), Kinds: kindsOffered(), Levels: lesson.Levels(), Sightings: lesson.Sightings()}
	for _, t := range assess.Topics() {
		out.Topics = append(out.Topics, t.String())
	}
	switch {
	case m.opening:
		out.State, out.Stage, out.Done, out.Total = "opening", m.stage.What, m.stage.Done, m.stage.Total
	case m.err != nil:
		f := faultOf(m.err)
		out.State, out.Fault = "failed", &f
	case m.current != nil:
		out.State = "open"
	}
	if m.current != nil {
		out.Map = aboutDesk(m.current.root)
	}
	for _, ex := range assess.Exercises() {
		row := aboutExercise{ex.Name, ex.Title, map[string]string{}}
		for _, n := range ex.Needs {
			row.Reasons[n.Criterion] = n.Card
		}
		out.Exercises = append(out.Exercises, row)
	}
	for _, f := range handedOver {
		out.Files = append(out.Files, aboutFile{f.kind, f.title, f.download, f.of != ofSurvey, f.of != ofLesson})
	}
	return out
}

// mostNamed is how many settlements the page is told of.
const mostNamed = 30

func aboutDesk(d *desk.Desk) *aboutMap {
	a := d.About()
	b := a.Bounds
	out := &aboutMap{
		Digest: d.Digest(), Name: a.Extract, Country: a.Country, DrivesLeft: d.Profile().DrivesLeft, DataTimestamp: d.DataTimestamp(), Attribution: lesson.Attribution,
		Bounds: [4]float64{b.Min.Lon(), b.Min.Lat(), b.Max.Lon(), b.Max.Lat()}, Places: []named{},
	}
	settlements := d.Settlements()
	for rank := range uint8(3) { // cities, towns, villages
		for _, p := range settlements {
			if p.Rank == rank && len(out.Places) < mostNamed {
				out.Places = append(out.Places, named{p.Name, [2]float64{p.At.Lon(), p.At.Lat()}})
			}
		}
	}
	return out
}

func verdictWords() map[string]string {
	words := map[string]string{}
	for _, v := range []assess.Verdict{assess.VerdictUnknown, assess.Unsuitable, assess.Possible, assess.Likely, assess.Suitable} {
		words[v.String()] = desk.VerdictWords(v)
	}
	return words
}

func (s *Server) getOffers(w http.ResponseWriter, _ *http.Request) {
	answer(w, struct {
		Files []desk.Offer `json:"files"`
	}{desk.Offers()})
}

// postOpen opens a map in the background; getMap says how far it has come.
func (s *Server) postOpen(w http.ResponseWriter, r *http.Request) {
	var q struct {
		Demo    bool   `json:"demo"` // the invented town
		Path    string `json:"path"`
		Country string `json:"country"`
	}
	if err := read(w, r, &q); err != nil {
		fail(w, err)
		return
	}
	how := func(ctx context.Context, p desk.Progress) (*desk.Desk, error) {
		if q.Demo {
			return desk.OpenDemo(ctx, p)
		}
		return desk.OpenMap(ctx, desk.Opening{Path: q.Path, Country: q.Country, Progress: p})
	}
	if !s.maps.open(how) {
		refuse(w, http.StatusConflict, "another map is being opened")
		return
	}
	s.getMap(w, r)
}
