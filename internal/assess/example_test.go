package assess

import (
	"strings"
	"testing"

	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
)

// Each drawing has one thing wrong that a driver sees, and the example must
// name it, in the part of the road where it is.
func TestExamplesNameTheReason(t *testing.T) {
	cases := []struct {
		road, text string
		want       string
		holds      float64 // the part must hold this distance from A; 0 any
	}{
		{"a bend", ladder + "K 120,0\nL 150,40\nA-K-L-B Mill Lane 30mph", "bend", 0},
		{"a main road", ladder + "A-B High Street primary 30mph", "class", 0},
		{"one-way", ladder + "A>B Mill Lane 30mph", "one-way", 0},
		{"narrow by the map", ladder + "A-B Mill Lane 30mph width=3.2", "clear-width", 0},
		{"steep by the map", ladder + "A-B Mill Lane 30mph incline=14", "gradient", 0},
		{"bumps", ladder + "A-B Mill Lane 30mph bumps", "calming", 0},
		{"a hump", ladder + "M 150,0\nA-M-B Mill Lane 30mph\ncalming M", "calming", 150},
		{"a zebra", ladder + "M 150,0\nA-M-B Mill Lane 30mph\nzebra M", "crossing", 150},
		{"short between junctions", ladder + "M 52,0\nN 52,-90\nA-M Mill Lane 30mph\nM-B Mill Lane 30mph\nM-N Side Street", "junction", 0},
	}
	for _, c := range cases {
		n := roadnettest.Parse(t, c.text)
		p := profile(t, "gb")
		a := New(n, p)
		arrow := "A>B"
		if strings.Contains(c.text, "A-M Mill") {
			arrow = "A>M"
		}
		seg := roadnettest.Segment(t, n, arrow)
		var found *Example
		for _, e := range a.Examples(turn(t), seg) {
			e = a.Explained(turn(t), e)
			if e.Reason == c.want {
				found = &e
			}
			checkExample(t, n, turn(t), e)
		}
		if found == nil {
			t.Errorf("%s: no example with the reason %s; there are %v", c.road, c.want, reasons(a.Examples(turn(t), seg)))
			continue
		}
		if c.holds > 0 && (float64(found.From) > c.holds || float64(found.To) < c.holds) {
			t.Errorf("%s: the part %v to %v does not hold %v", c.road, found.From, found.To, c.holds)
		}
	}
}

func reasons(es []Example) []string {
	var out []string
	for _, e := range es {
		out = append(out, e.Reason)
	}
	return out
}

// checkExample holds an example to its contract.
func checkExample(t *testing.T, n *roadnet.Network, ex *Exercise, e Example) {
	t.Helper()
	length := n.Length(e.Segment.Stretch())
	if e.From < -1e-6 || e.To > length+1e-6 || e.To-e.From < 40-1e-6 {
		t.Errorf("%s: part %v to %v of %v m", e.Reason, e.From, e.To, length)
	}
	if e.Clarity <= 0 || e.Clarity > 1 {
		t.Errorf("%s: clarity %v", e.Reason, e.Clarity)
	}
	if v, chance, fit := Judge(e.Findings, ex); v != e.Verdict || chance != e.Chance || fit != e.MapFit {
		t.Errorf("%s: Judge = %v %v %v, the example says %v %v %v", e.Reason, v, chance, fit, e.Verdict, e.Chance, e.MapFit)
	}
	if e.Reason == Suits {
		if e.Verdict < Likely {
			t.Errorf("an example that would do is %v", e.Verdict)
		}
		return
	}
	f := named(e.Findings, e.Reason)
	if f == nil || f.Holds != HoldsNo || f.Evidence == Assumed || f.Evidence == EvidenceUnknown || e.Verdict != Unsuitable {
		t.Errorf("%s: verdict %v on %+v: a no must rest on what is known", e.Reason, e.Verdict, f)
	}
}

// A plain street gives an example that would do, and no other reason but its
// ends' junctions.
func TestPlainStreetWouldDo(t *testing.T) {
	n := roadnettest.Parse(t, ladder+"A-B Mill Lane 30mph")
	a := New(n, profile(t, "gb"))
	es := a.Examples(turn(t), roadnettest.Segment(t, n, "A>B"))
	if len(es) == 0 || es[0].Reason != Suits {
		t.Fatalf("examples are %v, want %s first", reasons(es), Suits)
	}
	for _, e := range es {
		if e.Reason != Suits && e.Reason != "junction" {
			t.Errorf("a plain street is an example of %s", e.Reason)
		}
	}
	said := Key(a.Explained(turn(t), es[0]), turn(t), profile(t, "gb"))
	if want := "It would do: straight and clear of junctions, and roads like this are usually quiet. Width not mapped: check on the day."; said != want {
		t.Errorf("Key = %q, want %q", said, want)
	}
}

// Two things wrong at once are no clear example of either.
func TestTwoReasonsAreNone(t *testing.T) {
	n := roadnettest.Parse(t, ladder+"A-B High Street primary 30mph width=3 incline=15")
	for _, e := range New(n, profile(t, "gb")).Examples(turn(t), roadnettest.Segment(t, n, "A>B")) {
		t.Errorf("a narrow, steep main road is an example of %s", e.Reason)
	}
}

// A reason that can't be seen from the seat makes no example.
func TestUnseenReasons(t *testing.T) {
	for _, tags := range []string{"residential 60mph", "residential 30mph loose", "residential 30mph nostopping-left"} {
		n := roadnettest.Parse(t, ladder+"A-B Mill Lane "+tags)
		for _, e := range New(n, profile(t, "gb")).Examples(turn(t), roadnettest.Segment(t, n, "A>B")) {
			t.Errorf("%s: an example of %s", tags, e.Reason)
		}
	}
}

// Examples on a real county keep their contract, for every exercise, and say
// themselves in a sentence.
func TestExamplesRutland(t *testing.T) {
	n, p := rutland(t)
	a := New(n, p)
	for _, ex := range Exercises() {
		count := make(map[string]int)
		for seg := range roadnet.SegmentID(n.NumSegments()) {
			for _, e := range a.Examples(ex, seg) {
				e = a.Explained(ex, e)
				count[e.Reason]++
				checkExample(t, n, ex, e)
				said := Key(e, ex, p)
				if !strings.HasSuffix(said, ".") || strings.Contains(said, "%!") || said == "." {
					t.Fatalf("%s %s is said as %q", ex.Name, e.Reason, said)
				}
			}
		}
		t.Logf("%s: %v", ex.Name, count)
		if ex.Name == "turn-in-the-road" && (count["bend"] < 50 || count["junction"] < 50 || count[Suits] < 50) {
			t.Errorf("too few examples to plan with: %v", count)
		}
	}
}
