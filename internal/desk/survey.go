package desk

import (
	"errors"
	"os"
	"path/filepath"
	"time"

	"loopwright/internal/calendar"
	"loopwright/internal/circuit"
	"loopwright/internal/geo"
	"loopwright/internal/handover"
	"loopwright/internal/lesson"
	"loopwright/internal/notes"
	"loopwright/internal/survey"
)

// SurveyRequest asks what a teaching area offers, and for a drive that settles
// the most doubts.
type SurveyRequest struct {
	Around   string  // a PLACE
	Within   float64 // minutes of driving
	Drive    float64 // minutes, 0 for none
	Exercise string  // that the drive looks at roads for
	Seed     uint64
	Folder   string // to write into
	Now      time.Time
	Done     <-chan struct{}
}

// Surveyed is what was found and written.
type Surveyed struct {
	Report *survey.Report   `json:"report"`
	Drive  *circuit.Circuit `json:"-"`
	Said   string           `json:"said,omitempty"`
	Files  []string         `json:"files"`
}

// surveyPace is the pace of the instructor who drives alone.
const surveyPace = "near-test"

// Survey reports on an area and writes report.html and report.geojson, and with
// a drive drive.geojson and drive-sheet.html, into the folder.
func (d *Desk) Survey(r SurveyRequest) (*Surveyed, error) {
	return guarded(d, func() (*Surveyed, error) { return d.survey(r) })
}

func (d *Desk) survey(r SurveyRequest) (*Surveyed, error) {
	if !(r.Within > 0 && r.Within <= 60) || !(r.Drive == 0 || r.Drive >= 10 && r.Drive <= 240) {
		return nil, fault(WrongUse, "", "an area is 1 to 60 minutes wide, and a drive takes 10 to 240 minutes")
	}
	ex, err := d.exercise(r.Exercise)
	if err != nil {
		return nil, err
	}
	from, err := d.find(r.Around)
	if err != nil {
		return nil, err
	}
	when, err := d.when(PlanRequest{Now: r.Now}, from)
	if err != nil {
		return nil, err
	}
	weights, err := weightsAt(d.net, d.profile, surveyPace)
	if err != nil {
		return nil, err
	}
	area := survey.Around(d.net, weights, from.Position, geo.Seconds(r.Within*60))
	noted := d.view.At(notes.When{Day: calendar.DateOf(when), Hour: when})
	out := &Surveyed{Report: survey.Look(area, d.profile, d.assess, noted), Said: from.Said}
	if r.Drive > 0 {
		out.Drive, err = survey.Drive(area, d.profile, d.hourly(when, r.Drive), survey.Request{
			From: r.Around, Exercise: ex, Minutes: r.Drive, When: when, Seed: r.Seed, Done: r.Done,
		})
		if errors.Is(err, survey.ErrNothing) {
			return nil, &Fault{Kind: AnswerIsNo, Err: err, Hint: "Ask for a longer drive, or for a wider area."}
		}
		if err != nil {
			return nil, err
		}
	}
	return out, out.write(r.Folder)
}

func (s *Surveyed) write(folder string) error {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return &Fault{Kind: BadInput, Err: err, Hint: "Name another folder with -o."}
	}
	put := func(name string, data []byte, err error) error {
		if err != nil {
			return err
		}
		path := filepath.Join(folder, name)
		s.Files = append(s.Files, path)
		return WriteFile(path, data)
	}
	page, err := handover.SurveyReport(s.Report, s.Drive, lesson.Attribution)
	if err := put("report.html", page, err); err != nil {
		return err
	}
	features, err := s.Report.GeoJSON()
	if err := put("report.geojson", features, err); err != nil || s.Drive == nil {
		return err
	}
	drive, err := circuit.Encode(s.Drive)
	if err := put("drive.geojson", drive, err); err != nil {
		return err
	}
	sheet, err := handover.SurveySheet(s.Drive)
	return put("drive-sheet.html", sheet, err)
}
