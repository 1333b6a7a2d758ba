// Package circuit holds the planned drive of one lesson and its file: one
// GeoJSON FeatureCollection (RFC 7946) that is enough to print the plan
// without the index it was made from.
package circuit

import (
	"time"

	"github.com/paulmach/orb"

	"loopwright/internal/assess"
	"loopwright/internal/geo"
)

// Format rises only when an older reader would be wrong.
const Format = 1

// Circuit is the drive and all that an instructor needs beside it.
type Circuit struct {
	MadeFrom    MadeFrom
	Request     Request
	StartsAt    time.Time // in the lesson's zone
	Zone        string
	Timeline    []Row
	DriveS      float64
	LengthM     float64
	Bound       *Bound
	NoBound     string // why there is no bound, "" where there is one or none is asked for
	Attribution string
	Cautions    []string

	Learner *LearnerRecord // whom the lesson is for; nil where that is not said
	Sent    string         // for whom the file was made: "", ForCover or ForAnyone

	Start, Finish Stop
	Legs          []Leg // in order; joined end to start
	PullUps       []Stop
	Practice      Practice // its exercise is "" in a lesson that has none
	Backups       []Practice
	Second        *Practice // where the second of two exercises is practised, or the last go of one; nil where nowhere else
	SecondBackups []Practice
	Events        []Event // in order
	Examples      []Example
	Choice        *Choice // of a road at the end of those in mixed order; nil where there is none
	Steps         []Step
	WaysBack      []WayBack // in the order of their steps
	Around        []Road    // what a map of the circuit draws beside it
	Buildings     []Building
}

// For whom a circuit was sent.
const (
	ForCover  = "cover"  // one colleague, who takes the lesson
	ForAnyone = "anyone" // begins and ends where the home can't be told; no learner
)

// LearnerRecord is what a colleague must know of whom they meet. Never a name: a
// reference, or initials.
type LearnerRecord struct {
	Reference string            `json:"reference"`
	Stages    map[string]string `json:"stages,omitempty"` // by topic: untaught, talked through, prompted, independent
	Covered   []string          `json:"covered,omitempty"`
	Level     string            `json:"level,omitempty"`
	Next      []string          `json:"next,omitempty"`
	WatchFor  []string          `json:"watch_for,omitempty"`
	Needs     []string          `json:"needs,omitempty"`
}

// MadeFrom names the extract.
type MadeFrom struct {
	Extract   string    `json:"extract"`
	SHA256    string    `json:"sha256"`
	Timestamp time.Time `json:"timestamp,omitzero"`
}

// Request is what was asked, with every default filled in.
type Request struct {
	From       string  `json:"from"` // as asked
	To         string  `json:"to"`
	Exercise   string  `json:"exercise"`
	Minutes    float64 `json:"minutes"`
	Unsuitable int     `json:"unsuitable"`
	Suitable   int     `json:"suitable"`
	When       string  `json:"when"` // RFC 3339
	Seed       uint64  `json:"seed"`
	Country    string  `json:"country"`
	InHand     float64 `json:"minutes_in_hand"`

	Pace  string   `json:"pace,omitempty"`  // of the learner who drives; the usual one where it is not said
	Avoid []string `json:"avoid,omitempty"` // topics kept off the drive beside what is untaught

	DriveOut bool `json:"drive_out,omitempty"` // the instructor was to drive out to where they change over

	Mixed        bool `json:"mixed_order,omitempty"` // of roads to judge, else the unsuitable first
	Ice          bool `json:"ice,omitempty"`
	NearSide     bool `json:"near_side_only,omitempty"` // the learner turns to the near side only
	Approved     bool `json:"approved_instructor,omitempty"`
	DualControls bool `json:"dual_controls,omitempty"`

	Kind   Kind     `json:"kind,omitzero"`
	Second string   `json:"second_exercise,omitempty"`
	Seek   []Sought `json:"seek,omitempty"`                  // topics sought on the drive
	MySide bool     `json:"my_side,omitempty"`               // sides are also called my side and your side
	Parked bool     `json:"questions_when_parked,omitempty"` // and at no other time

	Without    []string `json:"without,omitempty"`     // kerbs of roads neither judged nor practised in
	KeepOff    []string `json:"keep_off,omitempty"`    // kerbs of stretches that the drive keeps off
	PractiseAt string   `json:"practise_at,omitempty"` // kerb in the stretch that was asked for
}

// Row is one line of the timeline.
type Row struct {
	AtS     float64 `json:"at_s"` // from the lesson's start
	What    string  `json:"what"`
	Minutes float64 `json:"minutes"`
}

// Bound says how near the best the plan is known to be.
type Bound struct {
	Score float64 `json:"score"`
	Best  float64 `json:"best"`
	Gap   float64 `json:"gap"`
}

// Stop is where the car stands.
type Stop struct {
	At       orb.Point
	Kerb     string // w123+45l
	Road     string
	Side     string  // left or right, as the driver sits on arrival
	FacesDeg float64 // clockwise from north
	Towards  string  // the road the car faces towards, "" if none is named
	AtS      float64 // arrival, from the lesson's start
	Minutes  float64 // how long it stands
	What     string  // briefing, rest, debrief

	ChangeOver bool // instructor and learner change seats here
}

// Who drives a leg.
const (
	Learner    = "learner"
	Instructor = "instructor"
)

// Leg is a part of the drive between two stops or examples.
type Leg struct {
	Order   int
	Line    orb.LineString
	Ways    []int64 // way ids driven, signed by direction
	Roads   []string
	LengthM float64
	DriveS  float64
	Driver  string // Learner or Instructor
	AtS     float64
	Heights []geo.Metres // at equal steps from its start to its end; nil where not all are known
}

// Practice is the practice place or a backup.
type Practice struct {
	Stop
	Exercise       string
	Goes           int
	FacesAfterDeg  float64
	Verdict        assess.Verdict
	Chance, MapFit float64
	Findings       []assess.Finding
	Line           orb.LineString // the window of kerb
	Late           *Late          // the cut-short version; nil where no go can be left out, and of a backup
	Round          *Round         // to where the next go begins; nil where it begins where the one before left the car, or there is one go
	Way            *Leg           // of a backup: the way there from the practice place, as the car arrived; no part of the drive
}

// Round is the way round from where one go leaves the car to where the next
// begins: no part of the drive, and in the minutes of the place.
type Round struct {
	Leg
	Say   string // first left, left again
	Moves []Move
}

// Late is the cut-short version of a lesson: so many goes instead of those
// planned win back so many minutes.
type Late struct {
	Minutes float64 `json:"minutes"`
	Goes    int     `json:"goes"`
}

// Example is a road to judge: the part driven along, with its one reason.
type Example struct {
	Order    int
	Line     orb.LineString
	AtS      float64
	Verdict  assess.Verdict
	Reason   string // the criterion that fails, or "suits"
	Road     string
	Chance   float64
	Findings []assess.Finding
	Key      *Key   // the answer to the question about it
	Kerb     string // of a survey drive: the place on it to look at
	Alike    int    // of a survey drive: roads off it that this one tells of
}

// Key is the answer to the question about a road to judge, in words for a
// learner.
type Key struct {
	Answer   string `json:"answer"`    // why not, or why it would do
	Known    string `json:"known"`     // how that is known
	FollowUp string `json:"follow_up"` // what to ask next
}

// Choice is where the learner chooses a road that would do, and the roads from
// there to the practice place, in order, which is in the last.
type Choice struct {
	Step  int         `json:"step"` // its order
	Roads []Choosable `json:"roads"`
}

// Choosable is a road that may be chosen.
type Choosable struct {
	Road    string         `json:"road"`
	Verdict assess.Verdict `json:"verdict"` // the best of what is driven of it
}

// Step is one spoken direction, at the point where it is said.
type Step struct {
	Order     int
	At        orb.Point
	AtS       float64
	Say       string
	Alert     string
	Direction string
	Where     string
	DistanceM geo.Metres // from the saying to the turn
	Kind      string     // turn, roundabout, end-of-road, follow, pull-up, move-off, question
	Moves     []Move     // what is told, in order; nil of a question, and where only words are known
}

// WayBack is what to do when the turn of a step was missed, where that is not
// obvious: from where the learner drove past it to where the drive goes on.
type WayBack struct {
	Step  int // its order
	Line  orb.LineString
	Say   string // second left, left again
	Moves []Move
}

// Road is a road around the circuit, drawn on its map.
type Road struct {
	Name  string
	Class string // as OpenStreetMap has it: residential, primary
	Line  orb.LineString
}

// Building is one near a place to practise or a landmark.
type Building struct {
	Outline orb.Ring // closed, counterclockwise
}

// ChosenAtS is when the learner is asked to choose a road.
func (c *Circuit) ChosenAtS() float64 {
	for _, s := range c.Steps {
		if c.Choice != nil && s.Order == c.Choice.Step {
			return s.AtS
		}
	}
	return c.Practice.AtS
}

// TurnAt is where the first turn of a step is: its distance along the leg from
// where it is said.
func (c *Circuit) TurnAt(s Step) orb.Point {
	for i := len(c.Legs) - 1; i >= 0; i-- {
		l := c.Legs[i]
		if s.AtS < l.AtS-0.5 || len(l.Line) < 2 {
			continue
		}
		plane := geo.PlaneAt(s.At)
		line := plane.Line(l.Line)
		said, away, _ := line.Nearest(plane.To(s.At))
		if away > offDrive {
			break
		}
		at, _ := line.At(said + s.DistanceM)
		return plane.From(at)
	}
	return s.At
}

// offDrive is how far off a leg a step is held to be said where the car stands,
// not on the leg. Our choice.
const offDrive = 50 * geo.Metres(1)
