package circuit

import (
	"fmt"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"loopwright/internal/assess"
)

// Kind is what a lesson is made of.
type Kind uint8

const (
	RoadsToJudge Kind = iota // past roads to judge to a place to practise
	Junctions                // as many of the sought topics as fit, with time to talk
	TwoExercises             // two places to practise, one exercise each, roads to judge before them
	MockTest                 // varied topics and one exercise, near test standard
	TestDay                  // a warm-up, and there before the test
	SurveyDrive              // the instructor's own, past roads to look at
	kindCount
)

var kindWords = [kindCount]string{"roads-to-judge", "junctions", "two-exercises", "mock-test", "test-day", "survey"}

// Kinds are all of them.
func Kinds() []Kind {
	all := make([]Kind, kindCount)
	for i := range all {
		all[i] = Kind(i)
	}
	return all
}

// String is the word in files.
func (k Kind) String() string { return kindWords[k] }

// MarshalText writes the word.
func (k Kind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// UnmarshalText reads the word; another is an error that lists those there are.
func (k *Kind) UnmarshalText(b []byte) error {
	i := slices.Index(kindWords[:], string(b))
	if i < 0 {
		return fmt.Errorf("%.40q is no kind of lesson: those are %s", b, strings.Join(kindWords[:], ", "))
	}
	*k = Kind(i)
	return nil
}

var kindTitles = [kindCount]string{Junctions: "Junctions", MockTest: "Mock test", TestDay: "Test day", SurveyDrive: "Survey drive"}

// Title is what a lesson is about, as a user reads it, from the titles of the
// exercises.
func (c *Circuit) Title(exercise func(name string) string) string {
	switch title := kindTitles[c.Request.Kind]; {
	case title != "":
		return title
	case c.Second != nil && c.Second.Exercise != c.Practice.Exercise:
		return exercise(c.Practice.Exercise) + ", then " + strings.ToLower(exercise(c.Second.Exercise))
	case c.Practises():
		return exercise(c.Practice.Exercise)
	}
	return exercise(c.Request.Exercise)
}

// Sought is a topic that was sought on the drive.
type Sought struct {
	Topic   string `json:"topic"`
	AtLeast int    `json:"at_least"` // 1 or more
}

// Event is one time that the drive comes by a topic that was sought.
type Event struct {
	Order    int
	At       orb.Point // the junction, or where the road that teaches it begins
	AtS      float64
	Topic    string
	Road     string // that the car comes along
	Chance   float64
	Evidence assess.Evidence
	Source   string
}

// Practises says whether there is a place to practise.
func (c *Circuit) Practises() bool { return c.Practice.Exercise != "" }

// Practices are the places to practise, in order, each with its backups.
func (c *Circuit) Practices() []Practised {
	var out []Practised
	if c.Practises() {
		out = append(out, Practised{c.Practice, c.Backups})
	}
	if c.Second != nil {
		out = append(out, Practised{*c.Second, c.SecondBackups})
	}
	return out
}

// Practised is a place to practise with its backups.
type Practised struct {
	Practice
	Backups []Practice
}

// ExerciseOf is the exercise that a road to judge is for: the one that is
// practised next after it.
func (c *Circuit) ExerciseOf(e Example) string {
	if c.Second != nil && e.AtS > c.Practice.AtS {
		return c.Second.Exercise
	}
	return c.Practice.Exercise
}

// Wishless takes out of a request what was wished for one learner.
func (r *Request) Wishless() {
	r.Avoid, r.Seek, r.MySide, r.Parked = nil, nil, false, false
}
