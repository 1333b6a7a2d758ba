package cli

import (
	"bytes"
	"encoding/json"
	"testing"
)

func TestPlainWriterSpellsOutWhatATerminalObeys(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"Mill Lane\n", "Mill Lane\n"},
		{"Käßstraße 🚗\t|", "Käßstraße 🚗\t|"},
		{"\x1b[31mred", `\u001b[31mred`},
		{"back\rwards", `back\u000dwards`},
		{"a\u202eb\u2066c\u200f", `a\u202eb\u2066c\u200f`},
		{"\u0085\u009b", `\u0085\u009b`},
	} {
		var whole, bytewise bytes.Buffer
		if n, err := (&plainWriter{to: &whole}).Write([]byte(c.in)); n != len(c.in) || err != nil {
			t.Errorf("Write(%q) = %d, %v", c.in, n, err)
		}
		w := &plainWriter{to: &bytewise}
		for i := range len(c.in) {
			if _, err := w.Write([]byte{c.in[i]}); err != nil {
				t.Fatal(err)
			}
		}
		if whole.String() != c.want || bytewise.String() != c.want {
			t.Errorf("%q is written %q, byte by byte %q; want %q", c.in, whole.String(), bytewise.String(), c.want)
		}
	}
}

func TestPlainWriterKeepsJSON(t *testing.T) {
	in := map[string]string{"road": "a\u202eb\u009b\x1b"}
	var out bytes.Buffer
	if err := printJSON(&plainWriter{to: &out}, in); err != nil {
		t.Fatal(err)
	}
	var got map[string]string
	if err := json.Unmarshal(out.Bytes(), &got); err != nil || got["road"] != in["road"] {
		t.Errorf("read back: %q, %v; want %q", got["road"], err, in["road"])
	}
}
