package route

import (
	"math"
	"strings"
	"testing"

	"loopwright/data"
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

func middle(t *testing.T) *Pace {
	t.Helper()
	paces, err := Paces()
	if err != nil {
		t.Fatal(err)
	}
	return paces[DefaultStage]
}

// TestChanging compares the closed form with a car moved on by small steps of
// even acceleration, against one that drives the same length at the higher
// speed throughout.
func TestChanging(t *testing.T) {
	p := middle(t)
	for _, c := range []struct{ from, to geo.MetresPerSecond }{
		{0, 13.4}, {13.4, 0}, {4, 13.4}, {13.4, 4}, {26.8, 8}, {5, 5},
	} {
		rate := p.Accelerate
		if c.to < c.from {
			rate = -p.Brake
		}
		const step = 1e-4
		v, time, length := float64(c.from), 0.0, 0.0
		for ; (float64(c.to)-v)*rate > 0; time += step {
			length += (v + rate*step/2) * step
			v += rate * step
		}
		want := time - length/float64(max(c.from, c.to))
		if got := float64(p.changing(c.from, c.to)); math.Abs(got-want) > 0.01 {
			t.Errorf("changing(%v, %v) = %.3f s, want %.3f", c.from, c.to, got, want)
		}
	}
}

// TestCruise holds running speeds against what an instructor would expect to
// see on the clock, in miles per hour: common practice, not a publication.
func TestCruise(t *testing.T) {
	mph := func(v float64) uint16 { return uint16(v*16.09344 + 0.5) }
	for _, c := range []struct {
		name      string
		a         roadnet.Attributes
		low, high float64
	}{
		{"estate road at 30", roadnet.Attributes{Class: extract.Residential, LimitLowDkmh: [2]uint16{mph(30)}}, 20, 25},
		{"estate road at 20", roadnet.Attributes{Class: extract.Residential, LimitLowDkmh: [2]uint16{mph(20)}}, 13, 18},
		{"main road in town at 30", roadnet.Attributes{Class: extract.Primary, LimitLowDkmh: [2]uint16{mph(30)}}, 20, 28},
		{"lane under the national limit", roadnet.Attributes{Class: extract.Unclassified, LimitLowDkmh: [2]uint16{mph(60)}}, 25, 36},
		{"main road in the country", roadnet.Attributes{Class: extract.Primary, LimitLowDkmh: [2]uint16{mph(60)}}, 40, 52},
		{"dual carriageway at 70", roadnet.Attributes{Class: extract.Trunk, LimitLowDkmh: [2]uint16{mph(70)}}, 50, 62},
		{"Welsh border, 20 or 30", roadnet.Attributes{Class: extract.Tertiary, LimitLowDkmh: [2]uint16{mph(20)}, LimitHighDkmh: [2]uint16{mph(30)}}, 13, 18},
		{"no limit known", roadnet.Attributes{Class: extract.Residential}, 15, 25},
		{"class not known", roadnet.Attributes{}, 15, 25},
		{"roundabout", roadnet.Attributes{Class: extract.Primary, Flags: roadnet.Roundabout, LimitLowDkmh: [2]uint16{mph(60)}}, 12, 18},
		{"earth road", roadnet.Attributes{Class: extract.Unclassified, Surface: extract.Loose, LimitLowDkmh: [2]uint16{mph(60)}}, 8, 16},
		{"car park", roadnet.Attributes{Class: extract.ServiceRoad}, 5, 12},
		{"a slip of the mapper's", roadnet.Attributes{Class: extract.Residential, LimitLowDkmh: [2]uint16{1}}, 2, 4},
	} {
		if got := middle(t).cruise(&c.a, 0).MilesPerHour(); got < c.low || got > c.high {
			t.Errorf("%s: %.1f mph, want %v to %v", c.name, got, c.low, c.high)
		}
	}
}

// TestTurning orders turns as any driver would, and holds them equal in the
// mirror: left on the left side of the road is right on the right.
func TestTurning(t *testing.T) {
	b := builder{pace: middle(t), driveLeft: true}
	road := end{speed: 13, class: extract.Residential}
	ms := func(rule rule, major extract.Class, degrees float64) float64 {
		m := meeting{rule, major}
		left := builder{pace: b.pace, driveLeft: true}.turningMs(m, road, degrees)
		right := builder{pace: b.pace, driveLeft: false}.turningMs(m, road, -degrees)
		if left != right {
			t.Errorf("%v onto %d by %v°: %v on the left, %v in the mirror", rule, major, degrees, left, right)
		}
		return left
	}
	const small, main = extract.Residential, extract.Primary
	rising := []struct {
		name string
		ms   float64
	}{
		{"straight on with priority", ms(priority, small, 5)},
		{"left off the road", ms(priority, small, -90)},
		{"left at a give-way", ms(giveWay, small, -90)},
		{"right at a give-way", ms(giveWay, small, 90)},
		{"right at a give-way onto a main road", ms(giveWay, main, 90)},
		{"right at a stop onto a main road", ms(stop, main, 90)},
	}
	if rising[0].ms != 0 {
		t.Errorf("%s costs %v ms", rising[0].name, rising[0].ms)
	}
	for i := 1; i < len(rising); i++ {
		if rising[i].ms <= rising[i-1].ms {
			t.Errorf("%s costs %v ms, %s %v", rising[i].name, rising[i].ms, rising[i-1].name, rising[i-1].ms)
		}
	}
	if near, far := ms(priority, main, -90), ms(priority, main, 90); far <= near {
		t.Errorf("off a main road: right %v ms, left %v", far, near)
	}
	if near, far := ms(underSignals, small, -90), ms(underSignals, small, 90); far <= near {
		t.Errorf("at signals: right %v ms, left %v", far, near)
	}
}

func (b builder) turningMs(m meeting, road end, degrees float64) float64 {
	return float64(milliseconds(b.turning(m, road, road, roadnet.Turn{Angle: geo.Radians(degrees) * geo.Degree})))
}

// TestPaceTableFaults breaks the table in one place each and asks for an error
// that leads there.
func TestPaceTableFaults(t *testing.T) {
	raw, err := data.Tables.ReadFile("pace.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ name, old, new, want string }{
		{"no default stage", "stage: middle", "stage: between", "no stage middle"},
		{"stage twice", "stage: beginner", "stage: middle", `stage "middle"`},
		{"share above 1", "share: 0.80\n", "share: 1.80\n", "stage beginner: share"},
		{"unknown class", "class: trunk", "class: trnk", `"trnk"`},
		{"class not there", "class: track", "class: service", `"service"`},
		{"unknown delay", "name: zebra,", "name: zebr,", "each name of the program"},
		{"delay of nothing", "name: zebra, s: 2", "name: zebra, s: 0", "delays: zebra"},
		{"unknown field", "brake_mps2: 1.1", "break_mps2: 1.1", "break_mps2"},
		{"not a number", "wait: 1.6", "wait: long", "long"},
	} {
		text := strings.Replace(string(raw), c.old, c.new, 1)
		if text == string(raw) {
			t.Fatalf("%s: the table holds no %q", c.name, c.old)
		}
		if _, err := parsePaces([]byte(text)); err == nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), "pace.yaml") {
			t.Errorf("%s: error %v, want one with %q", c.name, err, c.want)
		}
	}
}

// TestNames goes through the enumerations.
func TestNames(t *testing.T) {
	seen := make(map[string]bool)
	check := func(list, name string) {
		if name == "" || seen[list+name] {
			t.Errorf("%s: %q is empty or there twice", list, name)
		}
		seen[list+name] = true
	}
	for s := range speedCount {
		check("speed", s.String())
	}
	for d := range delayCount {
		check("delay", d.String())
	}
	for f := range factorCount {
		check("factor", f.String())
	}
	for s := noSign; s <= stopSign; s++ {
		check("sign", s.String())
	}
	for r := noOthers; r <= ontoMiniRoundabout; r++ {
		check("rule", r.String())
	}
}

// TestQueue empties queues of random words and asks for them in order.
func TestQueue(t *testing.T) {
	var q queue
	state := uint64(1)
	for range 20 {
		for range 500 {
			state = state*6364136223846793005 + 1442695040888963407 // Knuth's MMIX generator
			q.push(state >> 20)
		}
		last := uint64(0)
		for len(q) > 100 {
			e := q.pop()
			if e < last {
				t.Fatalf("%d came after %d", e, last)
			}
			last = e
		}
	}
}
