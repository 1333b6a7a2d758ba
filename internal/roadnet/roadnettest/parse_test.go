package roadnettest

import (
	"slices"
	"strings"
	"testing"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

func TestParse(t *testing.T) {
	n := Parse(t, `
		A 0,0            # the west end
		B 100,0
		C 200,0
		N 100,80
		A-B-C High Street secondary 30mph width=5.5 ref=B1
		B>N Mill Lane parking-left=lane lit
		drive on B-C at 30 left
		drive on B-C at 10 right
		turning N
		settlement 50,50 Much Littleton village
		address 20,5 12 Mill Lane AB1 2CD
		address 30,5 14 Mill Lane
	`)
	high := Segment(t, n, "A>B").Stretch()
	a := n.PieceAt(high, 0).Attributes
	if a.Class != extract.Secondary || a.WidthCm != 550 || a.LimitLowDkmh != [2]uint16{483, 483} || n.Name(n.NameOf(high)) != "High Street" || n.RefOf(high) != "B1" {
		t.Errorf("High Street is %+v, named %q, number %q", a, n.Name(n.NameOf(high)), n.RefOf(high))
	}
	mill := Segment(t, n, "B>N")
	if a := n.PieceAt(mill.Stretch(), 0).Attributes; a.Parking[0] != extract.ParkingLane || a.Lit != extract.Yes || n.Drivable(mill.Opposite()) {
		t.Errorf("Mill Lane is %+v, drivable back: %v", a, n.Drivable(mill.Opposite()))
	}
	if d := n.Length(high) - 100; d < -0.01 || d > 0.01 {
		t.Errorf("A to B is %v m, want 100", n.Length(high))
	}
	mouths := n.Mouths(Segment(t, n, "B>C").Stretch())
	if len(mouths) != 2 || mouths[0].Side != roadnet.Right || mouths[1].Side != roadnet.Left || mouths[1].Along-mouths[0].Along < geo.Metres(19.9) {
		t.Errorf("drives = %+v", mouths)
	}
	if s := n.Settlements(); len(s) != 1 || s[0].Name != "Much Littleton" || s[0].Rank != 2 {
		t.Errorf("settlements = %+v", s)
	}
	addresses := slices.Collect(n.Addresses())
	if len(addresses) != 2 || addresses[0].Postcode != "AB1 2CD" || addresses[0].Street != "Mill Lane" || addresses[1].House != "14" || addresses[1].Postcode != "" {
		t.Errorf("addresses = %+v", addresses)
	}
	if n.NodeFeatures(Node(t, n, "N")) != extract.TurningCircle {
		t.Error("N has no turning head")
	}
}

// A line that can't be read is named, with what is wrong with it.
func TestBadDrawings(t *testing.T) {
	for line, says := range map[string]string{
		"A 0":                       "metres east and north",
		"a 0,0":                     "no name of a node",
		"X 1,1\nX 2,2":              "there already",
		"P-Q Mill Lane":             "node P is not drawn above",
		"X 0,0\nY 9,0\nX-Y cobbled": "no word for a way",
		"X 0,0\nY 9,0\nX>Y-X":       "one way in part",
		"ban X-Y-Z":                 "node X is not drawn above",
		"X 0,0\nY 9,0\nban X-Y":     "no path over a node",
		"X 0,0\nY 9,0\nban X-Y-X":   "no way is drawn above from X to Y",
		"drive on X-Y left":         "a drive is drawn as",
		"settlement 0,0 Here":       "position, a name and a rank",
		"X 0,0\nY 9,0\nX-Y width=w": "invalid syntax",
		"what is this":              "no line of a drawing",
	} {
		_, _, err := facts(line, nil)
		if err == nil || !strings.Contains(err.Error(), says) || !strings.Contains(err.Error(), "drawing, line") {
			t.Errorf("drawing %q: %v, want it to say %q", line, err, says)
		}
	}
}
