package lesson

import (
	"encoding/json"
	"testing"

	"loopwright/data"
)

// A lesson file may ask for as long a lesson and as many roads to judge as a
// lesson can have, and no more.
func TestLimitsOfTheLessonFile(t *testing.T) {
	text, err := data.Tables.ReadFile("lesson.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	var schema struct {
		Properties map[string]struct{ Maximum *float64 }
	}
	if err := json.Unmarshal(text, &schema); err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]float64{"minutes": longest, "unsuitable": mostExamples, "suitable": mostExamples} {
		if got := schema.Properties[name].Maximum; got == nil || *got != want {
			t.Errorf("%s: the schema's maximum is %v, the planner's %v", name, got, want)
		}
	}
}
