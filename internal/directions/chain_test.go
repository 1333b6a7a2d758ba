package directions_test

import (
	"slices"
	"testing"

	"loopwright/internal/directions"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
	"loopwright/internal/route"
)

// part is the drive along the segments of an arrow from one distance on the
// first to another on the last.
func part(t testing.TB, n *roadnet.Network, arrow string, from, to geo.Metres) route.Path {
	p := pathOf(t, n, arrow)
	p.From.Along, p.To.Along = from, to
	return p
}

func says(steps []directions.Step) []string {
	var out []string
	for _, s := range steps {
		out = append(out, s.Say)
	}
	return out
}

func TestChain(t *testing.T) {
	n := roadnettest.Parse(t, town)
	gb := profile(t, "gb")
	opts := directions.Options{Pace: steady{n, 10}}
	for _, c := range []struct {
		name  string
		chain []directions.Drive
		want  []string
	}{
		{"a stop, then on", []directions.Drive{
			{Path: part(t, n, "A>P", 5, 250), PullUp: roadnet.Left},
			{Path: part(t, n, "A>P>L1", 250, 100), PullUp: roadnet.Left},
		}, []string{
			"Move off when you are ready.",
			"I'd like you to pull up on the left at a convenient place.",
			"Move off when you are ready.",
			"I'd like you to take the next road on the left into First Close.",
			"I'd like you to pull up on the left at a convenient place.",
		}},
		{"driving on: the direction is said before the joint", []directions.Drive{
			{Path: part(t, n, "A>P", 5, 350)},
			{Path: part(t, n, "A>P>L1", 350, 100), PullUp: roadnet.Left},
		}, []string{
			"Move off when you are ready.",
			"I'd like you to take the next road on the left into First Close.",
			"I'd like you to pull up on the left at a convenient place.",
		}},
		{"back the way it came, with a turn at once", []directions.Drive{
			{Path: part(t, n, "A>P", 5, 350), PullUp: roadnet.Left},
			{Path: part(t, n, "P>A", 50, 390), PullUp: roadnet.Left},
			{Path: part(t, n, "A>P>L1", 350, 100)},
		}, []string{
			"Move off when you are ready.",
			"I'd like you to pull up on the left at a convenient place.",
			"Move off when you are ready, back the way you came.",
			"I'd like you to pull up on the left at a convenient place.",
			"Move off when you are ready, back the way you came, then take the next road on the left into First Close.",
		}},
		{"pull up beyond a side road, on either side", []directions.Drive{
			{Path: part(t, n, "A>P>Q", 5, 30), PullUp: roadnet.Left},
			{Path: part(t, n, "P>Q", 30, 70), PullUp: roadnet.Right},
		}, []string{
			"Move off when you are ready.",
			"I'd like you to pull up on the left at a convenient place after the next road on the left.",
			"Move off when you are ready, then pull up on the right at a convenient place.",
		}},
	} {
		steps := directions.Write(n, gb, c.chain, opts)
		if got := says(steps); !slices.Equal(got, c.want) {
			t.Errorf("%s: says\n\t%q, want\n\t%q", c.name, got, c.want)
		}
	}
}

// Where it is said: ten seconds ahead, fifteen for a beginner; never before
// the turn before it is done; and the spot is on the drive that the car is on.
func TestSaidInTime(t *testing.T) {
	n := roadnettest.Parse(t, town)
	chain := []directions.Drive{
		{Path: part(t, n, "A>P", 5, 350)},
		{Path: part(t, n, "A>P>L1", 350, 100)},
	}
	for _, c := range []struct {
		name     string
		beginner bool
		v        geo.MetresPerSecond
		distance geo.Metres
		said     directions.Spot
	}{
		{"ten seconds", false, 10, 100, directions.Spot{Drive: 0, Along: 300}},
		{"fifteen for a beginner", true, 10, 150, directions.Spot{Drive: 0, Along: 250}},
		{"fifteen on a fast road", false, 20, 300, directions.Spot{Drive: 0, Along: 100}},
		{"slow: in the second drive", false, 4, 40, directions.Spot{Drive: 1, Along: 360}},
	} {
		steps := directions.Write(n, profile(t, "gb"), chain, directions.Options{Pace: steady{n, c.v}, Beginner: c.beginner})
		s := steps[1]
		if got := s.Distance; got < c.distance-1 || got > c.distance+1 {
			t.Errorf("%s: said %.1f m ahead, want %.0f", c.name, got, c.distance)
		}
		if s.Said.Drive != c.said.Drive || s.Said.Index != 0 || s.Said.Along < c.said.Along-1 || s.Said.Along > c.said.Along+1 {
			t.Errorf("%s: said at %+v, want %+v", c.name, s.Said, c.said)
		}
		if s.Done.Drive != 1 || s.Done.Index != 1 || s.Done.Along != 0 {
			t.Errorf("%s: done at %+v, want the start of First Close", c.name, s.Done)
		}
	}
}

// On real roads every step is said on its drive, in order, and none before the
// turn before it is done.
func TestOrder(t *testing.T) {
	n, p := openReal(t, reals[0].path, reals[0].code)
	w, drives := randomDrives(t, n, p, 2, 500)
	for _, path := range drives {
		before := directions.Spot{}
		for _, s := range directions.Write(n, p, []directions.Drive{{Path: path, PullUp: roadnet.Left}}, directions.Options{Pace: w}) {
			if s.Said.Index < before.Index || s.Said.Index == before.Index && s.Said.Along < before.Along {
				t.Errorf("%q is said at %v, before %v, where the turn before it is done", s.Say, s.Said, before)
			}
			length := n.Length(path.Segments[s.Said.Index].Stretch())
			if s.Said.Along < 0 || s.Said.Along > length {
				t.Errorf("%q is said at %.1f m of a segment of %.1f m", s.Say, s.Said.Along, length)
			}
			before = s.Done
		}
	}
}

func TestAsk(t *testing.T) {
	gb := profile(t, "gb")
	for _, c := range []struct {
		name string
		busy []directions.Span
		stop []directions.Span
		at   geo.Seconds
		say  string
	}{
		{"while driving along", nil, nil, 103, "Keep driving, just a question: what do you think of this road for our turn?"},
		{"clear of a direction before", []directions.Span{{From: 95, To: 100}}, nil, 105, "Keep driving, just a question: what do you think of this road for our turn?"},
		{"just after", []directions.Span{{From: 105, To: 117}}, nil, 117, "Keep driving, just a question: what did you think of the road just passed for our turn?"},
		{"at the next stop", []directions.Span{{From: 105, To: 117}, {From: 125, To: 150}}, []directions.Span{{From: 50, To: 60}, {From: 300, To: 390}}, 300, "Now that we have stopped: what did you think of Mill Lane for our turn?"},
	} {
		step, at, ok := directions.Ask(gb, directions.Asking{
			Road: "Mill Lane", Exercise: "turn-in-the-road", Along: directions.Span{From: 100, To: 112}, Busy: c.busy, Stops: c.stop, Clear: 10,
		})
		if !ok || at != c.at || step.Say != c.say || step.Kind != directions.KindQuestion {
			t.Errorf("%s: Ask = %q at %v, %v; want %q at %v", c.name, step.Say, at, ok, c.say, c.at)
		}
	}
	choosing := directions.Asking{Exercise: "turn-in-the-road", Along: directions.Span{From: 100, To: 150}, Busy: []directions.Span{{From: 95, To: 110}}, Stops: []directions.Span{{From: 190, To: 300}}, Clear: 10}
	if step, at, ok := directions.AskToChoose(gb, choosing); !ok || at != 110 || step.Say != "Keep driving, and now you choose: tell me when we are in a road that would do for our turn." {
		t.Errorf("%q at %v, %v; want it at 110, once the turn is done", step.Say, at, ok)
	}
	choosing.Parked = true
	if step, at, ok := directions.AskToChoose(gb, choosing); !ok || at != 190 || step.Say != "Now you choose: which of the last roads would you take for our turn?" {
		t.Errorf("%q at %v, %v; want it at the stop at 190", step.Say, at, ok)
	}
	if _, _, ok := directions.Ask(gb, directions.Asking{Along: directions.Span{From: 100, To: 101}, Busy: []directions.Span{{From: 90, To: 200}}, Clear: 10}); ok {
		t.Error("Ask finds a moment where there is none")
	}
}

// The other way of speaking has the same order of parts and its own words.
func TestAmerican(t *testing.T) {
	for _, c := range []struct{ drawing, path, want string }{
		{town, "A>P>L1", "I'd like you to take the next left onto First Close."},
		{tee, "A>J>R", "At the end of the road, turn right onto High Street."},
	} {
		if got := said(t, mirrored(c.drawing), c.path, "us"); !slices.Equal(got, []string{swapSides(c.want)}) {
			t.Errorf("%s says %q, want %q", c.path, got, swapSides(c.want))
		}
	}
}

func BenchmarkWrite(b *testing.B) {
	n, p := openReal(b, reals[0].path, reals[0].code)
	w, drives := randomDrives(b, n, p, 1, 100)
	for i := 0; b.Loop(); i++ {
		directions.Write(n, p, []directions.Drive{{Path: drives[i%len(drives)], PullUp: roadnet.Left}}, directions.Options{Pace: w})
	}
}
