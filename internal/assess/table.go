package assess

import (
	"bytes"
	"fmt"

	"go.yaml.in/yaml/v3"

	"loopwright/internal/calendar"
	"loopwright/internal/geo"
)

// Table is data/exercises.yaml, read and checked.
type Table struct {
	UnsuitableBelow, LikelyFrom float64 // of map_fit
	SuitableFrom                float64 // of chance
	Strictness                  float64 // correlation of the groups and the criteria in none
	Groups                      []Group
	Exercises                   []*Exercise
	criteria                    map[string]criterion
	spreads                     spreads
	examples                    exampleRules
	school                      calendar.School
	roomByFront                 []point // share of homes with room for a car off the road, by the width of the front
}

// Group is criteria whose answers are drawn together.
type Group struct {
	Name        string
	Criteria    []string
	Correlation float64
}

// criterion is what stands for a criterion in answers.
type criterion struct{ Unit, Card string }

// sourced is a number with where it comes from.
type sourced struct {
	Value  *float64
	Source string
}

// spreads are what readings are worth; exampleRules what makes a road to judge.
// The field names are the table's keys.
type spreads struct {
	AlikeClass       float64 `key:"alike_class"`
	AlikeNear        float64 `key:"alike_near"`
	AlikeRange       float64 `key:"alike_range_m"`
	AlikeRoad        float64 `key:"alike_road"`
	WidthCarriageway float64 `key:"width_carriageway_m"`
	Width            float64 `key:"width_m"`
	WidthEstimate    float64 `key:"width_estimate_m"`
	SingleLane       float64 `key:"single_lane_m"`
	ParkedParallel   float64 `key:"parked_parallel_m"`
	ParkedHalfKerb   float64 `key:"parked_half_kerb_m"`
	ParkedAcross     float64 `key:"parked_across_m"`
	Junction         float64 `key:"junction_m"`
	BendDeg          float64 `key:"bend_deg"`
	Corridor         float64 `key:"corridor_m"`
	SightShare       float64 `key:"sight_share"`
	Incline          float64 `key:"incline_percent"`
	Sloping          float64 `key:"sloping_percent"`
	GradientLocal    float64 `key:"gradient_local_percent"`
	SlopingSpread    float64 `key:"sloping_spread_percent"`
	LimitDefault     float64 `key:"limit_default"`
	HiddenCalming    float64 `key:"hidden_calming"`
	HiddenCrossing   float64 `key:"hidden_crossing"`
	HiddenBusStop    float64 `key:"hidden_bus_stop"`
	FacesLess        float64 `key:"faces_less_m"`
	CarsPerHome      float64 `key:"cars_per_home"`
	CarsWithoutRoom  float64 `key:"cars_without_room"`
	HomesPerKm       float64 `key:"homes_per_km"`
	BareShort        float64 `key:"bare_short"`
	BareLong         float64 `key:"bare_long"`
	BareOther        float64 `key:"bare_other"`
	BareSideShort    float64 `key:"bare_side_short"`
	BareSideLong     float64 `key:"bare_side_long"`
	SideUnmapped     float64 `key:"side_unmapped"`
	HomesSpread      float64 `key:"homes_spread"`
	CarKerb          float64 `key:"car_kerb_m"`
	AtHomeDay        float64 `key:"at_home_day"`
	AtHomeNight      float64 `key:"at_home_night"`
	SpaceFlats       float64 `key:"space_flats"`
	SpaceUnsaid      float64 `key:"space_unsaid"`
	SpaceUnused      float64 `key:"space_unused"`
	Visitors         float64 `key:"visitors"`
	VisitorsNight    float64 `key:"visitors_night"`
	FullnessLeast    float64 `key:"fullness_least"`
	FullnessShare    float64 `key:"fullness_share"`
	SeenFew          float64 `key:"seen_few"`
	SeenRow          float64 `key:"seen_row"`
	SeenSpread       float64 `key:"seen_spread"`
	TaggedSpread     float64 `key:"tagged_spread"`
	PassingPerHome   float64 `key:"passing_per_home"`
	PassingLeast     float64 `key:"passing_least"`
	PassingSpread    float64 `key:"passing_spread"`
	PassingJoins     float64 `key:"passing_joins"`
	PassingTertiary  float64 `key:"passing_tertiary"`
	OpenUnmapped     float64 `key:"open_unmapped"`
	ClosedUnmapped   float64 `key:"closed_unmapped"`
	ClosedSeen       float64 `key:"closed_seen"`
	OpenSeen         float64 `key:"open_seen"`
	OpenSeenFar      float64 `key:"open_seen_far"`
}

type exampleRules struct {
	Least    float64 `key:"least_m"`
	LeastS   float64 `key:"least_s"`
	MostS    float64 `key:"most_s"`
	SpeedKmh float64 `key:"speed_kmh"`
	Rest     float64 `key:"rest"`
	Share    float64 `key:"share"`
}

// The file's form.
type (
	tableFile struct {
		Verdicts struct {
			UnsuitableBelow sourced `yaml:"unsuitable_below"`
			LikelyFrom      sourced `yaml:"likely_from"`
			SuitableFrom    sourced `yaml:"suitable_from"`
			Strictness      sourced
		}
		Groups []struct {
			Name, Source string
			Criteria     []string
			Correlation  float64
		}
		Spreads, Examples map[string]sourced
		Criteria          []struct{ Name, Unit, Card string }
		School            struct{ Hours, Holidays, Source string }
		RoomByFront       struct {
			Points [][2]any
			Source string
		} `yaml:"room_by_front"`
		Exercises []exerciseRow
	}
	exerciseRow struct {
		Name, Title string
		Window      sourced `yaml:"window_m"`
		Kerb        string
		FacesAfter  string `yaml:"faces_after"`
		Goes        sourced
		Like        string
		Without     []string
		Needs       []needRow
	}
	needRow struct {
		Criterion string
		Limit     Limit
		Accepts   [][2]any
		Words     map[string]float64
		Unmapped  map[string]float64
		Cars      [][2]any
		Passing   [][2]any
		Kerbs     string
		Shows     map[string]float64
		Source    string
	}
)

// Parse reads a table of exercises; data/exercises.yaml shows the form. file
// is the name for messages. A field that the form does not have, a value
// without its source and a criterion that nobody reads are errors which name
// file, exercise and criterion.
func Parse(file string, text []byte) (*Table, error) {
	var f tableFile
	dec := yaml.NewDecoder(bytes.NewReader(text))
	dec.KnownFields(true)
	if err := dec.Decode(&f); err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	t, err := f.table()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	return t, nil
}

func (f *tableFile) table() (*Table, error) {
	t := &Table{criteria: make(map[string]criterion)}
	var err error
	if t.UnsuitableBelow, err = f.Verdicts.UnsuitableBelow.share("verdicts unsuitable_below"); err != nil {
		return nil, err
	}
	if t.LikelyFrom, err = f.Verdicts.LikelyFrom.share("verdicts likely_from"); err != nil {
		return nil, err
	}
	if t.SuitableFrom, err = f.Verdicts.SuitableFrom.share("verdicts suitable_from"); err != nil {
		return nil, err
	}
	if t.Strictness, err = f.Verdicts.Strictness.share("verdicts strictness"); err != nil {
		return nil, err
	}
	if t.Strictness > 0.5 {
		return nil, fmt.Errorf("verdicts strictness is %v: at most 0.5", t.Strictness)
	}
	if err := fillKeys("spreads", f.Spreads, &t.spreads); err != nil {
		return nil, err
	}
	if err := fillKeys("examples", f.Examples, &t.examples); err != nil {
		return nil, err
	}
	if f.School.Source == "" {
		return nil, fmt.Errorf("school needs hours, holidays and their source")
	}
	t.school.Hours = calendar.ParseHours(f.School.Hours)
	if unread := t.school.Hours.Unread(); len(unread) > 0 {
		return nil, fmt.Errorf("school hours: can't read %q: write them like Mo-Fr 08:15-09:15", unread[0])
	}
	if t.school.Terms, err = calendar.NewTerms(nil, f.School.Holidays); err != nil {
		return nil, err
	}
	if t.roomByFront, err = f.roomByFront(); err != nil {
		return nil, err
	}
	for _, c := range f.Criteria {
		if readers[c.Name] == nil {
			return nil, fmt.Errorf("criterion %q is none that can be read from a map", c.Name)
		}
		if c.Card == "" {
			return nil, fmt.Errorf("criterion %q has no card: give its two or three words for a card", c.Name)
		}
		t.criteria[c.Name] = criterion{c.Unit, c.Card}
	}
	grouped := make(map[string]string)
	for _, g := range f.Groups {
		if g.Source == "" || !(g.Correlation >= 0 && g.Correlation < 1) {
			return nil, fmt.Errorf("group %q needs a correlation from 0 to below 1 and its source", g.Name)
		}
		if len(g.Criteria) > mostInGroup {
			return nil, fmt.Errorf("group %q has %d criteria: at most %d", g.Name, len(g.Criteria), mostInGroup)
		}
		for _, c := range g.Criteria {
			if _, ok := t.criteria[c]; !ok || grouped[c] != "" {
				return nil, fmt.Errorf("group %q: criterion %q is not listed under criteria, or is in another group", g.Name, c)
			}
			grouped[c] = g.Name
		}
		t.Groups = append(t.Groups, Group{g.Name, g.Criteria, g.Correlation})
	}
	if len(f.Exercises) == 0 {
		return nil, fmt.Errorf("no exercises: list at least one under exercises")
	}
	rows := make(map[string]exerciseRow)
	for _, r := range f.Exercises {
		r, err := r.inherited(rows)
		if err != nil {
			return nil, fmt.Errorf("exercise %q: %w", r.Name, err)
		}
		rows[r.Name] = r
		ex, err := r.exercise(t)
		if err != nil {
			return nil, fmt.Errorf("exercise %q: %w", r.Name, err)
		}
		t.Exercises = append(t.Exercises, ex)
	}
	return t, nil
}

// promisingFrom is what map_fit must reach for a place to be likely or suitable.
func (t *Table) promisingFrom() float64 { return min(t.LikelyFrom, t.SuitableFrom) }

func (s sourced) number(key string) (float64, error) {
	if s.Value == nil || s.Source == "" {
		return 0, fmt.Errorf("%s needs a value and its source", key)
	}
	if *s.Value < 0 {
		return 0, fmt.Errorf("%s is %v: 0 or more", key, *s.Value)
	}
	return *s.Value, nil
}

func (s sourced) share(key string) (float64, error) {
	v, err := s.number(key)
	if err == nil && v > 1 {
		err = fmt.Errorf("%s is %v: 0 to 1", key, v)
	}
	return v, err
}

func (r exerciseRow) exercise(t *Table) (*Exercise, error) {
	ex := &Exercise{Name: r.Name, Title: r.Title, table: t}
	if r.Name == "" || r.Title == "" {
		return nil, fmt.Errorf("it needs a name and a title")
	}
	window, err := r.Window.number("window_m")
	if err != nil {
		return nil, err
	}
	goes, err := r.Goes.number("goes")
	if err != nil {
		return nil, err
	}
	ex.Window, ex.Goes = geo.Metres(window), int(goes)
	if window == 0 || goes < 1 {
		return nil, fmt.Errorf("window_m and goes are above 0")
	}
	switch r.Kerb {
	case "driving":
	case "far":
		ex.FarKerb = true
	case "car park":
		ex.CarPark = true
	default:
		return nil, fmt.Errorf("kerb is %q: driving, far or car park", r.Kerb)
	}
	switch r.FacesAfter {
	case "on":
	case "further on":
		ex.MovesOn = true
	case "back":
		ex.FacesBack = true
	case "out of the corner":
		ex.Corner = true
	default:
		return nil, fmt.Errorf("faces_after is %q: on, further on, back or out of the corner", r.FacesAfter)
	}
	seen := make(map[string]bool)
	for _, row := range r.Needs {
		need, err := row.need(t)
		if err != nil {
			return nil, fmt.Errorf("criterion %q: %w", row.Criterion, err)
		}
		if seen[row.Criterion] {
			return nil, fmt.Errorf("criterion %q stands twice: remove one", row.Criterion)
		}
		seen[row.Criterion] = true
		ex.Needs = append(ex.Needs, need)
	}
	if len(ex.Needs) == 0 {
		return nil, fmt.Errorf("no needs: list at least one")
	}
	if parked, width := ex.need("parked"), ex.need("clear-width"); parked != nil && width != nil {
		parked.width = width.accepts
	}
	return ex, nil
}

func (f *tableFile) roomByFront() (out []point, err error) {
	if f.RoomByFront.Source == "" || len(f.RoomByFront.Points) == 0 {
		return nil, fmt.Errorf("room_by_front needs points and their source")
	}
	for _, pair := range f.RoomByFront.Points {
		p, err := readPoint(pair)
		if err != nil {
			return nil, fmt.Errorf("room_by_front: %w", err)
		}
		out = append(out, p)
	}
	return out, nil
}
