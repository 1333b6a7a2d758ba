// Package sectionfile is a file of named sections: a header, a table, and
// plain little-endian columns that can be read where they lie.
//
//	bytes  what
//	    8  magic, chosen by the format
//	    4  version, chosen by the format
//	    4  number of sections
//	    8  size of the whole file in bytes
//	    4  zero
//	    4  CRC32C of the 28 bytes above and of the table
//	 40 ×  table, a row per section:
//	         16  tag, ASCII, filled up with zeros
//	          8  offset from the start of the file, a multiple of 64
//	          8  length in bytes
//	          4  bytes per element
//	          4  CRC32C of the section's bytes
//	  ...  sections in table order, zeros between them
//
// Numbers are little-endian. The checksum is CRC-32C (Castagnoli, Bräuer and
// Herrmann, "Optimization of cyclic redundancy-check codes with 24 and 32
// parity bits", 1993), as in RFC 3720, appendix B.4. The header's checksum
// covers the sections' own checksums, so that it names the whole content.
//
// Sections that a reader does not know are skipped: it never asks for them.
// A file is made once, under another name, and put in place by a rename.
package sectionfile

import (
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"strings"
)

// What can be wrong with a file. Tell them apart with errors.Is.
var (
	// ErrNotOurs: the file does not begin as this format does.
	ErrNotOurs = errors.New("not a file of this kind")
	// ErrOtherVersion: another version of the format; make the file anew.
	ErrOtherVersion = errors.New("made by another version")
	// ErrTruncated: the file is shorter than it says, or became so while open.
	ErrTruncated = errors.New("cut short")
	// ErrDamaged: the bytes are not those that were written.
	ErrDamaged = errors.New("damaged")
)

const (
	headerSize  = 32
	rowSize     = 40
	tagSize     = 16
	align       = 64
	maxSections = 1024
)

// Format is what sets one kind of file apart.
type Format struct {
	Magic   [8]byte
	Version uint32
}

// Section is one column of a file.
type Section struct {
	Tag         string // at most 16 bytes of ASCII
	ElementSize int
	Data        []byte
}

// row is a section's entry in the table.
type row struct {
	tag            string
	offset, length uint64
	elementSize    uint32
	crc            uint32
}

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

func checksum(b []byte) uint32 { return crc32.Checksum(b, castagnoli) }

// encodeHead gives the header and the table.
func encodeHead(f Format, size uint64, rows []row) []byte {
	b := make([]byte, headerSize, headerSize+rowSize*len(rows))
	copy(b, f.Magic[:])
	binary.LittleEndian.PutUint32(b[8:], f.Version)
	binary.LittleEndian.PutUint32(b[12:], uint32(len(rows)))
	binary.LittleEndian.PutUint64(b[16:], size)
	for _, r := range rows {
		var tag [tagSize]byte
		copy(tag[:], r.tag)
		b = append(b, tag[:]...)
		b = binary.LittleEndian.AppendUint64(b, r.offset)
		b = binary.LittleEndian.AppendUint64(b, r.length)
		b = binary.LittleEndian.AppendUint32(b, r.elementSize)
		b = binary.LittleEndian.AppendUint32(b, r.crc)
	}
	binary.LittleEndian.PutUint32(b[28:], headChecksum(b))
	return b
}

func headChecksum(head []byte) uint32 {
	return crc32.Update(checksum(head[:28]), castagnoli, head[headerSize:])
}

// decodeHead reads header and table from the file's beginning, which may be
// longer than both, and checks every range against the file's true size.
func decodeHead(f Format, b []byte, fileSize uint64) ([]row, uint32, error) {
	n := min(len(b), len(f.Magic))
	if string(b[:n]) != string(f.Magic[:n]) {
		return nil, 0, ErrNotOurs
	}
	if len(b) < headerSize {
		return nil, 0, fmt.Errorf("%w: it ends at byte %d, within the header", ErrTruncated, len(b))
	}
	if v := binary.LittleEndian.Uint32(b[8:]); v != f.Version {
		return nil, 0, fmt.Errorf("%w: it has version %d, this program reads %d", ErrOtherVersion, v, f.Version)
	}
	count := binary.LittleEndian.Uint32(b[12:])
	if count > maxSections {
		return nil, 0, fmt.Errorf("%w: the header, offset 12, tells of %d sections", ErrDamaged, count)
	}
	end := headerSize + rowSize*int(count)
	if len(b) < end {
		return nil, 0, fmt.Errorf("%w: it ends at byte %d, within the table of sections", ErrTruncated, len(b))
	}
	head := b[:end]
	crc := binary.LittleEndian.Uint32(b[28:])
	if crc != headChecksum(head) {
		return nil, 0, fmt.Errorf("%w: the header's checksum, offset 28, does not match", ErrDamaged)
	}
	if size := binary.LittleEndian.Uint64(b[16:]); fileSize != size {
		if fileSize < size {
			return nil, 0, fmt.Errorf("%w: %d of %d bytes are there", ErrTruncated, fileSize, size)
		}
		return nil, 0, fmt.Errorf("%w: %d bytes follow its end, offset %d", ErrDamaged, fileSize-size, size)
	}
	rows := make([]row, count)
	for i := range rows {
		at := headerSize + rowSize*i
		r := b[at : at+rowSize]
		rows[i] = row{
			tag:         strings.TrimRight(string(r[:tagSize]), "\x00"),
			offset:      binary.LittleEndian.Uint64(r[16:]),
			length:      binary.LittleEndian.Uint64(r[24:]),
			elementSize: binary.LittleEndian.Uint32(r[32:]),
			crc:         binary.LittleEndian.Uint32(r[36:]),
		}
		if o, l := rows[i].offset, rows[i].length; o > fileSize || l > fileSize-o || o < uint64(end) || o%align != 0 {
			return nil, 0, fmt.Errorf("%w: section %q lies at offset %d, %d bytes, outside the file", ErrDamaged, rows[i].tag, o, l)
		}
	}
	return rows, crc, nil
}
