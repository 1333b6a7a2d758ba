package desk

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"os"
	"slices"
	"strings"
	"sync"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"go.yaml.in/yaml/v3"

	"loopwright/data"
	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/lesson"
)

// lessonSchema says what a lesson file may hold. That it compiles is tested.
var lessonSchema = sync.OnceValue(func() *jsonschema.Schema {
	const name = "lesson.schema.json"
	text, err := data.Tables.ReadFile(name)
	if err != nil {
		panic("bug in the embedded tables: " + err.Error())
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		panic("bug in data/" + name + ": " + err.Error())
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource(name, doc); err != nil {
		panic("bug in data/" + name + ": " + err.Error())
	}
	return c.MustCompile(name)
})

// lessonFile is a lesson as a colleague writes it down; data/lesson.schema.json
// says what its fields mean.
type lessonFile struct {
	From       string
	To         string
	Exercise   string
	Minutes    float64
	When       string
	Unsuitable *int
	Suitable   *int
	Seed       *uint64
	Avoid      texts
	DriveOut   bool   `yaml:"drive_out"`
	ArriveBy   string `yaml:"arrive_by"`
	Ice        bool
	NearSide   bool `yaml:"near_side_only"`
	Instructor string
	Order      string
	Dual       bool `yaml:"dual_controls"`
	Kind       string
	Second     string `yaml:"second_exercise"`
	Wishes     texts
	KeepOff    texts `yaml:"keep_off"`
	LeaveOut   texts `yaml:"leave_out"`
	Learner    *learnerFile
}

type learnerFile struct {
	Reference string
	Level     string
	Stages    map[string]string
	Covered   texts
	Next      texts
	WatchFor  texts `yaml:"watch_for"`
	Needs     texts
}

// texts is one text or a list of them.
type texts []string

// UnmarshalYAML reads either.
func (t *texts) UnmarshalYAML(n *yaml.Node) error {
	if n.Kind == yaml.ScalarNode {
		*t = texts{n.Value}
		return nil
	}
	return n.Decode((*[]string)(t))
}

// LessonHelp lists the fields of a lesson file, with the words of its schema.
func LessonHelp() string {
	var b strings.Builder
	list := func(indent string, s *jsonschema.Schema) {
		for _, name := range slices.Sorted(maps.Keys(s.Properties)) {
			p := s.Properties[name]
			fmt.Fprintf(&b, "%s%-*s%s", indent, 18-len(indent), name, p.Description)
			sep := ": "
			if p.Enum != nil {
				for _, v := range p.Enum.Values {
					fmt.Fprintf(&b, "%s%v", sep, v)
					sep = ", "
				}
			}
			b.WriteByte('\n')
		}
	}
	list("  ", lessonSchema())
	b.WriteString("Fields of learner:\n")
	list("  ", lessonSchema().Properties["learner"].Ref)
	fmt.Fprintf(&b, "Wishes seek or leave out (\"no signals\") %s;\nothers are \"my side and your side\" and \"questions only when parked\".\n", strings.Join(lesson.Sightings(), ", "))
	fmt.Fprintf(&b, "Topics of stages are the exercises and %s;\neach is untaught, talked through, prompted or independent.", topicList())
	return b.String()
}

// lessonSize bounds a lesson file: a page of text is 4 kB.
const lessonSize = 1 << 20

// ReadLesson reads a lesson file. What it leaves out is left out in the request
// too, but for minutes and seed, which are then 60 and 1.
func ReadLesson(path string) (PlanRequest, error) {
	f, err := os.Open(path)
	if err != nil {
		return PlanRequest{}, &Fault{Kind: BadInput, Err: err}
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, lessonSize+1))
	if err != nil {
		return PlanRequest{}, &Fault{Kind: BadInput, Err: fmt.Errorf("read %s: %w", path, err)}
	}
	if len(text) > lessonSize {
		return PlanRequest{}, fault(BadInput, "", "%s is larger than a megabyte: it is no lesson file", path)
	}
	return parseLesson(path, text)
}

func parseLesson(name string, text []byte) (PlanRequest, error) {
	var l lessonFile
	if err := readLesson(text, &l); err != nil {
		return PlanRequest{}, &Fault{Kind: BadInput, Err: fmt.Errorf("%s: %w", name, err)}
	}
	r := PlanRequest{
		From: l.From, To: l.To, Exercise: l.Exercise, Minutes: 60, When: l.When, Unsuitable: l.Unsuitable, Suitable: l.Suitable, Seed: 1,
		Avoid: l.Avoid, DriveOut: l.DriveOut, Kind: l.Kind, Second: l.Second, Wishes: l.Wishes, KeepOff: l.KeepOff, Without: l.LeaveOut, ArriveBy: l.ArriveBy, Mixed: l.Order == "mixed",
		Day: lesson.Day{Ice: l.Ice, NearSide: l.NearSide, Approved: l.Instructor == "approved", DualControls: l.Dual},
	}
	if l.Minutes > 0 {
		r.Minutes = l.Minutes
	}
	if l.Seed != nil {
		r.Seed = *l.Seed
	}
	if p := l.Learner; p != nil {
		r.Learner = &circuit.LearnerRecord{
			Reference: p.Reference, Level: p.Level, Stages: p.Stages, Covered: p.Covered, Next: p.Next, WatchFor: p.WatchFor, Needs: p.Needs,
		}
	}
	return r, nil
}

func readLesson(text []byte, l *lessonFile) error {
	var doc yaml.Node
	if err := yaml.Unmarshal(text, &doc); err != nil {
		return errors.New(strings.TrimPrefix(err.Error(), "yaml: "))
	}
	if len(doc.Content) == 0 {
		return errors.New("it is empty")
	}
	root := doc.Content[0]
	value, err := plainValue(root)
	if err != nil {
		return err
	}
	if err := lessonSchema().Validate(value); err != nil {
		var invalid *jsonschema.ValidationError
		if errors.As(err, &invalid) {
			return firstFault(root, invalid)
		}
		return err
	}
	if err := root.Decode(l); err != nil {
		return errors.New(strings.TrimPrefix(err.Error(), "yaml: "))
	}
	return knownNames(root, l)
}

// knownNames checks the exercise and the topics against those that there are.
func knownNames(root *yaml.Node, l *lessonFile) error {
	for _, named := range [][2]string{{"exercise", l.Exercise}, {"second_exercise", l.Second}} {
		if named[1] != "" {
			if _, err := assess.Named(named[1]); err != nil {
				return lineFault(root, named[:1], err.Error())
			}
		}
	}
	if _, err := lesson.ReadWishes(l.Wishes); err != nil {
		return lineFault(root, []string{"wishes"}, err.Error())
	}
	if l.Learner == nil {
		return nil
	}
	_, stages := entry(root, "learner", "stages")
	if stages == nil {
		return nil
	}
	for i := 0; i < len(stages.Content); i += 2 {
		name := stages.Content[i].Value
		if _, err := assess.Named(name); err == nil {
			continue
		}
		var t assess.Topic
		if err := t.UnmarshalText([]byte(name)); err != nil || t == assess.TopicUnknown {
			return lineFault(root, []string{"learner", "stages", name}, fmt.Sprintf("%.40q is neither an exercise nor one of %s", name, topicList()))
		}
	}
	return nil
}

// topicList lists what is taught on the drive.
func topicList() string {
	var out []string
	for _, t := range assess.Topics() {
		out = append(out, t.String())
	}
	return strings.Join(out, ", ")
}

// plainValue is a node as JSON has it: a day and time is its text.
func plainValue(n *yaml.Node) (any, error) {
	switch n.Kind {
	case yaml.MappingNode:
		out := map[string]any{}
		for i := 0; i < len(n.Content); i += 2 {
			key := n.Content[i]
			if _, twice := out[key.Value]; twice || key.Kind != yaml.ScalarNode {
				return nil, fmt.Errorf("line %d: %.40q is there twice, or is no name", key.Line, key.Value)
			}
			v, err := plainValue(n.Content[i+1])
			if err != nil {
				return nil, err
			}
			out[key.Value] = v
		}
		return out, nil
	case yaml.SequenceNode:
		out := []any{}
		for _, c := range n.Content {
			v, err := plainValue(c)
			if err != nil {
				return nil, err
			}
			out = append(out, v)
		}
		return out, nil
	case yaml.ScalarNode:
		if tag := n.ShortTag(); tag == "!!str" || tag == "!!timestamp" {
			return n.Value, nil
		}
		var v any
		if err := n.Decode(&v); err != nil {
			return nil, fmt.Errorf("line %d: %.40q can't be read", n.Line, n.Value)
		}
		if f, ok := v.(float64); ok && (math.IsNaN(f) || math.IsInf(f, 0)) {
			return nil, fmt.Errorf("line %d: %s is no number to plan with", n.Line, n.Value)
		}
		return v, nil
	}
	return nil, fmt.Errorf("line %d: write the value out; aliases are not read", n.Line)
}
