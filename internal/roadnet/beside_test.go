package roadnet_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
)

// mainStreet runs east, with a close to the north.
const mainStreet = `
	A 0,0
	B 200,0
	C 100,0
	D 100,150
	P 60,-30
	Q 60,-80
	R 60,-60
	M 60,0
	A-M-C-B Main Street tertiary
	C-D Orchard Close
	turning D
	M-P service
	P-R-Q service parking_aisle
`

// on is the stretch from one node to another.
func on(t *testing.T, n *roadnet.Network, arrow string) (roadnet.StretchID, bool) {
	s := roadnettest.Segment(t, n, arrow)
	return s.Stretch(), s.Forward()
}

func point(x, y float64) orb.Point {
	return geo.PlaneAt(orb.Point{-1, 52}).From(geo.XY{X: x, Y: y})
}

// Distances are to the edge of an area, 0 within it, and to its nearest gate.
func TestSitesWithin(t *testing.T) {
	n := roadnettest.Parse(t, mainStreet+`
		site school 120,20 160,60 Mill School
		site shop 150,10 Corner Shop
		gate 160,40
		gate 300,40
	`)
	for _, c := range []struct {
		x, y, within, away, gate float64
		found                    bool
	}{
		{140, 40, 100, 0, 20, true},
		{140, 0, 100, 20, math.Hypot(20, 40), true},
		{190, 90, 100, math.Hypot(30, 30), math.Hypot(30, 50), true},
		{140, 0, 19, 0, 0, false},
		{100, 20, 21, 20, math.Hypot(60, 20), true},
	} {
		got := n.SitesWithin(extract.SiteSchool, point(c.x, c.y), geo.Metres(c.within))
		if !c.found {
			if len(got) > 0 {
				t.Errorf("%.0f,%.0f within %.0f: %v, want none", c.x, c.y, c.within, got)
			}
			continue
		}
		if len(got) != 1 || math.Abs(float64(got[0].Away)-c.away) > 0.1 || !got[0].HasGate || math.Abs(float64(got[0].Gate)-c.gate) > 0.1 || got[0].Name != "Mill School" || !got[0].Area {
			t.Errorf("%.0f,%.0f within %.0f: %+v, want %.1f m away, its gate %.1f", c.x, c.y, c.within, got, c.away, c.gate)
		}
	}
	shops := n.SitesWithin(extract.SiteShop, point(150, 0), 50)
	if len(shops) != 1 || !shops[0].HasRoad || shops[0].Side != roadnet.Left || math.Abs(float64(shops[0].Beside.Along)-50) > 0.5 {
		t.Errorf("shops: %+v, want one 50 m along C>B on the left", shops)
	}
}

// A stop stands on the road of its bus, on the side where it was drawn; one
// drawn on the road is not another.
func TestStopsOn(t *testing.T) {
	n := roadnettest.Parse(t, mainStreet+`
		site bus-stop 30,5 West End
		site bus-stop 35,-5 West End
		site bus-stop 104,60 Close
		site bus-stop 100,300 Far away
		bus M
	`)
	west, forward := on(t, n, "A>C")
	if got := n.StopsOn(west); !forward || len(got) != 3 ||
		got[0].Side != roadnet.Left || got[1].Side != roadnet.Right || math.Abs(float64(got[0].Along)-30) > 0.5 || math.Abs(float64(got[1].Along)-35) > 0.5 || got[1].Name != "West End" ||
		got[2].Side != roadnet.SideUnknown || math.Abs(float64(got[2].Along)-60) > 0.5 {
		t.Errorf("stops on Main Street: %+v, want left at 30, right at 35, and one on the road at 60", got)
	}
	close, _ := on(t, n, "C>D")
	if got := n.StopsOn(close); len(got) != 1 || got[0].Side != roadnet.Right {
		t.Errorf("stops on the close: %+v, want one on the right", got)
	}
	n = roadnettest.Parse(t, mainStreet+`
		site bus-stop 62,5
		bus M
	`)
	west, _ = on(t, n, "A>C")
	if got := n.StopsOn(west); len(got) != 1 || got[0].Side != roadnet.Left {
		t.Errorf("a stop drawn on the road and beside it: %+v, want the one beside", got)
	}
}

// An address belongs to the street that it names; a building without one is a
// home by its kind, or by its size beside a road to live on; what has an
// address in it counts once.
func TestHomesOn(t *testing.T) {
	n := roadnettest.Parse(t, mainStreet+`
		address 108,20 1 Orchard Close
		address 30,12 4 Main Street
		building house 105,15 113,24
		building house 80,60 90,68
		building terrace 112,90 120,118
		building unsaid 82,100 92,110
		building unsaid 84,120 87,123
		building unsaid 20,-25 30,-15
		building garage 92,30 95,36
		building place-of-work 105,50 113,59
		drive on C-D at 60 left
		drive on C-D at 80 right
		drive on C-D at 90 right
	`)
	close, forward := on(t, n, "C>D")
	if !forward {
		t.Fatal("the close runs the other way")
	}
	// To the right: number 1 and a terrace of 8 × 28 m, four houses; to the
	// left: a house and a building of 10 × 10 m.
	if l, r := n.HomesOn(close, roadnet.Left), n.HomesOn(close, roadnet.Right); l != 2 || r != 5 || n.HomesOn(close, roadnet.Both) != 7 {
		t.Errorf("homes on the close: %d left, %d right, want 2 and 5", l, r)
	}
	west, _ := on(t, n, "A>C")
	if l, r := n.HomesOn(west, roadnet.Left), n.HomesOn(west, roadnet.Right); l != 1 || r != 0 {
		t.Errorf("homes on Main Street: %d left, %d right, want 1 and 0", l, r)
	}
	if l, r := n.GaragesOn(close, roadnet.Left), n.GaragesOn(close, roadnet.Right); l != 1 || r != 0 {
		t.Errorf("garages: %d left, %d right, want 1 and 0", l, r)
	}
	if l, r := n.DrivesOn(close, roadnet.Left), n.DrivesOn(close, roadnet.Right); l != 1 || r != 2 {
		t.Errorf("drives: %d left, %d right, want 1 and 2", l, r)
	}
}

// Buildings and walls are listed with every stretch that they come near.
func TestBuildingsAndWallsNear(t *testing.T) {
	n := roadnettest.Parse(t, mainStreet+`
		building house 105,15 113,24
		building terrace 160,38 170,50
		building house 20,45 30,60
		wall hedge 50,20 50,200
		wall wall 80,-100 80,-26
		wall fence 0,100 300,100
	`)
	count := func(arrow string) (buildings, walls int) {
		s, _ := on(t, n, arrow)
		n.BuildingsNear(s, func(b roadnet.Building) bool {
			buildings++
			if len(b.LonE7) != 5 || len(b.LatE7) != 5 {
				t.Errorf("a box has %d corners", len(b.LonE7))
			}
			return true
		})
		n.WallsNear(s, func(roadnet.Wall) bool { walls++; return true })
		return
	}
	for _, c := range []struct {
		arrow            string
		buildings, walls int
	}{{"A>C", 1, 1}, {"C>B", 2, 0}, {"C>D", 1, 1}} {
		if b, w := count(c.arrow); b != c.buildings || w != c.walls {
			t.Errorf("%s: %d buildings and %d walls, want %d and %d", c.arrow, b, w, c.buildings, c.walls)
		}
	}
}

// A car park is entered by the shortest way over service roads, and one with no
// ways from the road beside it.
func TestCarPark(t *testing.T) {
	n := roadnettest.Parse(t, mainStreet+`
		site car-park 40,-90 80,-25 Market Car Park
		site car-park 150,6 190,30 Lay-by
		site car-park 600,600 640,640 Far away
		site parking-bay 52,-50 55,-45
	`)
	for i, want := range []string{
		"Market Car Park: at 60 m on the right, 30 m in, 50 m of aisle, 50 m the longest, 1 bays",
		"Lay-by: at 50 m on the left, 6 m in, 0 m of aisle, 0 m the longest, 0 bays",
		"Far away: no way in",
	} {
		found := false
		for k := range n.NumCarParks() {
			p := n.CarPark(k)
			got := p.Site.Name + ": no way in"
			if p.HasEntrance {
				got = fmt.Sprintf("%s: at %.0f m on the %v, %.0f m in, %.0f m of aisle, %.0f m the longest, %d bays",
					p.Site.Name, p.Entrance.Along, p.Side, p.DriveIn, p.Aisles, p.LongestAisle, p.Bays)
			}
			found = found || got == want
		}
		if !found {
			t.Errorf("car park %d: none is %q", i, want)
		}
	}
	if got := n.SitesWithin(extract.SiteCarPark, point(150, 0), 100); len(got) != 2 || got[0].Name != "Lay-by" {
		t.Errorf("car parks within 100 m: %+v", got)
	}
}

func TestFactKinds(t *testing.T) {
	seen := map[string]bool{}
	for k := range roadnet.FactKinds {
		if word := k.String(); word == "" || seen[word] {
			t.Errorf("fact kind %d is called %q", k, word)
		}
		seen[k.String()] = true
	}
}

// How complete the map is told to be rises with what is mapped about a place,
// and stays within its bounds.
func TestCompleteness(t *testing.T) {
	bare := roadnettest.Parse(t, mainStreet)
	rich := roadnettest.Parse(t, mainStreet+"calming M D\nzebra C\nbuilding house 105,15 113,24\nbuilding house 105,35 113,44\n")
	for _, k := range []roadnet.FactKind{roadnet.FactCalming, roadnet.FactCrossing, roadnet.FactBuilding, roadnet.FactHome} {
		low, high := bare.Completeness(k, point(100, 50)), rich.Completeness(k, point(100, 50))
		if low != 0.02 || high <= low || high > 0.98 {
			t.Errorf("%v: %.2f where none is mapped and %.2f where some are", k, low, high)
		}
		if far := rich.Completeness(k, point(90000, 50)); far <= 0.02 || far > 0.98 {
			t.Errorf("%v far away: %.2f, want the mean", k, far)
		}
	}
}
