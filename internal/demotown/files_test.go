package demotown

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const demoFolder = "../../data/demo"

// tool finds a program that is no part of the project, or skips the test.
func tool(t *testing.T, name, debian string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		t.Skipf("%s is not installed (Debian package %s)", name, debian)
	}
	return path
}

// osmium-tool is the reference reader of the format.
func TestOsmiumReadsTheMap(t *testing.T) {
	osmium := tool(t, "osmium", "osmium-tool")
	_, m := shipped()
	var b bytes.Buffer
	if err := m.writePBF(&b); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), MapFile)
	if err := os.WriteFile(file, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(osmium, "fileinfo", "--extended", file).CombinedOutput()
	if err != nil {
		t.Fatalf("osmium fileinfo: %v\n%s", err, out)
	}
	for _, want := range []string{
		"Objects ordered (by type and id): yes", "sorting=Type_then_ID", "pbf_dense_nodes=true",
		"timestamp=2025-03-01T06:00:00Z", "Multiple versions of same object: no",
		fmt.Sprintf("Number of nodes: %d\n", len(m.nodes)),
		fmt.Sprintf("Number of ways: %d\n", len(m.ways)),
		fmt.Sprintf("Number of relations: %d\n", len(m.relations)),
	} {
		if !strings.Contains(string(out), want) {
			t.Errorf("osmium fileinfo does not say %q:\n%s", want, out)
		}
	}
	boxes := regexp.MustCompile(`\(([-0-9.,]+)\)`).FindAllString(string(out), -1)
	if len(boxes) != 2 || boxes[0] != boxes[1] {
		t.Errorf("the header's box and the data's are %v", boxes)
	}

	// It exits with 1 where references are missing, as they are on purpose.
	out, err = exec.Command(osmium, "check-refs", "--check-relations", file).CombinedOutput()
	if e, ok := err.(*exec.ExitError); err != nil && (!ok || e.ExitCode() != 1) {
		t.Fatalf("osmium check-refs: %v\n%s", err, out)
	}
	counts := regexp.MustCompile(`(\w+) +in (\w+) +missing: (\d+)`).FindAllStringSubmatch(string(out), -1)
	want := map[string]int{"Nodes in ways": missing, "Nodes in relations": 0, "Ways in relations": 1, "Relations in relations": 0}
	if len(counts) != len(want) {
		t.Fatalf("osmium check-refs says:\n%s", out)
	}
	for _, c := range counts {
		if n, _ := strconv.Atoi(c[3]); n != want[c[1]+" in "+c[2]] {
			t.Errorf("%s in %s missing: %d, want %d", c[1], c[2], n, want[c[1]+" in "+c[2]])
		}
	}
}

func TestBrokenOnPurpose(t *testing.T) {
	_, m := shipped()
	repeats, outside := 0, 0
	last := m.nodes[len(m.nodes)-1].id
	for _, w := range m.ways {
		for i, ref := range w.refs {
			if i > 0 && ref == w.refs[i-1] {
				repeats++
			}
			if ref > last {
				outside++
			}
		}
	}
	if repeats != 1 || outside != missing {
		t.Errorf("%d repeated nodes and %d outside the file, want 1 and %d", repeats, outside, missing)
	}
}

// The town is the same made twice, and the shipped files are what the
// generator writes.
func TestWriteRepeats(t *testing.T) {
	dir := t.TempDir()
	if err := Write(dir, Seed); err != nil {
		t.Fatal(err)
	}
	town, m := shipped()
	var pbf, text bytes.Buffer
	if err := m.writePBF(&pbf); err != nil {
		t.Fatal(err)
	}
	if err := writeTruth(&text, town.records()); err != nil {
		t.Fatal(err)
	}
	total, names := 0, []string{}
	err := filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		name, err := filepath.Rel(dir, path)
		if err != nil {
			return err
		}
		names = append(names, filepath.ToSlash(name))
		content, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		total += len(content)
		switch filepath.ToSlash(name) {
		case MapFile:
			if !bytes.Equal(content, pbf.Bytes()) {
				t.Error("the map differs from one run to the next")
			}
		case TruthFile:
			z, err := gzip.NewReader(bytes.NewReader(content))
			if err != nil {
				return err
			}
			if again, err := io.ReadAll(z); err != nil || !bytes.Equal(again, text.Bytes()) {
				t.Errorf("the truth differs from one run to the next (%v)", err)
			}
		}
		if runtime.GOARCH != "amd64" {
			return nil // another processor may round the last bit otherwise
		}
		if there, err := os.ReadFile(filepath.Join(demoFolder, name)); err != nil || !bytes.Equal(there, content) {
			t.Errorf("data/demo/%s is out of date (%v): go generate ./data", name, err)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if want := []string{HeightsFile, MapFile, PictureFile, TruthFile}; !slices.Equal(names, want) {
		t.Errorf("files %v, want %v and nothing half-written", names, want)
	}
	if total > 4<<20 {
		t.Errorf("the town takes %d bytes, more than 4 MiB", total)
	}
}

func TestAnotherSeedMakesATown(t *testing.T) {
	if files, err := Generate(7); err != nil || len(files) != 4 {
		t.Errorf("%d files, error %v", len(files), err)
	}
}

func TestReplaceLeavesNothingBehind(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "a")
	if err := replace(file, []byte("one")); err != nil {
		t.Fatal(err)
	}
	if err := replace(file, []byte("two")); err != nil {
		t.Fatal(err)
	}
	if text, err := os.ReadFile(file); err != nil || string(text) != "two" {
		t.Errorf("read %q, error %v", text, err)
	}
	if err := replace(filepath.Join(file, "b"), nil); err == nil {
		t.Error("a file for a folder gives no error")
	}
	if there, err := os.ReadDir(dir); err != nil || len(there) != 1 {
		t.Errorf("%v is there, error %v; want the one file", there, err)
	}
}

// GDAL is the reference reader of the heights.
func TestGDALReadsTheHeights(t *testing.T) {
	info := tool(t, "gdallocationinfo", "gdal-bin")
	town, _ := shipped()
	grid := heightGrid(town.stream("heights"))
	content, err := writeHeights(grid)
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "town.tif")
	if err := os.WriteFile(file, content, 0o600); err != nil {
		t.Fatal(err)
	}
	var in strings.Builder
	var want []float32
	for row := 0; row < gridHigh; row += 9 {
		for col := 0; col < gridWide; col += 17 {
			lon, lat := westEdge+(float64(col)+0.5)*arcSecond, northEdge-(float64(row)+0.5)*arcSecond
			fmt.Fprintf(&in, "%.9f %.9f\n", lon, lat)
			want = append(want, grid[row*gridWide+col])
		}
	}
	c := exec.Command(info, "-valonly", "-wgs84", file)
	c.Stdin = strings.NewReader(in.String())
	out, err := c.CombinedOutput()
	if err != nil {
		t.Fatalf("gdallocationinfo: %v\n%s", err, out)
	}
	got := strings.Fields(string(out))
	if len(got) != len(want) {
		t.Fatalf("GDAL gives %d heights, want %d", len(got), len(want))
	}
	for i := range got {
		if v, err := strconv.ParseFloat(got[i], 32); err != nil || float32(v) != want[i] {
			t.Fatalf("height %d is %s to GDAL, want %v", i, got[i], want[i])
		}
	}
}

// The places that the demo's lessons name are crossings on the map.
func TestLessonsNamePlacesOnTheMap(t *testing.T) {
	_, m := shipped()
	on := map[string]map[int64]bool{}
	for _, w := range m.ways {
		if w.tags["highway"] == "" {
			continue
		}
		for _, ref := range w.refs {
			if on[w.tags["name"]] == nil {
				on[w.tags["name"]] = map[int64]bool{}
			}
			on[w.tags["name"]][ref] = true
		}
	}
	files, err := filepath.Glob(filepath.Join(demoFolder, "lesson-*.yaml"))
	if err != nil || len(files) != 3 {
		t.Fatalf("lessons %v, error %v; want three", files, err)
	}
	place := regexp.MustCompile(`(?m)^(?:from|to): (.+) & (.+)$`)
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		found := place.FindAllStringSubmatch(string(text), -1)
		if len(found) != 2 {
			t.Errorf("%s: from and to should be crossings, found %v", f, found)
		}
		for _, p := range found {
			meet := 0
			for ref := range on[p[1]] {
				if on[p[2]][ref] {
					meet++
				}
			}
			if meet != 1 {
				t.Errorf("%s: %s and %s meet at %d nodes, want 1", f, p[1], p[2], meet)
			}
		}
	}
}
