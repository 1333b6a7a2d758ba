package desk_test

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/qedus/osmpbf"

	"loopwright/internal/circuit"
	"loopwright/internal/desk"
)

// The first drive of the demo, and one from the same pick-up for a learner of
// whom nobody says anything, held against the tags of the raw map as
// github.com/qedus/osmpbf reads them: the beginner comes by no roundabout, no
// signals and no by-pass, at any place of the drive; so do not all.
func TestFirstDriveByTheRawMap(t *testing.T) {
	dir := t.TempDir()
	made, err := desk.Demo(context.Background(), dir, nil)
	if err != nil {
		t.Fatal(err)
	}
	hard := hardInTown(t, filepath.Join(dir, "town.osm.pbf"))
	hards := 0
	for _, l := range made.Lessons {
		found := hard.on(l.Circuit)
		switch {
		case strings.Contains(l.File, "first-drive"):
			if l.Circuit.Learner == nil || l.Circuit.Learner.Level != "first-drives" || l.Circuit.Request.Pace != "beginner" {
				t.Errorf("the learner is %+v, the pace %q", l.Circuit.Learner, l.Circuit.Request.Pace)
			}
			if len(found) > 0 {
				t.Errorf("the first drive comes by %v", found)
			}
		case len(found) > 0:
			hards++
		}
		file, err := os.ReadFile(l.File)
		if err != nil {
			t.Fatal(err)
		}
		back, err := circuit.Decode(file)
		if err != nil || back.Learner == nil || back.Learner.Reference == "" {
			t.Errorf("%s: the learner in the file is %+v, %v", l.File, back.Learner, err)
		}
	}
	if hards == 0 {
		t.Error("no other lesson of the demo comes by anything hard: the first drive proves nothing")
	}
}

// hardRoads are what a beginner keeps off.
type hardRoads struct {
	ways  map[int64]string
	nodes map[orb.Point]string
}

func hardInTown(t *testing.T, path string) hardRoads {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	out := hardRoads{map[int64]string{}, map[orb.Point]string{}}
	in := osmpbf.NewDecoder(f)
	if err := in.Start(1); err != nil {
		t.Fatal(err)
	}
	for {
		object, err := in.Decode()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		switch o := object.(type) {
		case *osmpbf.Node:
			if what := o.Tags["highway"]; what == "mini_roundabout" || what == "traffic_signals" {
				out.nodes[orb.Point{o.Lon, o.Lat}] = what
			}
		case *osmpbf.Way:
			switch {
			case o.Tags["highway"] == "":
			case o.Tags["junction"] == "roundabout":
				out.ways[o.ID] = "roundabout"
			case strings.Contains(o.Tags["name"], "By-pass"):
				out.ways[o.ID] = o.Tags["name"]
			}
		}
	}
	if len(out.ways) < 5 || len(out.nodes) < 5 {
		t.Fatalf("%d hard ways and %d hard nodes in the town", len(out.ways), len(out.nodes))
	}
	return out
}

// on lists what a circuit comes by.
func (h hardRoads) on(c *circuit.Circuit) []string {
	var out []string
	for _, l := range c.Legs {
		for _, w := range l.Ways {
			if what := h.ways[max(w, -w)]; what != "" {
				out = append(out, what)
			}
		}
		for _, p := range l.Line {
			for at, what := range h.nodes {
				if d := at.Lat() - p.Lat(); d > -1e-6 && d < 1e-6 {
					if d := at.Lon() - p.Lon(); d > -1e-6 && d < 1e-6 {
						out = append(out, what)
					}
				}
			}
		}
	}
	return out
}
