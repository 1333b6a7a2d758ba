package lesson

import (
	"bytes"
	"errors"
	"fmt"
	"sync"

	"go.yaml.in/yaml/v3"

	"loopwright/data"
	"loopwright/internal/assess"
)

// standard is the table that the program carries. That it can be read is
// tested, so a fault is a bug.
var standard = sync.OnceValue(func() *Table {
	text, err := data.Tables.ReadFile("lesson.yaml")
	if err != nil {
		panic("lesson: bug in data/lesson.yaml: " + err.Error())
	}
	t, err := ReadTable(text)
	if err != nil {
		panic("lesson: bug in data/lesson.yaml: " + err.Error())
	}
	return t
})

// Table is how a lesson's minutes are spent and what the parts of a circuit
// are worth: data/lesson.yaml, where each value has its source.
type Table struct {
	Format int
	Splits struct {
		Source string
		Rows   []Split
	}
	InHand struct {
		Minutes float64
		Source  string
	} `yaml:"in_hand"`
	Late struct {
		Minutes float64
		Source  string
	}
	Goes struct {
		Least          int
		Most           int
		LeastMinutes   float64 `yaml:"least_minutes"`
		MostMinutes    float64 `yaml:"most_minutes"`
		SecondRoadFrom float64 `yaml:"second_road_from"` // minutes of a lesson
		RoundMostS     float64 `yaml:"round_most_s"`     // the way round to the next go
		Source         string
	}
	PullUps struct {
		AboutS  float64 `yaml:"about_s"`
		MostS   float64 `yaml:"most_s"`
		Minutes float64
		Source  string
	} `yaml:"pull_ups"`
	ChangeOver struct {
		Minutes   float64
		Least     int
		Enough    int
		ForMinute float64 `yaml:"for_minute"`
		Tried     int
		Source    string
	} `yaml:"change_over"`
	Examples struct {
		ApartS float64 `yaml:"apart_s"`
		LeastM float64 `yaml:"least_m"`
		LeastS float64 `yaml:"least_s"`
		MostS  float64 `yaml:"most_s"`
		Source string
	}
	Events struct {
		ApartS     float64 `yaml:"apart_s"`
		KnownFrom  float64 `yaml:"known_from"`
		TalkMost   float64 `yaml:"talk_most_minutes"`
		Diminish   []float64
		Varied     []float64
		SamePlace  float64 `yaml:"same_place"`
		Candidates int
		Iterations int
		Source     string
	}
	Telling struct {
		TurnDeg float64 `yaml:"turn_deg"` // a turn by less is seldom told
		TurnS   float64 `yaml:"turn_s"`   // that one is reckoned longer
		AboutS  float64 `yaml:"about_s"`  // between two
		Much    float64 // times as many turns as that makes are too many
		Rounds  int     // how often the same way round is driven, where there are
		Source  string
	}
	Mock struct {
		LeastMinutes float64 `yaml:"least_minutes"`
		MostMinutes  float64 `yaml:"most_minutes"`
		StopMinutes  float64 `yaml:"stop_minutes"`
		LeastTopics  int     `yaml:"least_topics"`
		Exercises    []string
		Source       string
	}
	TestDay struct {
		EarlyMinutes float64 `yaml:"early_minutes"`
		NearS        float64 `yaml:"near_s"`
		AwayM        float64 `yaml:"away_m"`
		Source       string
	} `yaml:"test_day"`
	Backup struct {
		WithinS  float64 `yaml:"within_s"`
		CarParkS float64 `yaml:"car_park_s"` // the same of a car park
		Aim      int
		Source   string
	}
	Question struct {
		ClearOfDirectionS float64 `yaml:"clear_of_direction_s"`
		Source            string
	}
	Search struct {
		Candidates, Places int
		LookedAt           int `yaml:"looked_at"`
		Judgements, Steps  int
		Restarts, Rounds   int
		Finalists          int
		InVain             int     `yaml:"in_vain"` // drives that bring nothing better before one stops
		ReachS             float64 `yaml:"reach_s"`
		BetweenS           float64 `yaml:"between_s"`
		Source             string
	}
	Weights weights
}

// Split is how a lesson of a length is divided, in minutes, and how many roads
// to judge it has unless told otherwise.
type Split struct {
	From                     float64 // lessons at least this long
	Recap, Briefing, Debrief float64
	Unsuitable, Suitable     int
}

// weights are points; see data/lesson.yaml.
type weights struct {
	ReasonAgain     float64 `yaml:"reason_again"`     // factor for a reason already shown
	CommonReason    float64 `yaml:"common_reason"`    // factor for a reason that every road here has
	SameRoad        float64 `yaml:"same_road"`        // off, for two roads to judge of one name
	UnsuitableFirst float64 `yaml:"unsuitable_first"` // for leading from no to yes
	Place           float64 // for a place that is sure to suit
	Go              []float64
	DriveMinute     float64 `yaml:"drive_minute"`
	Repeat          float64 // off, for a drive that is all repeated
	BackupShort     float64 `yaml:"backup_short"` // off, for fewer backups than aimed at
	Awkward         float64 // off, for each awkward direction; see directions.Cost
	Missed          struct {
		FromS  float64 `yaml:"from_s"`
		Minute float64
	}
	Source string
}

// goes is the worth of goes beyond the least.
func (w *weights) goes(extra int) float64 {
	sum := 0.0
	for i, v := range w.Go {
		if i < extra {
			sum += v
		}
	}
	return sum
}

// ReadTable reads a lesson table and refuses one that could not make a lesson.
func ReadTable(yamlText []byte) (*Table, error) {
	t := &Table{}
	in := yaml.NewDecoder(bytes.NewReader(yamlText))
	in.KnownFields(true)
	if err := in.Decode(t); err != nil {
		return nil, fmt.Errorf("lesson table: %w", err)
	}
	for _, fault := range []struct {
		there bool
		what  string
	}{
		{t.Format != 1, "format is not 1"},
		{len(t.Splits.Rows) == 0, "splits has no rows"},
		{t.Goes.Least < 1 || t.Goes.Most < t.Goes.Least, "goes: least must be 1 or more and most not below it"},
		{t.Goes.LeastMinutes <= 0 || t.Goes.MostMinutes < t.Goes.LeastMinutes, "goes: least_minutes must be above 0 and most_minutes not below it"},
		{t.Goes.RoundMostS <= 0, "goes: round_most_s must be above 0"},
		{t.PullUps.AboutS <= 0 || t.PullUps.MostS < t.PullUps.AboutS, "pull_ups: about_s must be above 0 and most_s not below it"},
		{t.Search.Candidates < 1 || t.Search.Places < 1 || t.Search.Finalists < 1 || t.Search.Restarts < 1 || t.Search.Judgements < 1 || t.Search.Steps < 1 || t.Search.InVain < 1, "search: counts must be 1 or more"},
		{t.Telling.TurnDeg <= 0 || t.Telling.TurnS < 0 || t.Telling.AboutS <= 0 || t.Telling.Much < 1 || t.Telling.Rounds < 2, "telling: turn_deg and about_s must be above 0, turn_s not below, much 1 or more and rounds 2 or more"},
		{len(t.Events.Diminish) == 0 || len(t.Events.Varied) == 0 || t.Events.Candidates < 1 || t.Events.Iterations < 1, "events: diminish must have entries, candidates and iterations be 1 or more"},
	} {
		if fault.there {
			return nil, errors.New("lesson table: " + fault.what)
		}
	}
	for i, r := range t.Splits.Rows {
		if i > 0 && r.From <= t.Splits.Rows[i-1].From {
			return nil, fmt.Errorf("lesson table: splits: row %d: from must rise", i+1)
		}
	}
	return t, nil
}

// backupWithin is how far in seconds a backup for an exercise lies at the most.
func (t *Table) backupWithin(ex *assess.Exercise) float64 {
	if ex.CarPark {
		return t.Backup.CarParkS
	}
	return t.Backup.WithinS
}

// SplitFor is the row for a lesson's length; false where it is shorter than
// the shortest.
func (t *Table) SplitFor(minutes float64) (Split, bool) {
	best, ok := Split{}, false
	for _, r := range t.Splits.Rows {
		if r.From <= minutes {
			best, ok = r, true
		}
	}
	return best, ok
}
