package lesson

import (
	"strings"
	"testing"

	"loopwright/data"
	"loopwright/internal/assess"
	"loopwright/internal/circuit"
)

func TestStageWords(t *testing.T) {
	seen := map[string]bool{}
	for s := range stageCount {
		if seen[s.String()] || s.String() == "" {
			t.Errorf("stage %d is %q", s, s)
		}
		seen[s.String()] = true
		var back Stage
		if err := back.UnmarshalText([]byte(s.String())); (err == nil) != (s != StageUnknown) || err == nil && back != s {
			t.Errorf("UnmarshalText(%q) = %v, %v", s, back, err)
		}
	}
}

// Levels rise: what is taught at one is taught at the next, and each says a
// stage for every topic of driving.
func TestLevelsRise(t *testing.T) {
	before := map[string]Stage{}
	for _, name := range []string{"first-drives", "early", "middle", "near-test"} {
		l, err := standardLearners().level(name)
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(l.Source, "our choice") && !strings.Contains(l.Source, "common practice") {
			t.Errorf("%s has the source %q", name, l.Source)
		}
		for _, topic := range assess.Topics() {
			s := l.Stages[topic.String()]
			if s == StageUnknown || s < before[topic.String()] {
				t.Errorf("%s: %v is %v, before it was %v", name, topic, s, before[topic.String()])
			}
			before[topic.String()] = s
		}
	}
}

func TestLearnerOf(t *testing.T) {
	type stages = map[string]string
	for _, c := range []struct {
		name     string
		level    string
		stages   stages
		avoid    []string
		untaught string
		pace     string
		turns    bool
	}{
		{"nobody", "", nil, nil, "", "middle", false},
		{"near test", "near-test", nil, nil, "", "near-test", true},
		{"middle", "middle", nil, nil, "", "middle", false},
		{"early", "early", nil, nil, "roundabouts, large roundabouts, dual carriageways and country roads", "beginner", false},
		{"stages before the level", "early", stages{"roundabouts": "prompted", "large-roundabouts": "prompted", "turn-in-the-road": "prompted"}, nil, "dual carriageways and country roads", "beginner", true},
		{"large ones with the rest", "near-test", stages{"roundabouts": "untaught"}, nil, "roundabouts and large roundabouts", "near-test", true},
		{"to avoid", "near-test", nil, []string{"Dual carriageways", " signals"}, "signals and dual carriageways", "near-test", true},
	} {
		p, err := learnerOf(&circuit.LearnerRecord{Reference: "x", Level: c.level, Stages: c.stages}, c.avoid)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		var topics []assess.Topic
		for _, topic := range assess.Topics() {
			if p.untaught[topic] {
				topics = append(topics, topic)
			}
		}
		if got := inWords(topics); got != c.untaught || p.pace.Stage != c.pace || p.turns != c.turns {
			t.Errorf("%s: untaught %q, pace %s, turns %v; want %q, %s, %v", c.name, got, p.pace.Stage, p.turns, c.untaught, c.pace, c.turns)
		}
	}
	for _, c := range []struct {
		l     circuit.LearnerRecord
		avoid []string
		want  string
	}{
		{circuit.LearnerRecord{Level: "expert"}, nil, "first-drives, early, middle, near-test"},
		{circuit.LearnerRecord{Stages: stages{"signals": "so-so"}}, nil, "untaught, talked through"},
		{circuit.LearnerRecord{Stages: stages{"flying": "prompted"}}, nil, "no topic of driving"},
		{circuit.LearnerRecord{}, []string{"cows"}, "what to avoid"},
	} {
		if _, err := learnerOf(&c.l, c.avoid); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%+v, %v: %v, want %q", c.l, c.avoid, err, c.want)
		}
	}
}

func TestLearnersTable(t *testing.T) {
	text, err := data.Tables.ReadFile("learners.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ old, new, want string }{
		{"format: 1", "format: 2", "format"},
		{"known_from: 0.7", "known_from: 7", "known_from"},
		{"pace: middle", "pace: gentle", "gentle"},
		{"signals: untaught", "signals: never", "never"},
		{"signals: untaught", "sygnals: untaught", "sygnals"},
		{"levels:", "labels:", "labels"},
	} {
		spoilt := strings.Replace(string(text), c.old, c.new, 1)
		if spoilt == string(text) {
			t.Fatalf("the table has no %q", c.old)
		}
		if _, err := learnersOf([]byte(spoilt)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("with %q for %q: %v, want %q", c.new, c.old, err, c.want)
		}
	}
}
