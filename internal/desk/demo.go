package desk

import (
	"context"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"

	"loopwright/data"
	"loopwright/internal/circuit"
)

// Demonstrated says what the demo made.
type Demonstrated struct {
	Index   string       `json:"index"`
	Lessons []DemoLesson `json:"lessons"`
}

// DemoLesson is one planned lesson of the demo.
type DemoLesson struct {
	File    string           `json:"file"`
	Circuit *circuit.Circuit `json:"-"`
}

// demoTown is the extract of the invented town; it lies in open sea, so the
// country is set and not found by position.
const (
	demoTown    = "town.osm.pbf"
	demoCountry = "gb"
)

// Demo writes the invented town to a folder, indexes it, plans the lesson of
// each request that comes with it, and writes the circuit files beside it.
func Demo(ctx context.Context, dir string, progress Progress) (*Demonstrated, error) {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, &Fault{Kind: BadInput, Err: err, Hint: "Name another folder with -o."}
	}
	town, err := fs.ReadFile(data.Demo, path.Join("demo", demoTown))
	if err != nil {
		return nil, err
	}
	extract := filepath.Join(dir, demoTown)
	if err := WriteFile(extract, town); err != nil {
		return nil, err
	}
	heights, err := demoHeights(dir)
	if err != nil {
		return nil, err
	}
	made, err := Index(ctx, IndexRequest{Extract: extract, Country: demoCountry, Heights: heights, Progress: progress})
	if err != nil {
		return nil, err
	}
	d, err := Open(made.Index)
	if err != nil {
		return nil, err
	}
	defer d.Close()
	out := &Demonstrated{Index: made.Index}
	requests, err := fs.Glob(data.Demo, "demo/lesson-*.yaml")
	if err != nil {
		return nil, err
	}
	for _, name := range requests {
		text, err := fs.ReadFile(data.Demo, name)
		if err != nil {
			return nil, err
		}
		request, err := parseLesson(name, text)
		if err != nil {
			return nil, err
		}
		planned, err := d.Plan(request)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		file := filepath.Join(dir, strings.TrimSuffix(path.Base(name), ".yaml")+".geojson")
		if err := WriteFile(file, planned.File); err != nil {
			return nil, err
		}
		out.Lessons = append(out.Lessons, DemoLesson{file, planned.Circuit})
	}
	return out, nil
}

// demoHeights writes the town's height files beside it and gives their folder.
func demoHeights(dir string) (string, error) {
	out := filepath.Join(dir, "heights")
	if err := os.MkdirAll(out, 0o755); err != nil {
		return "", &Fault{Kind: BadInput, Err: err, Hint: "Name another folder with -o."}
	}
	files, err := fs.ReadDir(data.Demo, "demo/heights")
	if err != nil {
		return "", err
	}
	for _, f := range files {
		b, err := fs.ReadFile(data.Demo, path.Join("demo/heights", f.Name()))
		if err != nil {
			return "", err
		}
		if err := WriteFile(filepath.Join(out, f.Name()), b); err != nil {
			return "", err
		}
	}
	return out, nil
}
