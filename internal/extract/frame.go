package extract

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"io"

	"github.com/qedus/osmpbf/OSMPBF"
	"google.golang.org/protobuf/proto"
)

// The format's own limits (OpenStreetMap wiki, "PBF Format", from memory): a
// BlobHeader must be under 64 KiB, a Blob and what it holds under 32 MiB.
const (
	maxHeader = 64 << 10
	maxBlob   = 32 << 20
)

// frame is one block as it lies in the file:
//
//	+--------+--------------------+---------------------+
//	| length | BlobHeader         | Blob                |
//	| 4, BE  | length bytes       | datasize bytes      |
//	+--------+--------------------+---------------------+
type frame struct {
	number int   // from 1
	offset int64 // of the length
	kind   string
	blob   []byte
	head   int // bytes before the blob
}

// end is the offset after the block.
func (f *frame) end() int64 { return f.offset + int64(f.head) + int64(len(f.blob)) }

// framer cuts a file into its blocks.
type framer struct {
	r      *bufio.Reader
	file   string
	size   int64
	offset int64
	number int
}

func newFramer(r io.Reader, file string, size int64) *framer {
	return &framer{r: bufio.NewReaderSize(r, 1<<18), file: file, size: size}
}

// next reads a block into buf, which grows as needed. io.EOF is the clean end
// of the file; every other error is a *Fault.
func (f *framer) next(buf []byte) (frame, error) {
	start := f.offset
	f.number++
	fail := func(err error) (frame, error) {
		return frame{}, &Fault{f.file, f.number, start, err}
	}
	if start == f.size {
		return frame{}, io.EOF
	}
	var prefix [4]byte
	if err := f.read(prefix[:]); err != nil {
		return fail(err)
	}
	length := binary.BigEndian.Uint32(prefix[:])
	if length == 0 || length >= maxHeader {
		if f.number == 1 {
			return fail(fmt.Errorf("%w in .osm.pbf form", ErrNotOSM))
		}
		return fail(fmt.Errorf("the header claims %d bytes, and the format allows fewer than %d", length, maxHeader))
	}
	head := make([]byte, length)
	if err := f.read(head); err != nil {
		return fail(err)
	}
	var header OSMPBF.BlobHeader
	if err := proto.Unmarshal(head, &header); err != nil {
		if f.number == 1 {
			return fail(fmt.Errorf("%w in .osm.pbf form", ErrNotOSM))
		}
		return fail(errors.New("the header can't be decoded"))
	}
	n := int64(header.GetDatasize())
	if n < 0 || n > maxBlob {
		return fail(fmt.Errorf("the block claims %d bytes, and the format allows at most %d", n, maxBlob))
	}
	if n > f.size-f.offset {
		return fail(ErrTruncated)
	}
	if int64(cap(buf)) < n {
		buf = make([]byte, n)
	}
	buf = buf[:n]
	if err := f.read(buf); err != nil {
		return fail(err)
	}
	return frame{f.number, start, header.GetType(), buf, len(prefix) + len(head)}, nil
}

func (f *framer) read(b []byte) error {
	n, err := io.ReadFull(f.r, b)
	f.offset += int64(n)
	if err == io.EOF || err == io.ErrUnexpectedEOF {
		return ErrTruncated
	}
	return err
}
