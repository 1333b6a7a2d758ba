package circuit

import (
	"loopwright/internal/assess"
	"loopwright/internal/geo"
)

// The file is one FeatureCollection by RFC 7946 with the foreign member
// "loopwright". These are its shapes, used by writer and reader alike; the
// order of fields is the order in the file.
//
//	{"type": "FeatureCollection", "bbox": [w, s, e, n],
//	 "loopwright": {"format": 1, "made_from": …, "request": …, …},
//	 "features": [ {"type": "Feature", "geometry": …, "properties": {"role": "leg", …}}, … ]}
//
// A line that crosses the antimeridian is a MultiLineString (see cut). Titles,
// colours and markers are for viewers: they are written and never read.

// header is the foreign member.
type header struct {
	Format      int            `json:"format"`
	MadeFrom    MadeFrom       `json:"made_from"`
	Request     Request        `json:"request"`
	StartsAt    string         `json:"starts_at"`
	Zone        string         `json:"zone"`
	Timeline    []Row          `json:"timeline"`
	DriveS      float64        `json:"drive_s"`
	LengthM     float64        `json:"length_m"`
	Bound       *Bound         `json:"bound,omitempty"`
	NoBound     string         `json:"no_bound,omitempty"`
	Attribution string         `json:"attribution"`
	Cautions    []string       `json:"cautions"`
	Sent        string         `json:"sent_for,omitempty"`
	Learner     *LearnerRecord `json:"learner,omitempty"`
	Choice      *Choice        `json:"you_choose,omitempty"`
}

// Roles of features, as the file spells them.
const (
	roleLeg      = "leg"
	roleExample  = "example"
	roleStart    = "start"
	rolePullUp   = "pull-up"
	rolePractice = "practice"
	roleBackup   = "backup"
	roleSecond   = "second-practice"
	roleSecondBy = "second-backup"
	roleEvent    = "event"
	roleFinish   = "finish"
	roleStep     = "step"
	roleWayBack  = "way-back"
	roleAround   = "around"
)

type legProperties struct {
	Role    string       `json:"role"`
	Order   int          `json:"order"`
	AtS     float64      `json:"at_s"`
	LengthM float64      `json:"length_m"`
	DriveS  float64      `json:"drive_s"`
	Driver  string       `json:"driver"`
	Roads   []string     `json:"roads"`
	Ways    []int64      `json:"ways"`
	Heights []geo.Metres `json:"heights_m,omitempty"`
	style
}

type stopProperties struct {
	Role     string  `json:"role"`
	Kerb     string  `json:"kerb,omitempty"`
	Road     string  `json:"road"`
	Side     string  `json:"side"`
	FacesDeg float64 `json:"faces_deg"`
	Towards  string  `json:"towards,omitempty"`
	AtS      float64 `json:"at_s"`
	Minutes  float64 `json:"minutes"`
	What     string  `json:"what,omitempty"`

	ChangeOver bool `json:"change_over,omitempty"`
}

type plainStopProperties struct {
	stopProperties
	style
}

type practiceProperties struct {
	stopProperties
	Exercise      string           `json:"exercise"`
	Goes          int              `json:"goes"`
	FacesAfterDeg float64          `json:"faces_after_deg"`
	Verdict       assess.Verdict   `json:"verdict"`
	Chance        float64          `json:"chance"`
	MapFit        float64          `json:"map_fit"`
	Window        []position       `json:"window,omitempty"`    // the kerb; not split at the antimeridian
	WayThere      *wayThere        `json:"way_there,omitempty"` // of a backup
	WayRound      *wayRound        `json:"way_round,omitempty"` // to the next go
	Late          *Late            `json:"late,omitempty"`
	Findings      []assess.Finding `json:"findings"`
	style
}

// wayThere is how to come to a backup from the practice place. It is no
// feature, since it is no part of the drive.
type wayThere struct {
	LengthM float64    `json:"length_m"`
	DriveS  float64    `json:"drive_s"`
	Roads   []string   `json:"roads"`
	Ways    []int64    `json:"ways"`
	Line    []position `json:"line"`
}

// wayRound is how to come to where the next go begins.
type wayRound struct {
	wayThere
	Say   string `json:"say"`
	Moves []Move `json:"moves,omitempty"`
}

type exampleProperties struct {
	Role     string           `json:"role"`
	Order    int              `json:"order"`
	AtS      float64          `json:"at_s"`
	Verdict  assess.Verdict   `json:"verdict"`
	Reason   string           `json:"reason"`
	Road     string           `json:"road"`
	Chance   float64          `json:"chance"`
	Findings []assess.Finding `json:"findings"`
	Key      *Key             `json:"key,omitempty"`
	Kerb     string           `json:"kerb,omitempty"`
	Alike    int              `json:"alike,omitempty"`
	style
}

type eventProperties struct {
	Role     string          `json:"role"`
	Order    int             `json:"order"`
	AtS      float64         `json:"at_s"`
	Topic    string          `json:"topic"`
	Road     string          `json:"road"`
	Chance   float64         `json:"chance"`
	Evidence assess.Evidence `json:"evidence"`
	Source   string          `json:"source"`
	style
}

type stepProperties struct {
	Role      string  `json:"role"`
	Order     int     `json:"order"`
	AtS       float64 `json:"at_s"`
	Say       string  `json:"say"`
	DistanceM float64 `json:"distance_m"`
	Kind      string  `json:"kind"`
	Alert     string  `json:"alert,omitempty"`
	Direction string  `json:"direction,omitempty"`
	Where     string  `json:"where,omitempty"`
	Moves     []Move  `json:"moves,omitempty"`
	style
}

type wayBackProperties struct {
	Role  string `json:"role"`
	Step  int    `json:"step"`
	Say   string `json:"say"`
	Moves []Move `json:"moves,omitempty"`
	style
}

type roadProperties struct {
	Role  string `json:"role"`
	Kind  string `json:"kind"`
	Name  string `json:"name,omitempty"`
	Class string `json:"class"`
	style
}

type buildingProperties struct {
	Role string `json:"role"`
	Kind string `json:"kind"`
	style
}

// Kinds of things around.
const (
	kindRoad     = "road"
	kindBuilding = "building"
)
