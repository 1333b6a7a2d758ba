package notes

import (
	"encoding/binary"
	"errors"
	"math"
	"time"
	"unsafe"

	"github.com/paulmach/orb"

	"loopwright/internal/calendar"
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// Notes are also kept packed, by cell of the map, so that all of a county are
// at hand at once. A cell holds what its notes say now, and none that are
// deleted; it is made of the revisions and never the other way round. A note
// there is
//
//	uvarint  its length
//	  32  ID
//	   8  way, 4 metres along it, 4 longitude, 4 latitude (10⁻⁷ degrees),
//	   2  heading (tenths of a degree)
//	   4  side, kind, method, word
//	      varints: clock, minute, centimetres, three days
//	      six texts, each behind its length
//
// all little-endian.
const headBytes = 32 + 22 + 4

// cellE7 is the height and width of a cell: our choice, some hundred metres,
// so that a busy town has hundreds of notes in one and not tens of thousands.
const cellE7 = 50_000

// cellID is a cell's number: cells of one row stand together.
type cellID int64

func cellAt(p orb.Point) cellID { return cellOf(int64(math.Floor(p.Lat()*1e7))/cellE7, p.Lon()) }

// cellOf is the cell of a row at a longitude; rows count from the equator.
func cellOf(row int64, lon float64) cellID {
	return cellID(row<<32 + int64(math.Floor((lon+180)*1e7))/cellE7)
}

// pack writes a note behind others.
func pack(to []byte, n *Note) []byte {
	b := make([]byte, 0, 192)
	b = append(b, n.ID[:]...)
	b = binary.LittleEndian.AppendUint64(b, uint64(n.Place.Kerb.Way))
	b = binary.LittleEndian.AppendUint32(b, uint32(math.Round(float64(n.Place.Kerb.Along))))
	b = binary.LittleEndian.AppendUint32(b, uint32(int32(math.Round(n.Place.At.Lon()*1e7))))
	b = binary.LittleEndian.AppendUint32(b, uint32(int32(math.Round(n.Place.At.Lat()*1e7))))
	b = binary.LittleEndian.AppendUint16(b, uint16(math.Mod(math.Round(n.Place.Heading.Normal().Degrees()*10), 3600)))
	b = append(b, byte(n.Place.Kerb.Side), byte(n.Kind), byte(n.Method), byte(n.Word))
	for _, v := range [...]int64{n.Clock.Ms, n.Clock.Count, int64(n.Minute), int64(math.Round(float64(n.Metres) * 100)), packDay(n.Day), packDay(n.From), packDay(n.Until)} {
		b = binary.AppendVarint(b, v)
	}
	for _, s := range [...]string{n.Author, n.Place.Road, n.Exercise, n.Hours, n.Circuit, n.Text} {
		b = append(binary.AppendUvarint(b, uint64(len(s))), s...)
	}
	return append(binary.AppendUvarint(to, uint64(len(b))), b...)
}

func packDay(d calendar.Date) int64 { return int64(d.Year)<<9 | int64(d.Month)<<5 | int64(d.Day) }

func unpackDay(v int64) calendar.Date {
	return calendar.Date{Year: int(v >> 9), Month: time.Month(v >> 5 & 15), Day: int(v & 31)}
}

var errPacked = errors.New("packed notes are damaged")

// cut takes the first note off a cell.
func cut(cell []byte) (note, rest []byte, err error) {
	size, k := binary.Uvarint(cell)
	if k <= 0 || size < headBytes || size > uint64(len(cell)-k) {
		return nil, nil, errPacked
	}
	return cell[k : k+int(size)], cell[k+int(size):], nil
}

// Packed are notes in the file's own form: read in one go, and each unpacked
// only when somebody asks for it.
type Packed struct {
	notes []packed
}

// packed is one note. Its bytes never change.
type packed []byte

// Pack packs notes.
func Pack(all []Note) Packed {
	var p Packed
	for i := range all {
		note, _, err := cut(pack(nil, &all[i]))
		if err != nil {
			panic("bug in pack: " + err.Error())
		}
		p.notes = append(p.notes, note)
	}
	return p
}

// add adds the notes of a cell, whose bytes it keeps.
func (p *Packed) add(cell []byte) error {
	for len(cell) > 0 {
		note, rest, err := cut(cell)
		if err != nil {
			return err
		}
		if packed(note).side() > roadnet.Right || packed(note).kind() >= kindCount {
			return errPacked
		}
		p.notes = append(p.notes, note)
		cell = rest
	}
	return nil
}

// Without leaves out the notes that came with a circuit, and any that can't be
// unpacked.
func (p Packed) Without(circuit string) (out Packed) {
	for _, b := range p.notes {
		if n, err := b.note(); err == nil && n.Circuit != circuit {
			out.notes = append(out.notes, b)
		}
	}
	return out
}

func (p packed) id() Name           { return Name(p[:32]) }
func (p packed) way() extract.WayID { return extract.WayID(binary.LittleEndian.Uint64(p[32:])) }
func (p packed) along() geo.Metres  { return geo.Metres(binary.LittleEndian.Uint32(p[40:])) }
func (p packed) side() roadnet.Side { return roadnet.Side(p[54]) }
func (p packed) kind() Kind         { return Kind(p[55]) }

func (p packed) at() orb.Point {
	return orb.Point{float64(int32(binary.LittleEndian.Uint32(p[44:]))) / 1e7, float64(int32(binary.LittleEndian.Uint32(p[48:]))) / 1e7}
}

func (p packed) heading() geo.Radians {
	return geo.Radians(binary.LittleEndian.Uint16(p[52:])) / 10 * geo.Degree
}

// note unpacks all but the revision's name. Texts share the packed bytes.
func (p packed) note() (n Note, err error) {
	err = p.read(&n)
	return n, err
}

func (p packed) read(n *Note) error {
	*n = Note{
		ID: p.id(), Kind: p.kind(), Method: Method(p[56]), Word: Word(p[57]),
		Place: Place{Kerb: roadnet.Kerb{Way: p.way(), Along: p.along(), Side: p.side()}, At: p.at(), Heading: p.heading()},
	}
	r := unpacker{b: p[headBytes:]}
	n.Clock = Clock{r.number(), r.number()}
	n.Minute = int(r.number())
	n.Metres = geo.Metres(r.number()) / 100
	n.Day, n.From, n.Until = unpackDay(r.number()), unpackDay(r.number()), unpackDay(r.number())
	for _, to := range [...]*string{&n.Author, &n.Place.Road, &n.Exercise, &n.Hours, &n.Circuit, &n.Text} {
		*to = r.text()
	}
	if r.bad || len(r.b) != 0 || n.Method >= methodCount || n.Word >= wordCount {
		return errPacked
	}
	return nil
}

// unpacker reads members one behind the other.
type unpacker struct {
	b   []byte
	bad bool
}

func (r *unpacker) number() int64 {
	v, k := binary.Varint(r.b)
	if k <= 0 {
		r.bad = true
		return 0
	}
	r.b = r.b[k:]
	return v
}

func (r *unpacker) text() string {
	v, k := binary.Uvarint(r.b)
	if k <= 0 || v > uint64(len(r.b)-k) {
		r.bad = true
		return ""
	}
	s := r.b[k : k+int(v)]
	r.b = r.b[k+int(v):]
	return unsafe.String(unsafe.SliceData(s), len(s))
}
