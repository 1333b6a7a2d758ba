package survey

import (
	"bytes"
	"fmt"
	"sync"

	"go.yaml.in/yaml/v3"

	"loopwright/data"
)

// table is data/survey.yaml.
type table struct {
	PullUp, Write, Pace                        float64 // seconds
	PacedTells, RightByEye                     float64
	RoadsAStop, Candidates, Rounds, Iterations int
}

// standard is the table that the program carries. That it can be read is
// tested, so a fault is a bug.
var standard = sync.OnceValue(func() table {
	text, err := data.Tables.ReadFile("survey.yaml")
	if err != nil {
		panic("bug: " + err.Error())
	}
	t, err := readTable(text)
	if err != nil {
		panic("bug: survey.yaml: " + err.Error())
	}
	return t
})

func readTable(text []byte) (t table, err error) {
	var f struct {
		Values map[string]struct {
			Value  float64
			Source string
		}
	}
	in := yaml.NewDecoder(bytes.NewReader(text))
	in.KnownFields(true)
	if err := in.Decode(&f); err != nil {
		return t, err
	}
	number := func(key string) float64 {
		v, ok := f.Values[key]
		if (!ok || v.Value <= 0 || v.Source == "") && err == nil {
			err = fmt.Errorf("%s needs a value above 0 and its source", key)
		}
		delete(f.Values, key)
		return v.Value
	}
	t.PullUp, t.Write, t.Pace = number("pull_up_s"), number("write_s"), number("pace_s")
	t.PacedTells, t.RightByEye = number("paced_tells"), number("right_by_eye")
	t.RoadsAStop = int(number("roads_a_stop"))
	t.Candidates, t.Rounds, t.Iterations = int(number("candidates")), int(number("rounds")), int(number("iterations"))
	if err == nil && len(f.Values) > 0 {
		err = fmt.Errorf("there are values that nobody reads")
	}
	return t, err
}
