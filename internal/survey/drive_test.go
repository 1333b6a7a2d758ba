package survey

import (
	"slices"
	"strings"
	"testing"

	"loopwright/data"
)

// The car stands at the last kerb before too much is to be remembered; where
// roads have no kerb, at the next that has one.
func TestStops(t *testing.T) {
	for _, c := range []struct{ kerbs, want string }{
		{"yyyyyyyy", "...s...s"},
		{"yynnyyyy", ".s...s.s"},
		{"nnnnnnyy", "......s."},
		{"nnnn", "...."},
	} {
		all := make([]candidate, len(c.kerbs))
		order := make([]int, len(c.kerbs))
		for i, k := range c.kerbs {
			all[i].standing, order[i] = k == 'y', i
		}
		var got strings.Builder
		for _, s := range stops(all, order, 4) {
			got.WriteByte(".s"[map[bool]int{true: 1}[s]])
		}
		if got.String() != c.want {
			t.Errorf("stops(%s) = %s, want %s", c.kerbs, got.String(), c.want)
		}
	}
}

func TestTableIsRefused(t *testing.T) {
	text, err := data.Tables.ReadFile("survey.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ old, with, says string }{
		{"stop_minutes: {value: 1.5", "stop_minutes: {value: 0", "stop_minutes needs a value above 0"},
		{"  rounds:", "  laps:", "rounds needs a value"},
		{"values:", "values:\n  speed: {value: 1, source: x}", "nobody reads"},
	} {
		if _, err := readTable([]byte(strings.Replace(string(text), c.old, c.with, 1))); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("with %q: %v, want %q", c.with, err, c.says)
		}
	}
	if got := doubtsOf([]candidate{{doubt: 4}, {doubt: 2}}, []int{1, 0}); !slices.Equal(got, []int{2, 4}) {
		t.Errorf("doubtsOf = %v", got)
	}
}
