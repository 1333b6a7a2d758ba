package survey

import (
	"slices"
	"testing"

	"loopwright/internal/country"
	"loopwright/internal/extract"
	"loopwright/internal/roadnet/roadnettest"
)

// Tags that can't all be true are told, a limit as signs have it there; what is
// only odd, or has no width mapped, is not.
func TestContradictions(t *testing.T) {
	gb, err := country.ByCode("gb")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, limit string
		width       uint16 // cm, 0 not mapped
		lanes       uint8
		parked      bool
		want        []string
	}{
		{"plain", "30mph", 550, 0, false, nil},
		{"no width", "30mph", 0, 4, true, nil},
		{"two lanes on 3 m", "30mph", 300, 2, false, []string{"mapped as 3 m wide with 2 lanes"}},
		{"two lanes on 4 m", "30mph", 400, 2, false, nil},
		{"parked up", "30mph", 350, 0, true, []string{"mapped as 3.5 m wide with parked cars that leave no room to drive"}},
		{"a square", "30mph", 2600, 0, false, []string{"mapped as 26 m wide"}},
		{"fast and narrow", "60mph", 300, 2, false, []string{"mapped as 3 m wide with 2 lanes", "mapped as a street of homes with a limit of 60 mph"}},
	} {
		n := roadnettest.Parse(t, "A 0,0\nB 200,0\nA-B Mill Lane residential "+c.limit)
		s := roadnettest.Segment(t, n, "A>B").Stretch()
		for _, piece := range n.Pieces(s) {
			at := piece.Attributes
			if c.width > 0 {
				at.WidthSource, at.WidthCm = extract.WidthCarriageway, c.width
			}
			at.Lanes[0] = c.lanes
			if c.parked {
				at.Parking[0] = extract.ParkingLane
			}
		}
		if got := contradictions(n, gb, s); !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}
