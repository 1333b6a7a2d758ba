package survey

import (
	"slices"
	"strings"
	"testing"

	"loopwright/data"
	"loopwright/internal/assess"
	"loopwright/internal/country"
	"loopwright/internal/orienteer"
	"loopwright/internal/roadnet/roadnettest"
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

// The width is paced where none was paced before that tells as much.
func TestPaced(t *testing.T) {
	n := roadnettest.Parse(t, "A 0,0\nB 200,0\nC 400,0\nD 3000,0\nE 3200,0\nF 200,100\nA-B Mill Lane\nB-C Mill Lane\nB-F Side Street\nD-E Church Lane")
	gb, err := country.ByCode("gb")
	if err != nil {
		t.Fatal(err)
	}
	a := assess.New(n, gb)
	v := &worth{}
	var all []candidate
	for i, name := range []string{"A>B", "B>C", "D>E"} {
		v.doubts = append(v.doubts, doubt{alike: a.Likeness(roadnettest.Segment(t, n, name).Stretch())})
		all = append(all, candidate{doubt: i})
	}
	for _, c := range []struct {
		standing, want []bool
	}{
		{[]bool{true, true, true}, []bool{true, false, true}},
		{[]bool{false, true, true}, []bool{false, true, true}},
		{[]bool{false, false, false}, []bool{false, false, false}},
	} {
		if got := paced(v, all, []int{0, 1, 2}, c.standing, 0.2); !slices.Equal(got, c.want) {
			t.Errorf("standing %v: paced %v, want %v", c.standing, got, c.want)
		}
	}
}

// What leaving a road out saves is the difference of two tours.
func TestSaved(t *testing.T) {
	p := &orienteer.Problem{Stops: []orienteer.Stop{{Service: 5}, {Service: 7}}, Times: [][]int64{
		{0, 3, 9, 2}, {3, 0, 9, 6}, {4, 8, 0, 0}, {9, 9, 9, 9},
	}}
	for _, c := range []struct {
		order []int
		h     int
		want  int64
	}{{[]int{0, 1}, 0, 4 + 5 + 3 - 8}, {[]int{0, 1}, 1, 3 + 7 + 6 - 2}, {[]int{0}, 0, 4 + 5 + 2}} {
		if got := saved(p, c.order, c.h); got != c.want {
			t.Errorf("saved(%v, %d) = %d, want %d", c.order, c.h, got, c.want)
		}
	}
}

func TestTableIsRefused(t *testing.T) {
	text, err := data.Tables.ReadFile("survey.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ old, with, says string }{
		{"write_s: {value: 10", "write_s: {value: 0", "write_s needs a value above 0"},
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
