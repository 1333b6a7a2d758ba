package directions_test

import (
	"slices"
	"testing"
)

// Junctions drawn by hand, each sentence read and approved by eye; the mirrored
// map, driven on the other side, gives the mirrored sentence.
func TestJunctions(t *testing.T) {
	for _, c := range junctionCases {
		if got := said(t, c.drawing, c.path, "gb"); !slices.Equal(got, c.want) {
			t.Errorf("%s: %s says\n\t%q, want\n\t%q", c.name, c.path, got, c.want)
		}
		var want []string
		for _, s := range c.want {
			want = append(want, swapSides(s))
		}
		if got := said(t, mirrored(c.drawing), c.path, "de"); !slices.Equal(got, want) {
			t.Errorf("%s, mirrored: %s says\n\t%q, want\n\t%q", c.name, c.path, got, want)
		}
	}
}
