package extract

import (
	"bytes"
	"compress/gzip"
	"context"
	"errors"
	"flag"
	"fmt"
	"math/rand"
	"os"
	"runtime"
	"strings"
	"testing"

	"github.com/qedus/osmpbf/OSMPBF"
	"google.golang.org/protobuf/encoding/protowire"
	"google.golang.org/protobuf/proto"
)

func read(path string, workers int) (*Extract, error) {
	return Read(context.Background(), path, Options{Profile: britain(), Workers: workers})
}

// A file that ends within a block is an error; at a block's end the format
// can't tell, and what is then missing is counted.
func TestEveryTruncation(t *testing.T) {
	f := crossroads().pbf(packZlib)
	whole := f.Bytes()
	path := write(t, "cut.osm.pbf", nil)
	atEnd := map[int]bool{}
	for _, end := range f.ends {
		atEnd[end] = true
	}
	for n := range whole {
		if err := os.WriteFile(path, whole[:n], 0o600); err != nil {
			t.Fatal(err)
		}
		_, err := read(path, 2)
		var fault *Fault
		switch {
		case atEnd[n] && err != nil:
			t.Errorf("cut at %d, the end of a block: %v", n, err)
		case !atEnd[n] && (!errors.As(err, &fault) || !errors.Is(err, ErrTruncated)):
			t.Errorf("cut at %d, within a block: %v", n, err)
		}
	}
	// Ways before nodes, and no nodes: every road has lost its nodes.
	m := crossroads()
	e := mustRead(t, write(t, "nodeless.osm.pbf", new(pbf).header().data(m.wayBlock(), packRaw).Bytes()), britain(), 1)
	if len(e.Roads) != 0 || e.Report.BrokenWays != 5 || e.Report.MissingNodes != 13 {
		t.Errorf("without nodes: %d roads, %d broken ways, %d missing nodes, want 0, 5, 13", len(e.Roads), e.Report.BrokenWays, e.Report.MissingNodes)
	}
}

func TestTruncatedXML(t *testing.T) {
	text := crossroads().xml()
	path := write(t, "cut.osm", nil)
	for n := 0; n < len(text)-len("\n"); n += 7 {
		if err := os.WriteFile(path, []byte(text[:n]), 0o600); err != nil {
			t.Fatal(err)
		}
		if _, err := read(path, 1); err == nil {
			t.Errorf("XML cut at %d of %d is read without an error", n, len(text))
		}
	}
}

var seed = flag.Int64("seed", 20261, "seed of the random tests of this package")

// Random bit flips, in packed and in raw blocks, give an error or a result:
// never a panic or a hang, and little memory.
func TestBitFlips(t *testing.T) {
	rounds := 10000
	if testing.Short() {
		rounds = 1000
	}
	t.Logf("seed %d", *seed)
	rng := rand.New(rand.NewSource(*seed))
	m := crossroads()
	forms := [][]byte{
		m.pbf(packRaw).Bytes(), m.pbf(packZlib).Bytes(), m.pbf(packZstd).Bytes(), m.pbf(packLz4).Bytes(),
		new(pbf).header().data(m.plainNodeBlock(), packRaw).data(m.wayBlock(), packRaw).data(m.relationBlock(), packRaw).Bytes(),
	}
	path := write(t, "flipped.osm.pbf", nil)
	failed, most := 0, uint64(0)
	var memory runtime.MemStats
	for i := range rounds {
		data := bytes.Clone(forms[i%len(forms)])
		for range 1 + rng.Intn(3) {
			data[rng.Intn(len(data))] ^= 1 << rng.Intn(8)
		}
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		_, err := read(path, 2)
		if err != nil {
			failed++
			var fault *Fault
			if !errors.As(err, &fault) {
				t.Fatalf("round %d: an error without a place: %v", i, err)
			}
		}
		if i%100 == 0 {
			runtime.ReadMemStats(&memory)
			most = max(most, memory.Sys)
		}
	}
	if failed == 0 || failed == rounds {
		t.Errorf("%d of %d flipped files are refused: the flips try nothing", failed, rounds)
	}
	if most > 512<<20 {
		t.Errorf("memory rose to %d MiB", most>>20)
	}
	t.Logf("%d of %d refused, at most %d MiB", failed, rounds, most>>20)
}

// The same on real blocks, re-packed as raw so that no checksum shields the
// decoder.
func TestBitFlipsInRealBlocks(t *testing.T) {
	path := realFile(t, "monaco_2023-11-21.osm.pbf")
	raw := repack(t, path)
	rounds := 200
	if testing.Short() {
		rounds = 20
	}
	t.Logf("seed %d", *seed)
	rng := rand.New(rand.NewSource(*seed))
	to := write(t, "flipped.osm.pbf", nil)
	for range rounds {
		data := bytes.Clone(raw)
		for range 1 + rng.Intn(20) {
			data[rng.Intn(len(data))] ^= 1 << rng.Intn(8)
		}
		if err := os.WriteFile(to, data, 0o600); err != nil {
			t.Fatal(err)
		}
		_, err := read(to, 2)
		var fault *Fault
		if err != nil && !errors.As(err, &fault) {
			t.Fatalf("an error without a place: %v", err)
		}
	}
}

// repack writes a file again with all its blocks unpacked.
func repack(t testing.TB, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	in := newFramer(bytes.NewReader(data), "", int64(len(data)))
	var f inflater
	var out pbf
	for {
		block, err := in.next(nil)
		if err != nil {
			return out.Bytes()
		}
		raw, err := f.inflate(block.blob)
		if err != nil {
			t.Fatal(err)
		}
		out.block(block.kind, packRaw(raw))
	}
}

// Sizes that lie, and what unpacks to far more than a map.
func TestBombs(t *testing.T) {
	zeros := make([]byte, 31<<20)
	packedAs := func(pack func([]byte) *OSMPBF.Blob, size int32) *OSMPBF.Blob {
		b := pack(zeros)
		b.RawSize = &size
		return b
	}
	small := packZlib([]byte("some bytes that are packed"))
	lie := func(size int32) *OSMPBF.Blob {
		b := proto.Clone(small).(*OSMPBF.Blob)
		b.RawSize = &size
		return b
	}
	unsized := proto.Clone(small).(*OSMPBF.Blob)
	unsized.RawSize = nil
	cut := proto.Clone(small).(*OSMPBF.Blob)
	z := cut.GetZlibData()
	cut.Data = &OSMPBF.Blob_ZlibData{ZlibData: z[:len(z)-3]}
	frame := func() *pbf { return new(pbf).header() }
	for name, f := range map[string]*pbf{
		"zlib bomb":         frame().block("OSMData", packedAs(packZlib, int32(len(zeros)))),
		"zstd bomb":         frame().block("OSMData", packedAs(packZstd, int32(len(zeros)))),
		"lz4 bomb":          frame().block("OSMData", packedAs(packLz4, int32(len(zeros)))),
		"zlib bomb, small":  frame().block("OSMData", packedAs(packZlib, 100)),
		"zstd bomb, small":  frame().block("OSMData", packedAs(packZstd, 100)),
		"lz4 bomb, small":   frame().block("OSMData", packedAs(packLz4, 100)),
		"too few":           frame().block("OSMData", lie(3)),
		"too many":          frame().block("OSMData", lie(1000)),
		"negative":          frame().block("OSMData", lie(-1)),
		"over 32 MiB":       frame().block("OSMData", lie(maxBlob+1)),
		"unsized":           frame().block("OSMData", unsized),
		"checksum cut off":  frame().block("OSMData", cut),
		"bomb in header":    new(pbf).block("OSMHeader", packedAs(packZlib, int32(len(zeros)))),
		"no data":           frame().block("OSMData", &OSMPBF.Blob{RawSize: proto.Int32(5)}),
		"raw of other size": frame().block("OSMData", &OSMPBF.Blob{RawSize: proto.Int32(5), Data: &OSMPBF.Blob_Raw{Raw: []byte("abc")}}),
		"datasize negative": frame().frame("OSMData", []byte("abc"), -1),
		"datasize too much": frame().frame("OSMData", []byte("abc"), maxBlob+1),
		"datasize past end": frame().frame("OSMData", []byte("abc"), 4),
	} {
		path := write(t, "bomb.osm.pbf", f.Bytes())
		var fault *Fault
		if e, err := read(path, 1); !errors.As(err, &fault) {
			t.Errorf("%s: %v, %v, want a fault", name, e, err)
		}
	}
}

func TestHeaderLength(t *testing.T) {
	good := crossroads().pbf(packRaw).Bytes()
	for _, length := range [][]byte{{0, 0, 0, 0}, {0, 1, 0, 0}, {0xff, 0xff, 0xff, 0xff}} {
		path := write(t, "long.osm.pbf", append(bytes.Clone(good), append(length, make([]byte, 1<<17)...)...))
		if _, err := read(path, 1); err == nil || !strings.Contains(err.Error(), "block 5") {
			t.Errorf("a header of length %x: %v", length, err)
		}
	}
}

// An XML bomb is refused, whether in one element or in many.
func TestXMLBombs(t *testing.T) {
	zip := func(parts ...string) []byte {
		var b bytes.Buffer
		z := gzip.NewWriter(&b)
		for _, p := range parts {
			z.Write([]byte(p))
		}
		z.Close()
		return b.Bytes()
	}
	long := strings.Repeat("a", 5<<20)
	for name, c := range map[string]struct {
		file string
		data []byte
		say  string
	}{
		"long value":   {"b.osm", []byte("<osm><node id=\"1\" lat=\"1\" lon=\"1\"><tag k=\"name\" v=\"" + long + "\"/></node></osm>"), "longer than"},
		"long comment": {"b.osm", []byte("<osm><!--" + long + "--></osm>"), "longer than"},
		"deep":         {"b.osm", []byte("<osm>" + strings.Repeat("<a>", 2<<20)), "longer than"},
		"same nodes":   {"b.osm.gz", zip("<osm>", strings.Repeat("<node id=\"1\" lat=\"1\" lon=\"1\"/>", 1<<20), "</osm>"), "far more"},
	} {
		if _, err := read(write(t, c.file, c.data), 1); err == nil || !strings.Contains(err.Error(), c.say) {
			t.Errorf("%s: %v, want an error that says %q", name, err, c.say)
		}
	}
}

// Faults within a block, each of which crashes a decoder that trusts its input.
func TestFaultsInBlocks(t *testing.T) {
	m := crossroads()
	group := func(b *OSMPBF.PrimitiveBlock) *OSMPBF.PrimitiveGroup { return b.Primitivegroup[0] }
	for name, c := range map[string]struct {
		block *OSMPBF.PrimitiveBlock
		spoil func(*OSMPBF.PrimitiveBlock)
	}{
		"too few latitudes":  {m.nodeBlock(), func(b *OSMPBF.PrimitiveBlock) { d := group(b).Dense; d.Lat = d.Lat[:len(d.Lat)-1] }},
		"too many latitudes": {m.nodeBlock(), func(b *OSMPBF.PrimitiveBlock) { d := group(b).Dense; d.Lat = append(d.Lat, 1) }},
		"no longitudes":      {m.nodeBlock(), func(b *OSMPBF.PrimitiveBlock) { group(b).Dense.Lon = nil }},
		"odd dense keys": {m.nodeBlock(), func(b *OSMPBF.PrimitiveBlock) {
			d := group(b).Dense
			d.KeysVals = append(d.KeysVals[:len(d.KeysVals)-1], 1)
		}},
		"dense tags end early":          {m.nodeBlock(), func(b *OSMPBF.PrimitiveBlock) { d := group(b).Dense; d.KeysVals = d.KeysVals[:3] }},
		"dense tags left over":          {m.nodeBlock(), func(b *OSMPBF.PrimitiveBlock) { d := group(b).Dense; d.KeysVals = append(d.KeysVals, 0) }},
		"dense key out of range":        {m.nodeBlock(), func(b *OSMPBF.PrimitiveBlock) { group(b).Dense.KeysVals[1] = 1 << 20 }},
		"dense key negative":            {m.nodeBlock(), func(b *OSMPBF.PrimitiveBlock) { group(b).Dense.KeysVals[1] = -5 }},
		"dense value out of range":      {m.nodeBlock(), func(b *OSMPBF.PrimitiveBlock) { group(b).Dense.KeysVals[2] = 1 << 20 }},
		"off the earth":                 {m.nodeBlock(), func(b *OSMPBF.PrimitiveBlock) { group(b).Dense.Lat[0] = 1 << 40 }},
		"far off the earth":             {m.nodeBlock(), func(b *OSMPBF.PrimitiveBlock) { group(b).Dense.Lat[0] = 1 << 62 }},
		"granularity 0":                 {m.nodeBlock(), func(b *OSMPBF.PrimitiveBlock) { b.Granularity = proto.Int32(0) }},
		"granularity negative":          {m.nodeBlock(), func(b *OSMPBF.PrimitiveBlock) { b.Granularity = proto.Int32(-100) }},
		"offset too great":              {m.nodeBlock(), func(b *OSMPBF.PrimitiveBlock) { b.LatOffset = proto.Int64(1 << 62) }},
		"plain node's key out of range": {m.plainNodeBlock(), func(b *OSMPBF.PrimitiveBlock) { group(b).Nodes[1].Keys[0] = 99 }},
		"plain node's tags uneven":      {m.plainNodeBlock(), func(b *OSMPBF.PrimitiveBlock) { group(b).Nodes[1].Vals = nil }},
		"way's key out of range":        {m.wayBlock(), func(b *OSMPBF.PrimitiveBlock) { group(b).Ways[0].Keys[0] = 1 << 30 }},
		"way's value out of range":      {m.wayBlock(), func(b *OSMPBF.PrimitiveBlock) { group(b).Ways[0].Vals[0] = 1 << 30 }},
		"way's values short":            {m.wayBlock(), func(b *OSMPBF.PrimitiveBlock) { w := group(b).Ways[0]; w.Vals = w.Vals[:1] }},
		"way's values long":             {m.wayBlock(), func(b *OSMPBF.PrimitiveBlock) { w := group(b).Ways[0]; w.Vals = append(w.Vals, 1) }},
		"member roles short":            {m.relationBlock(), func(b *OSMPBF.PrimitiveBlock) { r := group(b).Relations[0]; r.RolesSid = r.RolesSid[:1] }},
		"member types short":            {m.relationBlock(), func(b *OSMPBF.PrimitiveBlock) { r := group(b).Relations[0]; r.Types = r.Types[:1] }},
		"member ids short":              {m.relationBlock(), func(b *OSMPBF.PrimitiveBlock) { r := group(b).Relations[0]; r.Memids = r.Memids[:1] }},
		"role out of range":             {m.relationBlock(), func(b *OSMPBF.PrimitiveBlock) { group(b).Relations[0].RolesSid[0] = 1 << 20 }},
		"role negative":                 {m.relationBlock(), func(b *OSMPBF.PrimitiveBlock) { group(b).Relations[0].RolesSid[0] = -1 }},
		"member of unknown kind":        {m.relationBlock(), func(b *OSMPBF.PrimitiveBlock) { group(b).Relations[0].Types[0] = 7 }},
	} {
		c.spoil(c.block)
		f := new(pbf).header().data(c.block, packZlib).data(m.wayBlock(), packZlib)
		_, err := read(write(t, "spoilt.osm.pbf", f.Bytes()), 2)
		var fault *Fault
		if !errors.As(err, &fault) || fault.Block != 2 || fault.Offset != int64(f.ends[0]) || fault.File != "spoilt.osm.pbf" {
			t.Errorf("%s: %v, want a fault in block 2 at byte %d", name, err, f.ends[0])
		}
	}
	// Fields of another wire type, and messages that end within a field.
	for name, raw := range map[string][]byte{
		"string table is a number":   protowire.AppendVarint(protowire.AppendTag(nil, blockStrings, protowire.VarintType), 5),
		"granularity is bytes":       protowire.AppendBytes(protowire.AppendTag(nil, blockGranularity, protowire.BytesType), nil),
		"group longer than block":    protowire.AppendVarint(protowire.AppendTag(nil, blockGroup, protowire.BytesType), 1000),
		"field number 0":             {0, 0},
		"number of eleven bytes":     append(protowire.AppendTag(nil, blockGranularity, protowire.VarintType), bytes.Repeat([]byte{0xff}, 11)...),
		"way without id":             protowire.AppendBytes(protowire.AppendTag(nil, blockGroup, protowire.BytesType), protowire.AppendBytes(protowire.AppendTag(nil, groupWays, protowire.BytesType), nil)),
		"a million and more strings": protowire.AppendBytes(protowire.AppendTag(nil, blockStrings, protowire.BytesType), bytes.Repeat([]byte{1<<3 | 2, 0}, maxStrings+1)),
	} {
		f := new(pbf).header().block("OSMData", packRaw(raw))
		var fault *Fault
		if _, err := read(write(t, "spoilt.osm.pbf", f.Bytes()), 1); !errors.As(err, &fault) || fault.Block != 2 {
			t.Errorf("%s: %v, want a fault in block 2", name, err)
		}
	}
}

// Repeated number fields may come unpacked, or in several pieces: proto3 and
// proto2 readers must take both (Protocol Buffers documentation, "Encoding").
func TestUnpackedNumbers(t *testing.T) {
	number := func(b []byte, field protowire.Number, v uint64) []byte {
		return protowire.AppendVarint(protowire.AppendTag(b, field, protowire.VarintType), v)
	}
	text := newTable()
	way := number(nil, objectID, 7)
	way = number(way, objectKeys, uint64(text.index("highway")))
	way = number(way, objectVals, uint64(text.index("residential")))
	way = number(way, wayRefs, protowire.EncodeZigZag(1))
	way = protowire.AppendBytes(protowire.AppendTag(way, wayRefs, protowire.BytesType), protowire.AppendVarint(nil, protowire.EncodeZigZag(3)))
	way = number(way, wayRefs, protowire.EncodeZigZag(1))
	g := protowire.AppendBytes(protowire.AppendTag(nil, groupWays, protowire.BytesType), way)
	b, err := proto.Marshal(&OSMPBF.StringTable{S: text.s})
	if err != nil {
		t.Fatal(err)
	}
	block := protowire.AppendBytes(protowire.AppendTag(nil, blockGroup, protowire.BytesType), g)
	block = protowire.AppendBytes(protowire.AppendTag(block, blockStrings, protowire.BytesType), b)
	f := new(pbf).header().block("OSMData", packRaw(block)).data(crossroads().nodeBlock(), packRaw)
	e := mustRead(t, write(t, "unpacked.osm.pbf", f.Bytes()), britain(), 1)
	if len(e.Roads) != 1 || fmt.Sprint(e.Roads[0].Nodes) != "[1 4 5]" {
		t.Errorf("roads = %+v, want one over nodes 1, 4, 5", e.Roads)
	}
}

// The first fault in the file is the one told, with any number of workers.
func TestFirstFaultWins(t *testing.T) {
	m := crossroads()
	bad := m.wayBlock()
	bad.Primitivegroup[0].Ways[0].Keys[0] = 1 << 30
	f := m.pbf(packZlib)
	for range 20 {
		f.data(bad, packZlib)
	}
	path := write(t, "bad.osm.pbf", f.Bytes())
	for _, workers := range []int{1, 2, 8} {
		var fault *Fault
		if _, err := read(path, workers); !errors.As(err, &fault) || fault.Block != 5 {
			t.Errorf("with %d workers: %v, want a fault in block 5", workers, err)
		}
	}
}

func FuzzBlob(f *testing.F) {
	m := crossroads()
	for _, block := range []*OSMPBF.PrimitiveBlock{m.nodeBlock(), m.plainNodeBlock(), m.wayBlock(), m.relationBlock()} {
		raw, err := proto.Marshal(block)
		if err != nil {
			f.Fatal(err)
		}
		for _, pack := range []func([]byte) *OSMPBF.Blob{packRaw, packZlib, packZstd} {
			b, err := proto.Marshal(pack(raw))
			if err != nil {
				f.Fatal(err)
			}
			f.Add(b)
		}
	}
	d := &decoder{reap: reap{profile: britain()}, dated: true}
	f.Fuzz(func(t *testing.T, blob []byte) {
		if d.unpack(blob) != nil {
			return
		}
		h, err := d.harvest()
		if err != nil {
			return
		}
		if _, err := d.sight([]NodeID{1, 2, 3}, true); err != nil {
			return
		}
		if h.counts.Ways < int64(len(h.roads)) {
			t.Errorf("%d roads of %d ways", len(h.roads), h.counts.Ways)
		}
	})
}

func FuzzPBF(f *testing.F) {
	m := crossroads()
	f.Add(m.pbf(packRaw).Bytes())
	f.Add(m.pbf(packZlib).Bytes())
	f.Fuzz(func(t *testing.T, data []byte) { readTwice(t, "fuzzed.osm.pbf", data) })
}

func FuzzXML(f *testing.F) {
	f.Add([]byte(crossroads().xml()))
	f.Add([]byte("<osm><way id=\"1\"><nd ref=\"1\"/><tag k=\"highway\" v=\"road\"/></way></osm>"))
	f.Fuzz(func(t *testing.T, data []byte) { readTwice(t, "fuzzed.osm", data) })
}

// readTwice: what can be read reads the same again.
func readTwice(t *testing.T, name string, data []byte) {
	path := write(t, name, data)
	a, errA := read(path, 1)
	b, errB := read(path, 3)
	if (errA == nil) != (errB == nil) || errA != nil && errA.Error() != errB.Error() {
		t.Fatalf("read once: %v; again: %v", errA, errB)
	}
	if errA == nil {
		same(t, a, b)
	}
}
