package assess

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
)

// A school or a bus stop beside a place never raises its chance. Stops are tried
// where they are near the window: elsewhere one more on the map makes the
// absence of others count for more, which is another thing.
func TestNeighboursNeverHelp(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 15))
	before := ladder + "A-B Mill Lane 30mph"
	n0 := roadnettest.Parse(t, before)
	a0 := New(n0, profile(t, "gb"))
	s0 := roadnettest.Segment(t, n0, "A>B")
	lower := 0
	for range 40 {
		at := 20 + 260*rng.Float64()
		x, y := at+60*(rng.Float64()-0.5), 6+100*rng.Float64()
		for _, added := range []string{
			fmt.Sprintf("site school %.0f,%.0f %.0f,%.0f Mill School", x, y, x+40, y+30),
			fmt.Sprintf("site bus-stop %.0f,5 Mill Stop", x),
		} {
			n1 := roadnettest.Parse(t, before+"\n"+added)
			a1 := New(n1, profile(t, "gb"))
			for _, ex := range Exercises() {
				if ex.CarPark {
					continue
				}
				pos := roadnet.Position{Segment: s0, Along: geo.Metres(at)}
				was, now := a0.At(ex, pos, roadnet.Left), a1.At(ex, pos, roadnet.Left)
				if now.Chance > was.Chance+1e-9 {
					t.Errorf("seed 8,15: %s at %.0f m: %q raises the chance from %v to %v", ex.Name, at, added, was.Chance, now.Chance)
				}
				if now.Chance < was.Chance {
					lower++
				}
			}
		}
	}
	if lower == 0 {
		t.Error("no school and no stop lowers any chance")
	}
}

// A bus route along a road never raises the chance of a place on it, whether how
// quiet the roads are is measured or not.
func TestBusRouteNeverHelps(t *testing.T) {
	gb := profile(t, "gb")
	drawn := func(bus, measure bool) (*Assessor, roadnet.SegmentID) {
		n := roadnettest.Parse(t, ladder+"A-B Mill Lane 30mph")
		seg := roadnettest.Segment(t, n, "A>B")
		if bus {
			for _, p := range n.Pieces(seg.Stretch()) {
				p.Attributes.Flags |= roadnet.BusRoute
			}
		}
		if measure {
			n = measured(t, n, gb)
		}
		return New(n, gb), seg
	}
	for _, measure := range []bool{false, true} {
		without, seg := drawn(false, measure)
		with, _ := drawn(true, measure)
		lower := 0
		for _, ex := range Exercises() {
			if ex.CarPark {
				continue
			}
			for at := geo.Metres(20); at < 280; at += 20 {
				pos := roadnet.Position{Segment: seg, Along: at}
				was, now := without.At(ex, pos, roadnet.Left), with.At(ex, pos, roadnet.Left)
				if now.Chance > was.Chance+1e-9 {
					t.Errorf("%s at %.0f m, traffic measured %v: a bus route raises the chance from %v to %v", ex.Name, float64(at), measure, was.Chance, now.Chance)
				}
				if now.Chance < was.Chance {
					lower++
				}
			}
		}
		if lower == 0 {
			t.Errorf("traffic measured %v: a bus route lowers no chance", measure)
		}
	}
}

// At its hours a school within 200 m rules a place out, in term; at eleven and
// in the summer holidays it does not.
func TestSchoolHours(t *testing.T) {
	n := roadnettest.Parse(t, ladder+"A-B Mill Lane 30mph\nsite school 130,80 170,120 Mill School")
	a := New(n, profile(t, "gb"))
	s := roadnettest.Segment(t, n, "A>B").Stretch()
	for _, c := range []struct {
		when string
		want string
	}{
		{"2027-03-04T08:40:00Z", "at its hours"}, {"2027-03-04T11:00:00Z", "near"},
		{"2027-03-06T08:40:00Z", "near"}, {"2027-08-05T07:40:00Z", "near"},
	} {
		when, err := time.Parse(time.RFC3339, c.when)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range a.AtHour(when).Places(turn(t), s) {
			f := finding(t, p, "school")
			if f.Text != c.want || (c.want == "at its hours") != (p.Verdict == Unsuitable) {
				t.Errorf("at %s: school %q, %v, want %q", c.when, f.Text, p.Verdict, c.want)
			}
		}
	}
}

// More homes without room for a car off the road never make a road likelier to
// be clear of cars.
func TestMoreHomesMoreCars(t *testing.T) {
	last := math.Inf(1)
	for homes := 12; homes <= 60; homes += 12 {
		text := ladder + "A-B Mill Lane 30mph"
		for i := range homes {
			text += fmt.Sprintf("\naddress %d,8 %d Mill Lane AB1 2CD", 5+i*4, i+1)
		}
		p := best(t, turn(t), text+"\nbuilding terrace 5,8 295,16")
		f := finding(t, p, "parked")
		if f.Evidence != Assumed || f.Chance > last+1e-9 {
			t.Errorf("%d homes: parked cars %v (%v), %v with fewer", homes, f.Chance, f.Evidence, last)
		}
		last = f.Chance
	}
	if last > 0.2 {
		t.Errorf("sixty homes in a terrace of 300 m: chance of a clear kerb %v, want little", last)
	}
}

// Every car park of the town is a place for parking in a bay, once, on the road
// that it is driven into from; a private one does not suit.
func TestTownsCarParks(t *testing.T) {
	n, _ := town(t)
	ex, err := Named("bay-park-reverse")
	if err != nil {
		t.Fatal(err)
	}
	a := New(n, profile(t, "gb"))
	found := 0
	for s := range roadnet.StretchID(n.NumStretches()) {
		for i, p := range a.Places(ex, s) {
			found++
			park := a.carParks[s][i]
			private := park.Use == extract.Private || park.Use == extract.Barred
			if private != (p.Verdict == Unsuitable) {
				t.Errorf("%s, use %v: %v", park.Site.Name, park.Use, p.Verdict)
			}
			if again := a.At(ex, p.Position, p.Side); again.Chance != p.Chance || again.Position != p.Position {
				t.Errorf("%s: At gives %v at %v, Places %v at %v", park.Site.Name, again.Chance, again.Position, p.Chance, p.Position)
			}
		}
	}
	if found == 0 || found > n.NumCarParks() {
		t.Errorf("%d places in %d car parks", found, n.NumCarParks())
	}
}

// The homes that are expected where the map of the town lacks some come near
// the true ones: over all streets, and over those of which no home is mapped.
func TestTownsHomes(t *testing.T) {
	n, byWay := town(t)
	a := New(n, profile(t, "gb"))
	var mapped, likely, truly [2]float64
	for s := range roadnet.StretchID(n.NumStretches()) {
		k := truth(n, byWay, roadnet.Position{Segment: s.Segment(true), Along: n.Length(s) / 2})
		if k == nil || k.Bays > 0 || !livedAlong(n.PieceAt(s, n.Length(s)/2).Attributes.Class) {
			continue
		}
		a.load(s)
		h := a.homes(&a.site)
		for bare := range 2 {
			if bare == 1 && h.mapped[0]+h.mapped[1] > 0 {
				break
			}
			truly[bare] += float64(k.Homes + k.OtherSide.Homes)
			for i := range h.mapped {
				mapped[bare] += h.mapped[i]
				likely[bare] += h.all[i]*h.mapped[i] + (1-h.all[i])*h.lived[i]
			}
		}
	}
	t.Logf("on residential streets %.0f homes mapped, %.0f likely, truly %.0f; where none is mapped %.0f likely, truly %.0f", mapped[0], likely[0], truly[0], likely[1], truly[1])
	if math.Abs(likely[0]-truly[0]) > math.Abs(mapped[0]-truly[0]) || math.Abs(likely[0]-truly[0]) > 0.1*truly[0] {
		t.Errorf("%.0f homes are likely and %.0f mapped, of truly %.0f", likely[0], mapped[0], truly[0])
	}
	if math.Abs(likely[1]-truly[1]) > 0.3*truly[1] {
		t.Errorf("where none is mapped %.0f homes are likely, of truly %.0f", likely[1], truly[1])
	}
}
