package traffic

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math"

	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
)

// The section of the index, little-endian:
//
//	 4     version of this section
//	 4     number of stretches
//	 8 ×   coverage: homes, stops, routes, shops
//	         4  1 where known
//	         4  float32 share
//	20 ×   rows by stretch
//	         1  band
//	         1  cause
//	         1  marks
//	         1  class
//	         4  homes
//	         4  from: stretch, or roadnet.None
//	         4  to
//	         4  float32 score
const (
	sectionVersion = 1
	headSize       = 8 + 4*8
	rowSize        = 20
)

// ErrNotMeasured says that an index has no traffic yet: it may be used without.
var ErrNotMeasured = errors.New("traffic is not measured yet")

// Encode makes the section; see roadnet's WithTraffic.
func (q *Quiet) Encode() []byte {
	out := make([]byte, 0, headSize+rowSize*len(q.rows))
	le := binary.LittleEndian
	out = le.AppendUint32(out, sectionVersion)
	out = le.AppendUint32(out, uint32(len(q.rows)))
	for _, s := range q.coverage.shares() {
		known := uint32(0)
		if s.Known {
			known = 1
		}
		out = le.AppendUint32(out, known)
		out = le.AppendUint32(out, math.Float32bits(float32(s.Of)))
	}
	for _, r := range q.rows {
		out = append(out, uint8(r.Band), uint8(r.Cause), uint8(r.Marks), uint8(r.Class))
		out = le.AppendUint32(out, r.Homes)
		out = le.AppendUint32(out, uint32(r.From))
		out = le.AppendUint32(out, uint32(r.To))
		out = le.AppendUint32(out, math.Float32bits(r.Score))
	}
	return out
}

// Of reads the section of an open network. The error is ErrNotMeasured where it
// has none, and roadnet.ErrDamaged where it can't be of this network.
func Of(n *roadnet.Network) (*Quiet, error) {
	b := n.Traffic()
	if len(b) == 0 {
		return nil, fmt.Errorf("%s: %w", n.About().Extract, ErrNotMeasured)
	}
	q, err := decode(b, n.NumStretches())
	if err != nil {
		return nil, fmt.Errorf("index of %s: %w: section \"traffic\": %w: make the index anew", n.About().Extract, roadnet.ErrDamaged, err)
	}
	return q, nil
}

func decode(b []byte, stretches int) (*Quiet, error) {
	le := binary.LittleEndian
	if len(b) < headSize {
		return nil, fmt.Errorf("it has %d bytes", len(b))
	}
	if v := le.Uint32(b); v != sectionVersion {
		return nil, fmt.Errorf("it has version %d, this program reads %d", v, sectionVersion)
	}
	if count := le.Uint32(b[4:]); int64(count) != int64(stretches) || len(b)-headSize != rowSize*stretches {
		return nil, fmt.Errorf("it tells of %d stretches in %d bytes, and the network has %d", count, len(b), stretches)
	}
	q := &Quiet{rows: make([]Row, stretches)}
	for i, s := range q.coverage.shares() {
		at := b[8+8*i:]
		s.Known, s.Of = le.Uint32(at) != 0, float64(math.Float32frombits(le.Uint32(at[4:])))
		if !(s.Of >= 0 && s.Of <= 1) {
			return nil, fmt.Errorf("offset %d: a share of %v", 12+8*i, s.Of)
		}
	}
	for i := range q.rows {
		row := b[headSize+rowSize*i:]
		r := Row{
			Band: Band(row[0]), Cause: Cause(row[1]), Marks: Marks(row[2]), Class: extract.Class(row[3]),
			Homes: le.Uint32(row[4:]), From: roadnet.StretchID(le.Uint32(row[8:])), To: roadnet.StretchID(le.Uint32(row[12:])),
			Score: math.Float32frombits(le.Uint32(row[16:])),
		}
		if !r.sound(stretches) {
			return nil, fmt.Errorf("offset %d: no row that this program writes", headSize+rowSize*i)
		}
		q.rows[i] = r
	}
	return q, nil
}

// sound says whether every value is one that a row may have.
func (r Row) sound(stretches int) bool {
	road := func(s roadnet.StretchID) bool { return s == none || int64(s) < int64(stretches) }
	return r.Band < bandCount && r.Cause < causeCount && r.Marks < marksEnd && r.Class <= extract.Construction &&
		road(r.From) && road(r.To) && r.Score >= 0 && !math.IsInf(float64(r.Score), 0)
}
