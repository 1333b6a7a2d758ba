package lesson

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"sync"

	"go.yaml.in/yaml/v3"

	"loopwright/data"
	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/route"
)

// Stage is how far a topic has been taught.
type Stage uint8

const (
	StageUnknown Stage = iota // nobody says
	Untaught
	TalkedThrough
	Prompted
	Independent
	stageCount
)

var stageWords = [stageCount]string{"unknown", "untaught", "talked through", "prompted", "independent"}

// String is the word in files.
func (s Stage) String() string { return stageWords[s] }

// UnmarshalText reads the word; another is an error that lists those there are.
func (s *Stage) UnmarshalText(b []byte) error {
	i := slices.Index(stageWords[:], string(b))
	if i < 1 {
		return fmt.Errorf("stage %.40q is none of %s", b, strings.Join(stageWords[1:], ", "))
	}
	*s = Stage(i)
	return nil
}

// learnersTable is data/learners.yaml, where each value has its source.
type learnersTable struct {
	Format    int
	KnownFrom float64 `yaml:"known_from"`
	Source    string
	Levels    []learnerLevel
}

// learnerLevel is how far a learner is.
type learnerLevel struct {
	Name, Pace, Source string
	Stages             map[string]Stage
}

// learnersOf reads a table and refuses one with a level that can't be used.
func learnersOf(text []byte) (*learnersTable, error) {
	t := &learnersTable{}
	in := yaml.NewDecoder(bytes.NewReader(text))
	in.KnownFields(true)
	if err := in.Decode(t); err != nil {
		return nil, fmt.Errorf("table of learners: %w", err)
	}
	if t.Format != 1 || t.KnownFrom <= 0 || t.KnownFrom > 1 || len(t.Levels) == 0 {
		return nil, fmt.Errorf("table of learners: format must be 1, known_from above 0 and at most 1, and there must be levels")
	}
	for _, l := range t.Levels {
		if _, err := paceNamed(l.Pace); err != nil {
			return nil, fmt.Errorf("table of learners: level %s: %w", l.Name, err)
		}
		for name := range l.Stages {
			if err := topicOrExercise(name); err != nil {
				return nil, fmt.Errorf("table of learners: level %s: %w", l.Name, err)
			}
		}
	}
	return t, nil
}

// standardLearners is the table that the program carries. That it can be read
// is tested, so a fault is a bug.
var standardLearners = sync.OnceValue(func() *learnersTable {
	text, err := data.Tables.ReadFile("learners.yaml")
	if err != nil {
		panic("lesson: bug in data/learners.yaml: " + err.Error())
	}
	t, err := learnersOf(text)
	if err != nil {
		panic("lesson: bug in data/learners.yaml: " + err.Error())
	}
	return t
})

// level finds a level by its name.
func (t *learnersTable) level(name string) (learnerLevel, error) {
	var names []string
	for _, l := range t.Levels {
		if l.Name == name {
			return l, nil
		}
		names = append(names, l.Name)
	}
	return learnerLevel{}, fmt.Errorf("level %.40q is none of %s", name, strings.Join(names, ", "))
}

func topicOrExercise(name string) error {
	if _, err := assess.Named(name); err == nil {
		return nil
	}
	_, err := topicNamed(name)
	return err
}

// topicNamed reads a topic as one writes it: "dual carriageways" too, one of them,
// and traffic lights.
func topicNamed(words string) (assess.Topic, error) {
	name := strings.ReplaceAll(strings.ToLower(strings.TrimSpace(words)), " ", "-")
	var names []string
	for _, t := range assess.Topics() {
		if s := t.String(); s == name || s == name+"s" || t == assess.Signals && strings.TrimSuffix(name, "s") == "traffic-light" {
			return t, nil
		}
		names = append(names, topicWords(t))
	}
	return assess.TopicUnknown, fmt.Errorf("%.40q is no topic of driving: those are %s", words, strings.Join(names, ", "))
}

// topicWords is a topic as one says it.
func topicWords(t assess.Topic) string { return strings.ReplaceAll(t.String(), "-", " ") }

// learner is what the one whom a lesson is for means for its drive.
type learner struct {
	pace     *route.Pace
	untaught map[assess.Topic]bool // what is not to come on it
	unready  map[string]bool       // exercises that are untaught
	turns    bool                  // the turn in the road is taught
}

// learnerOf reads a learner, nil for nobody in particular, and words for what to
// keep off the drive beside what is untaught.
func learnerOf(l *circuit.LearnerRecord, avoid []string) (*learner, error) {
	p := &learner{untaught: map[assess.Topic]bool{}, unready: map[string]bool{}}
	stages := map[string]Stage{}
	pace := route.DefaultStage
	if l != nil {
		if l.Level != "" {
			level, err := standardLearners().level(l.Level)
			if err != nil {
				return nil, fmt.Errorf("the learner: %w", err)
			}
			pace = level.Pace
			for name, s := range level.Stages {
				stages[name] = s
			}
		}
		for name, words := range l.Stages {
			var s Stage
			if err := s.UnmarshalText([]byte(words)); err != nil {
				return nil, fmt.Errorf("the learner: %s: %w", name, err)
			}
			if err := topicOrExercise(name); err != nil {
				return nil, fmt.Errorf("the learner: %w", err)
			}
			stages[name] = s
		}
		// Who has not been taught roundabouts has not been taught large ones.
		if large := assess.LargeRoundabouts.String(); l.Stages[large] == "" && stages[assess.Roundabouts.String()] == Untaught {
			stages[large] = Untaught
		}
	}
	for _, t := range assess.Topics() {
		if stages[t.String()] == Untaught {
			p.untaught[t] = true
		}
	}
	for _, words := range avoid {
		t, err := topicNamed(words)
		if err != nil {
			return nil, fmt.Errorf("what to avoid: %w", err)
		}
		p.untaught[t] = true
		if t == assess.Roundabouts { // who asks for none means large ones too
			p.untaught[assess.LargeRoundabouts] = true
		}
	}
	for _, ex := range assess.Exercises() {
		p.unready[ex.Name] = stages[ex.Name] == Untaught
	}
	p.turns = stages[turnInTheRoad] >= Prompted
	var err error
	p.pace, err = paceNamed(pace)
	return p, err
}

// turnInTheRoad is the exercise after which a learner may turn back where the
// map has room for it.
const turnInTheRoad = "turn-in-the-road"

// paceNamed is a stage of data/pace.yaml; the default one for "".
func paceNamed(name string) (*route.Pace, error) {
	paces, err := route.Paces()
	if err != nil {
		return nil, err
	}
	if name == "" {
		name = route.DefaultStage
	}
	if p := paces[name]; p != nil {
		return p, nil
	}
	return nil, fmt.Errorf("pace %.40q is none of the table of paces", name)
}

// Two stages of data/pace.yaml.
const (
	beginner = "beginner"  // is told earlier
	nearTest = "near-test" // follows signs
)
