package assess

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"loopwright/internal/country"
	"loopwright/internal/geo"
	"loopwright/internal/manoeuvre"
	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
)

// ladder is a straight street of 300 m between two cross streets, in a block
// so that every street leads somewhere. What is added goes at the end.
const ladder = `
	A 0,0
	B 300,0
	C 300,200
	D 0,200
	E -200,0
	F 500,0
	G 0,400
	H 300,400
	D-G Upper Street
	C-H Upper Street
	E-A Cross Street
	B-F Cross Street
	B-C East Street
	C-D North Street
	D-A West Street
`

func profile(t testing.TB, code string) *country.Profile {
	t.Helper()
	p, err := country.ByCode(code)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func turn(t testing.TB) *Exercise {
	t.Helper()
	ex, err := Named("turn-in-the-road")
	if err != nil {
		t.Fatal(err)
	}
	return ex
}

// best is the best place on the street from A to B, at the kerb that is left
// on the way from A.
func best(t testing.TB, ex *Exercise, text string) Place {
	t.Helper()
	n := roadnettest.Parse(t, text)
	seg := roadnettest.Segment(t, n, "A>B")
	for _, p := range New(n, profile(t, "gb")).Places(ex, seg.Stretch()) {
		if p.Position.Segment == seg {
			return p
		}
	}
	return Place{}
}

func finding(t testing.TB, p Place, criterion string) Finding {
	t.Helper()
	f := named(p.Findings, criterion)
	if f == nil {
		t.Fatalf("no finding for %s", criterion)
	}
	return *f
}

// The verdicts are an instructor's, road by road.
func TestVerdicts(t *testing.T) {
	cases := []struct {
		road, tags string
		want       Verdict
		criterion  string
		holds      Holds
		evidence   Evidence
	}{
		{"a plain residential street", "residential 30mph", Likely, "clear-width", HoldsPerhaps, Assumed},
		{"no limit mapped", "residential", Likely, "clear-width", HoldsPerhaps, Assumed},
		{"wide enough by the map", "residential 30mph width=7.5", Likely, "clear-width", HoldsYes, Mapped},
		{"a lane by the map", "residential 30mph width=3.5", Unsuitable, "clear-width", HoldsNo, Mapped},
		{"between wheels and body", "residential 30mph width=5.5", Possible, "clear-width", HoldsPerhaps, Mapped},
		{"one lane", "residential 30mph lanes=1", Unsuitable, "clear-width", HoldsNo, Inferred},
		{"cars both sides", "residential 30mph width=8 parking=lane", Unsuitable, "parked", HoldsNo, Mapped},
		{"a main road", "primary 30mph", Unsuitable, "class", HoldsNo, Mapped},
		{"a fast road", "residential 60mph", Unsuitable, "limit", HoldsNo, Mapped},
		{"for callers only", "residential 30mph destination", Unsuitable, "access", HoldsNo, Mapped},
		{"stopping barred", "residential 30mph nostopping-left", Unsuitable, "kerb", HoldsNo, Mapped},
		{"a bridge", "residential 30mph bridge", Unsuitable, "structure", HoldsNo, Mapped},
		{"a steep road", "residential 30mph incline=12", Unsuitable, "gradient", HoldsNo, Mapped},
		{"gravel", "residential 30mph loose", Unsuitable, "surface", HoldsNo, Mapped},
		{"bumps all along", "residential 30mph bumps", Unsuitable, "calming", HoldsNo, Mapped},
		{"a country road of which nothing is known", "unclassified", Likely, "setting", HoldsYes, Inferred}, // homes meet it
	}
	for _, c := range cases {
		p := best(t, turn(t), ladder+"A-B Mill Lane "+c.tags)
		f := finding(t, p, c.criterion)
		if p.Verdict != c.want || f.Holds != c.holds || f.Evidence != c.evidence {
			t.Errorf("%s: %v, %s holds %v (%v), want %v, %v (%v)", c.road, p.Verdict, c.criterion, f.Holds, f.Evidence, c.want, c.holds, c.evidence)
		}
		if v, chance, fit := Judge(p.Findings, turn(t)); v != p.Verdict || chance != p.Chance || fit != p.MapFit {
			t.Errorf("%s: Judge = %v, %v, %v, the place says %v, %v, %v", c.road, v, chance, fit, p.Verdict, p.Chance, p.MapFit)
		}
	}
}

// A country road with no limit, lights or homes mapped is unknown, not fit.
func TestCountryRoadIsUnknown(t *testing.T) {
	n := roadnettest.Parse(t, `
		A 0,0
		B 400,0
		C 0,300
		D 400,300
		A-B Long Lane unclassified
		B-D unclassified
		D-C unclassified
		C-A unclassified
		E -200,0
		E-A unclassified
		F 600,0
		B-F unclassified`)
	seg := roadnettest.Segment(t, n, "A>B")
	for _, p := range New(n, profile(t, "gb")).Places(turn(t), seg.Stretch()) {
		if f := finding(t, p, "setting"); p.Verdict != VerdictUnknown || f.Holds != HoldsUnknown || f.Evidence != EvidenceUnknown {
			t.Errorf("verdict %v, setting %v (%v), want unknown throughout", p.Verdict, f.Holds, f.Evidence)
		}
	}
}

// Both kerbs of a two-way street are offered, each on the segment that drives
// along it; the window lies clear of both junctions.
func TestPlacesKerbs(t *testing.T) {
	for _, code := range []string{"gb", "de"} {
		n := roadnettest.Parse(t, ladder+"A-B Mill Lane 30mph", roadnettest.Country(code))
		p := profile(t, code)
		seg := roadnettest.Segment(t, n, "A>B")
		places := New(n, p).Places(turn(t), seg.Stretch())
		want := roadnet.Right
		if p.DrivesLeft {
			want = roadnet.Left
		}
		if len(places) != 2 || places[0].Position.Segment == places[1].Position.Segment {
			t.Fatalf("%s: %d places, want one each way", code, len(places))
		}
		for _, q := range places {
			if q.Side != want || !q.FacesBack || math.Abs(float64(q.To-q.From-turn(t).Window)) > 1e-6 {
				t.Errorf("%s: side %v, faces back %v, window %.1f, want %v, true, %v", code, q.Side, q.FacesBack, q.To-q.From, want, turn(t).Window)
			}
			if q.From < 40 || q.To > 260 {
				t.Errorf("%s: window %v to %v of 300 m is near a junction though the street is plain", code, q.From, q.To)
			}
		}
	}
	far, err := Named("pull-up-right")
	if err != nil {
		t.Fatal(err)
	}
	if q := best(t, far, ladder+"A-B Mill Lane 30mph"); q.Side != roadnet.Right {
		t.Errorf("pull-up-right in Britain is at the %v kerb, want right", q.Side)
	}
	if q := best(t, far, ladder+"A-B Mill Lane 30mph nostopping-left"); q.Verdict == Unsuitable {
		t.Error("a bar at the left kerb rules out the right one")
	}
	if q := best(t, far, ladder+"A-B Mill Lane 30mph nostopping-right"); q.Verdict != Unsuitable {
		t.Errorf("a bar at its own kerb leaves pull-up-right %v", q.Verdict)
	}
}

// The best window avoids what stands on the street.
func TestWindowAvoidsThings(t *testing.T) {
	text := ladder + `
		M 150,0
		A-M-B Mill Lane 30mph
		calming M`
	p := best(t, turn(t), text)
	if p.From-near < 150 && p.To+near > 150 {
		t.Errorf("window %v to %v holds the hump at 150", p.From, p.To)
	}
	if p.Verdict != Likely {
		t.Errorf("a street with room beside its hump is %v, want likely", p.Verdict)
	}
}

// At assesses just the window asked, and Scan finds the same as Places.
func TestAtAndScan(t *testing.T) {
	n := roadnettest.Parse(t, ladder+"A-B Mill Lane 30mph")
	a := New(n, profile(t, "gb"))
	seg := roadnettest.Segment(t, n, "A>B")
	at := a.At(turn(t), roadnet.Position{Segment: seg, Along: 3}, roadnet.Left)
	if at.From != 0 || at.Verdict != Unsuitable || finding(t, at, "junction").Holds != HoldsNo {
		t.Errorf("at the junction: from %v, %v, want 0, unsuitable by the junction", at.From, at.Verdict)
	}
	for s := range roadnet.StretchID(n.NumStretches()) {
		full := a.Places(turn(t), s)
		for i, q := range a.Scan(turn(t), s) {
			want := full[i]
			if q.Findings != nil || q.Verdict != want.Verdict || q.Chance != want.Chance || q.MapFit != want.MapFit || q.Position != want.Position {
				t.Errorf("Scan(%d) = %+v, Places says %+v", s, q, want)
			}
			again := a.At(turn(t), q.Position, q.Side)
			if again.Chance != want.Chance || again.Verdict != want.Verdict {
				t.Errorf("At(Scan(%d)) = %v %v, Places says %v %v", s, again.Verdict, again.Chance, want.Verdict, want.Chance)
			}
		}
	}
}

// A narrower measured road never has the greater chance.
func TestNarrowerIsNeverBetter(t *testing.T) {
	for _, name := range []string{"turn-in-the-road", "parallel-park", "pull-up-right", "emergency-stop"} {
		ex, err := Named(name)
		if err != nil {
			t.Fatal(err)
		}
		last := -1.0
		for w := 2.0; w <= 12; w += 0.25 {
			p := best(t, ex, fmt.Sprintf("%sA-B Mill Lane 30mph width=%.2f", ladder, w))
			if p.Chance < last-1e-9 {
				t.Errorf("%s: chance %v at %.2f m, %v a little narrower", name, p.Chance, w, last)
			}
			last = p.Chance
		}
	}
}

// A side street beside a place never raises its chance.
func TestJunctionNeverHelps(t *testing.T) {
	rng := rand.New(rand.NewPCG(17, 4))
	before := ladder + "A-B Mill Lane 30mph"
	n0 := roadnettest.Parse(t, before)
	a0 := New(n0, profile(t, "gb"))
	s0 := roadnettest.Segment(t, n0, "A>B")
	for range 60 {
		x, at := math.Round(20+260*rng.Float64()), geo.Metres(20+260*rng.Float64())
		after := fmt.Sprintf(`%s
			M %g,0
			S %g,-120
			A-M-B Mill Lane 30mph
			M-S Side Street`, ladder, x, x)
		n1 := roadnettest.Parse(t, after)
		pt, _ := n0.At(roadnet.Position{Segment: s0, Along: at})
		s1, along, _, _, ok := n1.Nearest(pt, 5, nil)
		if !ok {
			t.Fatalf("seed 17,4: nothing at %v m", at)
		}
		seg := s1.Segment(true)
		if n1.Tail(seg) != roadnettest.Node(t, n1, "A") && n1.Head(seg) != roadnettest.Node(t, n1, "B") {
			seg, along = s1.Segment(false), n1.Length(s1)-along
		}
		for _, ex := range Exercises() {
			was := a0.At(ex, roadnet.Position{Segment: s0, Along: at}, roadnet.Left)
			now := New(n1, profile(t, "gb")).At(ex, roadnet.Position{Segment: seg, Along: along}, roadnet.Left)
			if now.Chance > was.Chance+1e-3 { // a centimetre of rounding in the drawing
				t.Errorf("seed 17,4: %s: a side street at %v m raises the chance at %.0f m from %v to %v", ex.Name, x, at, was.Chance, now.Chance)
			}
		}
	}
}

// The mirror image of a map, driven on the other side, has the mirrored places
// with equal chances.
func TestMirrored(t *testing.T) {
	rng := rand.New(rand.NewPCG(23, 9))
	draw := func(points [][2]float64, mirror float64) string {
		var b strings.Builder
		for i, p := range points {
			fmt.Fprintf(&b, "%c %g,%g\n", 'A'+i, mirror*p[0], p[1])
		}
		left, right := "left", "right"
		if mirror < 0 {
			left, right = right, left
		}
		fmt.Fprintf(&b, "A-B-C-D Mill Lane 30mph parking-%s=no nostopping-%s\n", left, right)
		b.WriteString("D-E-F High Street tertiary 30mph\nF-G-A Back Lane width=6\n")
		fmt.Fprintf(&b, "B-F Cut unclassified incline=3\nzebra E\ncalming G\ndrive on C-D at 20 %s\n", left)
		return b.String()
	}
	gb := profile(t, "gb")
	other := *gb
	other.DrivesLeft = false
	for range 20 {
		var points [][2]float64
		for i := range 7 {
			angle := 2 * math.Pi * float64(i) / 7
			r := 120 + 80*rng.Float64()
			points = append(points, [2]float64{math.Round(r * math.Sin(angle)), math.Round(r * math.Cos(angle))})
		}
		n, m := roadnettest.Parse(t, draw(points, 1)), roadnettest.Parse(t, draw(points, -1))
		a, b := New(n, gb), New(m, &other)
		if n.NumStretches() != m.NumStretches() {
			t.Fatalf("seed 23,9: the mirror image has %d stretches, the map %d", m.NumStretches(), n.NumStretches())
		}
		for _, ex := range Exercises() {
			for s := range roadnet.StretchID(n.NumStretches()) {
				x, y := a.Places(ex, s), b.Places(ex, s)
				if len(x) != len(y) {
					t.Fatalf("seed 23,9: %s: %d places, %d in the mirror", ex.Name, len(x), len(y))
				}
				for i := range x {
					same := math.Abs(x[i].Chance-y[i].Chance) < 1e-3 && x[i].Side == y[i].Side.Opposite() &&
						x[i].Position.Segment == y[i].Position.Segment && math.Abs(float64(x[i].From-y[i].From)) < 0.1
					if !same {
						t.Errorf("seed 23,9: %s stretch %d: %v %v from %.2f chance %v; mirrored %v %v from %.2f chance %v", ex.Name, s,
							x[i].Position.Segment, x[i].Side, x[i].From, x[i].Chance, y[i].Position.Segment, y[i].Side, y[i].From, y[i].Chance)
					}
				}
			}
		}
	}
}

// The bend of a window is geo's sharpest bend of the same stretch, on a plane
// that touches the earth elsewhere.
func TestBendIsGeos(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 8))
	for range 30 {
		var b strings.Builder
		x, y, heading := 0.0, 0.0, 0.0
		names := ""
		for i := range 8 {
			fmt.Fprintf(&b, "%c %.2f,%.2f\n", 'A'+i, x, y)
			names += fmt.Sprintf("-%c", 'A'+i)
			heading += rng.NormFloat64() * 0.5
			d := 10 + 40*rng.Float64()
			x, y = x+d*math.Sin(heading), y+d*math.Cos(heading)
		}
		n := roadnettest.Parse(t, b.String()+names[1:]+" Winding Lane")
		var st site
		st.load(n, 0)
		line := n.Line(0)
		want := geo.PlaneAt(line[len(line)/2]).Line(line).SharpestBend()
		got, at := st.line().bend(0, st.length)
		if math.Abs(got-math.Abs(want.Change.Degrees())) > 0.02 || math.Abs(float64(at-want.Along)) > 0.5 {
			t.Errorf("seed 5,8: bend = %.3f° at %.1f, geo says %.3f° at %.1f", got, at, want.Change.Degrees(), want.Along)
		}
	}
}

// Sight inside a curve is the one whose horizontal sightline offset is the
// corridor: M = R (1 − cos(28.65 S / R)), AASHTO, A Policy on Geometric Design of
// Highways and Streets, 2018, from memory; within 3 % and a step of the line.
func TestSightOnCurves(t *testing.T) {
	for _, radius := range []float64{40, 60, 80, 100, 140, 180, 220, 250} {
		var b strings.Builder
		names := ""
		n := 24
		for i := range n {
			angle := float64(i) / float64(n-1) * 300 / radius // 300 m of arc
			fmt.Fprintf(&b, "N%d %.3f,%.3f\n", i, radius*(1-math.Cos(angle)), radius*math.Sin(angle))
			names += fmt.Sprintf("-N%d", i)
		}
		net := roadnettest.Parse(t, b.String()+names[1:]+" Ring Road")
		var st site
		st.load(net, 0)
		const corridor = 4.5
		got := st.line().sight(st.length/2, st.length/2, corridor)
		want := radius / 28.65 * math.Acos(1-corridor/radius) * 180 / math.Pi
		if math.Abs(float64(got)-want) > 0.03*want+float64(geo.BendStep) && want < float64(farSight) {
			t.Errorf("radius %v m: sight %.1f m, want %.1f m", radius, got, want)
		}
		if offset := manoeuvre.SightlineOffset(geo.Metres(radius), geo.Metres(want)); math.Abs(float64(offset)-corridor) > 0.01 {
			t.Errorf("radius %v m: the sight %.1f m has the offset %.2f m, want %v", radius, want, offset, corridor)
		}
	}
	net := roadnettest.Parse(t, ladder+"A-B Mill Lane")
	var st site
	st.load(net, roadnettest.Segment(t, net, "A>B").Stretch())
	if got := st.line().sight(100, 125, 4.5); got != farSight {
		t.Errorf("a straight street has %v m of sight, want %v", got, farSight)
	}
}

// A road is seen, and bends, beyond where a side road cuts it.
func TestLineGoesOnBeyondJunctions(t *testing.T) {
	text := `
		A 0,0
		B 120,0
		C 160,0
		D 185,14
		E 192,90
		S 160,-60
		A-B-C Mill Lane 30mph
		C-D-E Mill Lane 30mph
		C-S Side Street`
	n := roadnettest.Parse(t, text)
	var st site
	st.load(n, roadnettest.Segment(t, n, "A>C").Stretch())
	if got := st.line().sight(110, 135, 4.5); got > 70 {
		t.Errorf("sight %v m from 25 m before a junction with a bend behind it", got)
	}
}

// Every verdict on a real county can be drawn again from what the JSON says,
// for every exercise; a default never makes a road too narrow, and none is
// called suitable without saying that its width is not mapped.
func TestRecomputeRutland(t *testing.T) {
	n, p := rutland(t)
	a := New(n, p)
	count := make(map[Verdict]int)
	for _, ex := range Exercises() {
		for s := range roadnet.StretchID(n.NumStretches()) {
			for _, place := range a.Places(ex, s) {
				text, err := json.Marshal(place.Findings)
				if err != nil {
					t.Fatal(err)
				}
				var findings []Finding
				if err := json.Unmarshal(text, &findings); err != nil {
					t.Fatal(err)
				}
				v, chance, fit := Judge(findings, ex)
				if v != place.Verdict || chance != place.Chance || fit != place.MapFit {
					t.Fatalf("%s, stretch %d: Judge = %v %v %v, the place says %v %v %v", ex.Name, s, v, chance, fit, place.Verdict, place.Chance, place.MapFit)
				}
				count[v]++
				if ex.CarPark {
					continue
				}
				i := slices.IndexFunc(findings, func(f Finding) bool { return f.Criterion == "clear-width" })
				if i < 0 {
					t.Fatalf("%s has no finding for the width", ex.Name)
				}
				width := findings[i]
				if width.Evidence == Assumed {
					if v == Suitable && !strings.Contains(width.Source, "width not mapped") {
						t.Errorf("%s, stretch %d: suitable on a default width and does not say so: %q", ex.Name, s, width.Source)
					}
					if without, _, _ := Judge(slices.Delete(findings, i, i+1), ex); (v == Unsuitable) != (without == Unsuitable) {
						t.Errorf("%s, stretch %d: a default width makes it %v", ex.Name, s, v)
					}
				}
				for _, f := range place.Findings {
					said := Words(f, p)
					if !strings.HasSuffix(said, ".") || strings.Contains(said, "%!") || strings.Contains(said, "NaN") || strings.Contains(said, "chance") {
						t.Fatalf("%s %s is said as %q", ex.Name, f.Criterion, said)
					}
					if f.Criterion != "gradient" && f.Criterion != "climb" && strings.Contains(said, "%") {
						t.Fatalf("%s %s is said with a percentage: %q", ex.Name, f.Criterion, said)
					}
				}
			}
		}
	}
	t.Logf("Rutland, all exercises: %v", count)
	for _, v := range []Verdict{VerdictUnknown, Unsuitable, Possible, Likely} {
		if count[v] == 0 {
			t.Errorf("no place in Rutland is %v", v)
		}
	}
}

// After dark the far kerb is barred in Britain whatever the lights (The Highway
// Code, rule 248), an unlit road fails, and with no hour given nothing is asked.
// Sunrise in the Midlands on 1 June is before 05:00 and sunset after 21:00
// local time; on 1 December sunset is before 16:00 (any almanac).
func TestLight(t *testing.T) {
	day := time.Date(2027, 6, 1, 12, 0, 0, 0, time.UTC)
	night := time.Date(2027, 12, 1, 18, 0, 0, 0, time.UTC)
	far, err := Named("pull-up-right")
	if err != nil {
		t.Fatal(err)
	}
	cases := []struct {
		ex   *Exercise
		tags string
		when time.Time
		want Verdict
	}{
		{turn(t), "30mph lit", day, Likely},
		{turn(t), "30mph lit", night, Possible},
		{far, "30mph lit", day, Likely},
		{far, "30mph lit", night, Unsuitable},
		{far, "30mph", night, Unsuitable},
	}
	for _, c := range cases {
		n := roadnettest.Parse(t, ladder+"A-B Mill Lane "+c.tags)
		a := New(n, profile(t, "gb"))
		s := roadnettest.Segment(t, n, "A>B").Stretch()
		for _, p := range a.AtHour(c.when).Places(c.ex, s) {
			if p.Verdict != c.want {
				t.Errorf("%s on %q at %v is %v, want %v", c.ex.Name, c.tags, c.when, p.Verdict, c.want)
			}
			if f := named(p.Findings, "daylight"); f == nil || f.Evidence != Inferred {
				t.Errorf("%s at %v says nothing of the light", c.ex.Name, c.when)
			}
		}
		for _, p := range a.Places(c.ex, s) {
			if named(p.Findings, "daylight") != nil || named(p.Findings, "lighting") != nil {
				t.Errorf("%s judges the light though no hour is given", c.ex.Name)
			}
		}
	}
}

// A piece that ends where the window begins says nothing of the window.
func TestPiecesBesideTheWindow(t *testing.T) {
	text := ladder + `
		M 100,0
		A-M Mill Lane 30mph width=3
		M-B Mill Lane 30mph width=8`
	n := roadnettest.Parse(t, text)
	a := New(n, profile(t, "gb"))
	seg := roadnettest.Segment(t, n, "A>B")
	for _, c := range []struct {
		along geo.Metres
		want  Holds
	}{{113, HoldsYes}, {110, HoldsNo}, {200, HoldsYes}, {50, HoldsNo}} {
		p := a.At(turn(t), roadnet.Position{Segment: seg, Along: c.along}, roadnet.Left)
		if f := finding(t, p, "clear-width"); f.Holds != c.want {
			t.Errorf("width holds %v for the window %v to %v, want %v: 3 m up to 100, then 8 m", f.Holds, p.From, p.To, c.want)
		}
	}
	if p := best(t, turn(t), text); p.From < 100 {
		t.Errorf("the best window begins at %v, in the narrow part", p.From)
	}
}

// A stretch without length, alone or in a ring of such, is assessed like any
// other and offers nothing.
func TestStretchWithoutLength(t *testing.T) {
	n := roadnettest.Parse(t, `
		A 0,0
		B 0,0
		G 0,0
		C 100,0
		D 0,100
		E -100,0
		F 0,-100
		A-B Nowhere
		B-G Nowhere
		G-A Nowhere
		B-C East Road
		G-D North Road
		A-E West Road
		A-F South Road`)
	a := New(n, profile(t, "gb"))
	for s := range roadnet.StretchID(n.NumStretches()) {
		for _, ex := range Exercises() {
			for _, p := range a.Places(ex, s) {
				if _, err := json.Marshal(p.Findings); err != nil {
					t.Errorf("stretch %d of %v m: %v", s, n.Length(s), err)
				}
				if n.Length(s) < 1 && p.Verdict != Unsuitable {
					t.Errorf("a stretch of %v m is %v for %s", n.Length(s), p.Verdict, ex.Name)
				}
			}
			a.Examples(ex, s.Segment(true))
		}
	}
}
