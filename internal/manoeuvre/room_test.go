package manoeuvre

import (
	"math"
	"testing"

	"loopwright/internal/geo"
)

// Blackburn, "The geometry of perfect parking", 2009 (from memory), against the
// simulation, which knows the body's true width.
func TestParallelParkAgreesWithClosedForm(t *testing.T) {
	for id, v := range fleet(t) {
		for _, other := range []geo.Metres{1.6, v.Width, 2.0} {
			want := ParallelGap(v, other)
			got, ok := ParallelPark(v, other, Expert)
			if !ok || math.Abs(float64(got.Room-want)) > 0.1 {
				t.Errorf("%s behind a car of %.2f m: simulated gap %.3f m (%v), closed form %.3f", id, other, got.Room, ok, want)
			}
		}
	}
}

func TestParallelParkPath(t *testing.T) {
	v := fleet(t)["small-hatch"]
	p, ok := ParallelPark(v, v.Width, Learner)
	if !ok || len(p.Movements) != 1 || p.Movements[0].Gear != Reverse {
		t.Fatalf("ParallelPark = %d movements (%v), want one in reverse", len(p.Movements), ok)
	}
	start, end := p.Movements[0].Poses[0], p.Movements[0].End()
	if math.Abs(float64(start.Heading)) > 1e-9 || math.Abs(float64(end.Heading)) > 1e-9 {
		t.Errorf("headings %v → %v, want both along the kerb", start.Heading, end.Heading)
	}
	if got, want := start.At.X-end.At.X, float64(v.Width+Alongside); math.Abs(got-want) > 1e-9 {
		t.Errorf("sideways %.3f m, want %.3f", got, want)
	}
	if got, want := v.Outline(end)[3], (geo.XY{X: float64(Learner.StartGap), Y: float64(Learner.Margin)}); got.Sub(want).Norm() > 1e-9 {
		t.Errorf("rear nearside corner ends at %v, want %v", got, want)
	}
	expert, _ := ParallelPark(v, v.Width, Driver{StartGap: Learner.StartGap})
	if p.Room < expert.Room+2*Learner.Margin-0.01 {
		t.Errorf("gap with a margin %.2f m, without %.2f: want two margins more", p.Room, expert.Room)
	}
}

// The extent of the swept body against the radii about the turning centre: the
// nose swings to the outer front corner's radius, the tail to its own.
func TestReverseRoundCornerRoom(t *testing.T) {
	for id, v := range fleet(t) {
		for _, radius := range []geo.Metres{0, 3, 6, 10} {
			c := ReverseRoundCorner(v, radius, 6, 20, Expert)
			m := c.Movements[0]
			p := max(v.RearAxleRadius(), radius+c.Gap+v.Width/2)
			centre := geo.Metres(m.Poses[0].At.X) - p
			wantAcross := centre + hypot(p+v.Width/2, v.Wheelbase+v.FrontOverhang)
			wantSide := hypot(p+v.Width/2, v.RearOverhang) - (p - c.Gap - v.Width/2)
			// Poses are drawStep apart, so the top of a swing is missed by up to
			// drawStep²/8 over the radius: millimetres.
			if math.Abs(float64(c.Across-wantAcross)) > 0.005 || math.Abs(float64(c.SideAcross-wantSide)) > 0.005 {
				t.Errorf("%s, radius %v: across %.3f and %.3f m, want %.3f and %.3f", id, radius, c.Across, c.SideAcross, wantAcross, wantSide)
			}
			if end := m.End(); math.Abs(float64(end.Heading-math.Pi/2)) > 1e-9 || math.Abs(-end.At.Y-float64(c.Gap+v.Width/2)) > 1e-9 {
				t.Errorf("%s, radius %v: ends at %+v, want square in the side road at the gap", id, radius, end)
			}
			if near := nearestToCorner(v, m, radius); near < -1e-6 {
				t.Errorf("%s, radius %v: the body passes %.3f m over the kerb at the corner", id, radius, -near)
			}
		}
	}
}

// nearestToCorner is how near the nearside comes to the block with a rounded
// corner; negative where it cuts it.
func nearestToCorner(v Vehicle, m Movement, radius geo.Metres) geo.Metres {
	least := geo.Metres(math.Inf(1))
	for _, p := range m.Poses {
		for i := 0; i <= 100; i++ {
			q := p.point((v.Wheelbase)*geo.Metres(i)/100, -v.Width/2)
			d := geo.Metres(math.Max(q.X, -q.Y))
			if q.X > -float64(radius) && q.Y < float64(radius) {
				d = q.Sub(geo.XY{X: -float64(radius), Y: float64(radius)}).Norm() - radius
			}
			least = min(least, d)
		}
	}
	return least
}

func TestReverseRoundSharpCornerNeedsAGap(t *testing.T) {
	v := fleet(t)["small-hatch"]
	sharp, round := ReverseRoundCorner(v, 0, 6, 20, Expert), ReverseRoundCorner(v, 6, 6, 20, Expert)
	if sharp.Gap <= Expert.StartGap || round.Gap != Expert.StartGap {
		t.Errorf("gap at a sharp corner %.2f m and at a round one %.2f, want more than %.2f and just that", sharp.Gap, round.Gap, Expert.StartGap)
	}
	if near := nearestToCorner(v, sharp.Movements[0], 0); math.Abs(float64(near)) > 0.01 {
		t.Errorf("at the least gap the nearside passes the sharp corner at %.3f m, want 0", near)
	}
}

// A bay of 2.4 × 4.8 m (Manual for Streets, 2007, section 8.3, from memory).
func TestBayPark(t *testing.T) {
	bay := Bay{2.4, 4.8}
	for _, id := range []string{"small-hatch", "medium-hatch", "large-car"} {
		v := fleet(t)[id]
		forward, ok := BayPark(v, bay, Forward, Expert)
		reverse, ok2 := BayPark(v, bay, Reverse, Expert)
		if !ok || !ok2 {
			t.Fatalf("%s: forward %v, reverse %v, want both", id, ok, ok2)
		}
		if reverse.Room >= forward.Room {
			t.Errorf("%s: aisle in reverse %.2f m, forward %.2f: reverse should need less", id, reverse.Room, forward.Room)
		}
		for _, p := range []Park{forward, reverse} {
			end := p.Movements[0].End()
			low, high := Extent(v, []Movement{{p.Movements[0].Gear, []Pose{end}}})
			if math.Max(-low.X, high.X) > float64(bay.Width/2)+1e-9 || high.Y > 1e-9 || -low.Y > float64(bay.Length)+1e-9 {
				t.Errorf("%s %v: the car ends over the lines, %v to %v", id, p.Movements[0].Gear, low, high)
			}
		}
		if math.Abs(float64(forward.Movements[0].End().Heading-math.Pi)) > 1e-9 || math.Abs(float64(reverse.Movements[0].End().Heading)) > 1e-9 {
			t.Errorf("%s: ends facing %v and %v, want in and out", id, forward.Movements[0].End().Heading, reverse.Movements[0].End().Heading)
		}
		if wide, _ := BayPark(v, bay, Forward, Driver{Margin: 0.2}); wide.Room < forward.Room+0.2 {
			t.Errorf("%s: aisle with a margin %.2f m, without %.2f", id, wide.Room, forward.Room)
		}
	}
	if _, ok := BayPark(fleet(t)["aashto-p"], Bay{2.1, 6}, Reverse, Expert); ok {
		t.Error("a car of 2.13 m goes into a bay of 2.1 m")
	}
}

// In reverse the aisle has a closed form when the car ends in the middle: the
// inner side passes the neighbour's corner at the turning centre's height, and
// the outer front corner swings to the other side of the aisle.
func TestBayParkReverseClosedForm(t *testing.T) {
	for id, v := range fleet(t) {
		bay := Bay{2.6, 5.8}
		r := float64(v.RearAxleRadius())
		inner, corner := float64(v.InnerSideRadius()), r-float64(bay.Width-v.Width/2)
		turn := math.Max(-math.Sqrt(inner*inner-corner*corner), float64(v.Width/2)-r)
		want := turn + float64(v.OuterCornerRadius())
		row := geo.Metres(30)
		clear := bay.Width - v.Width/2
		got, ok := bayPark(v, bay, Reverse, Driver{}, 0, [][4]geo.XY{box(-row, -bay.Length, -clear, 0), box(clear, -bay.Length, row, 0)})
		if !ok || math.Abs(float64(got.Room)-want) > 0.03 {
			t.Errorf("%s: aisle %.3f m (%v), want %.3f", id, got.Room, ok, want)
		}
	}
}

func TestOverlap(t *testing.T) {
	unit := box(0, 0, 1, 1)
	diamond := func(x, y float64) [4]geo.XY {
		return [4]geo.XY{{X: x, Y: y + 1}, {X: x + 1, Y: y}, {X: x, Y: y - 1}, {X: x - 1, Y: y}}
	}
	for _, c := range []struct {
		name string
		b    [4]geo.XY
		want bool
	}{
		{"itself", unit, true},
		{"apart", box(2, 0, 3, 1), false},
		{"touching", box(1, 0, 2, 1), false},
		{"inside", box(0.4, 0.4, 0.6, 0.6), true},
		{"across without a corner inside", box(-1, 0.4, 2, 0.6), true},
		{"only the diagonal separates", diamond(1.6, 1.6), false},
		{"corner inside", diamond(1.4, 1.4), true},
	} {
		if got := overlap(unit, c.b); got != c.want || overlap(c.b, unit) != got {
			t.Errorf("%s: overlap = %v, want %v both ways", c.name, got, c.want)
		}
	}
}
