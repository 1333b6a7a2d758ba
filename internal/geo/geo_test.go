package geo

import (
	"flag"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	orbgeo "github.com/paulmach/orb/geo"
)

var seed = flag.Uint64("seed", 1, "seed of the random tests")

// The distances are Vincenty's own worked line and its likes: Flinders Peak to
// Buninyon is the published example of the Geocentric Datum of Australia
// technical manual (ICSM), 54 972.271 m on GRS 80, which differs from WGS 84 by
// less than a millimetre here; the short lines are parts of a meridian and of a
// parallel, from the radii of curvature at 50° (M = 6 372 955.9 m and N = 6 390
// 702.0 m, computed with the closed forms).
func TestDistanceAgainstPublishedLines(t *testing.T) {
	flinders := orb.Point{144 + 25.0/60 + 29.52440/3600, -(37 + 57.0/60 + 3.72030/3600)}
	buninyon := orb.Point{143 + 55.0/60 + 35.38390/3600, -(37 + 39.0/60 + 10.15610/3600)}
	for _, c := range []struct {
		name      string
		a, b      orb.Point
		want, tol float64
	}{
		{"Flinders Peak to Buninyon", flinders, buninyon, 54972.271, 5},
		{"a hundredth of a degree north at 50°", orb.Point{1, 49.995}, orb.Point{1, 50.005}, 6372955.9 * math.Pi / 18000, 0.01},
		{"a hundredth of a degree east at 50°", orb.Point{1, 50}, orb.Point{1.01, 50}, 6390702.0 * math.Cos(50*math.Pi/180) * math.Pi / 18000, 0.01},
		{"over the antimeridian", orb.Point{179.995, 50}, orb.Point{-179.995, 50}, 6390702.0 * math.Cos(50*math.Pi/180) * math.Pi / 18000, 0.01},
	} {
		if got := float64(Distance(c.a, c.b)); math.Abs(got-c.want) > c.tol {
			t.Errorf("%s: Distance = %.3f, want %.3f ± %g", c.name, got, c.want, c.tol)
		}
	}
}

// orb/geo measures on a sphere, which differs from the ellipsoid by up to half
// a per cent: a fault of axis or unit would be far more.
func TestPlaneAgreesWithTheSphere(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seed, 0))
	for range 2000 {
		o := orb.Point{rng.Float64()*360 - 180, rng.Float64()*140 - 70}
		p := PlaneAt(o)
		v := XY{rng.Float64()*10000 - 5000, rng.Float64()*10000 - 5000}
		q := p.From(v)
		sphere := orbgeo.DistanceHaversine(o, q)
		if d := float64(v.Norm()); math.Abs(d-sphere) > 0.008*d {
			t.Fatalf("seed %d: from %v by %v: plane %.2f m, sphere %.2f m", *seed, o, v, d, sphere)
		}
		if d := float64(Distance(o, q)); math.Abs(d-float64(v.Norm())) > 0.0025*d {
			t.Fatalf("seed %d: from %v by %v: Distance %.3f m, plane %.3f m", *seed, o, v, d, v.Norm())
		}
		back := p.To(q)
		if back.Sub(v).Norm() > 1e-6 {
			t.Fatalf("To(From(%v)) = %v", v, back)
		}
		if math.Abs(float64(Turned(Heading(o, q), v.Heading()))) > 0.15*float64(Degree) {
			t.Fatalf("seed %d: heading of %v from %v: %v", *seed, v, o, Heading(o, q).Degrees())
		}
	}
}

func TestTurned(t *testing.T) {
	for _, c := range []struct{ a, b, want Radians }{
		{0, 90 * Degree, 90 * Degree},
		{350 * Degree, 10 * Degree, 20 * Degree},
		{10 * Degree, 350 * Degree, -20 * Degree},
		{0, 180 * Degree, 180 * Degree},
	} {
		if got := Turned(c.a, c.b); math.Abs(float64(got-c.want)) > 1e-9 {
			t.Errorf("Turned(%v, %v) = %v, want %v", c.a.Degrees(), c.b.Degrees(), got.Degrees(), c.want.Degrees())
		}
	}
}

func TestPolyline(t *testing.T) {
	l := Polyline{{0, 0}, {0, 30}, {0, 30}, {40, 30}} // north, a repeated point, east
	if got := l.Length(); got != 70 {
		t.Fatalf("Length = %v, want 70", got)
	}
	for _, c := range []struct {
		along   Metres
		want    XY
		heading Radians
	}{{-5, XY{0, 0}, 0}, {10, XY{0, 10}, 0}, {30, XY{0, 30}, 90 * Degree}, {50, XY{20, 30}, 90 * Degree}, {99, XY{40, 30}, 90 * Degree}} {
		p, h := l.At(c.along)
		if p != c.want || math.Abs(float64(h-c.heading)) > 1e-9 {
			t.Errorf("At(%v) = %v %v, want %v %v", c.along, p, h.Degrees(), c.want, c.heading.Degrees())
		}
	}
	along, away, left := l.Nearest(XY{20, 40})
	if along != 50 || away != 10 || !left {
		t.Errorf("Nearest = %v, %v, %v, want 50, 10, left", along, away, left)
	}
	if s := l.Slice(20, 50); s.Length() != 30 || s[0] != (XY{0, 20}) || s[len(s)-1] != (XY{20, 30}) {
		t.Errorf("Slice(20, 50) = %v", s)
	}
	if r := l.Resample(20); len(r) != 5 || math.Abs(float64(r.Length()-70)) > 7 {
		t.Errorf("Resample(20) = %v", r)
	}
	if s := l.Slice(50, 20); s != nil {
		t.Errorf("Slice of nothing = %v", s)
	}
}

// A bend is called at 20° in 30 m; a radius of 60 m turns 29°. The
// noise is that of a hand-drawn road: 1 m per vertex, vertices 5 to 25 m apart.
func TestBendsOnNoisyCurves(t *testing.T) {
	const called = 20 * Degree
	rng := rand.New(rand.NewPCG(*seed, 2))
	noisy := func(radius, length float64) Polyline {
		var l Polyline
		for s := 0.0; ; s += 5 + 20*rng.Float64() {
			s = math.Min(s, length)
			p := XY{0, s}
			if radius > 0 {
				p = XY{radius * (1 - math.Cos(s/radius)), radius * math.Sin(s/radius)}
			}
			l = append(l, XY{p.X + rng.NormFloat64(), p.Y + rng.NormFloat64()})
			if s == length {
				return l
			}
		}
	}
	const trials = 2000
	straight, bent := 0, 0
	for range trials {
		if math.Abs(float64(noisy(0, 80+120*rng.Float64()).SharpestBend().Change)) < float64(called) {
			straight++
		}
		if r := 20 + 40*rng.Float64(); float64(noisy(r, 60+r*rng.Float64()).SharpestBend().Change) >= float64(called) {
			bent++
		}
	}
	t.Logf("seed %d: straight called straight %d of %d, bends called bends %d of %d", *seed, straight, trials, bent, trials)
	if straight < trials*95/100 || bent < trials*95/100 {
		t.Errorf("seed %d: straight %d, bent %d of %d, want 95 %% of each", *seed, straight, bent, trials)
	}
}

// A clean circle turns by window / radius.
func TestSharpestBendOfACircle(t *testing.T) {
	for _, r := range []float64{40, 60, 100, 200} {
		var l Polyline
		for s := 0.0; s <= 150; s += 5 {
			l = append(l, XY{r * (1 - math.Cos(s/r)), r * math.Sin(s/r)})
		}
		want := float64(BendWindow) / r
		if got := float64(l.SharpestBend().Change); math.Abs(got-want) > 0.06*want {
			t.Errorf("radius %v: %v, want %v", r, got, want)
		}
	}
}

// A line whose points are all the same turns nowhere and stays as it is.
func TestLineWithoutLength(t *testing.T) {
	l := Polyline{{X: 1, Y: 2}, {X: 1, Y: 2}, {X: 1, Y: 2}, {X: 1, Y: 2}}
	if got := l.Smoothed(BendStep, BendSigma); len(got) != len(l) || got[0] != l[0] {
		t.Errorf("Smoothed = %v, want the line itself", got)
	}
	if got := l.SharpestBend(); got.Change != 0 {
		t.Errorf("SharpestBend = %v, want none", got)
	}
}
