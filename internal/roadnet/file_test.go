package roadnet_test

import (
	"encoding/binary"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
	"loopwright/internal/roadnet/sectionfile"
)

// littleTown has one of everything that a section can hold.
const littleTown = `
	A 0,0
	B 100,0
	C 200,0
	D 200,100
	E 100,100
	F 100,-80
	Z 50,0
	A-Z-B-C High Street secondary ref=B1 30mph
	B-E Mill Lane
	E>D Mill Lane destination
	D-C Back Lane
	B-F Close
	turning F
	zebra Z
	ban A-B-E
	ban A-B-E-D
	drive on B-F at 40 left
	settlement 100,50 Littleton village
	address 90,20 12 Mill Lane AB1 2CD
	site school 120,20 160,60 Mill School
	site car-park 20,-40 60,-10
	site bus-stop 60,4 Market Place
	gate 120,40
	building house 105,10 113,18
	wall hedge 0,6 40,6
`

func written(t testing.TB, n *roadnet.Network) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "town.idx")
	if err := roadnet.Write(path, n); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestRoundTrip(t *testing.T) {
	n := roadnettest.Parse(t, littleTown)
	opened, err := roadnet.Open(written(t, n))
	if err != nil {
		t.Fatal(err)
	}
	defer opened.Close()
	got, want := reflect.ValueOf(*roadnet.ColumnsOf(opened)), reflect.ValueOf(*roadnet.ColumnsOf(n))
	for i := range got.NumField() {
		g, w := got.Field(i), want.Field(i)
		if g.Kind() == reflect.Slice && g.Len() == 0 && w.Len() == 0 {
			continue
		}
		if !reflect.DeepEqual(g.Interface(), w.Interface()) {
			t.Errorf("%s = %v, want %v", got.Type().Field(i).Name, g.Interface(), w.Interface())
		}
	}
}

// Whatever byte of a small index is changed, the answer is an error or the
// same network: padding between sections may change without meaning.
func TestEveryByteFlipped(t *testing.T) {
	n := roadnettest.Parse(t, littleTown)
	good, err := os.ReadFile(written(t, n))
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "flipped.idx")
	if err := os.WriteFile(path, good, 0o644); err != nil {
		t.Fatal(err)
	}
	file, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	put := func(i int, b byte) {
		if _, err := file.WriteAt([]byte{b}, int64(i)); err != nil {
			t.Fatal(err)
		}
	}
	for i := range good {
		if i > 0 {
			put(i-1, good[i-1])
		}
		put(i, good[i]^1<<(i%8))
		opened, err := roadnet.Open(path)
		if err != nil {
			if !isKnown(err) {
				t.Fatalf("byte %d: %v is none of the four errors", i, err)
			}
			continue
		}
		if !sameColumns(opened, n) {
			t.Fatalf("byte %d flipped gives another network and no error", i)
		}
		opened.Close()
	}
}

func sameColumns(a, b *roadnet.Network) bool {
	x, y := reflect.ValueOf(*roadnet.ColumnsOf(a)), reflect.ValueOf(*roadnet.ColumnsOf(b))
	for i := range x.NumField() {
		p, q := x.Field(i), y.Field(i)
		if (p.Kind() != reflect.Slice || p.Len() > 0 || q.Len() > 0) && !reflect.DeepEqual(p.Interface(), q.Interface()) {
			return false
		}
	}
	return true
}

func isKnown(err error) bool {
	return errors.Is(err, roadnet.ErrNotOurs) || errors.Is(err, roadnet.ErrOtherVersion) ||
		errors.Is(err, roadnet.ErrTruncated) || errors.Is(err, roadnet.ErrDamaged)
}

func TestFaults(t *testing.T) {
	good, err := os.ReadFile(written(t, roadnettest.Parse(t, littleTown)))
	if err != nil {
		t.Fatal(err)
	}
	edit := func(change func(b []byte) []byte) []byte { return change(append([]byte(nil), good...)) }
	for _, c := range []struct {
		name string
		file []byte
		want error
		says string
	}{
		{"a text", []byte("dear diary, today we drove round the block"), roadnet.ErrNotOurs, ""},
		{"sent as text", edit(func(b []byte) []byte { return append(b[:4], b[5:]...) }), roadnet.ErrNotOurs, ""},
		{"nothing", nil, roadnet.ErrTruncated, "byte 0"},
		{"a piece of the header", good[:20], roadnet.ErrTruncated, "byte 20"},
		{"a piece of the table", good[:100], roadnet.ErrTruncated, "table"},
		{"half", good[:len(good)/2], roadnet.ErrTruncated, "bytes are there"},
		{"without its last byte", good[:len(good)-1], roadnet.ErrTruncated, "bytes are there"},
		{"with a byte too many", append(append([]byte(nil), good...), 0), roadnet.ErrDamaged, "follow its end"},
		{"another version", edit(func(b []byte) []byte { binary.LittleEndian.PutUint32(b[8:], 77); return b }), roadnet.ErrOtherVersion, "version 77"},
		{"a changed table", edit(func(b []byte) []byte { b[60]++; return b }), roadnet.ErrDamaged, "header's checksum"},
		{"a changed name", edit(func(b []byte) []byte {
			i := strings.Index(string(b), "Mill Lane")
			b[i] = 'B'
			return b
		}), roadnet.ErrDamaged, `section "name-bytes", offset`},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "bad.idx")
			if err := os.WriteFile(path, c.file, 0o644); err != nil {
				t.Fatal(err)
			}
			_, err := roadnet.Open(path)
			if !errors.Is(err, c.want) || !strings.Contains(err.Error(), c.says) || !strings.Contains(err.Error(), path) {
				t.Errorf("Open = %v, want %v that says %q and the path", err, c.want, c.says)
			}
		})
	}
}

// Sections that a reader does not know are skipped, one that it needs and does
// not find is a fault.
func TestSections(t *testing.T) {
	n := roadnettest.Parse(t, littleTown)
	format := sectionfile.Format{Magic: [8]byte{0x8A, 'L', 'W', 'N', '\r', '\n', 0x1A, '\n'}, Version: roadnet.Version()}
	file, err := sectionfile.Open(written(t, n), format)
	if err != nil {
		t.Fatal(err)
	}
	var sections []sectionfile.Section
	tags, sizes := roadnet.Tags()
	for i, tag := range tags {
		data, ok, err := file.Section(tag, sizes[i])
		if err != nil || !ok {
			t.Fatal(tag, ok, err)
		}
		sections = append(sections, sectionfile.Section{Tag: tag, ElementSize: sizes[i], Data: data})
	}
	path := filepath.Join(t.TempDir(), "more.idx")
	more := append([]sectionfile.Section{{Tag: "tide-tables", ElementSize: 2, Data: []byte{1, 2, 3, 4}}}, sections...)
	if err := sectionfile.Write(path, format, more); err != nil {
		t.Fatal(err)
	}
	opened, err := roadnet.Open(path)
	if err != nil || !sameColumns(opened, n) {
		t.Errorf("with a section more: %v, or another network", err)
	}
	for i, s := range sections {
		fewer := append(append([]sectionfile.Section(nil), sections[:i]...), sections[i+1:]...)
		if err := sectionfile.Write(path, format, fewer); err != nil {
			t.Fatal(err)
		}
		if _, err := roadnet.Open(path); !errors.Is(err, roadnet.ErrDamaged) || !strings.Contains(err.Error(), s.Tag) {
			t.Errorf("without section %q: %v", s.Tag, err)
		}
	}
}

// A column that breaks an invariant is refused, though its checksum be right.
func TestInvariants(t *testing.T) {
	for _, c := range []struct {
		section string
		spoil   func(*roadnet.Columns)
	}{
		{"node-lat", func(c *roadnet.Columns) { c.NodeLatE7 = c.NodeLatE7[1:] }},
		{"turn-to", func(c *roadnet.Columns) { c.TurnTo[0] = 9999 }},
		{"turn-to", func(c *roadnet.Columns) { c.TurnTo[0] = (c.TurnTo[0] + 1) % 8 }},
		{"turn-start", func(c *roadnet.Columns) { c.TurnStart[2] = 0 }},
		{"vertex-start", func(c *roadnet.Columns) { c.VertexLonE7[0]++ }},
		{"piece-from", func(c *roadnet.Columns) {
			c.StretchLengthMm[0] = 1
			c.PieceFromMm[0] = 0
			c.MouthAlongMm[0] = 0
			c.ThingAlongMm[0] = 2
		}},
		{"piece-by-way", func(c *roadnet.Columns) { c.PieceByWay[0], c.PieceByWay[1] = c.PieceByWay[1], c.PieceByWay[0] }},
		{"state-segment", func(c *roadnet.Columns) { c.StateSegment[0] = 1 }},
		{"out", func(c *roadnet.Columns) { c.Out[0], c.Out[len(c.Out)-1] = c.Out[len(c.Out)-1], c.Out[0] }},
		{"junction-node", func(c *roadnet.Columns) { c.JunctionNode[0], c.JunctionNode[1] = c.JunctionNode[1], c.JunctionNode[0] }},
		{"stretch-name", func(c *roadnet.Columns) { c.StretchName[0] = 500 }},
		{"tree-boxes", func(c *roadnet.Columns) { c.TreeBoxes = c.TreeBoxes[1:] }},
	} {
		columns := *roadnet.ColumnsOf(roadnettest.Parse(t, littleTown))
		c.spoil(&columns)
		_, err := roadnet.New(columns)
		if !errors.Is(err, roadnet.ErrDamaged) {
			t.Errorf("New with a spoilt %s = %v", c.section, err)
		}
	}
}
