package desk_test

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"loopwright/internal/desk"
)

// Every file that the demo plans, and each made of it for sending, keeps the
// schema (github.com/santhosh-tekuri/jsonschema, draft 2020-12).
func TestPlannedAndSentFilesKeepTheSchema(t *testing.T) {
	text, err := os.ReadFile("../../data/circuit.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	compiler := jsonschema.NewCompiler()
	compiler.AssertFormat()
	if err := compiler.AddResource("circuit.schema.json", doc); err != nil {
		t.Fatal(err)
	}
	schema, err := compiler.Compile("circuit.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	dir, made := demo(t)
	d := opened(t, made.Index)
	files, anyone := []string{}, 0
	for _, l := range made.Lessons {
		base := filepath.Join(dir, filepath.Base(l.File))
		files = append(files, l.File)
		if _, err := desk.SendForCover(l.File, base+".cover"); err != nil {
			t.Error(err)
		} else {
			files = append(files, base+".cover")
		}
		if _, err := d.SendForAnyone(l.File, base+".anyone"); err == nil {
			files = append(files, base+".anyone")
			anyone++
		} else {
			t.Logf("not for anyone: %v", err)
		}
	}
	if anyone == 0 {
		t.Error("no lesson of the demo can be sent to anyone")
	}
	for _, f := range files {
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		file, err := jsonschema.UnmarshalJSON(bytes.NewReader(b))
		if err != nil {
			t.Fatal(err)
		}
		if err := schema.Validate(file); err != nil {
			t.Errorf("%s: %v", filepath.Base(f), err)
		}
	}
}
