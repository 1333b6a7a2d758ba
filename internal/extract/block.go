package extract

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"google.golang.org/protobuf/encoding/protowire"
)

// block is one PrimitiveBlock, opened but not decoded: its strings are
// views of the unpacked blob. A decoder keeps one and opens it anew.
type block struct {
	strings [][]byte
	keys    []key    // by string: keyNotLooked until asked for
	texts   []string // by string: made when first asked for
	raw     []byte

	granularity          int64 // nanodegrees
	lonOffset, latOffset int64
	dateGranularity      int64 // milliseconds
	far                  int64 // no coordinate of the earth is greater, in granules
}

// Fields of a PrimitiveBlock (osmformat.proto).
const (
	blockStrings         = 1
	blockGroup           = 2
	blockGranularity     = 17
	blockDateGranularity = 18
	blockLatOffset       = 19
	blockLonOffset       = 20
)

// maxStrings is far more than the 8000 objects of a usual block can use.
const maxStrings = 1 << 20

func (b *block) open(raw []byte) error {
	b.strings, b.raw = b.strings[:0], raw
	b.granularity, b.dateGranularity, b.lonOffset, b.latOffset = 100, 1000, 0, 0
	c := cursor{b: raw}
	for {
		num, typ, ok := c.next()
		if !ok {
			break
		}
		switch num {
		case blockStrings:
			t := cursor{b: c.bytes(typ)}
			for {
				num, typ, ok := t.next()
				if !ok {
					break
				}
				if num == 1 {
					if len(b.strings) == maxStrings {
						return fmt.Errorf("string table: more than %d strings", maxStrings)
					}
					b.strings = append(b.strings, t.bytes(typ))
				} else {
					t.skip(num, typ)
				}
			}
			if t.err != nil {
				return fmt.Errorf("string table: %w", t.err)
			}
		case blockGranularity:
			b.granularity = int64(int32(c.number(typ)))
		case blockDateGranularity:
			b.dateGranularity = int64(int32(c.number(typ)))
		case blockLatOffset:
			b.latOffset = int64(c.number(typ))
		case blockLonOffset:
			b.lonOffset = int64(c.number(typ))
		default:
			c.skip(num, typ)
		}
	}
	if c.err != nil {
		return fmt.Errorf("primitive block: %w", c.err)
	}
	const mostOffset = 1e12 // nanodegrees: more than twice round the earth
	if b.granularity < 1 || b.dateGranularity < 1 ||
		b.lonOffset < -mostOffset || b.lonOffset > mostOffset || b.latOffset < -mostOffset || b.latOffset > mostOffset {
		return errors.New("primitive block: a granularity or an offset is out of range")
	}
	b.far = 2 * mostOffset / b.granularity
	b.keys = fill(b.keys, len(b.strings), keyNotLooked)
	b.texts = fill(b.texts, len(b.strings), "")
	return nil
}

// fill gives a slice of n equal values, in the old one's space where it fits.
func fill[T any](s []T, n int, v T) []T {
	if cap(s) < n {
		s = make([]T, n)
	}
	s = s[:n]
	for i := range s {
		s[i] = v
	}
	return s
}

var errStringIndex = errors.New("a string index lies outside the string table")

// key says which of our keys a string is.
func (b *block) key(i uint64) (key, error) {
	if i >= uint64(len(b.strings)) {
		return keyOther, errStringIndex
	}
	k := b.keys[i]
	if k == keyNotLooked {
		k = keyByName[string(b.strings[i])]
		b.keys[i] = k
	}
	return k, nil
}

// text is a string as Go has it, with what is not UTF-8 replaced.
func (b *block) text(i uint64) (string, error) {
	if i >= uint64(len(b.strings)) {
		return "", errStringIndex
	}
	if b.texts[i] == "" && len(b.strings[i]) > 0 {
		b.texts[i] = strings.ToValidUTF8(string(b.strings[i]), "\uFFFD")
	}
	return b.texts[i], nil
}

// position turns granules into 10⁻⁷ degrees, rounded to the nearest.
func (b *block) position(lon, lat int64) (lonE7, latE7 int32, err error) {
	if lon > b.far || lon < -b.far || lat > b.far || lat < -b.far {
		return 0, 0, errNoPlace
	}
	return placeE7(roundDiv(b.lonOffset+b.granularity*lon), roundDiv(b.latOffset+b.granularity*lat))
}

var errNoPlace = errors.New("a node's position is not on the earth")

func placeE7(lon, lat int64) (lonE7, latE7 int32, err error) {
	if lon > 180e7 || lon < -180e7 || lat > 90e7 || lat < -90e7 {
		return 0, 0, errNoPlace
	}
	return int32(lon), int32(lat), nil
}

// roundDiv divides nanodegrees by 100.
func roundDiv(v int64) int64 {
	if v%100 == 0 {
		return v / 100
	}
	return int64(math.Floor(float64(v)/100 + 0.5))
}

// Fields of a PrimitiveGroup.
const (
	groupNodes     = 1
	groupDense     = 2
	groupWays      = 3
	groupRelations = 4
)

// each calls visit for every object or dense run of the block's groups.
func (b *block) each(visit func(num protowire.Number, message []byte) error) error {
	c := cursor{b: b.raw}
	for {
		num, typ, ok := c.next()
		if !ok {
			return c.err
		}
		if num != blockGroup {
			c.skip(num, typ)
			continue
		}
		g := cursor{b: c.bytes(typ)}
		for {
			num, typ, ok := g.next()
			if !ok {
				break
			}
			if typ != protowire.BytesType {
				g.skip(num, typ)
				continue
			}
			message := g.bytes(typ)
			if g.err != nil {
				break
			}
			if err := visit(num, message); err != nil {
				return err
			}
		}
		if g.err != nil {
			return fmt.Errorf("primitive group: %w", g.err)
		}
	}
}
