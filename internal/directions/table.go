package directions

import (
	"bytes"
	"fmt"
	"sync"

	"go.yaml.in/yaml/v3"

	"loopwright/data"
	"loopwright/internal/circuit"
)

// table is data/sentences.yaml.
type table struct {
	Format int
	Timing struct {
		LeadS         float64 `yaml:"lead_s"`
		BeginnerLeadS float64 `yaml:"beginner_lead_s"`
		SourceLead    string  `yaml:"source_lead"`
		FastKmh       float64 `yaml:"fast_kmh"`
		FastLeadS     float64 `yaml:"fast_lead_s"`
		SourceFast    string  `yaml:"source_fast"`
		LeastShare    float64 `yaml:"least_share"`
		SourceLeast   string  `yaml:"source_least"`
		JoinedM       float64 `yaml:"joined_m"`
		JoinedS       float64 `yaml:"joined_s"`
		SourceJoined  string  `yaml:"source_joined"`
		MostJoined    int     `yaml:"most_joined"`
		SourceMost    string  `yaml:"source_most_joined"`
	}
	Costs struct {
		Third        float64
		BeyondThird  float64 `yaml:"beyond_third"`
		NoPlainWords float64 `yaml:"no_plain_words"`
		Close        float64
		Fork         float64
		Sharp        float64
		FarExit      float64 `yaml:"far_exit"`
		Confusable   float64
		NoEntry      float64 `yaml:"no_entry"`
		Late         float64
		Source       string
	}
	Words     map[string]map[string]yaml.Node
	Profiles  map[string]string
	Exercises map[string]string

	spoken map[string]*words
}

var theTable = sync.OnceValue(func() *table {
	text, err := data.Tables.ReadFile("sentences.yaml")
	if err != nil {
		panic("bug in the embedded tables: " + err.Error())
	}
	t, err := parseTable(text)
	if err != nil {
		panic("bug in the embedded tables: data/sentences.yaml: " + err.Error())
	}
	return t
})

// parseTable reads the table; every way of speaking must have every form.
func parseTable(text []byte) (*table, error) {
	t := &table{spoken: map[string]*words{}}
	dec := yaml.NewDecoder(bytes.NewReader(text))
	dec.KnownFields(true)
	if err := dec.Decode(t); err != nil {
		return nil, err
	}
	for name, forms := range t.Words {
		w := &words{table: t}
		for f := MoveOff; f < formCount; f++ {
			node, ok := forms[f.String()]
			if !ok || node.Value == "" {
				return nil, fmt.Errorf("the words %q have no form %q", name, f)
			}
			w.forms[f] = node.Value
		}
		ordinals := forms["ordinals"]
		if err := ordinals.Decode(&w.ordinals); err != nil || len(w.ordinals) == 0 {
			return nil, fmt.Errorf("the words %q have no ordinals", name)
		}
		if err := w.readNames(forms); err != nil {
			return nil, fmt.Errorf("the words %q: %w", name, err)
		}
		if extra := len(forms) - int(formCount) - 4; extra != 0 { // forms but unknown; ordinals and four lists of names
			return nil, fmt.Errorf("the words %q have %d forms too many", name, extra)
		}
		t.spoken[name] = w
	}
	for code, name := range t.Profiles {
		if t.spoken[name] == nil {
			return nil, fmt.Errorf("profile %q speaks %q, which has no words", code, name)
		}
	}
	return t, nil
}

// readNames reads what landmarks and openings are called, and moves in short;
// every one must have a name, and no other.
func (w *words) readNames(forms map[string]yaml.Node) error {
	want := map[string][]string{}
	for _, l := range landmarks {
		want["things"] = append(want["things"], l.name)
	}
	for _, name := range openingNames {
		want["openings"] = append(want["openings"], name)
	}
	for _, a := range circuit.Actions() {
		want["actions"] = append(want["actions"], a.String())
	}
	for _, at := range circuit.Wheres() {
		want["places"] = append(want["places"], at.String())
	}
	for _, list := range []struct {
		name string
		into *map[string]string
	}{{"things", &w.things}, {"openings", &w.openings}, {"actions", &w.actions}, {"places", &w.places}} {
		node := forms[list.name]
		if err := node.Decode(list.into); err != nil {
			return fmt.Errorf("%s: %w", list.name, err)
		}
		for _, name := range want[list.name] {
			if (*list.into)[name] == "" {
				return fmt.Errorf("%s: %q has no name", list.name, name)
			}
		}
		if extra := len(*list.into) - len(want[list.name]); extra != 0 {
			return fmt.Errorf("%s: %d that the program does not know", list.name, extra)
		}
	}
	return nil
}
