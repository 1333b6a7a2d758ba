package extract

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/klauspost/compress/zlib"
	"github.com/klauspost/compress/zstd"
	"github.com/pierrec/lz4/v4"
	"github.com/qedus/osmpbf/OSMPBF"
	"google.golang.org/protobuf/proto"
)

// A small made-up map in a form that the tests write as PBF or as XML.
type (
	mapNode struct {
		id       int64
		lon, lat float64
		tags     string // "k=v|k=v"
	}
	mapWay struct {
		id   int64
		refs []int64
		tags string
	}
	mapRelation struct {
		id      int64
		members []member
		tags    string
	}
	smallMap struct {
		nodes     []mapNode
		ways      []mapWay
		relations []mapRelation
	}
)

func pairs(tags string) (out [][2]string) {
	if tags == "" {
		return nil
	}
	for part := range strings.SplitSeq(tags, "|") {
		k, v, _ := strings.Cut(part, "=")
		out = append(out, [2]string{k, v})
	}
	return out
}

// crossroads is Mill Lane over Ford Street, with a drive, a restriction over a
// node and one over a way, a shop with an address and a village.
func crossroads() smallMap {
	return smallMap{
		nodes: []mapNode{
			{1, -0.70, 52.60, ""}, {2, -0.69, 52.60, "highway=traffic_signals"}, {3, -0.68, 52.60, "barrier=bollard"},
			{4, -0.69, 52.61, ""}, {5, -0.69, 52.59, "highway=crossing|crossing=zebra"}, {6, -0.695, 52.601, ""},
			{7, -0.685, 52.605, "place=village|name=Nether Ford"}, {8, -0.684, 52.604, "addr:housenumber=3|addr:street=Mill Lane|addr:postcode=ZZ1 1AA"},
			{10, -0.67, 52.58, ""}, {11, -0.671, 52.58, ""}, {12, -0.671, 52.581, ""},
		},
		ways: []mapWay{
			{100, []int64{1, 2}, "highway=residential|name=Mill Lane|maxspeed=20 mph|lit=yes"},
			{101, []int64{2, 3}, "highway=residential|name=Mill Lane|width=5.5|surface=asphalt"},
			{102, []int64{4, 2, 2, 5}, "highway=tertiary|name=Ford Street|oneway=yes|maxspeed=fast"},
			{103, []int64{6, 1}, "highway=service|service=driveway"},
			{104, []int64{10, 11, 12, 10}, "building=house|addr:housenumber=12|addr:street=Ford Street"},
			{105, []int64{5, 999, 3}, "highway=unclassified"},
			{106, []int64{10, 11}, "highway=footway"},
		},
		relations: []mapRelation{
			{200, []member{{AWay, 100, "from"}, {ANode, 2, "via"}, {AWay, 102, "to"}}, "type=restriction|restriction=no_right_turn"},
			{201, []member{{AWay, 100, "from"}, {AWay, 101, "via"}, {AWay, 105, "to"}}, "type=restriction|restriction=no_u_turn"},
			{202, []member{{AWay, 102, ""}}, "type=route|route=bus"},
		},
	}
}

// table gathers strings, the empty one first, as the format asks.
type table struct {
	s  []string
	at map[string]uint32
}

func newTable() *table { return &table{s: []string{""}, at: map[string]uint32{"": 0}} }

func (t *table) index(s string) uint32 {
	if i, ok := t.at[s]; ok {
		return i
	}
	t.at[s] = uint32(len(t.s))
	t.s = append(t.s, s)
	return t.at[s]
}

func (t *table) tags(tags string) (keys, vals []uint32) {
	for _, p := range pairs(tags) {
		keys, vals = append(keys, t.index(p[0])), append(vals, t.index(p[1]))
	}
	return keys, vals
}

// nodeBlock writes nodes as dense nodes.
func (m smallMap) nodeBlock() *OSMPBF.PrimitiveBlock {
	t := newTable()
	d := &OSMPBF.DenseNodes{}
	var id, lat, lon int64
	for _, n := range m.nodes {
		nLat, nLon := int64(n.lat*1e7+0.5), -int64(-n.lon*1e7+0.5)
		d.Id, d.Lat, d.Lon = append(d.Id, n.id-id), append(d.Lat, nLat-lat), append(d.Lon, nLon-lon)
		id, lat, lon = n.id, nLat, nLon
		keys, vals := t.tags(n.tags)
		for i := range keys {
			d.KeysVals = append(d.KeysVals, int32(keys[i]), int32(vals[i]))
		}
		d.KeysVals = append(d.KeysVals, 0)
	}
	return &OSMPBF.PrimitiveBlock{Stringtable: &OSMPBF.StringTable{S: t.s}, Primitivegroup: []*OSMPBF.PrimitiveGroup{{Dense: d}}}
}

// plainNodeBlock writes them as single nodes, on a coarser grid with an offset.
func (m smallMap) plainNodeBlock() *OSMPBF.PrimitiveBlock {
	t := newTable()
	g := &OSMPBF.PrimitiveGroup{}
	const granularity, lonOffset, latOffset = 1000, -1e9, 5e9
	for _, n := range m.nodes {
		keys, vals := t.tags(n.tags)
		round := func(v float64) int64 { return int64(v+1e6+0.5) - 1e6 }
		g.Nodes = append(g.Nodes, &OSMPBF.Node{
			Id: proto.Int64(n.id), Keys: keys, Vals: vals,
			Lon: proto.Int64(round((n.lon*1e9 - lonOffset) / granularity)), Lat: proto.Int64(round((n.lat*1e9 - latOffset) / granularity)),
		})
	}
	return &OSMPBF.PrimitiveBlock{
		Stringtable: &OSMPBF.StringTable{S: t.s}, Primitivegroup: []*OSMPBF.PrimitiveGroup{g},
		Granularity: proto.Int32(granularity), LonOffset: proto.Int64(lonOffset), LatOffset: proto.Int64(latOffset),
	}
}

func (m smallMap) wayBlock() *OSMPBF.PrimitiveBlock {
	t := newTable()
	g := &OSMPBF.PrimitiveGroup{}
	for _, w := range m.ways {
		keys, vals := t.tags(w.tags)
		var refs []int64
		last := int64(0)
		for _, r := range w.refs {
			refs, last = append(refs, r-last), r
		}
		g.Ways = append(g.Ways, &OSMPBF.Way{Id: proto.Int64(w.id), Keys: keys, Vals: vals, Refs: refs,
			Info: &OSMPBF.Info{Version: proto.Int32(1), Timestamp: proto.Int64(1_600_000_000 + w.id)}})
	}
	return &OSMPBF.PrimitiveBlock{Stringtable: &OSMPBF.StringTable{S: t.s}, Primitivegroup: []*OSMPBF.PrimitiveGroup{g}}
}

func (m smallMap) relationBlock() *OSMPBF.PrimitiveBlock {
	t := newTable()
	g := &OSMPBF.PrimitiveGroup{}
	for _, r := range m.relations {
		keys, vals := t.tags(r.tags)
		rel := &OSMPBF.Relation{Id: proto.Int64(r.id), Keys: keys, Vals: vals}
		last := int64(0)
		for _, one := range r.members {
			rel.RolesSid = append(rel.RolesSid, int32(t.index(one.role)))
			rel.Memids, last = append(rel.Memids, one.id-last), one.id
			rel.Types = append(rel.Types, OSMPBF.Relation_MemberType(one.kind))
		}
		g.Relations = append(g.Relations, rel)
	}
	return &OSMPBF.PrimitiveBlock{Stringtable: &OSMPBF.StringTable{S: t.s}, Primitivegroup: []*OSMPBF.PrimitiveGroup{g}}
}

// Ways of packing a blob.
func packRaw(b []byte) *OSMPBF.Blob { return &OSMPBF.Blob{Data: &OSMPBF.Blob_Raw{Raw: b}} }

func packZlib(b []byte) *OSMPBF.Blob {
	var out bytes.Buffer
	w := zlib.NewWriter(&out)
	w.Write(b)
	w.Close()
	return &OSMPBF.Blob{RawSize: proto.Int32(int32(len(b))), Data: &OSMPBF.Blob_ZlibData{ZlibData: out.Bytes()}}
}

func packZstd(b []byte) *OSMPBF.Blob {
	w, err := zstd.NewWriter(nil)
	if err != nil {
		panic(err)
	}
	defer w.Close()
	return &OSMPBF.Blob{RawSize: proto.Int32(int32(len(b))), Data: &OSMPBF.Blob_ZstdData{ZstdData: w.EncodeAll(b, nil)}}
}

// packLz4 writes a block with every byte as it is where lz4 finds nothing to
// shorten.
func packLz4(b []byte) *OSMPBF.Blob {
	out := make([]byte, lz4.CompressBlockBound(len(b)))
	var c lz4.Compressor
	n, err := c.CompressBlock(b, out)
	if err != nil || n == 0 {
		panic(fmt.Sprintf("lz4: %d, %v", n, err))
	}
	return &OSMPBF.Blob{RawSize: proto.Int32(int32(len(b))), Data: &OSMPBF.Blob_Lz4Data{Lz4Data: out[:n]}}
}

// pbf writes an .osm.pbf block by block.
type pbf struct {
	bytes.Buffer
	ends []int // offset after each block
}

func (f *pbf) block(kind string, blob *OSMPBF.Blob) *pbf {
	b, err := proto.Marshal(blob)
	if err != nil {
		panic(err)
	}
	return f.frame(kind, b, int32(len(b)))
}

func (f *pbf) frame(kind string, blob []byte, size int32) *pbf {
	head, err := proto.Marshal(&OSMPBF.BlobHeader{Type: &kind, Datasize: &size})
	if err != nil {
		panic(err)
	}
	f.Write(binary.BigEndian.AppendUint32(nil, uint32(len(head))))
	f.Write(head)
	f.Write(blob)
	f.ends = append(f.ends, f.Len())
	return f
}

func (f *pbf) header(features ...string) *pbf {
	b, err := proto.Marshal(&OSMPBF.HeaderBlock{RequiredFeatures: append([]string{"OsmSchema-V0.6", "DenseNodes"}, features...)})
	if err != nil {
		panic(err)
	}
	return f.block("OSMHeader", packRaw(b))
}

func (f *pbf) data(block *OSMPBF.PrimitiveBlock, pack func([]byte) *OSMPBF.Blob) *pbf {
	b, err := proto.Marshal(block)
	if err != nil {
		panic(err)
	}
	return f.block("OSMData", pack(b))
}

// pbf writes the whole map, dense nodes first.
func (m smallMap) pbf(pack func([]byte) *OSMPBF.Blob) *pbf {
	return new(pbf).header().data(m.nodeBlock(), pack).data(m.wayBlock(), pack).data(m.relationBlock(), pack)
}

// xml writes the whole map.
func (m smallMap) xml() string {
	var b strings.Builder
	b.WriteString("<?xml version='1.0' encoding='UTF-8'?>\n<osm version=\"0.6\">\n")
	tags := func(s string) {
		for _, p := range pairs(s) {
			fmt.Fprintf(&b, "  <tag k=%q v=%q/>\n", p[0], p[1])
		}
	}
	for _, n := range m.nodes {
		fmt.Fprintf(&b, " <node id=\"%d\" lat=\"%.7f\" lon=\"%.7f\">\n", n.id, n.lat, n.lon)
		tags(n.tags)
		b.WriteString(" </node>\n")
	}
	for _, w := range m.ways {
		fmt.Fprintf(&b, " <way id=\"%d\" version=\"1\" timestamp=\"2020-09-13T12:%02d:%02dZ\">\n", w.id, (26*60+40+w.id)/60, (26*60+40+w.id)%60)
		for _, r := range w.refs {
			fmt.Fprintf(&b, "  <nd ref=\"%d\"/>\n", r)
		}
		tags(w.tags)
		b.WriteString(" </way>\n")
	}
	for _, r := range m.relations {
		fmt.Fprintf(&b, " <relation id=\"%d\">\n", r.id)
		for _, one := range r.members {
			fmt.Fprintf(&b, "  <member type=%q ref=\"%d\" role=%q/>\n", one.kind.String(), one.id, one.role)
		}
		tags(r.tags)
		b.WriteString(" </relation>\n")
	}
	b.WriteString("</osm>\n")
	return b.String()
}

// write puts bytes into a file of the test's own.
func write(t testing.TB, name string, data []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}
