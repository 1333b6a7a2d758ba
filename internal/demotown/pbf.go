package demotown

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"io"
	"time"

	"github.com/qedus/osmpbf/OSMPBF"
	"google.golang.org/protobuf/proto"
)

// stamp is the day the map was drawn. A fixed day: the town never changes.
var stamp = time.Date(2025, time.March, 1, 6, 0, 0, 0, time.UTC)

const perBlock = 8000 // entities in a block, as osmium writes them

// writePBF writes the map in the .osm.pbf format of the OpenStreetMap wiki
// ("PBF Format"): one header block, then nodes, ways and relations in the
// order of their numbers, each block zlib-compressed.
func (m *mapped) writePBF(w io.Writer) error {
	box := &OSMPBF.HeaderBBox{Left: proto.Int64(1 << 62), Bottom: proto.Int64(1 << 62), Right: proto.Int64(-1 << 62), Top: proto.Int64(-1 << 62)}
	for _, n := range m.nodes {
		*box.Left, *box.Right = min(*box.Left, n.lonE7*100), max(*box.Right, n.lonE7*100)
		*box.Bottom, *box.Top = min(*box.Bottom, n.latE7*100), max(*box.Top, n.latE7*100)
	}
	err := writeBlock(w, "OSMHeader", &OSMPBF.HeaderBlock{
		Bbox:                        box,
		RequiredFeatures:            []string{"OsmSchema-V0.6", "DenseNodes"},
		OptionalFeatures:            []string{"Sort.Type_then_ID"},
		Writingprogram:              proto.String("loopwright"),
		OsmosisReplicationTimestamp: proto.Int64(stamp.Unix()),
	})
	if err != nil {
		return err
	}
	for i := 0; i < len(m.nodes); i += perBlock {
		if err := writeBlock(w, "OSMData", nodeBlock(m.nodes[i:min(i+perBlock, len(m.nodes))])); err != nil {
			return err
		}
	}
	for i := 0; i < len(m.ways); i += perBlock {
		if err := writeBlock(w, "OSMData", wayBlock(m.ways[i:min(i+perBlock, len(m.ways))])); err != nil {
			return err
		}
	}
	return writeBlock(w, "OSMData", relationBlock(m.relations))
}

// writeBlock frames a message: length of the header, header, blob.
func writeBlock(w io.Writer, kind string, message proto.Message) error {
	marshal := proto.MarshalOptions{Deterministic: true}.Marshal
	raw, err := marshal(message)
	if err != nil {
		return err
	}
	var packed bytes.Buffer
	z, err := zlib.NewWriterLevel(&packed, zlib.BestCompression)
	if err != nil {
		return err
	}
	if _, err := z.Write(raw); err != nil {
		return err
	}
	if err := z.Close(); err != nil {
		return err
	}
	blob, err := marshal(&OSMPBF.Blob{RawSize: proto.Int32(int32(len(raw))), Data: &OSMPBF.Blob_ZlibData{ZlibData: packed.Bytes()}})
	if err != nil {
		return err
	}
	header, err := marshal(&OSMPBF.BlobHeader{Type: proto.String(kind), Datasize: proto.Int32(int32(len(blob)))})
	if err != nil {
		return err
	}
	frame := binary.BigEndian.AppendUint32(nil, uint32(len(header)))
	_, err = w.Write(append(append(frame, header...), blob...))
	return err
}

// stringTable numbers the strings of one block; number 0 is never a string.
type stringTable struct {
	table  []string
	number map[string]int
}

func newStringTable() *stringTable {
	return &stringTable{table: []string{""}, number: map[string]int{}}
}

func (s *stringTable) of(word string) int {
	n, ok := s.number[word]
	if !ok {
		n = len(s.table)
		s.number[word] = n
		s.table = append(s.table, word)
	}
	return n
}

func (s *stringTable) pairs(t tags) (keys, values []uint32) {
	ks, vs := t.sorted()
	for i := range ks {
		keys = append(keys, uint32(s.of(ks[i])))
		values = append(values, uint32(s.of(vs[i])))
	}
	return keys, values
}

func (s *stringTable) block(group *OSMPBF.PrimitiveGroup) *OSMPBF.PrimitiveBlock {
	return &OSMPBF.PrimitiveBlock{Stringtable: &OSMPBF.StringTable{S: s.table}, Primitivegroup: []*OSMPBF.PrimitiveGroup{group}}
}

func nodeBlock(nodes []mapNode) *OSMPBF.PrimitiveBlock {
	s, d := newStringTable(), &OSMPBF.DenseNodes{}
	var id, lon, lat int64
	for _, n := range nodes {
		d.Id, d.Lon, d.Lat = append(d.Id, n.id-id), append(d.Lon, n.lonE7-lon), append(d.Lat, n.latE7-lat)
		id, lon, lat = n.id, n.lonE7, n.latE7
		keys, values := s.pairs(n.tags)
		for i := range keys {
			d.KeysVals = append(d.KeysVals, int32(keys[i]), int32(values[i]))
		}
		d.KeysVals = append(d.KeysVals, 0)
	}
	return s.block(&OSMPBF.PrimitiveGroup{Dense: d})
}

func wayBlock(ways []mapWay) *OSMPBF.PrimitiveBlock {
	s, g := newStringTable(), &OSMPBF.PrimitiveGroup{}
	for _, w := range ways {
		out := &OSMPBF.Way{Id: proto.Int64(w.id)}
		out.Keys, out.Vals = s.pairs(w.tags)
		before := int64(0)
		for _, ref := range w.refs {
			out.Refs = append(out.Refs, ref-before)
			before = ref
		}
		g.Ways = append(g.Ways, out)
	}
	return s.block(g)
}

func relationBlock(relations []mapRelation) *OSMPBF.PrimitiveBlock {
	s, g := newStringTable(), &OSMPBF.PrimitiveGroup{}
	for _, r := range relations {
		out := &OSMPBF.Relation{Id: proto.Int64(r.id)}
		out.Keys, out.Vals = s.pairs(r.tags)
		before := int64(0)
		for _, m := range r.members {
			out.Memids = append(out.Memids, m.ref-before)
			out.RolesSid = append(out.RolesSid, int32(s.of(m.role)))
			out.Types = append(out.Types, OSMPBF.Relation_MemberType(m.kind))
			before = m.ref
		}
		g.Relations = append(g.Relations, out)
	}
	return s.block(g)
}
