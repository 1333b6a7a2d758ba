package cli

import (
	"fmt"
	"io"
	"unicode"
	"unicode/utf8"
)

// plainWriter writes text with what would move the cursor or turn the
// direction of writing spelled out, as \u202e: names come from maps and
// strangers, and a terminal obeys what it is sent. In JSON, where such signs
// stand only inside texts, the spelling means the same.
type plainWriter struct {
	to   io.Writer
	part []byte // the beginning of a character whose rest is still to come
}

func (w *plainWriter) Write(b []byte) (int, error) {
	in := append(w.part, b...)
	out := make([]byte, 0, len(in))
	for len(in) > 0 && (utf8.FullRune(in) || len(in) >= utf8.UTFMax) {
		r, size := utf8.DecodeRune(in)
		if commands(r) {
			out = fmt.Appendf(out, `\u%04x`, r)
		} else {
			out = append(out, in[:size]...)
		}
		in = in[size:]
	}
	w.part = append([]byte(nil), in...)
	if _, err := w.to.Write(out); err != nil {
		return 0, err
	}
	return len(b), nil
}

// commands says whether a terminal obeys a character and does not show it.
// Bidi_Control is of the Unicode Standard, annex 9.
func commands(r rune) bool {
	return r != '\n' && r != '\t' && unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r)
}
