package traffic

import (
	"testing"

	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
)

// Homes belong to the road that their address names where it is near, else to
// the nearest; stops at a junction count once.
func TestFactsOfANetwork(t *testing.T) {
	n := roadnettest.Parse(t, `
		A 0,0
		B 200,0
		C 100,0
		D 100,100
		E 50,0
		A-E-C-B Mill Road tertiary
		C-D Orchard Close
		bus E C
		site shop 20,12 Corner Shop
		site school 110,40 160,90 Mill School
		address 95,20 1 Mill Road AB1 2CD
		address 95,60 2 Orchard Close AB1 2CD
		address 110,30 3 Elsewhere Road AB1 2CD
		address 100,900 4 Orchard Close AB1 2CD
	`)
	f := FactsOf(n)
	close := stretchNamed(t, n, "Orchard Close")
	if f.Shops[stretchNamed(t, n, "Mill Road")] != 1 || f.Schools[close] != 1 {
		t.Errorf("shops %v and schools %v, want one on Mill Road's first stretch and one on the close", f.Shops, f.Schools)
	}
	var stops, homes uint32
	for s := range f.Homes {
		stops += f.Stops[s]
		if roadnet.StretchID(s) != close {
			homes += f.Homes[s]
		}
	}
	if f.Homes[close] != 2 || homes != 1 {
		t.Errorf("homes: %d on the close and %d on the road, want 2 and 1", f.Homes[close], homes)
	}
	if stops != 2 {
		t.Errorf("stops: %d, want 2", stops)
	}
}

// How completely homes are mapped is told by length of road, and where nobody
// looked it is not known.
func TestCoverage(t *testing.T) {
	n := roadnettest.Parse(t, ring)
	if got := measure(t, n, Facts{}).Coverage(); got != (Coverage{}) {
		t.Errorf("nothing looked for: %+v", got)
	}
	all := make([]uint32, n.NumStretches())
	for s := range all {
		all[s] = 1 + uint32(n.Length(roadnet.StretchID(s))/15)
	}
	c := measure(t, n, Facts{Homes: all, Stops: make([]uint32, n.NumStretches()), Bus: mark(t, n, "Station Road", true), Shops: all}).Coverage()
	if c.Homes != (Share{true, 1}) || c.Shops != (Share{true, 1}) || c.Routes.Known {
		t.Errorf("all mapped: %+v", c)
	}
	if got := c.Sentences()[0]; got != "homes mapped along residential roads: nearly all; elsewhere their number is estimated by the length of the road" {
		t.Errorf("homes: %q", got)
	}
}
