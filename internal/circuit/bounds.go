package circuit

import (
	"bytes"
	"fmt"
	"unicode/utf8"
)

// What a circuit file may hold at most: MaxBytes bounds the file. The circuit of a two-hour lesson has
// some 300 kB, 10,000 positions and 2,000 objects; these leave room for what a
// sheet draws beside it, and keep a file from a stranger from filling memory.
const (
	MaxBytes   = 16_000_000
	maxDepth   = 32
	maxObjects = 200_000
	maxValues  = 2_000_000
	maxText    = 20_000 // bytes of one text
)

// withinBounds looks over the bytes once, before any of them is decoded. It
// knows just enough JSON for that: texts, brackets and commas.
func withinBounds(b []byte) error {
	if len(b) > MaxBytes {
		return fmt.Errorf("the file has %d MB; a circuit file has at most %d", len(b)/1_000_000, MaxBytes/1_000_000)
	}
	if !utf8.Valid(b) {
		return fmt.Errorf("the file is not UTF-8 text: it may be damaged or packed")
	}
	depth, objects, values := 0, 0, 0
	for i := 0; i < len(b); i++ {
		switch b[i] {
		case '"':
			end := textEnd(b, i+1)
			if end-i > maxText {
				return fmt.Errorf("%s: a text of more than %d characters", placeOf(b, i), maxText)
			}
			i = end
		case '{', '[':
			if b[i] == '{' {
				objects++
			}
			if depth++; depth > maxDepth {
				return fmt.Errorf("%s: nested more than %d deep", placeOf(b, i), maxDepth)
			}
		case '}', ']':
			depth--
		case ',':
			values++
		}
		if objects > maxObjects || values > maxValues {
			return fmt.Errorf("%s: more entries than a circuit can have", placeOf(b, i))
		}
	}
	return nil
}

// textEnd is the index of the quote that ends a text, or the end of b.
func textEnd(b []byte, i int) int {
	for ; i < len(b); i++ {
		switch b[i] {
		case '\\':
			i++
		case '"':
			return i
		}
	}
	return len(b)
}

// placeOf gives line and column of a byte, counted from 1.
func placeOf(b []byte, i int) string {
	i = max(0, min(i, len(b)))
	line := bytes.Count(b[:i], []byte("\n")) + 1
	return fmt.Sprintf("line %d, column %d", line, i-bytes.LastIndexByte(b[:i], '\n'))
}
