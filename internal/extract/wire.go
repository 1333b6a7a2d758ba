package extract

import (
	"errors"

	"google.golang.org/protobuf/encoding/protowire"
)

var (
	errMessageShort = errors.New("a message ends within a field")
	errVarint       = errors.New("a number is longer than 64 bits or cut short")
	errFieldType    = errors.New("a field has the wrong wire type")
)

// cursor walks the fields of one message, bounds-checked. Its error sticks: a
// caller may read on and look once at the end.
type cursor struct {
	b   []byte
	err error
}

// next gives the next field's number and type; false at the end or a fault.
func (c *cursor) next() (protowire.Number, protowire.Type, bool) {
	if len(c.b) == 0 || c.err != nil {
		return 0, 0, false
	}
	tag := c.varint()
	if c.err != nil {
		return 0, 0, false
	}
	num, typ := protowire.DecodeTag(tag)
	if num < protowire.MinValidNumber {
		c.err = errors.New("a field has no valid number")
		return 0, 0, false
	}
	return num, typ, true
}

func (c *cursor) varint() uint64 {
	if len(c.b) > 0 && c.b[0] < 0x80 {
		v := uint64(c.b[0])
		c.b = c.b[1:]
		return v
	}
	v, n := protowire.ConsumeVarint(c.b)
	if n < 0 {
		c.fail(errVarint)
		return 0
	}
	c.b = c.b[n:]
	return v
}

// number reads a field's varint.
func (c *cursor) number(typ protowire.Type) uint64 {
	if typ != protowire.VarintType {
		c.fail(errFieldType)
		return 0
	}
	return c.varint()
}

// bytes reads a field's bytes: a view.
func (c *cursor) bytes(typ protowire.Type) []byte {
	if typ != protowire.BytesType {
		c.fail(errFieldType)
		return nil
	}
	n := c.varint()
	if n > uint64(len(c.b)) {
		c.fail(errMessageShort)
		return nil
	}
	v := c.b[:n:n]
	c.b = c.b[n:]
	return v
}

func (c *cursor) skip(num protowire.Number, typ protowire.Type) {
	if typ == protowire.BytesType {
		c.bytes(typ)
		return
	}
	n := protowire.ConsumeFieldValue(num, typ, c.b)
	if n < 0 {
		c.fail(errMessageShort)
		return
	}
	c.b = c.b[n:]
}

// fail keeps the first fault and ends the walk.
func (c *cursor) fail(err error) {
	if c.err == nil {
		c.err = err
	}
	c.b = nil
}

// packed is a repeated number field: a view of the message while it comes in
// one piece, as every writer has it, and a joined copy where it does not.
type packed struct {
	b     []byte
	owned bool
}

// add takes one more occurrence of the field.
func (p *packed) add(c *cursor, typ protowire.Type) {
	if typ == protowire.VarintType {
		p.own()
		p.b = protowire.AppendVarint(p.b, c.varint())
		return
	}
	more := c.bytes(typ)
	if p.b == nil {
		p.b = more
		return
	}
	p.own()
	p.b = append(p.b, more...)
}

func (p *packed) own() {
	if !p.owned {
		p.b = append([]byte(nil), p.b...)
		p.owned = true
	}
}

// count is the number of varints: each ends with a byte below 0x80.
func (p *packed) count() int {
	n := 0
	for _, b := range p.b {
		if b < 0x80 {
			n++
		}
	}
	return n
}

// stream reads the numbers one by one.
func (p *packed) stream() numbers { return numbers{b: p.b} }

// numbers is a run of varints.
type numbers struct {
	b []byte
	i int
}

func (n *numbers) more() bool { return n.i < len(n.b) }

// next reads one number; false at the end or where it is cut short.
func (n *numbers) next() (uint64, bool) {
	if i := n.i; i < len(n.b) { // most are short
		low := n.b[i]
		if low < 0x80 {
			n.i = i + 1
			return uint64(low), true
		}
		if i+1 < len(n.b) && n.b[i+1] < 0x80 {
			n.i = i + 2
			return uint64(low&0x7F) | uint64(n.b[i+1])<<7, true
		}
	}
	v, size := protowire.ConsumeVarint(n.b[n.i:])
	if size < 0 {
		return 0, false
	}
	n.i += size
	return v, true
}

// signed reads one zigzag number.
func (n *numbers) signed() (int64, bool) {
	v, ok := n.next()
	return int64(v>>1) ^ -int64(v&1), ok
}
