package manoeuvre

import (
	"math"
	"testing"

	"loopwright/internal/geo"
)

func round(m geo.Metres) int { return int(math.Round(float64(m))) }

// Manual for Streets (Department for Transport, 2007), table 7.1, from memory
// (17, 25, 33, 43 and 59 also read at second hand): stopping sight distance,
// and the same adjusted for the bonnet.
func TestManualForStreetsTable71(t *testing.T) {
	for _, c := range []struct {
		kmh           geo.MetresPerSecond
		sight, bonnet int
	}{
		{16, 9, 11}, {20, 12, 14}, {24, 15, 17}, {25, 16, 18}, {30, 20, 23}, {32, 22, 25},
		{40, 31, 33}, {45, 36, 39}, {48, 40, 43}, {50, 43, 45}, {60, 56, 59},
	} {
		got := StreetBraking.StoppingDistance(c.kmh*geo.KilometrePerHour, 0)
		if round(got) != c.sight || round(got+Bonnet) != c.bonnet {
			t.Errorf("%v km/h: %.2f m, %.2f m with the bonnet; want %d and %d", float64(c.kmh), got, got+Bonnet, c.sight, c.bonnet)
		}
	}
}

// Leicestershire Highway Design Guide, "Visibility splays" (read): light and
// heavy vehicles, bonnet included. At 15 mph the guide works from 24 km/h.
func TestLeicestershireVisibilitySplays(t *testing.T) {
	for _, c := range []struct {
		mph          geo.MetresPerSecond
		light, heavy int
	}{
		{15, 17, 19}, {20, 25, 27}, {25, 33, 36}, {30, 43, 47}, {35, 54, 59}, {40, 65, 73},
	} {
		v := c.mph * geo.MilePerHour
		light, heavy := StreetBraking.StoppingDistance(v, 0)+Bonnet, HeavyStreetBraking.StoppingDistance(v, 0)+Bonnet
		if c.mph == 15 {
			light = StreetBraking.StoppingDistance(24*geo.KilometrePerHour, 0) + Bonnet
		}
		if round(light) != c.light || round(heavy) != c.heavy {
			t.Errorf("%v mph: light %.2f m, heavy %.2f m; want %d and %d", float64(c.mph), light, heavy, c.light, c.heavy)
		}
	}
}

// AASHTO, A Policy on Geometric Design of Highways and Streets, 2018, section
// 3.2.2 (constants read in the TxDOT Roadway Design Manual, the table at second
// hand): design values are the next 5 ft up.
func TestGreenBookStoppingSight(t *testing.T) {
	for mph, want := range map[geo.MetresPerSecond]float64{
		15: 80, 20: 115, 25: 155, 30: 200, 35: 250, 40: 305, 50: 425, 60: 570, 70: 730,
	} {
		feet := float64(AmericanBraking.StoppingDistance(mph*geo.MilePerHour, 0) / geo.Foot)
		if got := math.Ceil(feet/5) * 5; got != want {
			t.Errorf("%v mph: %.1f ft, design value %v, want %v", float64(mph), feet, got, want)
		}
	}
}

// AASHTO, the same policy: on a grade G the braking distance is
// V²/(30 (a/32.2 ± G)) feet, V in mph; worked here for 60 mph on 6 % down.
func TestGreenBookBrakingOnGrade(t *testing.T) {
	want := 60.0 * 60 / (30 * (11.2/32.2 - 0.06))
	got := float64(AmericanBraking.BrakingDistance(60*geo.MilePerHour, -0.06) / geo.Foot)
	if math.Abs(got-want) > want*0.005 {
		t.Errorf("braking on 6 %% down = %.1f ft, want %.1f within 0.5 %%", got, want)
	}
}

// Design Manual for Roads and Bridges, CD 109, desirable minimum stopping sight
// distance (at second hand). The standard rounds to 5 m.
func TestRoadsAndBridgesDesirableMinimum(t *testing.T) {
	for kmh, want := range map[geo.MetresPerSecond]float64{50: 70, 60: 90, 70: 120, 85: 160, 100: 215, 120: 295} {
		if got := float64(RoadBraking.StoppingDistance(kmh*geo.KilometrePerHour, 0)); math.Abs(got-want) > 5 {
			t.Errorf("%v km/h: %.1f m, want %v ± 5", float64(kmh), got, want)
		}
	}
}

// The Highway Code, rule 126, typical stopping distances (totals at second
// hand, the split into thinking and braking from memory). The code adds the
// rounded parts.
func TestHighwayCodeRule126(t *testing.T) {
	for _, c := range []struct {
		mph                      geo.MetresPerSecond
		thinking, braking, total int
	}{
		{20, 6, 6, 12}, {30, 9, 14, 23}, {40, 12, 24, 36}, {50, 15, 38, 53}, {60, 18, 55, 73}, {70, 21, 75, 96},
	} {
		v := c.mph * geo.MilePerHour
		thinking, braking := round(HighwayCodeBraking.ThinkingDistance(v)), round(HighwayCodeBraking.BrakingDistance(v, 0))
		if thinking != c.thinking || braking != c.braking || thinking+braking != c.total {
			t.Errorf("%v mph: %d + %d = %d m, want %d + %d = %d", float64(c.mph), thinking, braking, thinking+braking, c.thinking, c.braking, c.total)
		}
	}
}

func TestStoppingOnGrades(t *testing.T) {
	v := 30 * geo.MilePerHour
	up, level, down := StreetBraking.StoppingDistance(v, 0.1), StreetBraking.StoppingDistance(v, 0), StreetBraking.StoppingDistance(v, -0.1)
	if !(up < level && level < down) {
		t.Errorf("stopping uphill %.1f, level %.1f, downhill %.1f m: want rising", up, level, down)
	}
	if got := StreetBraking.StoppingDistance(v, -0.5); !math.IsInf(float64(got), 1) {
		t.Errorf("stopping on a slope that the brakes can't hold = %v, want infinite", got)
	}
	if got := StreetBraking.StoppingDistance(0, 0); got != 0 {
		t.Errorf("stopping from standing = %v, want 0", got)
	}
}

// AASHTO, the same policy, section 3.3.12 (from memory): M = R (1 − cos(28.65
// S/R)) in degrees, evaluated as it stands; and the sight that is left is found
// from the plane geometry, by walking along the arc until the straight line to
// the point ahead comes as near to the centre as the wall.
func TestSightlineOffset(t *testing.T) {
	for _, radius := range []geo.Metres{30, 60, 100, 250, 600} {
		for _, sight := range []geo.Metres{15, 23, 43, 60} {
			want := float64(radius) * (1 - math.Cos(28.65*float64(sight/radius)*math.Pi/180))
			got := SightlineOffset(radius, sight)
			if math.Abs(float64(got)-want) > 0.001*want+1e-6 {
				t.Errorf("SightlineOffset(%v, %v) = %.3f m, want %.3f", radius, sight, got, want)
			}
			var walked geo.Metres
			for ; walked < 3*radius; walked += 0.01 {
				a := geo.XY{X: float64(radius)}
				b := geo.Towards(math.Pi/2 - geo.Radians(walked/radius)).Scale(float64(radius))
				middle := a.Add(b).Scale(0.5)
				if middle.Norm() < radius-got {
					break
				}
			}
			if math.Abs(float64(walked-sight)) > 0.05 {
				t.Errorf("R %v, M %.3f: the line of sight is %.2f m along, want %v", radius, got, walked, sight)
			}
			if back := SightOnCurve(radius, got); math.Abs(float64(back-sight)) > 1e-6 {
				t.Errorf("SightOnCurve(%v, %.3f) = %v, want %v", radius, got, back, sight)
			}
		}
	}
	if got := SightlineOffset(10, 1000); math.Abs(float64(got-20)) > 1e-9 {
		t.Errorf("offset to see all round a circle of 10 m = %v, want 20", got)
	}
	if got := SightOnCurve(10, 25); !math.IsInf(float64(got), 1) {
		t.Errorf("sight with everything cleared = %v, want infinite", got)
	}
}
