package drawing_test

import (
	"encoding/xml"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"loopwright/data"
	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/drawing"
	"loopwright/internal/geo"
	"loopwright/internal/manoeuvre"
)

func smallHatch(t *testing.T) manoeuvre.Vehicle {
	t.Helper()
	text, err := data.Tables.ReadFile("vehicles.yaml")
	if err != nil {
		t.Fatal(err)
	}
	all, err := manoeuvre.ParseVehicles("vehicles.yaml", text)
	if err != nil {
		t.Fatal(err)
	}
	return all[0]
}

// lessonOn is a circuit with as much as a diagram reads.
func lessonOn(exercise, country string, width float64) *circuit.Circuit {
	c := &circuit.Circuit{Request: circuit.Request{Country: country}, Practice: circuit.Practice{Exercise: exercise, Stop: circuit.Stop{Road: "Mill Lane"}}}
	if width > 0 {
		c.Practice.Findings = []assess.Finding{{Criterion: "clear-width", Value: &width, Evidence: assess.Measured}}
	}
	return c
}

// read is what a diagram shows, read back from its SVG in metres.
type read struct {
	scale  float64
	panels []panelRead
}

type panelRead struct {
	axles [][]geo.XY
	end   []geo.XY
	kerbs []float64 // X
}

var number = regexp.MustCompile(`-?\d+(?:\.\d+)?`)

func numbers(t *testing.T, s string) []float64 {
	t.Helper()
	var out []float64
	for _, w := range number.FindAllString(s, -1) {
		v, err := strconv.ParseFloat(w, 64)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, v)
	}
	return out
}

func readBack(t *testing.T, svg drawing.SVG, lying bool) read {
	t.Helper()
	var out read
	d := xml.NewDecoder(strings.NewReader(string(svg)))
	var origin []float64
	for {
		token, err := d.Token()
		if token == nil {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		e, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		attr := map[string]string{}
		for _, a := range e.Attr {
			attr[a.Name.Local] = a.Value
		}
		if e.Name.Local == "svg" {
			out.scale = numbers(t, attr["data-mm-per-m"])[0]
		}
		if attr["class"] == "panel" {
			origin = numbers(t, attr["data-origin"])
			out.panels = append(out.panels, panelRead{})
		}
		if e.Name.Local != "path" || len(out.panels) == 0 {
			continue
		}
		p := &out.panels[len(out.panels)-1]
		var line []geo.XY
		ns := numbers(t, attr["d"])
		for i := 0; i+1 < len(ns); i += 2 {
			x, y := (ns[i]-origin[0])/out.scale, (origin[1]-ns[i+1])/out.scale
			if lying {
				x, y = -y, x
			}
			line = append(line, geo.XY{X: x, Y: y})
		}
		switch attr["class"] {
		case "axle":
			p.axles = append(p.axles, line)
		case "end":
			p.end = line
		case "kerb":
			p.kerbs = append(p.kerbs, line[0].X)
		}
	}
	return out
}

// What is drawn is what was computed, in one picture and stage by stage: every
// pose of the turn, the body at the end of each movement and the kerbs, within 1 %.
func TestSweptPathIsThePosesToScale(t *testing.T) {
	v := smallHatch(t)
	for _, c := range []struct {
		country string
		width   geo.Metres
		within  manoeuvre.Within
		moves   int
	}{{"gb", 7, manoeuvre.Body, 5}, {"gb", 7.64, manoeuvre.Body, 3}, {"gb", 9, manoeuvre.Body, 3}, {"gb", 5.2, manoeuvre.Wheels, 5}, {"us", 8, manoeuvre.Body, 3}} {
		name := fmt.Sprint(c.country, " ", c.width)
		lesson := lessonOn("turn-in-the-road", c.country, float64(c.width))
		d, err := drawing.Exercise(lesson, 188, 150)
		if err != nil {
			t.Fatal(err)
		}
		staged, err := drawing.Stages(lesson, 188, 228)
		if err != nil {
			t.Fatal(err)
		}
		want, ok := manoeuvre.TurnInRoad(v, c.width, c.within, manoeuvre.Learner)
		if !ok || !d.ToScale || d.Width != c.width {
			t.Errorf("%s: drawn on %v, to scale %v; the turn is possible: %v", name, d.Width, d.ToScale, ok)
			continue
		}
		if c.country == "us" {
			want = manoeuvre.Mirrored(want)
		}
		one := readBack(t, d.Picture, false)
		if len(want) != c.moves || len(one.panels) != len(want) || len(d.Stages) != len(want) || len(staged.Stages) != len(want) {
			t.Errorf("%s: %d panels and %d stages for %d movements, want %d", name, len(one.panels), len(d.Stages), len(want), c.moves)
			continue
		}
		for i, p := range one.panels {
			samePoses(t, fmt.Sprintf("%s, movement %d", name, i+1), p, v, c.width, want[i], c.country == "us")
			stage := readBack(t, staged.Stages[i].Picture, false)
			samePoses(t, fmt.Sprintf("%s, stage %d", name, i+1), stage.panels[0], v, c.width, want[i], c.country == "us")
			if stage.scale < 3.5 {
				t.Errorf("%s: stage %d has %.1f mm to a metre", name, i+1, stage.scale)
			}
			for _, picture := range []drawing.SVG{d.Picture, staged.Stages[i].Picture} {
				if !strings.Contains(string(picture), fmt.Sprintf(">%.1f m</text>", c.width)) {
					t.Errorf("%s: the width is not written", name)
				}
			}
		}
	}
}

// samePoses holds a panel to a movement and to the kerbs.
func samePoses(t *testing.T, name string, p panelRead, v manoeuvre.Vehicle, width geo.Metres, want manoeuvre.Movement, mirrored bool) {
	t.Helper()
	if across := math.Abs(p.kerbs[1] - p.kerbs[0]); math.Abs(across/float64(width)-1) > 0.01 {
		t.Errorf("%s: kerbs %.3f m apart", name, across)
	}
	if len(p.axles) != 1 {
		t.Errorf("%s: %d lines of poses, want 1", name, len(p.axles))
		return
	}
	if len(p.axles[0]) != len(want.Poses) {
		t.Errorf("%s: %d poses of %d", name, len(p.axles[0]), len(want.Poses))
		return
	}
	for j, at := range p.axles[0] {
		if off := at.Sub(want.Poses[j].At).Norm(); off > 0.01 {
			t.Errorf("%s: pose %d is off by %.3f m", name, j, off)
		}
	}
	corners := v.Outline(want.End())
	if mirrored { // left is right
		corners[0], corners[1], corners[2], corners[3] = corners[1], corners[0], corners[3], corners[2]
	}
	for j, corner := range corners {
		if off := p.end[j].Sub(corner).Norm(); off > 0.01 {
			t.Errorf("%s: ends with corner %d off by %.3f m", name, j, off)
		}
	}
	if length := p.end[0].Sub(p.end[3]).Norm(); math.Abs(float64(length/v.Length)-1) > 0.01 {
		t.Errorf("%s: the car is %.3f m long", name, length)
	}
}

// Every exercise fills its page, on either side of the road: all stages at one
// scale, the words in 11 points or more, and no car under 12 mm.
func TestStagesAreLarge(t *testing.T) {
	v := smallHatch(t)
	for _, country := range []string{"gb", "us"} {
		for _, ex := range assess.Exercises() {
			for _, width := range []float64{0, 6.9, 8} {
				name := fmt.Sprint(ex.Name, ", ", country, ", ", width)
				d, err := drawing.Stages(lessonOn(ex.Name, country, width), 188, 228)
				if err != nil {
					t.Fatal(err)
				}
				if d.Type < 11 || d.Columns < 1 {
					t.Errorf("%s: type of %v points, %d columns", name, d.Type, d.Columns)
				}
				sum, high := 0.0, 0.0
				for i, s := range d.Stages {
					box := numbers(t, regexp.MustCompile(`viewBox="([^"]*)"`).FindStringSubmatch(string(s.Picture))[1])
					scale := readBack(t, s.Picture, false).scale
					if long := scale * float64(v.Length); long < 12 || scale != readBack(t, d.Stages[0].Picture, false).scale {
						t.Errorf("%s: stage %d has %.2f mm to a metre", name, i+1, scale)
					}
					if math.Abs(box[2]-s.Wide) > 0.01 || box[2] > 188 {
						t.Errorf("%s: stage %d is %v mm wide and said to be %v", name, i+1, box[2], s.Wide)
					}
					if high = max(high, box[3]); (i+1)%d.Columns == 0 || i+1 == len(d.Stages) {
						sum, high = sum+high, 0
					}
				}
				if sum > 228 {
					t.Errorf("%s: %.0f mm of pictures", name, sum)
				}
			}
		}
	}
}

func TestParallelParkIsThePosesToScale(t *testing.T) {
	v := smallHatch(t)
	park, ok := manoeuvre.ParallelPark(v, v.Width, manoeuvre.Learner)
	if !ok {
		t.Fatal("no parallel park")
	}
	d, err := drawing.Exercise(lessonOn("parallel-park", "gb", 7), 188, 150)
	if err != nil {
		t.Fatal(err)
	}
	got := readBack(t, d.Picture, false)
	first, second := got.panels[1].axles[0], got.panels[2].axles[0]
	line := append(first, second[1:]...) // the pose of the change of lock is in both
	want := park.Movements[0].Poses
	if len(line) != len(want) {
		t.Fatalf("%d poses drawn of %d", len(line), len(want))
	}
	for i, at := range line {
		if off := at.Sub(want[i].At).Norm(); off > 0.01 {
			t.Errorf("pose %d is off by %.3f m", i, off)
		}
	}
}

// A width that nobody measured or mapped is never drawn as if it were known.
func TestAssumedWidthIsAStandardDrawing(t *testing.T) {
	low, high := 4.3, 6.7
	for _, ex := range assess.Exercises() {
		c := lessonOn(ex.Name, "gb", 0)
		c.Practice.Findings = []assess.Finding{{Criterion: "clear-width", Low: &low, High: &high, Evidence: assess.Assumed}}
		d, err := drawing.Exercise(c, 188, 150)
		if err != nil {
			t.Errorf("%s: %v", ex.Name, err)
			continue
		}
		if d.ToScale || !strings.Contains(d.About, "not known") {
			t.Errorf("%s: to scale %v: %q", ex.Name, d.ToScale, d.About)
		}
		if err := xml.Unmarshal([]byte(d.Picture), new(struct{})); err != nil {
			t.Errorf("%s: %v", ex.Name, err)
		}
	}
	narrow := lessonOn("turn-in-the-road", "gb", 4.2) // under the wheels' 4.9 m
	d, err := drawing.Exercise(narrow, 188, 150)
	if err != nil || d.ToScale || !strings.Contains(d.About, "does not do it there") {
		t.Errorf("4.2 m: %v, %q", err, d.About)
	}
	if _, err := drawing.Exercise(lessonOn("flying", "gb", 7), 188, 150); err == nil || !strings.Contains(err.Error(), `"flying"`) {
		t.Errorf("an exercise that there is not: %v", err)
	}
}

// The slope is shown the way that the car rolls: a road that rises as the car
// comes in falls back towards where it came from.
func TestSlopeIsShownDownhill(t *testing.T) {
	for _, c := range []struct {
		heights []geo.Metres
		rolls   string
	}{{[]geo.Metres{10, 12, 14}, "roll back"}, {[]geo.Metres{14, 12, 10}, "roll forward"}, {[]geo.Metres{10, 10.1, 10}, "about level"}} {
		l := lessonOn("hill-start", "gb", 7)
		l.Practice.AtS = 100
		l.Legs = []circuit.Leg{{AtS: 40, DriveS: 60, LengthM: 40, Heights: c.heights}}
		d, err := drawing.Exercise(l, 188, 150)
		if err != nil {
			t.Fatal(err)
		}
		shown := regexp.MustCompile(`class="slope" d="M([\d.]+) [\d.]+L([\d.]+) `).FindStringSubmatch(string(d.Picture))
		if !strings.Contains(d.Rolls, c.rolls) || (shown == nil) != (c.rolls == "about level") {
			t.Errorf("%v: %q, arrow %v", c.heights, d.Rolls, shown)
		}
		if shown != nil {
			from, to := numbers(t, shown[1])[0], numbers(t, shown[2])[0]
			if (to > from) != (c.rolls == "roll forward") { // the car faces to the right
				t.Errorf("%v: the arrow goes from %.1f to %.1f", c.heights, from, to)
			}
		}
	}
}

// Widths of the Go fonts as their own tables have them: every figure of Go
// Regular is 0.556 em wide (1139 of 2048 units), and Cut keeps within its room.
func TestWidths(t *testing.T) {
	em := drawing.Points(10).MM()
	if w := drawing.Width("0123456789", 10, false); math.Abs(w-10*1139.0/2048*em) > 1e-3 {
		t.Errorf("ten figures are %.4f mm wide, want %.4f", w, 10*1139.0/2048*em)
	}
	if w := drawing.Width("路", 10, false); w != em {
		t.Errorf("a letter that the font lacks is %.2f mm wide, want an em", w)
	}
	for _, text := range []string{"", "Mill Lane", "Llanfairpwllgwyngyll", "Upper Long Street by the Water", strings.Repeat("Long ", 4000), "🚗🛑🚗🛑🚗🛑🚗🛑"} {
		for _, most := range []float64{8, 20, 60} {
			cut := drawing.Cut(text, 10, true, most)
			if w := drawing.Width(cut, 10, true); w > most+1e-9 {
				t.Errorf("Cut(%.20q, %v) is %.1f mm wide", text, most, w)
			}
			if cut != text && !strings.HasSuffix(cut, "…") {
				t.Errorf("Cut(%.20q, %v) = %q hides that it goes on", text, most, cut)
			}
		}
	}
}
