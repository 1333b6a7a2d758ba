package lesson

import (
	"strings"
	"testing"

	"loopwright/data"
)

func TestMustWords(t *testing.T) {
	seen := map[string]Must{}
	for m := range mustCount {
		s := m.String()
		if s == "" {
			t.Errorf("must %d has no words", m)
		}
		if other, twice := seen[s]; twice {
			t.Errorf("musts %d and %d are both %q", other, m, s)
		}
		seen[s] = m
		if b, err := m.MarshalText(); err != nil || string(b) != s {
			t.Errorf("MarshalText(%q) = %q, %v", s, b, err)
		}
	}
}

// Every value of the table has its source, and a table that could make no
// lesson is refused by what is wrong with it.
func TestReadTable(t *testing.T) {
	text, err := data.Tables.ReadFile("lesson.yaml")
	if err != nil {
		t.Fatal(err)
	}
	table, err := ReadTable(text)
	if err != nil {
		t.Fatal(err)
	}
	for name, source := range map[string]string{
		"splits": table.Splits.Source, "in_hand": table.InHand.Source, "late": table.Late.Source, "goes": table.Goes.Source, "pull_ups": table.PullUps.Source,
		"examples": table.Examples.Source, "backup": table.Backup.Source, "question": table.Question.Source,
		"search": table.Search.Source, "weights": table.Weights.Source, "change_over": table.ChangeOver.Source,
		"events": table.Events.Source, "mock": table.Mock.Source, "test_day": table.TestDay.Source, "telling": table.Telling.Source,
	} {
		if !strings.Contains(source, "our choice") && !strings.Contains(source, "common practice") {
			t.Errorf("%s has the source %q", name, source)
		}
	}
	for _, c := range []struct{ old, new, want string }{
		{"format: 1", "format: 2", "format"},
		{"in_hand:", "in_foot:", "in_foot"},
		{"  least: 2\n", "  least: 9\n", "goes"},
		{"about_s: 600", "about_s: 900", "pull_ups"},
		{"{from: 50,", "{from: 20,", "from must rise"},
		{"finalists: 8", "finalists: 0", "search"},
		{"turn_deg: 45", "turn_deg: 0", "telling"},
		{"least_minutes: 4", "least_minutes: 0", "least_minutes"},
	} {
		spoilt := strings.Replace(string(text), c.old, c.new, 1)
		if spoilt == string(text) {
			t.Fatalf("the table has no %q", c.old)
		}
		if _, err := ReadTable([]byte(spoilt)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("with %q for %q: %v, want %q", c.new, c.old, err, c.want)
		}
	}
}

// The rows of the table, from the greatest from not above the length.
func TestSplitFor(t *testing.T) {
	for _, c := range []struct {
		minutes              float64
		ok                   bool
		unsuitable, suitable int
	}{{29, false, 0, 0}, {30, true, 1, 1}, {60, true, 2, 1}, {90, true, 3, 1}, {120, true, 3, 2}} {
		s, ok := standard().SplitFor(c.minutes)
		if ok != c.ok || s.Unsuitable != c.unsuitable || s.Suitable != c.suitable {
			t.Errorf("SplitFor(%g) = %+v, %v; want %d and %d, %v", c.minutes, s, ok, c.unsuitable, c.suitable, c.ok)
		}
	}
}
