package extract

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"github.com/klauspost/compress/zlib"
	"github.com/klauspost/compress/zstd"
	"github.com/pierrec/lz4/v4"
)

// inflater unpacks Blobs. One per worker: it reuses its buffers.
type inflater struct {
	zlib io.ReadCloser
	zstd *zstd.Decoder
	in   bytes.Reader
	buf  []byte
}

// Fields of a Blob (fileformat.proto).
const (
	blobRaw     = 1
	blobRawSize = 2
	blobZlib    = 3
	blobLzma    = 4
	blobBzip2   = 5
	blobLz4     = 6
	blobZstd    = 7
)

// inflate gives what a Blob holds: a view of the blob where it is not
// compressed, else one that holds until the next call. Never more is unpacked
// than the blob declares, and that is bounded.
func (f *inflater) inflate(blob []byte) ([]byte, error) {
	var data []byte
	var method int
	size := int64(-1)
	for c := (cursor{b: blob}); ; {
		num, typ, ok := c.next()
		if !ok {
			if c.err != nil {
				return nil, fmt.Errorf("blob: %w", c.err)
			}
			break
		}
		switch num {
		case blobRawSize:
			size = int64(int32(c.number(typ)))
			if size < 0 || size > maxBlob {
				return nil, fmt.Errorf("the blob claims to unpack to %d bytes, and the format allows 0 to %d", size, maxBlob)
			}
		case blobRaw, blobZlib, blobLzma, blobBzip2, blobLz4, blobZstd:
			data, method = c.bytes(typ), int(num)
		default:
			c.skip(num, typ)
		}
	}
	switch method {
	case 0:
		return nil, errors.New("the blob holds no data in a known form")
	case blobRaw:
		if size >= 0 && size != int64(len(data)) {
			return nil, fmt.Errorf("the blob holds %d bytes and claims %d", len(data), size)
		}
		return data, nil
	case blobLzma:
		return nil, errors.New("the blob is compressed with lzma, which is not read: write the file again with zlib")
	case blobBzip2:
		return nil, errors.New("the blob is compressed with bzip2, which the format gave up in 2010: write the file again with zlib")
	}
	if size < 0 {
		return nil, errors.New("the compressed blob does not say its size")
	}
	if size > freeGrowth+mostGrowth*int64(len(data)) {
		return nil, fmt.Errorf("the blob claims to unpack from %d bytes to %d: %w", len(data), size, ErrExpands)
	}
	if int64(cap(f.buf)) < size {
		f.buf = make([]byte, size)
	}
	buf := f.buf[:size]
	var err error
	switch method {
	case blobZlib:
		err = f.unzlib(data, buf)
	case blobZstd:
		err = f.unzstd(data, buf)
	case blobLz4:
		var n int
		if n, err = lz4.UncompressBlock(data, buf); err == nil && n != len(buf) {
			err = fmt.Errorf("it unpacks to %d bytes and claims %d", n, len(buf))
		}
	}
	if err != nil {
		return nil, fmt.Errorf("the blob can't be unpacked: %w", err)
	}
	return buf, nil
}

// Map data shrinks by three or four times, XML of it by twenty. What claims
// more than these is refused before it is unpacked. Our choice.
const (
	mostGrowth = 50
	freeGrowth = 64 << 10 // a short blob may be more regular than that
)

func (f *inflater) unzlib(data, buf []byte) error {
	f.in.Reset(data)
	if f.zlib == nil {
		r, err := zlib.NewReader(&f.in)
		if err != nil {
			return err
		}
		f.zlib = r
	} else if err := f.zlib.(zlib.Resetter).Reset(&f.in, nil); err != nil {
		return err
	}
	if n, err := io.ReadFull(f.zlib, buf); err != nil {
		if err == io.EOF || err == io.ErrUnexpectedEOF {
			return fmt.Errorf("it unpacks to %d bytes and claims %d", n, len(buf))
		}
		return err
	}
	var one [1]byte
	if n, err := f.zlib.Read(one[:]); n > 0 {
		return fmt.Errorf("it unpacks to more than the %d bytes that it claims", len(buf))
	} else if err != io.EOF {
		if err == nil {
			err = io.ErrNoProgress
		}
		return err
	}
	return nil
}

func (f *inflater) unzstd(data, buf []byte) error {
	if f.zstd == nil {
		d, err := zstd.NewReader(nil, zstd.WithDecoderConcurrency(1),
			zstd.WithDecoderMaxMemory(maxBlob), zstd.WithDecodeAllCapLimit(true))
		if err != nil {
			return err
		}
		f.zstd = d
	}
	out, err := f.zstd.DecodeAll(data, buf[:0:len(buf)])
	if err != nil {
		return err
	}
	if len(out) != len(buf) {
		return fmt.Errorf("it unpacks to %d bytes and claims %d", len(out), len(buf))
	}
	return nil
}

// close frees what the unpackers hold.
func (f *inflater) close() {
	if f.zstd != nil {
		f.zstd.Close()
	}
}
