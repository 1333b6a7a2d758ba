package notes

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// mostDeep bounds how deep values may lie within one another. A note has four
// levels; the rest is room for members that we do not know.
const mostDeep = 32

// canonical gives the canonical form of one JSON value: members sorted by
// UTF-16 code units, no spaces, numbers and strings as ECMAScript writes them
// (Rundgren, Jordan, Erdtman, "JSON Canonicalization Scheme (JCS)", RFC 8785,
// 2020). A member that comes twice, a half of a surrogate pair, a number that is
// no finite double and anything after the value are errors.
func canonical(text []byte) ([]byte, error) {
	if !utf8.Valid(text) {
		return nil, errors.New("the text is not UTF-8")
	}
	if loneSurrogate(text) {
		return nil, errors.New("a string holds half of a surrogate pair")
	}
	c := canonicaliser{in: json.NewDecoder(bytes.NewReader(text))}
	c.in.UseNumber()
	if err := c.value(0); err != nil {
		return nil, err
	}
	if _, err := c.in.Token(); err != io.EOF {
		return nil, errors.New("something stands after the end of the JSON value")
	}
	return c.out, nil
}

type canonicaliser struct {
	in  *json.Decoder
	out []byte
}

func (c *canonicaliser) value(depth int) error {
	token, err := c.in.Token()
	if err != nil {
		return notJSON(err)
	}
	switch v := token.(type) {
	case json.Delim:
		if depth == mostDeep {
			return fmt.Errorf("values lie more than %d deep in one another", mostDeep)
		}
		if v == '{' {
			return c.object(depth)
		}
		return c.array(depth)
	case string:
		c.out = appendString(c.out, v)
	case json.Number:
		c.out, err = appendNumber(c.out, v.String())
	case bool:
		c.out = strconv.AppendBool(c.out, v)
	case nil:
		c.out = append(c.out, "null"...)
	}
	return err
}

func (c *canonicaliser) array(depth int) error {
	c.out = append(c.out, '[')
	for first := true; c.in.More(); first = false {
		if !first {
			c.out = append(c.out, ',')
		}
		if err := c.value(depth + 1); err != nil {
			return err
		}
	}
	c.out = append(c.out, ']')
	_, err := c.in.Token()
	return notJSON(err)
}

func (c *canonicaliser) object(depth int) error {
	type member struct {
		key   []uint16
		bytes []byte // name and value
	}
	var members []member
	outer := c.out
	for c.in.More() {
		token, err := c.in.Token()
		if err != nil {
			return notJSON(err)
		}
		name := token.(string) // the decoder lets nothing else through
		c.out = append(appendString(nil, name), ':')
		if err := c.value(depth + 1); err != nil {
			return err
		}
		members = append(members, member{utf16.Encode([]rune(name)), c.out})
	}
	if _, err := c.in.Token(); err != nil {
		return notJSON(err)
	}
	slices.SortFunc(members, func(a, b member) int { return slices.Compare(a.key, b.key) })
	c.out = append(outer, '{')
	for i, m := range members {
		if i > 0 {
			if slices.Equal(m.key, members[i-1].key) {
				return fmt.Errorf("the member %q comes twice in one object", string(utf16.Decode(m.key)))
			}
			c.out = append(c.out, ',')
		}
		c.out = append(c.out, m.bytes...)
	}
	c.out = append(c.out, '}')
	return nil
}

func notJSON(err error) error {
	if err == nil {
		return nil
	}
	if errors.Is(err, io.EOF) {
		err = io.ErrUnexpectedEOF
	}
	return fmt.Errorf("not JSON: %w", err)
}

// appendNumber writes a number as ECMAScript does: the fewest digits that read
// back as the same double, an exponent below 10⁻⁶ and from 10²¹.
func appendNumber(out []byte, text string) ([]byte, error) {
	f, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return out, fmt.Errorf("the number %s is too large", text)
	}
	return appendDouble(out, f), nil
}

func appendDouble(out []byte, f float64) []byte {
	size := math.Abs(f)
	switch {
	case f == 0:
		return append(out, '0') // minus zero too
	case size >= 1e-6 && size < 1e21:
		return strconv.AppendFloat(out, f, 'f', -1, 64)
	}
	s := strconv.FormatFloat(f, 'e', -1, 64)
	// Go writes at least two digits of exponent, ECMAScript as few as there are.
	if i := len(s) - 2; s[i] == '0' && (s[i-1] == '+' || s[i-1] == '-') {
		s = s[:i] + s[i+1:]
	}
	return append(out, s...)
}

func appendString(out []byte, s string) []byte {
	out = append(out, '"')
	for i := range len(s) {
		switch b := s[i]; {
		case b == '"' || b == '\\':
			out = append(out, '\\', b)
		case b >= 0x20:
			out = append(out, b)
		default:
			if k := strings.IndexByte("\b\t\n\f\r", b); k >= 0 {
				out = append(out, '\\', "btnfr"[k])
			} else {
				out = fmt.Appendf(out, `\u%04x`, b)
			}
		}
	}
	return append(out, '"')
}

// loneSurrogate finds an escape of half a surrogate pair, which the decoder
// would pass over in silence. An escape is found by its backslash: outside
// strings JSON has none.
func loneSurrogate(text []byte) bool {
	unit := func(i int) rune { // of the escape at i, -1 for none
		if i+6 > len(text) || text[i] != '\\' || text[i+1] != 'u' {
			return -1
		}
		v, err := strconv.ParseUint(string(text[i+2:i+6]), 16, 16)
		if err != nil {
			return -1
		}
		return rune(v)
	}
	for i := 0; i < len(text); i++ {
		if text[i] != '\\' {
			continue
		}
		if r := unit(i); utf16.IsSurrogate(r) {
			if utf16.DecodeRune(r, unit(i+6)) == utf8.RuneError {
				return true
			}
			i += 11
			continue
		}
		i++ // what is escaped is no backslash of its own
	}
	return false
}
