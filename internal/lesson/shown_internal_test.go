package lesson

import (
	"testing"
	"time"

	"loopwright/internal/assess"
	"loopwright/internal/country"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
)

// A loop that ends where it began is no road to judge; as long a part of a
// street that leads on is.
func TestLoopsAreNotShown(t *testing.T) {
	n := roadnettest.Parse(t, `
A 0,0
B 300,0
C 600,0
L 270,60
M 300,110
O 330,60
A-B-C Long Street residential 30mph
B-L-M-O-B Round Loop residential 30mph
`)
	p, err := country.ByCode("gb")
	if err != nil {
		t.Fatal(err)
	}
	shown := map[string]int{}
	for s := range roadnet.StretchID(n.NumStretches()) {
		pl, err := newPlanner(n, p, assess.New(n, p), Request{
			From: roadnet.Position{Segment: s.Segment(true)}, To: roadnet.Position{Segment: s.Segment(true)},
			Exercise: "turn-in-the-road", Minutes: 60, When: time.Date(2027, 3, 4, 10, 0, 0, 0, time.UTC),
		})
		if err != nil {
			t.Fatal(err)
		}
		const from, to geo.Metres = 60, 130
		if pl.shown(assess.Example{Segment: s.Segment(true), From: from, To: to}) {
			shown[n.Name(n.NameOf(s))]++
		}
	}
	if shown["Long Street"] != 2 || shown["Round Loop"] != 0 {
		t.Errorf("shown are %v, want both parts of the street and no loop", shown)
	}
}
