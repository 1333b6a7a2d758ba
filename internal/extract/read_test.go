package extract

import (
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/qedus/osmpbf/OSMPBF"
	"google.golang.org/protobuf/encoding/protowire"
)

// What the small map must read as, checked by hand.
func TestReadSmallMap(t *testing.T) {
	e := mustRead(t, write(t, "small.osm.pbf", crossroads().pbf(packZlib).Bytes()), britain(), 2)
	if got, want := e.Report.Counts, (Counts{11, 7, 3}); got != want {
		t.Errorf("counts = %v, want %v", got, want)
	}
	var ids []WayID
	for _, r := range e.Roads {
		ids = append(ids, r.ID)
	}
	// 105 is cut at the absent node 999 into two lone nodes: no road is left.
	if want := []WayID{100, 101, 102, 103}; !slices.Equal(ids, want) {
		t.Fatalf("roads = %v, want %v", ids, want)
	}
	if e.Report.MissingNodes != 1 || e.Report.BrokenWays != 1 {
		t.Errorf("missing nodes, broken ways = %d, %d, want 1, 1", e.Report.MissingNodes, e.Report.BrokenWays)
	}
	ford := e.Roads[2]
	if want := []NodeID{4, 2, 5}; !slices.Equal(ford.Nodes, want) {
		t.Errorf("nodes of way 102 = %v, want %v: a repeated neighbour is dropped", ford.Nodes, want)
	}
	if ford.UseForward != Through || ford.UseBackward != Barred || !ford.BusRoute {
		t.Errorf("way 102 reads as %v forward, %v back, bus route %v", ford.UseForward, ford.UseBackward, ford.BusRoute)
	}
	if ford.LimitForward.Source != LimitUnknown {
		t.Errorf("way 102 has the limit %+v out of maxspeed=fast", ford.LimitForward)
	}
	if want := (Problem{"maxspeed", "fast", 1, "way 102"}); !slices.Contains(e.Report.Problems, want) {
		t.Errorf("problems = %v, want %v among them", e.Report.Problems, want)
	}
	if want := (Width{5.5, WidthTag}); e.Roads[1].Width != want {
		t.Errorf("width of way 101 = %v, want %v", e.Roads[1].Width, want)
	}
	features := map[NodeID]Feature{}
	for _, n := range e.Nodes {
		features[n.ID] = n.Features
	}
	if features[2] != Signals || features[3] != BarrierShut || features[5] != CrossingZebra {
		t.Errorf("features = %v", features)
	}
	// 201 leads to way 105, of which nothing is left.
	if len(e.Restrictions) != 1 || e.Restrictions[0].ID != 200 || e.Restrictions[0].ViaNode != 2 {
		t.Errorf("restrictions = %+v, want 200 alone", e.Restrictions)
	}
	if len(e.Settlements) != 1 || e.Settlements[0].Name != "Nether Ford" || e.Settlements[0].Rank != 2 {
		t.Errorf("settlements = %+v", e.Settlements)
	}
	if len(e.Addresses) != 2 || e.Addresses[0].Postcode != "ZZ1 1AA" || e.Addresses[1].House != "12" {
		t.Errorf("addresses = %+v", e.Addresses)
	}
	if at := e.Addresses[1].At; at.Lon() != -0.6705 || at.Lat() != 52.5805 {
		t.Errorf("the house stands at %v, want the middle of its outline", at)
	}
	if got := e.Source.Timestamp.Unix(); got != 1_600_000_106 {
		t.Errorf("timestamp = %d, want the newest way's", got)
	}
}

// The same map however it is written, packed and read.
func TestOneMapInManyForms(t *testing.T) {
	m := crossroads()
	want := mustRead(t, write(t, "a.osm.pbf", m.pbf(packZlib).Bytes()), britain(), 1)
	var zipped bytes.Buffer
	z := gzip.NewWriter(&zipped)
	io.WriteString(z, m.xml())
	z.Close()
	waysFirst := new(pbf).header().data(m.relationBlock(), packRaw).data(m.wayBlock(), packRaw).
		block("SomethingNew", packRaw([]byte("to be skipped"))).data(m.nodeBlock(), packRaw)
	for name, data := range map[string][]byte{
		"raw.osm.pbf":   m.pbf(packRaw).Bytes(),
		"zstd.osm.pbf":  m.pbf(packZstd).Bytes(),
		"lz4.osm.pbf":   m.pbf(packLz4).Bytes(),
		"plain.osm.pbf": new(pbf).header().data(m.plainNodeBlock(), packZlib).data(m.wayBlock(), packZlib).data(m.relationBlock(), packZlib).Bytes(),
		"order.osm.pbf": waysFirst.Bytes(),
		"a.osm":         []byte(m.xml()),
		"a.osm.gz":      zipped.Bytes(),
	} {
		t.Run(name, func(t *testing.T) {
			same(t, mustRead(t, write(t, name, data), britain(), 3), want)
		})
	}
}

// same compares the facts of two extracts, but for the file's own name.
func same(t *testing.T, got, want *Extract) {
	t.Helper()
	a, b := reflect.ValueOf(*got), reflect.ValueOf(*want)
	for i := range a.NumField() {
		name := a.Type().Field(i).Name
		if name != "Source" && !reflect.DeepEqual(a.Field(i).Interface(), b.Field(i).Interface()) {
			x, y := fmt.Sprintf("%+v", a.Field(i)), fmt.Sprintf("%+v", b.Field(i))
			at := 0
			for at < len(x) && at < len(y) && x[at] == y[at] {
				at++
			}
			t.Errorf("%s differ: got ...%.300s, want ...%.300s", name, x[max(0, at-100):], y[max(0, at-100):])
		}
	}
	if got.Source.Bounds != want.Source.Bounds || !got.Source.Timestamp.Equal(want.Source.Timestamp) {
		t.Errorf("sources differ: %+v, want %+v", got.Source, want.Source)
	}
}

// The facts do not depend on the number of workers, which only .osm.pbf has.
func TestWorkersChangeNothing(t *testing.T) {
	for _, name := range realFiles {
		if !strings.HasSuffix(name, ".pbf") {
			continue
		}
		t.Run(name, func(t *testing.T) {
			path := realFile(t, name)
			same(t, mustRead(t, path, britain(), 8), mustRead(t, path, britain(), 1))
		})
	}
}

// Objects in every real extract are as many as osmium-tool counts, and what it
// rewrites as another form reads the same.
func TestCountsEqualOsmium(t *testing.T) {
	osmium, err := exec.LookPath("osmium")
	if err != nil {
		t.Skip("osmium-tool is not installed")
	}
	for _, name := range realFiles {
		t.Run(name, func(t *testing.T) {
			path := realFile(t, name)
			out, err := exec.Command(osmium, "fileinfo", "-e", "--json", path).Output()
			if err != nil {
				t.Fatal(err)
			}
			var info struct {
				Data struct{ Count Counts }
			}
			if err := json.Unmarshal(out, &info); err != nil {
				t.Fatal(err)
			}
			if got := mustRead(t, path, britain(), 0).Report.Counts; got != info.Data.Count {
				t.Errorf("counts = %+v, osmium has %+v", got, info.Data.Count)
			}
		})
	}
	t.Run("rewritten", func(t *testing.T) {
		path := realFile(t, "rutland-uk_2022-07-20.osm.pbf")
		want := mustRead(t, path, britain(), 0)
		for _, to := range []string{"r.osm", "r.osm.gz", "lz4.osm.pbf", "plain.osm.pbf"} {
			args := []string{"cat", path, "-o", filepath.Join(t.TempDir(), to)}
			switch to {
			case "lz4.osm.pbf":
				args = append(args, "-f", "pbf,pbf_compression=lz4")
			case "plain.osm.pbf":
				args = append(args, "-f", "pbf,pbf_dense_nodes=false,pbf_compression=none")
			}
			if out, err := exec.Command(osmium, args...).CombinedOutput(); err != nil {
				t.Logf("osmium can't write %s: %s", to, out)
				continue
			}
			got := mustRead(t, args[3], britain(), 0)
			got.Source.Timestamp = want.Source.Timestamp // XML does not carry it
			same(t, got, want)
		}
	})
}

func TestBounds(t *testing.T) {
	m := crossroads()
	hull := [4]float64{-0.70, 52.58, -0.67, 52.61}
	boxed := strings.Replace(m.xml(), "<osm version=\"0.6\">", "<osm version=\"0.6\">\n <bounds minlat=\"52\" minlon=\"-1\" maxlat=\"53\" maxlon=\"0\"/>", 1)
	for _, c := range []struct {
		name string
		data []byte
		want [4]float64
	}{
		{"hull.osm.pbf", m.pbf(packZlib).Bytes(), hull},
		{"hull.osm", []byte(m.xml()), hull},
		{"box.osm", []byte(boxed), [4]float64{-1, 52, 0, 53}},
	} {
		b, err := Bounds(context.Background(), write(t, c.name, c.data))
		if got := [4]float64{b.Left(), b.Bottom(), b.Right(), b.Top()}; err != nil || got != c.want {
			t.Errorf("Bounds(%s) = %v, %v, want %v", c.name, got, err, c.want)
		}
	}
	if _, err := Bounds(context.Background(), write(t, "bare.osm.pbf", new(pbf).header().Bytes())); err == nil {
		t.Error("a file without nodes has bounds")
	}
}

// Progress rises to its total, and a cancelled context ends the reading.
func TestProgressAndCancel(t *testing.T) {
	for _, name := range []string{"a.osm.pbf", "a.osm"} {
		data := crossroads().pbf(packZlib).Bytes()
		if name == "a.osm" {
			data = []byte(crossroads().xml())
		}
		path := write(t, name, data)
		var last, total int64
		_, err := Read(context.Background(), path, Options{Profile: britain(), Progress: func(done, of int64) {
			if done < last || done > of {
				t.Errorf("%s: progress %d of %d after %d", name, done, of, last)
			}
			last, total = done, of
		}})
		if err != nil || last != total || total == 0 {
			t.Errorf("%s: ended at %d of %d, %v", name, last, total, err)
		}
		ctx, cancel := context.WithCancel(context.Background())
		cancel()
		if _, err := Read(ctx, path, Options{Profile: britain()}); !errors.Is(err, context.Canceled) {
			t.Errorf("%s: a cancelled reading gives %v", name, err)
		}
	}
}

func TestRefusals(t *testing.T) {
	m := crossroads()
	lzma := &OSMPBF.Blob{Data: &OSMPBF.Blob_LzmaData{LzmaData: []byte("x")}}
	bzip2 := protowire.AppendBytes(protowire.AppendTag(nil, blobBzip2, protowire.BytesType), []byte("x"))
	history := strings.Replace(m.xml(), "<way id=\"101\" version=\"1\"", "<way id=\"100\" version=\"2\"", 1)
	for _, c := range []struct {
		name string
		data []byte
		say  string
	}{
		{"town.txt", nil, "does not end in .osm.pbf, .osm, .osm.gz or .osm.bz2"},
		{"empty.osm.pbf", nil, "empty"},
		{"empty.osm", nil, "empty"},
		{"empty.osm.gz", nil, "cut short"},
		{"page.osm", []byte("<!DOCTYPE html><html><body>Not found</body></html>"), "not an OpenStreetMap file"},
		{"page.osm.pbf", []byte("<!DOCTYPE html><html><body>Not found</body></html>"), "not an OpenStreetMap file"},
		{"page.osm.gz", []byte("<html>"), "not gzip data"},
		{"page.osm.bz2", []byte("<html>"), "bzip2"},
		{"headless.osm.pbf", new(pbf).data(m.nodeBlock(), packRaw).Bytes(), "begins with a block of type \"OSMData\""},
		{"history.osm.pbf", new(pbf).header("HistoricalInformation").Bytes(), "history file"},
		{"history.osm", []byte(history), "history file"},
		{"future.osm.pbf", new(pbf).header("Teleportation").Bytes(), "requires the feature \"Teleportation\""},
		{"lzma.osm.pbf", new(pbf).header().block("OSMData", lzma).Bytes(), "lzma"},
		{"bzip2.osm.pbf", new(pbf).header().frame("OSMData", bzip2, int32(len(bzip2))).Bytes(), "bzip2"},
	} {
		path := write(t, c.name, c.data)
		_, err := Read(context.Background(), path, Options{Profile: britain()})
		if err == nil || !strings.Contains(err.Error(), c.say) || !strings.Contains(err.Error(), c.name) {
			t.Errorf("Read(%s) = %v, want an error that names it and says %q", c.name, err, c.say)
		}
	}
	if _, err := Read(context.Background(), t.TempDir()+"/no.osm", Options{Profile: britain()}); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a missing file gives %v", err)
	}
	dir := filepath.Join(t.TempDir(), "dir.osm")
	if err := os.Mkdir(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	if _, err := Read(context.Background(), dir, Options{Profile: britain()}); err == nil {
		t.Error("a folder is read as an extract")
	}
}
