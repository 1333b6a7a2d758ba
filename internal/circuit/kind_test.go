package circuit_test

import (
	"bytes"
	"reflect"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
)

func TestKindWords(t *testing.T) {
	seen := map[string]bool{}
	for _, k := range circuit.Kinds() {
		text, err := k.MarshalText()
		var back circuit.Kind
		if err != nil || seen[k.String()] || back.UnmarshalText(text) != nil || back != k {
			t.Errorf("kind %d is %q, read back as %d (%v)", k, text, back, err)
		}
		seen[k.String()] = true
	}
	var k circuit.Kind
	if err := k.UnmarshalText([]byte("sightseeing")); err == nil {
		t.Error("a sightseeing tour is a kind of lesson")
	}
}

// What the lessons of other kinds have comes through the file and keeps the
// schema; a lesson past roads to judge has a place to practise.
func TestKindsInTheFile(t *testing.T) {
	schema := compileSchema(t)
	for _, kind := range circuit.Kinds() {
		c := sample(t)
		c.Request.Kind, c.Request.Second = kind, "parallel-park"
		c.Request.Seek = []circuit.Sought{{Topic: "mini-roundabouts", AtLeast: 4}, {Topic: "crossings", AtLeast: 1}}
		c.Events = []circuit.Event{{
			Order: 1, At: c.Legs[0].Line[1], AtS: 190, Topic: "crossings", Road: "Mill <Lane>", Chance: 1, Evidence: assess.Mapped, Source: "a crossing is mapped",
		}}
		second := c.Practice
		c.Second, c.SecondBackups = &second, c.Backups
		if kind == circuit.Junctions {
			c.Practice, c.Backups = circuit.Practice{}, nil
		}
		b := encode(t, c)
		got, err := circuit.Decode(b)
		if err != nil {
			t.Fatalf("%s: %v", kind, err)
		}
		got.StartsAt = c.StartsAt // equal, but with its own *time.Location
		if !reflect.DeepEqual(got, c) {
			t.Errorf("%s: Decode(Encode(c)) = %+v\nwant %+v", kind, got, c)
		}
		doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(b))
		if err != nil {
			t.Fatal(err)
		}
		if err := schema.Validate(doc); err != nil {
			t.Errorf("%s: %v", kind, err)
		}
	}
	c := sample(t)
	c.Practice = circuit.Practice{}
	if _, err := circuit.Decode(encode(t, c)); err == nil {
		t.Error("a lesson past roads to judge needs no place to practise")
	}
}
