package manoeuvre

import (
	"math"
	"testing"

	"loopwright/internal/geo"
)

// AASHTO, A Policy on Geometric Design of Highways and Streets: design vehicle
// P with a 21 ft radius at the middle of the front axle (radius, 31.6° and 25.5
// ft from memory; 23.8 ft and 14.4 ft read). The policy prints one decimal;
// the overhang path computes to 25.56 ft.
func TestGreenBookPassengerCar(t *testing.T) {
	p := fleet(t)["aashto-p"]
	for _, c := range []struct {
		name      string
		got       geo.Metres
		wantFeet  float64
		tolerance float64
	}{
		{"middle of the front axle", p.FrontAxleRadius(), 21, 0.05},
		{"turning radius of the outer front wheel", p.OuterWheelRadius(), 23.8, 0.05},
		{"inside radius", p.InnerSideRadius(), 14.4, 0.1},
		{"overhang path", p.OuterCornerRadius(), 25.5, 0.1},
	} {
		if got := float64(c.got / geo.Foot); math.Abs(got-c.wantFeet) > c.tolerance {
			t.Errorf("%s = %.2f ft, want %.1f ± %.2f", c.name, got, c.wantFeet, c.tolerance)
		}
	}
	if got := p.SteeringAngle().Degrees(); math.Abs(got-31.6) > 0.1 {
		t.Errorf("steering angle = %.2f°, want 31.6 ± 0.1", got)
	}
}

// widths for three movements, computed twice by other programs of ours before
// this one was written; no published figure for cars was found.
var computedWidths = []struct {
	id          string
	wheels      geo.Metres
	body        geo.Metres
	noReverse   geo.Metres // 0 where none was computed
	bruteForced bool
}{
	{"small-hatch", 4.9, 6.1, 9.7, true},
	{"medium-hatch", 5.2, 6.6, 0, true},
	{"large-car", 5.6, 7.1, 0, true},
	{"aashto-p", 6.9, 8.9, 0, true},
}

func TestLeastWidthForThreeMovements(t *testing.T) {
	all := fleet(t)
	for _, c := range computedWidths {
		for _, w := range []struct {
			within Within
			want   geo.Metres
		}{{Wheels, c.wheels}, {Body, c.body}} {
			got, ok := LeastWidth(all[c.id], 3, w.within, Expert)
			if !ok || math.Abs(float64(got-w.want)) > 0.15 {
				t.Errorf("%s, %v: least width = %.2f m (%v), want %.1f ± 0.15", c.id, w.within, got, ok, w.want)
			}
			t.Logf("%s, %v: %.2f m", c.id, w.within, got)
		}
		if c.noReverse != 0 {
			if got := WidthWithoutReverse(all[c.id], Wheels, Expert); math.Abs(float64(got-c.noReverse)) > 0.05 {
				t.Errorf("%s: width without reverse = %.2f m, want %.1f", c.id, got, c.noReverse)
			}
		}
	}
}

func TestOneMovementIsTheSum(t *testing.T) {
	for id, v := range fleet(t) {
		for _, within := range []Within{Wheels, Body} {
			for _, d := range []Driver{Expert, {StartGap: 0.4, Margin: 0.3}} {
				want := WidthWithoutReverse(v, within, d)
				if got, ok := LeastWidth(v, 1, within, d); !ok || math.Abs(float64(got-want)) > 0.005 {
					t.Errorf("%s, %v: least width for one movement = %.3f m (%v), want %.3f", id, within, got, ok, want)
				}
			}
		}
	}
}

func TestTurnKeepsToItsRules(t *testing.T) {
	for id, v := range fleet(t) {
		for _, within := range []Within{Wheels, Body} {
			for _, d := range []Driver{Expert, Learner} {
				last := MostMovements + 1
				for width := geo.Metres(3); width < 16; width += 0.25 {
					ms, ok := TurnInRoad(v, width, within, d)
					if !ok {
						if last <= MostMovements {
							t.Errorf("%s, %v: %v movements on a narrower road and none at %.2f m", id, within, last, width)
						}
						continue
					}
					if len(ms) > last || len(ms)%2 == 0 {
						t.Errorf("%s, %v: %d movements at %.2f m after %d on a narrower road", id, within, len(ms), width, last)
					}
					last = len(ms)
					checkTurn(t, v, width, within, d, ms)
				}
				if last != 1 {
					t.Errorf("%s, %v: %d movements at 16 m, want 1", id, within, last)
				}
			}
		}
	}
}

func checkTurn(t *testing.T, v Vehicle, width geo.Metres, within Within, d Driver, ms []Movement) {
	t.Helper()
	heading, at := geo.Radians(0), ms[0].Poses[0].At
	for i, m := range ms {
		if want := []Gear{Forward, Reverse}[i%2]; m.Gear != want {
			t.Errorf("movement %d is %v, want %v", i+1, m.Gear, want)
		}
		if m.Poses[0].At != at {
			t.Errorf("movement %d starts at %v, the last ended at %v", i+1, m.Poses[0].At, at)
		}
		for j, p := range m.Poses {
			if p.Heading < heading {
				t.Errorf("movement %d turns back at pose %d", i+1, j)
			}
			if step := p.At.Sub(at).Norm(); step > drawStep+rollStep {
				t.Errorf("movement %d: %.2f m between poses", i+1, step)
			}
			heading, at = p.Heading, p.At
			for _, q := range within.points(v, p) {
				if q.X < -1e-6 || q.X > float64(width)+1e-6 {
					t.Errorf("movement %d: a point at %.3f m across a road of %.2f m", i+1, q.X, width)
				}
			}
		}
		if i < len(ms)-1 {
			room := math.Inf(1)
			for _, q := range within.points(v, m.End()) {
				if m.Gear == Forward {
					room = math.Min(room, float64(width)-q.X)
				} else {
					room = math.Min(room, q.X)
				}
			}
			if room < float64(d.Margin)-1e-6 || room > float64(d.Margin)+0.01 && !facesBack(m.End()) {
				t.Errorf("movement %d stops %.3f m from the kerb, want %.2f", i+1, room, d.Margin)
			}
		}
	}
	if math.Abs(float64(heading-math.Pi)) > 1e-5 {
		t.Errorf("ends facing %.2f°, want 180", heading.Degrees())
	}
}

func TestSlowSteeringNeedsMoreRoom(t *testing.T) {
	v := fleet(t)["small-hatch"]
	last := geo.Metres(0)
	for _, crawl := range []geo.MetresPerSecond{0, 0.3, 0.6, 1.2} {
		d := Driver{StartGap: 0.25, SteeringRate: RadiansPerSecond(16 * geo.Degree), Crawl: crawl}
		got, ok := LeastWidth(v, 3, Body, d)
		if !ok || got <= last {
			t.Errorf("least width at a crawl of %v m/s = %.2f m (%v), want more than %.2f", float64(crawl), got, ok, last)
		}
		last = got
	}
}

func TestNoWidthWillDo(t *testing.T) {
	v := fleet(t)["small-hatch"]
	if _, ok := LeastWidth(v, 0, Body, Expert); ok {
		t.Error("a turn in no movements")
	}
	// The tail swings 5 cm over a kerb that the side touches.
	if _, ok := LeastWidth(v, 3, Body, Driver{}); ok {
		t.Error("the whole body stays off the kerb that it touches at the start")
	}
	if _, ok := LeastWidth(v, 3, Wheels, Driver{}); !ok {
		t.Error("the wheels do not leave the kerb that the side touches at the start")
	}
}

func TestMirrored(t *testing.T) {
	v := fleet(t)["small-hatch"]
	ms, _ := TurnInRoad(v, 7, Body, Expert)
	low, high := Extent(v, ms)
	mirroredLow, mirroredHigh := Extent(v, Mirrored(ms))
	if math.Abs(mirroredLow.X+high.X) > 1e-9 || math.Abs(mirroredHigh.X+low.X) > 1e-9 || math.Abs(mirroredLow.Y-low.Y) > 1e-9 {
		t.Errorf("mirrored extent %v to %v of %v to %v", mirroredLow, mirroredHigh, low, high)
	}
}

func TestWords(t *testing.T) {
	for got, want := range map[string]string{
		Forward.String(): "forward", Reverse.String(): "reverse", Gear(0).String(): "no gear",
		Wheels.String(): "wheels between the kerbs", Body.String(): "whole body between the kerbs", Within(0).String(): "no part",
	} {
		if got != want {
			t.Errorf("String() = %q, want %q", got, want)
		}
	}
}

func BenchmarkLeastWidth(b *testing.B) {
	v := fleet(b)["small-hatch"]
	for b.Loop() {
		LeastWidth(v, 3, Body, Learner)
	}
}
