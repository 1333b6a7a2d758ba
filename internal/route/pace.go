package route

import (
	"bytes"
	"fmt"

	"go.yaml.in/yaml/v3"

	"loopwright/data"
	"loopwright/internal/extract"
	"loopwright/internal/geo"
)

// Pace is how a learner of one stage drives: data/pace.yaml, where each value
// has its source, says what the fields mean. Read only.
type Pace struct {
	Stage      string
	Share      float64 // of what the road allows
	Wait       float64 // factor on every delay
	Accelerate float64 // m/s²
	Brake      float64 // m/s²

	roads   [extract.Construction + 1]roadPace // by class; the zero row for those not driven
	speeds  [speedCount]geo.MetresPerSecond
	delays  [delayCount]geo.Seconds
	factors [factorCount]float64
}

// DefaultStage is the pace to plan with where nobody says.
const DefaultStage = "middle"

// roadPace is a row of the table of roads.
type roadPace struct {
	rank     int
	share    float64
	limited  bool // by cap
	cap      geo.MetresPerSecond
	unposted geo.MetresPerSecond
	wait     geo.Seconds
}

// The speeds, delays and factors of the table, by name.
type (
	speedName  uint8
	delayName  uint8
	factorName uint8
)

const (
	onRoundabout speedName = iota
	roundaboutLine
	giveWayLine
	nearTurn
	farTurn
	sharpTurn
	bendTurn
	overCalming
	onLoose
	onSetts
	speedCount
)

const (
	atSignals delayName = iota
	atSignalsFar
	atStopLine
	atRoundabout
	atMiniRoundabout
	toLook
	atZebra
	atCrossingSignals
	atCrossing
	atLevelCrossing
	atGate
	toTurnRound
	delayCount
)

const (
	farFactor factorName = iota
	acrossFactor
	oncomingFactor
	factorCount
)

// String is the name in the table.
func (s speedName) String() string {
	return [...]string{"on-roundabout", "roundabout-line", "give-way-line", "near-turn", "far-turn",
		"sharp-turn", "bend-turn", "calming", "loose", "setts"}[s]
}

// String is the name in the table.
func (d delayName) String() string {
	return [...]string{"signals", "signals-far", "stop-line", "roundabout", "mini-roundabout", "look",
		"zebra", "crossing-signals", "crossing", "level-crossing", "gate", "turn-round"}[d]
}

// String is the name in the table.
func (f factorName) String() string { return [...]string{"far", "across", "oncoming"}[f] }

// classNames are the rows of the table of roads.
var classNames = map[string]extract.Class{
	"motorway": extract.Motorway, "trunk": extract.Trunk, "primary": extract.Primary,
	"secondary": extract.Secondary, "tertiary": extract.Tertiary, "unclassified": extract.Unclassified,
	"residential": extract.Residential, "living_street": extract.LivingStreet, "road": extract.PlainRoad,
	"service": extract.ServiceRoad, "track": extract.Track,
}

// paceTable is the file as it stands.
type paceTable struct {
	Stages []struct {
		Stage          string
		Share, Wait    float64
		AccelerateMps2 float64 `yaml:"accelerate_mps2"`
		BrakeMps2      float64 `yaml:"brake_mps2"`
		Source         string
	}
	Roads []struct {
		Class       string
		Rank        int
		Share       float64
		CapKmh      float64 `yaml:"cap_kmh"`
		UnpostedKmh float64 `yaml:"unposted_kmh"`
		WaitS       float64 `yaml:"wait_s"`
		Source      string
	}
	Speeds []struct {
		Name   string
		Kmh    float64
		Source string
	}
	Delays []struct {
		Name   string
		S      float64
		Source string
	}
	Factors []struct {
		Name   string
		Value  float64
		Source string
	}
}

// Paces reads the table: the paces by stage. An error names the row that is
// wrong.
func Paces() (map[string]*Pace, error) {
	raw, err := data.Tables.ReadFile("pace.yaml")
	if err != nil {
		return nil, err
	}
	return parsePaces(raw)
}

func parsePaces(raw []byte) (map[string]*Pace, error) {
	var table paceTable
	dec := yaml.NewDecoder(bytes.NewReader(raw))
	dec.KnownFields(true)
	if err := dec.Decode(&table); err != nil {
		return nil, fmt.Errorf("pace.yaml: %w", err)
	}
	var common Pace
	if err := table.fill(&common); err != nil {
		return nil, fmt.Errorf("pace.yaml: %w", err)
	}
	paces := make(map[string]*Pace)
	for _, row := range table.Stages {
		p := common
		p.Stage, p.Share, p.Wait = row.Stage, row.Share, row.Wait
		p.Accelerate, p.Brake = row.AccelerateMps2, row.BrakeMps2
		switch {
		case p.Stage == "" || paces[p.Stage] != nil:
			return nil, fmt.Errorf("pace.yaml: stage %q: give each stage one row with a name", p.Stage)
		case row.Source == "":
			return nil, fmt.Errorf("pace.yaml: stage %s has no source", p.Stage)
		case !(p.Share > 0 && p.Share <= 1 && p.Wait > 0 && p.Accelerate > 0 && p.Brake > 0):
			return nil, fmt.Errorf("pace.yaml: stage %s: share must lie in (0, 1], wait, acceleration and braking above 0", p.Stage)
		}
		paces[p.Stage] = &p
	}
	if paces[DefaultStage] == nil {
		return nil, fmt.Errorf("pace.yaml: no stage %s", DefaultStage)
	}
	return paces, nil
}

// fill reads what all stages share. Every name must be there once, in a sane
// range and with its source.
func (t *paceTable) fill(p *Pace) error {
	for _, row := range t.Roads {
		class, known := classNames[row.Class]
		switch {
		case !known || p.roads[class].share > 0:
			return fmt.Errorf("roads: class %q is unknown or there twice", row.Class)
		case row.Source == "":
			return fmt.Errorf("roads: %s has no source", row.Class)
		case !(row.Share > 0 && row.Share <= 1 && row.CapKmh >= 0 && row.UnpostedKmh > 0 && row.WaitS >= 0):
			return fmt.Errorf("roads: %s: share must lie in (0, 1], unposted_kmh above 0, cap_kmh and wait_s not below 0", row.Class)
		}
		p.roads[class] = roadPace{row.Rank, row.Share, row.CapKmh > 0,
			geo.MetresPerSecond(row.CapKmh) * geo.KilometrePerHour,
			geo.MetresPerSecond(row.UnpostedKmh) * geo.KilometrePerHour, geo.Seconds(row.WaitS)}
	}
	for name, class := range classNames {
		if p.roads[class].share == 0 {
			return fmt.Errorf("roads: no row for %s", name)
		}
	}
	rows := make(map[string]float64)
	add := func(list, name string, value float64, source string) error {
		key := list + ": " + name
		if _, twice := rows[key]; twice || source == "" || !(value > 0) {
			return fmt.Errorf("%s is there twice, has no source or is not above 0", key)
		}
		rows[key] = value
		return nil
	}
	for _, r := range t.Speeds {
		if err := add("speeds", r.Name, r.Kmh, r.Source); err != nil {
			return err
		}
	}
	for _, r := range t.Delays {
		if err := add("delays", r.Name, r.S, r.Source); err != nil {
			return err
		}
	}
	for _, r := range t.Factors {
		if err := add("factors", r.Name, r.Value, r.Source); err != nil {
			return err
		}
	}
	take := func(list string, name fmt.Stringer) float64 {
		key := list + ": " + name.String()
		v := rows[key]
		delete(rows, key)
		return v
	}
	for s := range speedCount {
		p.speeds[s] = geo.MetresPerSecond(take("speeds", s)) * geo.KilometrePerHour
	}
	for d := range delayCount {
		p.delays[d] = geo.Seconds(take("delays", d))
	}
	for f := range factorCount {
		p.factors[f] = take("factors", f)
	}
	if len(rows) > 0 || len(t.Speeds) != int(speedCount) || len(t.Delays) != int(delayCount) || len(t.Factors) != int(factorCount) {
		return fmt.Errorf("speeds, delays and factors must hold each name of the program and no other")
	}
	return nil
}
