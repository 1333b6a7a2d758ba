package elevation

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"strconv"
	"strings"
)

// The tags of TIFF 6.0 (Aldus, 1992), of its Technical Notes (predictor 3) and
// of OGC GeoTIFF 1.1 (OGC 19-008r4) that a raster of heights needs.
const (
	tagWidth           = 256
	tagLength          = 257
	tagBits            = 258
	tagCompression     = 259
	tagStripOffsets    = 273
	tagSamplesPerPixel = 277
	tagRowsPerStrip    = 278
	tagStripBytes      = 279
	tagPredictor       = 317
	tagTileWidth       = 322
	tagTileLength      = 323
	tagTileOffsets     = 324
	tagTileBytes       = 325
	tagSampleFormat    = 339
	tagPixelScale      = 33550
	tagTiepoint        = 33922
	tagTransformation  = 34264
	tagGeoKeys         = 34735
	tagNoData          = 42113

	keyModelType  = 1024 // 2: longitude and latitude
	keyRasterType = 1025 // 2: samples are points
	keyGeographic = 2048 // 4326: WGS 84
)

// Bounds on what a file may ask for.
const (
	mostEntries    = 4096     // of a directory
	mostValues     = 1 << 22  // of one tag: strips or tiles
	mostBlockBytes = 64 << 20 // of one strip or tile, unpacked
	mostSide       = 1 << 20  // samples
)

// directory is the first image file directory: each tag's values as numbers.
type directory struct {
	order  binary.ByteOrder
	values map[uint16][]float64
	text   map[uint16]string
}

// size of the field types of TIFF 6.0, by number.
var fieldSize = map[uint16]int64{1: 1, 2: 1, 3: 2, 4: 4, 6: 1, 7: 1, 8: 2, 9: 4, 11: 4, 12: 8}

func readDirectory(f io.ReaderAt, size int64) (*directory, error) {
	var head [8]byte
	if _, err := f.ReadAt(head[:], 0); err != nil {
		return nil, errors.New("too short for a TIFF file")
	}
	d := &directory{values: map[uint16][]float64{}, text: map[uint16]string{}}
	switch string(head[:2]) {
	case "II":
		d.order = binary.LittleEndian
	case "MM":
		d.order = binary.BigEndian
	default:
		return nil, errors.New("not a TIFF file")
	}
	switch d.order.Uint16(head[2:]) {
	case 42:
	case 43:
		return nil, errors.New("a BigTIFF file: write it as plain TIFF")
	default:
		return nil, errors.New("not a TIFF file")
	}
	at := int64(d.order.Uint32(head[4:]))
	var count [2]byte
	if _, err := f.ReadAt(count[:], at); err != nil {
		return nil, fmt.Errorf("its directory at byte %d lies past the end", at)
	}
	n := int(d.order.Uint16(count[:]))
	if n > mostEntries {
		return nil, fmt.Errorf("%d entries in its directory", n)
	}
	entries := make([]byte, 12*n)
	if _, err := f.ReadAt(entries, at+2); err != nil {
		return nil, fmt.Errorf("its directory at byte %d is cut short", at)
	}
	for ; len(entries) > 0; entries = entries[12:] {
		if err := d.read(f, size, entries[:12]); err != nil {
			return nil, err
		}
	}
	return d, nil
}

// read takes one entry; tags and types that mean nothing here are passed over.
func (d *directory) read(f io.ReaderAt, size int64, entry []byte) error {
	tag, kind, count := d.order.Uint16(entry), d.order.Uint16(entry[2:]), int64(d.order.Uint32(entry[4:]))
	unit, known := fieldSize[kind]
	if !known {
		return nil
	}
	if count > mostValues || count*unit > size {
		return fmt.Errorf("tag %d claims %d values", tag, count)
	}
	data := entry[8:12]
	if count*unit > 4 {
		data = make([]byte, count*unit)
		if _, err := f.ReadAt(data, int64(d.order.Uint32(entry[8:]))); err != nil {
			return fmt.Errorf("the values of tag %d lie past the end", tag)
		}
	}
	if kind == 2 {
		d.text[tag] = strings.TrimRight(string(data[:count]), "\x00 ")
		return nil
	}
	values := make([]float64, count)
	for i := range values {
		v := data[int64(i)*unit:]
		switch kind {
		case 1, 7:
			values[i] = float64(v[0])
		case 6:
			values[i] = float64(int8(v[0]))
		case 3:
			values[i] = float64(d.order.Uint16(v))
		case 8:
			values[i] = float64(int16(d.order.Uint16(v)))
		case 4:
			values[i] = float64(d.order.Uint32(v))
		case 9:
			values[i] = float64(int32(d.order.Uint32(v)))
		case 11:
			values[i] = float64(math.Float32frombits(d.order.Uint32(v)))
		case 12:
			values[i] = math.Float64frombits(d.order.Uint64(v))
		}
	}
	d.values[tag] = values
	return nil
}

// one is a tag's first value, or what it means when it is missing.
func (d *directory) one(tag uint16, otherwise float64) float64 {
	if v := d.values[tag]; len(v) > 0 {
		return v[0]
	}
	return otherwise
}

// key is a GeoTIFF key held in the directory of keys itself.
func (d *directory) key(id float64) (float64, bool) {
	keys := d.values[tagGeoKeys]
	for i := 4; i+3 < len(keys); i += 4 {
		if keys[i] == id && keys[i+1] == 0 {
			return keys[i+3], true
		}
	}
	return 0, false
}

// openTIFF opens a GeoTIFF file; its samples are read as they are asked for.
func openTIFF(path string) (*grid, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	g, err := readTIFF(f, path)
	if err != nil {
		f.Close()
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return g, nil
}

func readTIFF(f *os.File, path string) (*grid, error) {
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	return parseTIFF(f, info.Size(), path)
}

func parseTIFF(f io.ReaderAt, size int64, name string) (*grid, error) {
	d, err := readDirectory(f, size)
	if err != nil {
		return nil, err
	}
	if m, ok := d.key(keyModelType); ok && m != 2 {
		return nil, errors.New("not in longitude and latitude: write it in EPSG:4326")
	}
	if e, ok := d.key(keyGeographic); !ok || e != 4326 {
		return nil, errors.New("it does not say that it is in EPSG:4326: write it so")
	}
	if len(d.values[tagTransformation]) > 0 {
		return nil, errors.New("turned or sheared: write it with north up")
	}
	scale, tie := d.values[tagPixelScale], d.values[tagTiepoint]
	if len(scale) < 2 || len(tie) != 6 || !(scale[0] > 0) || !(scale[1] > 0) || !finite(scale[:2]) || !finite(tie) {
		return nil, errors.New("it does not say where it lies by one tie point and a scale")
	}
	b, err := newBlocks(f, size, d)
	if err != nil {
		return nil, err
	}
	g := &grid{name: name, cols: b.width, rows: b.length, dx: scale[0], dy: scale[1], samples: b}
	g.west, g.north = tie[3]-tie[0]*scale[0], tie[4]+tie[1]*scale[1]
	if kind, ok := d.key(keyRasterType); !ok || kind != 2 {
		g.west, g.north = g.west+g.dx/2, g.north-g.dy/2
	}
	if g.cols < 2 || g.rows < 2 || math.Abs(g.west) > 360 || math.Abs(g.north) > 91 {
		return nil, fmt.Errorf("%d by %d samples from %g,%g", g.cols, g.rows, g.north, g.west)
	}
	g.noise = noiseOneSecond
	if g.dy > 2.0/3600 {
		g.noise = noiseThreeSecond
	}
	if text := d.text[tagNoData]; text != "" {
		v, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
		if err != nil {
			return nil, fmt.Errorf("its mark of a void is %q", text)
		}
		b.void, b.hasVoid = v, true
	}
	return g, nil
}

func finite(values []float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}
