package desk

import (
	"errors"
	"path/filepath"
	"time"

	"loopwright/internal/calendar"
	"loopwright/internal/circuit"
	"loopwright/internal/gazetteer"
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
	When     string  // of the drive; "" the half hour after Now
	Seed     uint64
	Now      time.Time
	Done     <-chan struct{}
}

// Surveyed is what was found.
type Surveyed struct {
	Report *survey.Report   `json:"report"`
	Drive  *circuit.Circuit `json:"-"`
	Said   string           `json:"said,omitempty"`
	Files  []string         `json:"files"` // that were written
}

// surveyPace is the pace of the instructor who drives alone.
const surveyPace = "near-test"

// Survey reports on an area.
func (d *Desk) Survey(r SurveyRequest) (*Surveyed, error) {
	return guarded(d, func() (*Surveyed, error) {
		area, from, when, err := d.surveyed(r)
		if err != nil {
			return nil, err
		}
		out := &Surveyed{Said: from.Said}
		noted := d.view.At(notes.When{Day: calendar.DateOf(when), Hour: when})
		out.Report, err = survey.Look(area, d.profile, d.assess, noted, r.Done)
		switch {
		case err != nil:
			return nil, err
		case out.Report == nil:
			return nil, ErrStopped
		}
		if r.Drive > 0 {
			out.Drive, err = d.surveyDrive(area, when, r)
		}
		return out, err
	})
}

// SurveyDrive plans the drive alone.
func (d *Desk) SurveyDrive(r SurveyRequest) (*Planned, error) {
	return guarded(d, func() (*Planned, error) {
		area, from, when, err := d.surveyed(r)
		if err != nil {
			return nil, err
		}
		c, err := d.surveyDrive(area, when, r)
		if err != nil {
			return nil, err
		}
		file, err := circuit.Encode(c)
		out := &Planned{Circuit: c, File: file}
		if from.Said != "" {
			out.Said = []string{from.Said}
		}
		return out, err
	})
}

// surveyed is the area that is asked about, and when it is looked at.
func (d *Desk) surveyed(r SurveyRequest) (a *survey.Area, from gazetteer.Result, when time.Time, err error) {
	if !(r.Within > 0 && r.Within <= 60) || !(r.Drive == 0 || r.Drive >= 10 && r.Drive <= 240) {
		return nil, from, when, fault(WrongUse, "", "an area is 1 to 60 minutes wide, and a drive takes 10 to 240 minutes")
	}
	if from, err = d.find(r.Around); err != nil {
		return nil, from, when, err
	}
	if when, err = d.when(PlanRequest{When: r.When, Now: r.Now}, from); err != nil {
		return nil, from, when, err
	}
	weights, err := weightsAt(d.net, d.profile, surveyPace)
	if err != nil {
		return nil, from, when, err
	}
	return survey.Around(d.net, weights, from.Position, geo.Seconds(r.Within*60)), from, when, nil
}

func (d *Desk) surveyDrive(area *survey.Area, when time.Time, r SurveyRequest) (*circuit.Circuit, error) {
	ex, err := d.exercise(r.Exercise)
	if err != nil {
		return nil, err
	}
	c, err := survey.Drive(area, d.profile, d.hourly(when, r.Drive), survey.Request{
		From: r.Around, Exercise: ex, Minutes: r.Drive, When: when, Seed: r.Seed, Done: r.Done,
	})
	switch {
	case closed(r.Done):
		return nil, ErrStopped
	case errors.Is(err, survey.ErrNothing):
		return nil, &Fault{Kind: AnswerIsNo, Err: err, Hint: "Ask for a longer drive, or for a wider area."}
	}
	return c, err
}

// SurveyFile is one file of a survey.
type SurveyFile struct {
	Name    string
	Content []byte
}

// Made gives the files of a survey: report.html and report.geojson, and with a
// drive drive.geojson and drive-sheet.html.
func (s *Surveyed) Made() ([]SurveyFile, error) {
	page, err := handover.SurveyReport(s.Report, s.Drive, lesson.Attribution)
	if err != nil {
		return nil, err
	}
	features, err := s.Report.GeoJSON()
	if err != nil {
		return nil, err
	}
	out := []SurveyFile{{"report.html", page}, {"report.geojson", features}}
	if s.Drive == nil {
		return out, nil
	}
	drive, err := circuit.Encode(s.Drive)
	if err != nil {
		return nil, err
	}
	sheet, err := handover.SurveySheet(s.Drive)
	return append(out, SurveyFile{"drive.geojson", drive}, SurveyFile{"drive-sheet.html", sheet}), err
}

// surveyFiles are the names of a survey's files.
var surveyFiles = []string{"report.html", "report.geojson", "drive.geojson", "drive-sheet.html"}

// Write makes a folder of the files of a survey, whole or not at all. A survey
// that is there is replaced; a folder that holds anything else is refused.
func (s *Surveyed) Write(folder string) error {
	files, err := s.Made()
	if err != nil {
		return err
	}
	if err := writeFolder(folder, surveyFiles, files); err != nil {
		return err
	}
	for _, f := range files {
		s.Files = append(s.Files, filepath.Join(folder, f.Name))
	}
	return nil
}
