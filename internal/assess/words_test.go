package assess

import (
	"encoding"
	"fmt"
	"testing"
)

func TestWords(t *testing.T) {
	check := func(i, n int, v fmt.Stringer, into encoding.TextUnmarshaler, same func() bool) {
		t.Helper()
		b, err := v.(encoding.TextMarshaler).MarshalText()
		if err != nil || string(b) == "" || string(b) != v.String() {
			t.Errorf("%T(%d): MarshalText = %q, %v", v, i, b, err)
		}
		err = into.UnmarshalText(b)
		if known := i < n; (err == nil) != known || known && !same() {
			t.Errorf("%T(%d): UnmarshalText(%q) = %v", v, i, b, err)
		}
	}
	for i := range int(evidenceCount) + 1 {
		var got Evidence
		check(i, int(evidenceCount), Evidence(i), &got, func() bool { return got == Evidence(i) })
	}
	for i := range int(holdsCount) + 1 {
		var got Holds
		check(i, int(holdsCount), Holds(i), &got, func() bool { return got == Holds(i) })
	}
	for i := range int(verdictCount) + 1 {
		var got Verdict
		check(i, int(verdictCount), Verdict(i), &got, func() bool { return got == Verdict(i) })
	}
}
