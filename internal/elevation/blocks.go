package elevation

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"sync"

	"golang.org/x/image/tiff/lzw"
)

// blocks reads the strips or tiles of a TIFF raster as they are asked for, and
// keeps the last few. Safe for use by several at once.
type blocks struct {
	file          io.ReaderAt
	order         binary.ByteOrder
	width, length int // of the raster, samples
	bw, bl        int // of a block
	across        int // blocks in a row
	offsets       []float64
	bytes         []float64
	compression   int
	predictor     int
	float         bool // float32, else int16
	void          float64
	hasVoid       bool

	mu   sync.Mutex
	kept map[int][]float32
	ages []int // block numbers, oldest first
}

// keptBlocks is how many unpacked blocks are kept: a road crosses few at a time.
const keptBlocks = 64

func newBlocks(f io.ReaderAt, size int64, d *directory) (*blocks, error) {
	b := &blocks{file: f, order: d.order, kept: map[int][]float32{},
		width: int(d.one(tagWidth, 0)), length: int(d.one(tagLength, 0)),
		compression: int(d.one(tagCompression, 1)), predictor: int(d.one(tagPredictor, 1))}
	if b.width < 1 || b.length < 1 || b.width > mostSide || b.length > mostSide {
		return nil, fmt.Errorf("%d by %d samples", b.width, b.length)
	}
	if n := d.one(tagSamplesPerPixel, 1); n != 1 {
		return nil, fmt.Errorf("%g values per sample: heights have one", n)
	}
	bits, format := d.one(tagBits, 1), d.one(tagSampleFormat, 1)
	switch {
	case bits == 16 && format == 2:
	case bits == 32 && format == 3:
		b.float = true
	default:
		return nil, fmt.Errorf("samples of %g bits and format %g: write int16 or float32", bits, format)
	}
	switch b.compression {
	case 1, 5, 8, 32946:
	default:
		return nil, fmt.Errorf("compression %d: write it with none, DEFLATE or LZW", b.compression)
	}
	if b.predictor < 1 || b.predictor > 3 || b.predictor == 3 && !b.float {
		return nil, fmt.Errorf("predictor %d on these samples: write it with another", b.predictor)
	}
	if d.values[tagTileWidth] != nil {
		b.bw, b.bl = int(d.one(tagTileWidth, 0)), int(d.one(tagTileLength, 0))
		b.offsets, b.bytes = d.values[tagTileOffsets], d.values[tagTileBytes]
	} else {
		b.bw, b.bl = b.width, int(math.Min(d.one(tagRowsPerStrip, float64(b.length)), float64(b.length)))
		b.offsets, b.bytes = d.values[tagStripOffsets], d.values[tagStripBytes]
	}
	if b.bw < 1 || b.bl < 1 || int64(b.bw)*int64(b.bl)*int64(b.sampleBytes()) > mostBlockBytes {
		return nil, fmt.Errorf("blocks of %d by %d samples", b.bw, b.bl)
	}
	b.across = (b.width + b.bw - 1) / b.bw
	need := b.across * ((b.length + b.bl - 1) / b.bl)
	if len(b.offsets) != need || len(b.bytes) != need {
		return nil, fmt.Errorf("%d offsets and %d sizes for %d blocks", len(b.offsets), len(b.bytes), need)
	}
	for i := range b.offsets {
		if b.offsets[i]+b.bytes[i] > float64(size) {
			return nil, fmt.Errorf("block %d lies past the end", i)
		}
	}
	return b, nil
}

func (b *blocks) sampleBytes() int {
	if b.float {
		return 4
	}
	return 2
}

func (b *blocks) sample(col, row int) (float64, bool, error) {
	k := row/b.bl*b.across + col/b.bw
	block, err := b.block(k)
	if err != nil {
		return 0, false, fmt.Errorf("block %d: %w", k, err)
	}
	if block == nil {
		return 0, false, nil // left out of the file: void
	}
	v := float64(block[row%b.bl*b.bw+col%b.bw])
	void := math.IsNaN(v) || math.IsInf(v, 0) || b.hasVoid && float32(v) == float32(b.void)
	return v, !void, nil
}

func (b *blocks) block(k int) ([]float32, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if block, ok := b.kept[k]; ok {
		return block, nil
	}
	block, err := b.unpack(k)
	if err != nil {
		return nil, err
	}
	if len(b.ages) == keptBlocks {
		delete(b.kept, b.ages[0])
		b.ages = b.ages[1:]
	}
	b.kept[k], b.ages = block, append(b.ages, k)
	return block, nil
}

// unpack reads one block. The last strip may hold fewer rows; a tile is always
// whole.
func (b *blocks) unpack(k int) ([]float32, error) {
	if b.bytes[k] == 0 {
		return nil, nil
	}
	packed := make([]byte, int(b.bytes[k]))
	if _, err := b.file.ReadAt(packed, int64(b.offsets[k])); err != nil {
		return nil, err
	}
	var r io.Reader
	switch b.compression {
	case 1:
		r = bytes.NewReader(packed)
	case 5:
		z := lzw.NewReader(bytes.NewReader(packed), lzw.MSB, 8)
		defer z.Close()
		r = z
	default:
		z, err := zlib.NewReader(bytes.NewReader(packed))
		if err != nil {
			return nil, err
		}
		defer z.Close()
		r = z
	}
	rows := b.bl
	if rest := b.length - k/b.across*b.bl; b.bw == b.width && rest < rows {
		rows = rest
	}
	raw := make([]byte, b.bl*b.bw*b.sampleBytes())
	need := rows * b.bw * b.sampleBytes()
	if n, err := io.ReadFull(r, raw); n < need {
		if err == nil || errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF) {
			return nil, fmt.Errorf("%d bytes where %d are needed", n, need)
		}
		return nil, err
	}
	out := make([]float32, b.bl*b.bw)
	for row := range rows {
		b.row(raw[row*b.bw*b.sampleBytes():][:b.bw*b.sampleBytes()], out[row*b.bw:][:b.bw])
	}
	return out, nil
}

// row undoes the predictor and turns bytes into heights.
func (b *blocks) row(raw []byte, out []float32) {
	n := len(out)
	switch {
	case b.predictor == 3:
		// Each byte is the difference from the one before it, and the row holds
		// first all the highest bytes, then all the next (Adobe Photoshop TIFF
		// Technical Note 3, 2005).
		for i := 1; i < len(raw); i++ {
			raw[i] += raw[i-1]
		}
		for i := range out {
			out[i] = math.Float32frombits(uint32(raw[i])<<24 | uint32(raw[n+i])<<16 | uint32(raw[2*n+i])<<8 | uint32(raw[3*n+i]))
		}
	case b.float:
		sum := uint32(0)
		for i := range out {
			v := b.order.Uint32(raw[4*i:])
			if b.predictor == 2 {
				sum += v
				v = sum
			}
			out[i] = math.Float32frombits(v)
		}
	default:
		sum := uint16(0)
		for i := range out {
			v := b.order.Uint16(raw[2*i:])
			if b.predictor == 2 {
				sum += v
				v = sum
			}
			out[i] = float32(int16(v))
		}
	}
}
