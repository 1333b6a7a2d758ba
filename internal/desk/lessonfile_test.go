package desk

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"loopwright/data"
	"loopwright/internal/assess"
)

func lessonOf(t *testing.T, text string) (PlanRequest, error) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "lesson.yaml")
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return ReadLesson(path)
}

// Every field comes through, a list of texts as well as one, and what is left
// out is as the schema's words say.
func TestReadLesson(t *testing.T) {
	r, err := lessonOf(t, `
from: Mill Lane
to: High Street
exercise: parallel-park
minutes: 90
when: 2025-05-13T10:00:00+01:00
unsuitable: 3
suitable: 2
seed: 7
avoid: [dual carriageways, signals]
learner:
  reference: AB-1
  level: early
  stages: {roundabouts: untaught, parallel-park: talked through}
  covered: one thing
  next: [this, that]
  watch_for: speed
  needs: calm
`)
	if err != nil {
		t.Fatal(err)
	}
	l := r.Learner
	if r.From != "Mill Lane" || r.To != "High Street" || r.Exercise != "parallel-park" || r.Minutes != 90 || r.When != "2025-05-13T10:00:00+01:00" ||
		*r.Unsuitable != 3 || *r.Suitable != 2 || r.Seed != 7 || strings.Join(r.Avoid, "|") != "dual carriageways|signals" || l.Reference != "AB-1" || l.Level != "early" ||
		l.Stages["parallel-park"] != "talked through" || l.Stages["roundabouts"] != "untaught" ||
		strings.Join(l.Covered, "|") != "one thing" || strings.Join(l.Next, "|") != "this|that" || l.WatchFor[0] != "speed" || l.Needs[0] != "calm" {
		t.Errorf("read %+v with %+v", r, l)
	}
	r, err = lessonOf(t, "from: Mill Lane\n")
	if err != nil || r.Minutes != 60 || r.Seed != 1 || r.Unsuitable != nil || r.Suitable != nil || r.Learner != nil || r.When != "" {
		t.Errorf("read %+v, %v", r, err)
	}
}

// What is wrong is said with its line and its field.
func TestReadLessonFaults(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"empty", "", "lesson.yaml: it is empty"},
		{"no YAML", "from: [a\n", "line 1"},
		{"a list", "- from\n", "line 1: write fields with their names, not a list"},
		{"unknown field", "from: a\nexcercise: hill-start\n", "line 2, excercise: a lesson file has no such field"},
		{"unknown exercise", "from: a\nexercise: juggling\n", "line 2, exercise: "},
		{"words for a number", "from: a\nminutes: an hour\n", "line 2, minutes: write a number, not a text"},
		{"too long", "minutes: 900\n", "line 1, minutes: "},
		{"not finite", "minutes: .nan\n", "line 1: .nan is no number"},
		{"half a road", "suitable: 1.5\n", "line 1, suitable: write a whole number, not a number"},
		{"twice", "from: a\nfrom: b\n", "from"},
		{"nothing said", "from:\n", "line 1, from: write a text, not nothing"},
		{"alias", "from: &a x\nto: *a\n", "line 2: write the value out"},
		{"level", "learner:\n  reference: x\n  level: expert\n", `line 3, learner.level: "expert" is none of first-drives, early, middle, near-test`},
		{"no reference", "learner:\n  level: early\n", "line 1, learner: says no reference"},
		{"stage", "learner:\n  reference: x\n  stages:\n    signals: so-so\n", `line 4, learner.stages.signals: "so-so" is none of untaught`},
		{"topic", "learner:\n  reference: x\n  stages:\n    flying: untaught\n", `line 4, learner.stages.flying: "flying" is neither`},
		{"text", "learner:\n  reference: x\n  needs: {a: b}\n", "line 3, learner.needs: write a text or a list of texts"},
		{"item", "learner:\n  reference: x\n  needs:\n    - 3\n", "learner.needs"},
	} {
		if _, err := lessonOf(t, c.text); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
	if _, err := lessonOf(t, strings.Repeat("# padding\n", 200_000)); err == nil || !strings.Contains(err.Error(), "megabyte") {
		t.Errorf("a huge file: %v", err)
	}
}

// The lessons of the demo are lesson files, and the help has a line for every
// field that they use.
func TestDemoLessonsAreLessonFiles(t *testing.T) {
	names, err := fs.Glob(data.Demo, "demo/lesson-*.yaml")
	if err != nil || len(names) < 3 {
		t.Fatalf("%d lessons, %v", len(names), err)
	}
	for _, name := range names {
		text, err := fs.ReadFile(data.Demo, name)
		if err != nil {
			t.Fatal(err)
		}
		r, err := parseLesson(name, text)
		if err != nil {
			t.Error(err)
		}
		if r.Learner == nil || len(r.Learner.Stages) < 5 {
			t.Errorf("%s: the learner is %+v", name, r.Learner)
		}
	}
	help := LessonHelp()
	for _, field := range []string{"from", "to", "exercise", "minutes", "when", "unsuitable", "suitable", "seed", "avoid", "kind", "second_exercise", "wishes", "learner", "reference", "level", "stages", "covered", "next", "watch_for", "needs"} {
		if !strings.Contains(help, "  "+field+" ") {
			t.Errorf("the help has no line for %s:\n%s", field, help)
		}
	}
	for _, topic := range assess.Topics() {
		if !strings.Contains(help, topic.String()) {
			t.Errorf("the help does not name %v", topic)
		}
	}
}
