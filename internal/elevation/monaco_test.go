package elevation

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/osm"
	"github.com/paulmach/osm/osmxml"

	"loopwright/internal/geo"
)

// Mappers tagged ways of Monaco with incline=up or down: an opinion from
// outside on which end is higher. All but 17 of the 235 are steps and footways
// under 30 m, less than half a sample of the model, so the shares are reported
// and held only well above what a coin would give.
func TestInclineOfMonaco(t *testing.T) {
	tile, err := filepath.Abs(sharedTile(t))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := exec.LookPath("osmium"); err != nil {
		t.Skip("osmium-tool is not installed")
	}
	path := filepath.Join(t.TempDir(), "incline.osm")
	if out, err := exec.Command("osmium", "tags-filter", "-o", path, filepath.Join(shared, "monaco_2023-11-21.osm.pbf"), "w/incline=up,down").CombinedOutput(); err != nil {
		t.Fatalf("osmium: %v: %s", err, out)
	}
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	nodes := map[osm.NodeID]orb.Point{}
	var lines []Line
	var ends []Ends
	var up, long []bool
	s := osmxml.New(context.Background(), file)
	defer s.Close()
	for s.Scan() {
		switch o := s.Object().(type) {
		case *osm.Node:
			nodes[o.ID] = orb.Point{o.Lon, o.Lat}
		case *osm.Way:
			var ls orb.LineString
			var length geo.Metres
			for _, n := range o.Nodes {
				p, ok := nodes[n.ID]
				if !ok {
					continue
				}
				if len(ls) > 0 {
					length += geo.Distance(ls[len(ls)-1], p)
				}
				ls = append(ls, p)
			}
			if v := o.Tags.Find("incline"); len(ls) > 1 && (v == "up" || v == "down") {
				ends = append(ends, Ends{2 * len(lines), 2*len(lines) + 1})
				lines = append(lines, Line{Points: ls})
				up, long = append(up, v == "up"), append(long, length > 30)
			}
		}
	}
	if err := s.Err(); err != nil {
		t.Fatal(err)
	}
	profiles, err := Along(t.Context(), folderWith(t, tile), lines, ends, 2*len(lines), 0)
	if err != nil {
		t.Fatal(err)
	}
	var agree, told [2]int // all, and those over 30 m
	for i, p := range profiles {
		first, last := p.Heights[0], p.Heights[len(p.Heights)-1]
		if first != first || last != last {
			continue
		}
		for k := range 2 {
			if k == 0 || long[i] {
				told[k]++
				if last > first == up[i] {
					agree[k]++
				}
			}
		}
	}
	t.Logf("incline agrees on %d of %d ways, and on %d of %d over 30 m", agree[0], told[0], agree[1], told[1])
	if told[0] < 200 || agree[0] < told[0]*7/10 || agree[1] < told[1]*7/10 {
		t.Errorf("incline agrees on %d of %d ways, and on %d of %d over 30 m", agree[0], told[0], agree[1], told[1])
	}
}

// BenchmarkAlong reports the cost of one profile of 300 m.
func BenchmarkAlong(b *testing.B) {
	f := &Folder{tiles: []*tile{{grid: &grid{west: -1.02, north: 53.02, dx: 1.0 / 3600, dy: 1.0 / 3600, cols: 145, rows: 145, noise: noiseOneSecond, samples: slope{}}}}}
	var lines []Line
	var ends []Ends
	for k := range 100 {
		lines = append(lines, Line{Points: orb.LineString{hillPlane.From(geo.XY{}), hillPlane.From(geo.Towards(geo.Radians(k)).Scale(300))}})
		ends = append(ends, Ends{0, k + 1})
	}
	for b.Loop() {
		if _, err := Along(b.Context(), f, lines, ends, 101, 0); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/100, "µs/profile")
}
