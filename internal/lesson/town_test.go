package lesson_test

import (
	"errors"
	"fmt"
	"math"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/geo"
	"loopwright/internal/lesson"
	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
)

// The town of these tests: a grid of eight streets each way, 160 m by 130 m.
// Most are 6.6 m wide and would do. One is too narrow, one is one-way, one a
// main road, one winds, and off one of them there are closes with turning
// heads at their ends.
const side = 8

var rows = [side]string{"Alder Row", "Birch Row", "Cedar Row", "Damson Row", "Elder Row", "Fig Row", "Gorse Row", "Hazel Row"}
var lines = [side]string{"North Line", "Oak Line", "Pear Line", "Quince Line", "Rowan Line", "Sloe Line", "Thorn Line", "Umber Line"}

func node(i, j int) string { return fmt.Sprintf("N%d%d", i, j) }

func at(i, j int) (x, y int) { return 160 * i, 130 * j }

func draw() string {
	var b strings.Builder
	for i := range side {
		for j := range side {
			x, y := at(i, j)
			fmt.Fprintf(&b, "%s %d,%d\n", node(i, j), x, y)
			if j == 4 && i+1 < side { // the winding row
				fmt.Fprintf(&b, "W%d %d,%d\n", i, x+50, y+38)
				fmt.Fprintf(&b, "V%d %d,%d\n", i, x+110, y-38)
			}
			if i == 2 { // closes
				fmt.Fprintf(&b, "T%d %d,%d\nturning T%d\n", j, x+60, y+60, j)
			}
		}
	}
	for j := range side {
		for i := 0; i+1 < side; i++ {
			words := "residential 30mph width=6.6"
			between := "-"
			switch j {
			case 1:
				words = "residential 30mph width=3.2"
			case 6:
				words = "secondary 30mph"
			case 4:
				between = fmt.Sprintf("-W%d-V%d-", i, i)
			}
			fmt.Fprintf(&b, "%s%s%s %s %s\n", node(i, j), between, node(i+1, j), rows[j], words)
		}
	}
	for i := range side {
		for j := 0; j+1 < side; j++ {
			between := "-"
			if i == 5 {
				between = ">"
			}
			fmt.Fprintf(&b, "%s%s%s %s residential 30mph width=6.6\n", node(i, j), between, node(i, j+1), lines[i])
		}
	}
	for j := range side {
		fmt.Fprintf(&b, "%s-T%d Close %d residential 30mph width=6.6\n", node(2, j), j, j+1)
	}
	return b.String()
}

var origin = orb.Point{-1, 52}

// nameOf is the name of the node at a position, "" if there is none.
func nameOf(p orb.Point) string {
	xy := geo.PlaneAt(origin).To(p)
	i, j := int(math.Round(xy.X/160)), int(math.Round(xy.Y/130))
	if x, y := at(i, j); i < 0 || j < 0 || i >= side || j >= side || math.Hypot(xy.X-float64(x), xy.Y-float64(y)) > 0.5 {
		return ""
	}
	return node(i, j)
}

func gb(t testing.TB) *country.Profile {
	t.Helper()
	p, err := country.ByCode("gb")
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// startIn is the middle of the first stretch of a road, forward.
func startIn(t testing.TB, n *roadnet.Network, road string) roadnet.Position {
	t.Helper()
	for s := range roadnet.StretchID(n.NumStretches()) {
		if n.Name(n.NameOf(s)) == road {
			return roadnet.Position{Segment: s.Segment(true), Along: n.Length(s) / 2}
		}
	}
	t.Fatalf("no road %q", road)
	return roadnet.Position{}
}

func planned(t testing.TB) (*roadnet.Network, *country.Profile, *circuit.Circuit) {
	t.Helper()
	n, p := roadnettest.Parse(t, draw()), gb(t)
	c, err := lesson.Plan(n, p, assess.New(n, p), request(startIn(t, n, "Hazel Row")))
	if err != nil {
		t.Fatal(err)
	}
	return n, p, through(t, c)
}

func TestPlanKeepsEveryMust(t *testing.T) {
	n, p, c := planned(t)
	for _, b := range lesson.Check(n, p, c) {
		t.Error(b)
	}
	t.Log(examples(c), "practice in", c.Practice.Road, "goes", c.Practice.Goes)
}

// Each mutation spoils one thing, in the circuit or in the map that it is read
// against, and Check must name the must that it breaks.
func TestCheckCatches(t *testing.T) {
	n, p, whole := planned(t)
	if broken := lesson.Check(n, p, whole); len(broken) > 0 {
		t.Fatalf("the circuit is broken before it is spoilt: %v", broken)
	}
	last := len(whole.Legs) - 1
	second := func(c *circuit.Circuit) *circuit.Leg { return &c.Legs[1] }
	pull := func(c *circuit.Circuit, what string) *circuit.Stop {
		for i := range c.PullUps {
			if c.PullUps[i].What == what {
				return &c.PullUps[i]
			}
		}
		t.Fatalf("no pull-up for %s", what)
		return nil
	}
	unsuitable := func(c *circuit.Circuit) *circuit.Example {
		for i := range c.Examples {
			if c.Examples[i].Verdict == assess.Unsuitable {
				return &c.Examples[i]
			}
		}
		t.Fatal("no unsuitable road to judge")
		return nil
	}
	for _, m := range []struct {
		name  string
		must  lesson.Must
		spoil func(c *circuit.Circuit)
	}{
		{"another map", lesson.MustBeOfThisMap, func(c *circuit.Circuit) { c.MadeFrom.SHA256 = strings.Repeat("ab", 32) }},
		{"another country", lesson.MustBeOfThisMap, func(c *circuit.Circuit) { c.Request.Country = "de" }},
		{"no attribution", lesson.MustBeWhole, func(c *circuit.Circuit) { c.Attribution = "" }},
		{"no cautions", lesson.MustBeWhole, func(c *circuit.Circuit) { c.Cautions = nil }},
		{"no examples", lesson.MustBeWhole, func(c *circuit.Circuit) { c.Examples = nil }},
		{"no directions", lesson.MustBeWhole, func(c *circuit.Circuit) { c.Steps = nil }},
		{"unknown exercise", lesson.MustBeWhole, func(c *circuit.Circuit) { c.Request.Exercise = "handstand" }},
		{"a leg left out", lesson.MustJoin, func(c *circuit.Circuit) { c.Legs = append(c.Legs[:1], c.Legs[2:]...) }},
		{"a leg cut short", lesson.MustJoin, func(c *circuit.Circuit) { l := second(c); l.Line = l.Line[:len(l.Line)-1] }},
		{"start elsewhere", lesson.MustJoin, func(c *circuit.Circuit) { c.Start.At = c.Finish.At; c.Start.At[0] += 0.001 }},
		{"a corner cut", lesson.MustFollowRoads, func(c *circuit.Circuit) { l := second(c); l.Line = append(l.Line[:2:2], l.Line[3:]...) }},
		{"a vertex moved", lesson.MustFollowRoads, func(c *circuit.Circuit) { second(c).Line[2][1] += 1e-5 }},
		{"a way left out", lesson.MustNameWays, func(c *circuit.Circuit) { l := second(c); l.Ways = l.Ways[1:] }},
		{"a way against its sign", lesson.MustNameWays, func(c *circuit.Circuit) { second(c).Ways[0] *= -1 }},
		{"a slower leg", lesson.MustKeepTime, func(c *circuit.Circuit) { second(c).DriveS += 20 }},
		{"a longer leg", lesson.MustKeepTime, func(c *circuit.Circuit) { second(c).LengthM += 200 }},
		{"a later leg", lesson.MustKeepTime, func(c *circuit.Circuit) { c.Legs[last].AtS += 60 }},
		{"a longer drive", lesson.MustKeepTime, func(c *circuit.Circuit) { c.DriveS += 60 }},
		{"a hole in the timeline", lesson.MustKeepTime, func(c *circuit.Circuit) { c.Timeline[2].AtS += 60 }},
		{"a timeline cut", lesson.MustKeepTime, func(c *circuit.Circuit) { c.Timeline = c.Timeline[:len(c.Timeline)-1] }},
		{"a backup said to be nearer", lesson.MustKeepTime, func(c *circuit.Circuit) { c.Backups[0].Way.DriveS -= 10 }},
		{"a road to judge too early", lesson.MustKeepTime, func(c *circuit.Circuit) { c.Examples[0].AtS -= 30 }},
		{"no briefing", lesson.MustBrief, func(c *circuit.Circuit) { pull(c, "briefing").What = "rest" }},
		{"briefing of no minutes", lesson.MustBrief, func(c *circuit.Circuit) { pull(c, "briefing").Minutes = 0 }},
		{"no debrief", lesson.MustPullUp, func(c *circuit.Circuit) { pull(c, "debrief").What = "rest" }},
		{"a pull-up for tea", lesson.MustPullUp, func(c *circuit.Circuit) { pull(c, "briefing").What = "tea" }},
		{"a drive without a stop", lesson.MustPullUp, func(c *circuit.Circuit) { second(c).DriveS = 1200 }},
		{"a pull-up across the road", lesson.MustStandAtKerb, func(c *circuit.Circuit) { pull(c, "briefing").Side = "right" }},
		{"practice across the road", lesson.MustStandAtKerb, func(c *circuit.Circuit) { c.Practice.Side = "right" }},
		{"another kerb", lesson.MustStandAtKerb, func(c *circuit.Circuit) { pull(c, "briefing").Kerb = "w1+3l" }},
		{"faces back at the start", lesson.MustFace, func(c *circuit.Circuit) { c.Start.FacesDeg = math.Mod(c.Start.FacesDeg+180, 360) }},
		{"late with a go too few", lesson.MustGo, func(c *circuit.Circuit) { c.Practice.Late = &circuit.Late{Minutes: 1, Goes: 1} }},
		{"late and facing back", lesson.MustGo, func(c *circuit.Circuit) { c.Practice.Late = &circuit.Late{Minutes: 1, Goes: c.Practice.Goes - 1} }},
		{"late and no minutes won", lesson.MustGo, func(c *circuit.Circuit) { c.Practice.Late.Minutes += 5 }},
		{"one go more", lesson.MustFace, func(c *circuit.Circuit) { c.Practice.Goes-- }},
		{"faces back after the goes", lesson.MustFace, func(c *circuit.Circuit) {
			c.Practice.FacesAfterDeg = math.Mod(c.Practice.FacesAfterDeg+180, 360)
		}},
		{"a glance", lesson.MustShow, func(c *circuit.Circuit) {
			e := &c.Examples[0]
			e.Line = orb.LineString{e.Line[0], towards(e.Line[0], e.Line[1], 20)}
		}},
		{"a road not driven", lesson.MustShow, func(c *circuit.Circuit) {
			for i := range c.Examples[0].Line {
				c.Examples[0].Line[i][1] += 0.002
			}
		}},
		{"a road to judge driven the other way", lesson.MustShow, func(c *circuit.Circuit) { c.Examples[0].Line.Reverse() }},
		{"judged after the practice", lesson.MustJudgeFirst, func(c *circuit.Circuit) { c.Practice.AtS = c.Legs[1].AtS }},
		{"judged close together", lesson.MustSpace, func(c *circuit.Circuit) { c.Examples[1] = c.Examples[0]; c.Examples[1].Order = 2 }},
		{"one more asked", lesson.MustCount, func(c *circuit.Circuit) { c.Request.Unsuitable++ }},
		{"one left out", lesson.MustCount, func(c *circuit.Circuit) { c.Examples = c.Examples[:len(c.Examples)-1] }},
		{"the same reason", lesson.MustDiffer, func(c *circuit.Circuit) {
			reason := ""
			for i := range c.Examples {
				if e := &c.Examples[i]; e.Verdict == assess.Unsuitable {
					if reason == "" {
						reason = e.Reason
					}
					e.Reason = reason
				}
			}
		}},
		{"a reason from nowhere", lesson.MustHaveReason, func(c *circuit.Circuit) { unsuitable(c).Reason = "weather" }},
		{"a verdict of its own", lesson.MustHaveReason, func(c *circuit.Circuit) { unsuitable(c).Verdict = assess.Suitable }},
		{"no findings", lesson.MustHaveReason, func(c *circuit.Circuit) { unsuitable(c).Findings = nil }},
		{"a reason that is assumed", lesson.MustHaveReason, func(c *circuit.Circuit) {
			e := unsuitable(c)
			for i := range e.Findings {
				if e.Findings[i].Criterion == e.Reason {
					e.Findings[i].Evidence = assess.Assumed
				}
			}
		}},
		{"a chance of its own", lesson.MustHaveReason, func(c *circuit.Circuit) { c.Practice.Chance /= 2 }},
		{"a place that will not do", lesson.MustFit, func(c *circuit.Circuit) {
			for i := range c.Practice.Findings {
				c.Practice.Findings[i].Chance, c.Practice.Findings[i].Evidence = 0.1, assess.Mapped
			}
		}},
		{"a place for something else", lesson.MustFit, func(c *circuit.Circuit) { c.Practice.Exercise = "hill-start" }},
		{"hurried goes", lesson.MustGo, func(c *circuit.Circuit) { c.Practice.Minutes /= 2 }},
		{"twenty goes", lesson.MustGo, func(c *circuit.Circuit) { c.Practice.Goes += 14 }},
		{"no backup", lesson.MustBackUp, func(c *circuit.Circuit) { c.Backups = nil }},
		{"no way to the backup", lesson.MustBackUp, func(c *circuit.Circuit) { c.Backups[0].Way = nil }},
		{"the backup is the place", lesson.MustBackUp, func(c *circuit.Circuit) { c.Backups[0].At = c.Practice.At }},
		{"a way to elsewhere", lesson.MustBackUp, func(c *circuit.Circuit) { c.Backups[0].Way = &c.Legs[0] }},
		{"home late", lesson.MustBeHome, func(c *circuit.Circuit) { c.Request.InHand = 30 }},
		{"a later finish", lesson.MustBeHome, func(c *circuit.Circuit) { c.Finish.AtS += 1200 }},
		{"silence", lesson.MustSay, func(c *circuit.Circuit) { c.Steps[0].Say = "" }},
		{"said too early", lesson.MustSay, func(c *circuit.Circuit) {
			for i := range c.Steps {
				if c.Steps[i].Kind == "turn" {
					c.Steps[i].AtS -= 8
					return
				}
			}
		}},
		{"said elsewhere", lesson.MustSay, func(c *circuit.Circuit) {
			for i := range c.Steps {
				if c.Steps[i].Kind != "move-off" {
					c.Steps[i].At[0] += 0.01
				}
			}
		}},
		{"a leg without a word", lesson.MustSay, func(c *circuit.Circuit) {
			var kept []circuit.Step
			for _, s := range c.Steps {
				if s.AtS < c.Legs[last].AtS {
					kept = append(kept, s)
				}
			}
			c.Steps = kept
		}},
		{"a question over a direction", lesson.MustSay, func(c *circuit.Circuit) {
			for i := range c.Steps {
				if c.Steps[i].Kind == "turn" {
					c.Steps[i].Kind = "question"
					if i+1 < len(c.Steps) {
						c.Steps[i+1].AtS, c.Steps[i+1].At = c.Steps[i].AtS+1, c.Steps[i].At
					}
					return
				}
			}
		}},
	} {
		t.Run(m.name, func(t *testing.T) {
			c := through(t, whole)
			m.spoil(c)
			catch(t, lesson.Check(n, p, c), m.must)
		})
	}
}

// catch fails unless a must is among those broken.
func catch(t *testing.T, broken []lesson.Broken, want lesson.Must) {
	t.Helper()
	for _, b := range broken {
		if b.Must == want {
			return
		}
	}
	t.Errorf("Check does not say that %q is broken; it says %v", want, broken)
}

// towards is a point so many metres from a on the way to b.
func towards(a, b orb.Point, metres float64) orb.Point {
	k := metres / float64(geo.Distance(a, b))
	return orb.Point{a[0] + k*(b[0]-a[0]), a[1] + k*(b[1]-a[1])}
}

// Read against a map with one more ban, the same circuit is illegal; so it is
// where a road that it drives became private, or one-way the other way.
func TestCheckCatchesWhatTheMapBars(t *testing.T) {
	_, p, c := planned(t)
	tried := 0
	for _, l := range c.Legs {
		var names []string
		for _, v := range l.Line {
			if name := nameOf(v); name != "" {
				names = append(names, name)
			}
		}
		for i := 2; i < len(names); i++ {
			ban := fmt.Sprintf("ban %s-%s-%s\n", names[i-2], names[i-1], names[i])
			n := roadnettest.Parse(t, draw()+ban)
			catch(t, lesson.Check(n, p, c), lesson.MustBeLegal)
			tried++
		}
	}
	if tried < 10 {
		t.Errorf("only %d bans tried", tried)
	}
	closed := strings.ReplaceAll(draw(), c.Practice.Road+" residential", c.Practice.Road+" residential private")
	if closed == draw() {
		t.Fatalf("%s is not in the drawing", c.Practice.Road)
	}
	if broken := lesson.Check(roadnettest.Parse(t, closed), p, c); len(broken) == 0 {
		t.Error("a private practice road is let pass")
	}
}

// A detour into a close and back from its turning head is legal, and no
// learner's drive.
func TestCheckCatchesTurningBack(t *testing.T) {
	n, p, c := planned(t)
	for i := range c.Legs {
		l := &c.Legs[i]
		for k, v := range l.Line {
			name := nameOf(v)
			if !strings.HasPrefix(name, "N2") || k == 0 || k == len(l.Line)-1 {
				continue
			}
			head := n.NodeAt(roadnettest.Node(t, n, "T"+name[2:]))
			l.Line = append(l.Line[:k+1:k+1], append(orb.LineString{head, v}, l.Line[k+1:]...)...)
			catch(t, lesson.Check(n, p, c), lesson.MustNotTurnBack)
			return
		}
	}
	t.Fatal("the circuit passes no close")
}

// The same request gives the same circuit, to the byte of its file, with one
// worker and with eight.
func TestPlanRepeats(t *testing.T) {
	n, p := roadnettest.Parse(t, draw()), gb(t)
	var first []byte
	for _, workers := range []int{1, 8, 8} {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(workers))
		c, err := lesson.Plan(n, p, assess.New(n, p), request(startIn(t, n, "Hazel Row")))
		if err != nil {
			t.Fatal(err)
		}
		b, err := circuit.Encode(c)
		if err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = b
		} else if string(b) != string(first) {
			t.Error("the same request gives two circuits")
		}
	}
}

// What can't be had is an answer that says how near one comes; what makes no
// sense is an error.
func TestPlanRefuses(t *testing.T) {
	n, p := roadnettest.Parse(t, draw()), gb(t)
	home := startIn(t, n, "Hazel Row")
	number := func(v int) *int { return &v }
	minutes := func(v float64) *float64 { return &v }
	for _, c := range []struct {
		name  string
		ask   func(*lesson.Request)
		unmet bool
		want  string
	}{
		{"too many yeses for the time", func(r *lesson.Request) { r.Unsuitable, r.Suitable, r.Minutes = number(0), number(12), 40 }, true, "the most that was found in 40 minutes"},
		{"a quarter of an hour", func(r *lesson.Request) { r.Minutes = 15 }, true, "30 minutes"},
		{"no yes", func(r *lesson.Request) { r.Suitable = number(0) }, false, "at least one that suits"},
		{"fewer than none", func(r *lesson.Request) { r.Unsuitable = number(-1) }, false, "-1 unsuitable"},
		{"all of the lesson in hand", func(r *lesson.Request) { r.InHand = minutes(60) }, false, "in hand"},
		{"no such exercise", func(r *lesson.Request) { r.Exercise = "handstand" }, false, "handstand"},
		{"no day", func(r *lesson.Request) { r.When = time.Time{} }, false, "no day"},
		{"a whole day", func(r *lesson.Request) { r.Minutes = 600 }, false, "longer than a lesson"},
	} {
		r := request(home)
		c.ask(&r)
		_, err := lesson.Plan(n, p, assess.New(n, p), r)
		var u *lesson.Unmet
		if err == nil || errors.As(err, &u) != c.unmet || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: Plan says %v; want an error with %q, an unmet wish: %v", c.name, err, c.want, c.unmet)
		}
		if u != nil && u.Best != nil && u.Best.Unsuitable+u.Best.Suitable < 1 {
			t.Errorf("%s: the best possible is nothing", c.name)
		}
	}
}

// A lesson of any length keeps every must, and its spare minutes become goes.
func TestPlanLengths(t *testing.T) {
	n, p := roadnettest.Parse(t, draw()), gb(t)
	for _, minutes := range []float64{45, 60, 75, 90} {
		r := request(startIn(t, n, "Hazel Row"))
		r.Minutes = minutes
		if minutes > 60 {
			two := 2
			r.Unsuitable = &two // the town shows no more reasons than it has
		}
		c, err := lesson.Plan(n, p, assess.New(n, p), r)
		if err != nil {
			t.Errorf("%g minutes: %v", minutes, err)
			continue
		}
		for _, b := range lesson.Check(n, p, through(t, c)) {
			t.Errorf("%g minutes: %v", minutes, b)
		}
		if minutes >= 60 && c.Practice.Goes < 4 {
			t.Errorf("%g minutes: %d goes with %.1f minutes over", minutes, c.Practice.Goes, c.Finish.Minutes)
		}
	}
}

// A place in a road without a way through is left forwards, so after an odd
// number of goes; and it serves only where a second place lies further in, for
// the car that finds it taken can't turn round before it is taught.
func TestPlanOutOfADeadEnd(t *testing.T) {
	var b strings.Builder
	b.WriteString(draw())
	for i := 1; i < side; i++ {
		x, y := at(i, side-1)
		fmt.Fprintf(&b, "M%d %d,%d\nL%d %d,%d\nU%d %d,%d\n", i, x, y+200, i, x, y+390, i, x+70, y+200)
		fmt.Fprintf(&b, "%s-M%d-L%d Dead End %d residential 30mph width=6.6\nM%d-U%d Spur %d residential 30mph width=6.6\n", node(i, side-1), i, i, i, i, i, i)
	}
	n, p := roadnettest.Parse(t, b.String()), gb(t)
	c, err := lesson.PlanIn(n, p, assess.New(n, p), request(startIn(t, n, "Hazel Row")), "Dead End")
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range lesson.Check(n, p, through(t, c)) {
		t.Error(b)
	}
	if !strings.HasPrefix(c.Practice.Road, "Dead End") || c.Practice.Goes%2 != 1 {
		t.Errorf("%d goes in %s, want an odd number in a dead end", c.Practice.Goes, c.Practice.Road)
	}
}
