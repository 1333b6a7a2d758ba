package settings_test

import (
	"strings"
	"testing"

	"loopwright/data"
	"loopwright/internal/assess"
	"loopwright/internal/settings"
)

// A file that changes one limit leaves all else as it is.
func TestLay(t *testing.T) {
	tables, err := settings.Lay("mine.yaml", []byte(`
exercises:
  spreads:
    width_m: {value: 0.31, source: "we measured ten"}
  exercises:
    - name: turn-in-the-road
      needs:
        - criterion: clear-width
          limit: {min: 6.6}
          accepts: [[5.2, 0], [6.6, 1]]
          source: "our larger car"
    - name: long-turn
      title: A longer turn
      like: turn-in-the-road
      window_m: {value: 40, source: "ours"}
`), data.Tables)
	if err != nil {
		t.Fatal(err)
	}
	if len(tables) != 1 {
		t.Fatalf("%d tables are changed, want one", len(tables))
	}
	own, err := assess.Parse("mine", tables["exercises.yaml"])
	if err != nil {
		t.Fatal(err)
	}
	standard := assess.Exercises()
	if len(own.Exercises) != len(standard)+1 {
		t.Fatalf("%d exercises, want one more than %d", len(own.Exercises), len(standard))
	}
	for i, ex := range standard {
		mine := own.Exercises[i]
		if mine.Name != ex.Name || len(mine.Needs) != len(ex.Needs) {
			t.Fatalf("exercise %d is %s with %d needs, want %s with %d", i, mine.Name, len(mine.Needs), ex.Name, len(ex.Needs))
		}
		for k := range ex.Needs {
			changed := ex.Name == "turn-in-the-road" && ex.Needs[k].Criterion == "clear-width"
			if (mine.Needs[k].Source != ex.Needs[k].Source) != changed {
				t.Errorf("%s %s: source %q, was %q", ex.Name, ex.Needs[k].Criterion, mine.Needs[k].Source, ex.Needs[k].Source)
			}
			if changed && *mine.Needs[k].Limit.Min != 6.6 {
				t.Errorf("the width asked is %v, want 6.6", *mine.Needs[k].Limit.Min)
			}
		}
	}
	if last := own.Exercises[len(own.Exercises)-1]; last.Window != 40 || !last.FacesBack {
		t.Errorf("the new exercise takes %v m and faces back: %v; want 40 m, true", last.Window, last.FacesBack)
	}
}

// What is wrong is said with its line.
func TestFaultsNameTheLine(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"empty", "", "mine.yaml: it is empty"},
		{"no map", "- a\n", "mine.yaml line 1: "},
		{"another table", "\nroads: {}\n", "mine.yaml line 2: additional properties 'roads' not allowed"},
		{"a word for a number", "exercises:\n  exercises:\n    - name: hill-start\n      needs:\n        - criterion: climb\n          limit:\n            min: steep\n", "mine.yaml line 7: "},
		{"a share above one", "exercises:\n  exercises:\n    - name: hill-start\n      needs:\n        - criterion: kerb\n          words:\n            free: 1.5\n", "mine.yaml line 7: "},
		{"no source", "exercises:\n  spreads:\n    width_m:\n      value: 1\n", "mine.yaml line 3: "},
		{"a slip of the pen", "exercises:\n  exercises:\n    - name: hill-start\n      needs: []\n      windw_m: 3\n", "mine.yaml line 3: "},
		{"not YAML", "exercises: [\n", "mine.yaml: yaml: line "},
	} {
		_, err := settings.Lay("mine.yaml", []byte(c.text), data.Tables)
		if err == nil || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
}
