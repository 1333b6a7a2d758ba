package notes

import (
	"bytes"
	"fmt"
	"math"
	"reflect"
	"sync"

	"go.yaml.in/yaml/v3"

	"loopwright/data"
	"loopwright/internal/geo"
)

// table is data/notes.yaml. The field tags are its keys.
type table struct {
	methods [methodCount]struct{ fixed, share float64 }

	WidthDrift        float64 `key:"width_drift_m"`
	WidthReach        float64 `key:"width_reach_m"`
	FeltReach         float64 `key:"felt_reach_m"`
	SightShare        float64 `key:"sight_share"`
	Blocked           float64 `key:"blocked_m"`
	BlockedSpread     float64 `key:"blocked_spread_m"`
	Level             float64 `key:"level_percent"`
	LevelSpread       float64 `key:"level_spread_percent"`
	Gentle            float64 `key:"gentle_percent"`
	GentleSpread      float64 `key:"gentle_spread_percent"`
	Steep             float64 `key:"steep_percent"`
	SteepSpread       float64 `key:"steep_spread_percent"`
	ParkedReach       float64 `key:"parked_reach_m"`
	ParkedHours       float64 `key:"parked_hours"`
	ParkedWeekday     float64 `key:"parked_weekday"`
	ParkedWeekend     float64 `key:"parked_weekend"`
	ParkedOther       float64 `key:"parked_other"`
	ParkedNoTime      float64 `key:"parked_no_time"`
	ParkedHalfLife    float64 `key:"parked_half_life_days"`
	ParkedMap         float64 `key:"parked_map"`
	RestReach         float64 `key:"rest_reach_m"`
	RestUseDays       float64 `key:"rest_use_days"`
	RestComplaintDays float64 `key:"rest_complaint_days"`
	SuitsHalfLife     float64 `key:"suits_half_life_days"`
	SuitsSure         float64 `key:"suits_sure"`
}

var standard = sync.OnceValue(func() *table {
	text, err := data.Tables.ReadFile("notes.yaml")
	if err != nil {
		panic("bug: " + err.Error())
	}
	t, err := parseTable(text)
	if err != nil {
		panic("bug: notes.yaml: " + err.Error())
	}
	return t
})

func parseTable(text []byte) (*table, error) {
	type row struct {
		Value  float64
		Source string
	}
	var f struct {
		Methods map[string]struct {
			FixedM float64 `yaml:"fixed_m"`
			Share  float64
			Source string
		}
		Values map[string]row
	}
	dec := yaml.NewDecoder(bytes.NewReader(text))
	dec.KnownFields(true)
	if err := dec.Decode(&f); err != nil {
		return nil, err
	}
	t := &table{}
	for m := MethodUnknown + 1; m < methodCount; m++ {
		r, ok := f.Methods[m.String()]
		if !ok || r.Source == "" || r.FixedM <= 0 || r.Share < 0 {
			return nil, fmt.Errorf("method %q needs fixed_m above 0, a share and its source", m)
		}
		t.methods[m] = struct{ fixed, share float64 }{r.FixedM, r.Share}
	}
	if len(f.Methods) != int(methodCount)-1 {
		return nil, fmt.Errorf("there are methods that nobody measures by")
	}
	v := reflect.ValueOf(t).Elem()
	keys := 0
	for i := range v.NumField() {
		key := v.Type().Field(i).Tag.Get("key")
		if key == "" {
			continue
		}
		r, ok := f.Values[key]
		if !ok || r.Source == "" || r.Value <= 0 {
			return nil, fmt.Errorf("%s needs a value above 0 and its source", key)
		}
		v.Field(i).SetFloat(r.Value)
		keys++
	}
	if len(f.Values) != keys {
		return nil, fmt.Errorf("there are values that nobody reads")
	}
	return t, nil
}

// Spread is the standard deviation of a width measured so, in metres.
func (m Method) Spread(width geo.Metres) float64 { return standard().spread(m, width) }

// spread is the standard deviation of a width measured so. One measured in a
// way that this version does not know counts as by eye.
func (t *table) spread(m Method, width geo.Metres) float64 {
	if m == MethodUnknown {
		m = ByEye
	}
	return math.Hypot(t.methods[m].fixed, t.methods[m].share*float64(width))
}
