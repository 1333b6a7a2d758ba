package demotown

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"math"
	"math/rand/v2"

	"github.com/paulmach/orb"

	"loopwright/internal/geo"
)

// The grid of heights: one arc second, as the better global models have, over
// the whole extract.
const (
	arcSecond  = 1.0 / 3600
	westEdge   = -7.25
	northEdge  = 47.032
	gridWide   = 360
	gridHigh   = 226
	stripRows  = 16
	noiseM     = 0.45 // from cell to cell
	driftM     = 0.7  // over some 200 m
	heightStep = 0.1  // heights are rounded to this
)

// heightGrid samples the land at the middle of each cell, north-west first, with
// the errors of a model from space: a slow drift and a quick noise, together
// under 2 m between neighbours nine times in ten, as stated for the Copernicus
// 30 m model on such slopes.
func heightGrid(random *rand.Rand) []float32 {
	plane := geo.PlaneAt(middle)
	out := make([]float32, 0, gridWide*gridHigh)
	for row := range gridHigh {
		for col := range gridWide {
			p := plane.To(orb.Point{westEdge + (float64(col)+0.5)*arcSecond, northEdge - (float64(row)+0.5)*arcSecond})
			h := height(p) + driftM*noise(p.Scale(0.7)) + noiseM*random.NormFloat64()
			out = append(out, float32(math.Round(h/heightStep)*heightStep))
		}
	}
	return out
}

// TIFF tags and types used here (TIFF Revision 6.0, 1992; the last three from
// the OGC GeoTIFF Standard 1.1, 2019).
const (
	tiffShort, tiffLong, tiffDouble = 3, 4, 12

	tagWidth, tagHeight, tagBits, tagCompression, tagPhotometric       = 256, 257, 258, 259, 262
	tagStripOffsets, tagSamples, tagStripRows, tagStripBytes, tagPlans = 273, 277, 278, 279, 284
	tagSampleFormat, tagPixelScale, tagTiepoint, tagGeoKeys            = 339, 33550, 33922, 34735
)

// field is one entry of a TIFF directory.
type field struct {
	tag, kind uint16
	values    []float64
}

// writeHeights makes a GeoTIFF: float32 metres, EPSG:4326, deflated strips,
// cells as areas.
func writeHeights(heights []float32) ([]byte, error) {
	out := bytes.NewBuffer([]byte{'I', 'I', 42, 0, 0, 0, 0, 0})
	var offsets, sizes []float64
	for row := 0; row < gridHigh; row += stripRows {
		strip := heights[row*gridWide : min(row+stripRows, gridHigh)*gridWide]
		offsets = append(offsets, float64(out.Len()))
		z, err := zlib.NewWriterLevel(out, zlib.BestCompression)
		if err != nil {
			return nil, err
		}
		if err := binary.Write(z, binary.LittleEndian, strip); err != nil {
			return nil, err
		}
		if err := z.Close(); err != nil {
			return nil, err
		}
		sizes = append(sizes, float64(out.Len())-offsets[len(offsets)-1])
	}
	return directory(out, []field{
		{tagWidth, tiffShort, []float64{gridWide}},
		{tagHeight, tiffShort, []float64{gridHigh}},
		{tagBits, tiffShort, []float64{32}},
		{tagCompression, tiffShort, []float64{8}}, // deflate
		{tagPhotometric, tiffShort, []float64{1}},
		{tagStripOffsets, tiffLong, offsets},
		{tagSamples, tiffShort, []float64{1}},
		{tagStripRows, tiffShort, []float64{stripRows}},
		{tagStripBytes, tiffLong, sizes},
		{tagPlans, tiffShort, []float64{1}},
		{tagSampleFormat, tiffShort, []float64{3}}, // floating point
		{tagPixelScale, tiffDouble, []float64{arcSecond, arcSecond, 0}},
		{tagTiepoint, tiffDouble, []float64{0, 0, 0, westEdge, northEdge, 0}},
		// Version 1.1.0, three keys: geographic model, pixel is area, EPSG:4326.
		{tagGeoKeys, tiffShort, []float64{1, 1, 0, 3, 1024, 0, 1, 2, 1025, 0, 1, 1, 2048, 0, 1, 4326}},
	}), nil
}

// directory writes the fields, in the order of their tags, after the strips,
// and points the header at them. Values that need more than four bytes stand
// after the directory.
func directory(out *bytes.Buffer, fields []field) []byte {
	if out.Len()%2 == 1 {
		out.WriteByte(0)
	}
	start := uint32(out.Len())
	put := func(to []byte, kind uint16, v float64) []byte {
		switch kind {
		case tiffShort:
			return binary.LittleEndian.AppendUint16(to, uint16(v))
		case tiffLong:
			return binary.LittleEndian.AppendUint32(to, uint32(v))
		}
		return binary.LittleEndian.AppendUint64(to, math.Float64bits(v))
	}
	entries := binary.LittleEndian.AppendUint16(nil, uint16(len(fields)))
	var rest []byte
	after := start + uint32(2+12*len(fields)+4)
	for _, f := range fields {
		entries = binary.LittleEndian.AppendUint16(entries, f.tag)
		entries = binary.LittleEndian.AppendUint16(entries, f.kind)
		entries = binary.LittleEndian.AppendUint32(entries, uint32(len(f.values)))
		var value []byte
		for _, v := range f.values {
			value = put(value, f.kind, v)
		}
		if len(value) > 4 {
			entries = binary.LittleEndian.AppendUint32(entries, after+uint32(len(rest)))
			rest = append(rest, value...)
			continue
		}
		entries = append(entries, append(value, make([]byte, 4-len(value))...)...)
	}
	out.Write(append(append(entries, 0, 0, 0, 0), rest...))
	b := out.Bytes()
	binary.LittleEndian.PutUint32(b[4:], start)
	return b
}
