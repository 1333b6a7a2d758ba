package changes

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"loopwright/internal/country"
	"loopwright/internal/roadnet/roadnettest"
)

// before is a town of a few roads; each case changes a line of it.
const before = `
A 0,0
B 200,0
C 400,0
D 200,200
E 200,-200
F 400,200
K 600,0
G 0,200
A-B Mill Lane residential 30mph
B-C High Street tertiary 30mph
B-D North Road residential 30mph
B-E South Road residential
C-F Park Road residential 30mph
D-F Church Street residential 20mph
C-K East Lane residential
`

func TestCompare(t *testing.T) {
	p, err := country.ByCode("gb")
	if err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		name     string
		from, to string // replaced in the drawing
		add      string
		want     []string
	}{
		{"nothing", "", "", "", nil},
		{"a lower limit", "A-B Mill Lane residential 30mph", "A-B Mill Lane residential 20mph", "", []string{`Mill Lane: speed limit "30 mph" "20 mph"`}},
		{"a limit mapped", "South Road residential", "South Road residential 30mph", "", []string{`South Road: speed limit "" "30 mph"`}},
		{"a limit no longer mapped", "B-D North Road residential 30mph", "B-D North Road residential", "", []string{`North Road: speed limit "30 mph" ""`}},
		{"one way", "D-F Church", "D>F Church", "", []string{`Church Street: one-way rule "both ways" "one way"`}},
		{"private", "Park Road residential 30mph", "Park Road residential 30mph destination", "", []string{`Park Road: who may drive there "everyone" "only who calls there"`}},
		{"a new road", "", "", "G-A Long Lane residential\n", []string{`Long Lane: new road "" "residential"`}},
		{"a road gone", "D-F Church Street residential 20mph\n", "", "", []string{`Church Street: road gone "residential" ""`}},
		{"a hump", "A-B Mill", "H 100,0\ncalming H\nA-H-B Mill", "", []string{`Mill Lane: traffic calming "" "at 1 place"`}},
		{"a restriction", "", "", "ban A-B-D\n", []string{`Mill Lane: turn barred "" "from Mill Lane into North Road"`}},
		{"a restriction over a way", "", "", "ban A-B-C-F\n", []string{`Mill Lane: turn barred "" "from Mill Lane into High Street and on into Park Road"`}},
		{"a barrier", "", "", "shut F\n", []string{`Church Street: barrier "" "at 1 place"`}},
		{"a way cut in two and moved a little", "A-B Mill Lane residential 30mph", "H 100,6\nA-H Mill Lane residential 30mph", "H-B Mill Lane residential 30mph\n", nil},
		{"drawn the other way round", "A-B Mill Lane", "B-A Mill Lane", "", nil},
	} {
		t.Run(test.name, func(t *testing.T) {
			if !strings.Contains(before, test.from) {
				t.Fatalf("the drawing has no %q", test.from)
			}
			drawing := before + test.add
			if test.from != "" {
				drawing = strings.Replace(before, test.from, test.to, 1) + test.add
			}
			old, now := roadnettest.Parse(t, before), roadnettest.Parse(t, drawing)
			if got := said(Compare(old, now, p)); !slices.Equal(got, test.want) {
				t.Errorf("got %q, want %q", got, test.want)
			}
			// The other way round, what is new is gone.
			if got, want := len(Compare(now, old, p)), len(test.want); got != want {
				t.Errorf("%d changes back again, want %d: %q", got, want, said(Compare(now, old, p)))
			}
			if again := Compare(old, now, p); !reflect.DeepEqual(again, Compare(old, now, p)) {
				t.Error("the same comparison differs from itself")
			}
		})
	}
}

func said(all []Change) []string {
	var out []string
	for _, c := range all {
		out = append(out, fmt.Sprintf("%s: %s %q %q", c.Road, c.Kind, c.Was, c.Is))
	}
	return out
}

func TestKindWords(t *testing.T) {
	seen := map[string]bool{}
	for k := range kindCount {
		if k.String() == "" || seen[k.String()] {
			t.Errorf("kind %d has the word %q, which is none of its own", k, k)
		}
		seen[k.String()] = true
	}
}
