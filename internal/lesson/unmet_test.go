package lesson_test

import (
	"errors"
	"strings"
	"testing"

	"loopwright/internal/assess"
	"loopwright/internal/lesson"
	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
	"loopwright/internal/route"
)

// Where more unsuitable roads are asked for than the town has reasons, a reason
// comes again, and the circuit says that no drive shows more: those that any road
// of the town has, counted one by one, and those that the circuit shows.
func TestReasonsThatComeAgainAreProven(t *testing.T) {
	n, p := roadnettest.Parse(t, draw()), gb(t)
	a := assess.New(n, p)
	r := request(startIn(t, n, "Hazel Row"))
	there := map[string]bool{}
	ex, err := assess.Named(r.Exercise)
	if err != nil {
		t.Fatal(err)
	}
	paces, err := route.Paces()
	if err != nil {
		t.Fatal(err)
	}
	w := route.NewWeights(n, p, paces[route.DefaultStage])
	for s := range roadnet.SegmentID(n.NumSegments()) {
		for _, e := range a.Examples(ex, s) {
			ms := w.At(roadnet.Position{Segment: s, Along: e.To}) - w.At(roadnet.Position{Segment: s, Along: e.From})
			if n.InCore(s.Stretch()) && e.Verdict == assess.Unsuitable && e.To-e.From >= 40 && ms >= 5000 && ms <= 15000 {
				there[e.Reason] = true
			}
		}
	}
	asked := len(there) + 1
	r.Unsuitable, r.Minutes = &asked, 90
	c, err := lesson.Plan(n, p, a, r)
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range lesson.Check(n, p, through(t, c)) {
		t.Error(b)
	}
	shown := map[string]bool{}
	for _, e := range c.Examples {
		if e.Verdict == assess.Unsuitable {
			shown[e.Reason] = true
		}
	}
	want := map[int]string{1: "one", 2: "2", 3: "3", 4: "4"}[len(there)]
	if said := strings.Join(c.Cautions, " "); len(shown) != len(there) || !strings.Contains(said, "no drive shows more than "+want) {
		t.Errorf("the town has %d reasons, the circuit shows %d and says: %s", len(there), len(shown), said)
	}
}

// Every proof has a word of its own.
func TestProofs(t *testing.T) {
	seen := map[string]bool{}
	for p := lesson.ProofUnknown; p <= lesson.ByRule; p++ {
		if seen[p.String()] || p.String() == "" {
			t.Errorf("proof %d is %q", p, p)
		}
		seen[p.String()] = true
	}
}

// What needs more time than there is says how much at the least; what the wish
// alone bars needs no search; what was merely not found is not said to be
// impossible.
func TestRefusalsSayHowTheyAreKnown(t *testing.T) {
	n, p := roadnettest.Parse(t, draw()), gb(t)
	number := func(v int) *int { return &v }
	for _, c := range []struct {
		ask   func(*lesson.Request)
		proof lesson.Proof
		want  []string
	}{
		{func(r *lesson.Request) { r.Minutes = 15 }, lesson.ByRule, []string{"can't be had"}},
		{func(r *lesson.Request) { r.Unsuitable, r.Suitable, r.Minutes = number(6), number(6), 40 }, lesson.ByBound, []string{"can't be had", "the shortest drive past so many", "more than the 19 that the lesson leaves"}},
		{func(r *lesson.Request) { r.Unsuitable, r.Suitable, r.Minutes = number(0), number(7), 40 }, lesson.NoneFound, []string{"no lesson was found"}},
	} {
		r := request(startIn(t, n, "Hazel Row"))
		c.ask(&r)
		_, err := lesson.Plan(n, p, assess.New(n, p), r)
		var u *lesson.Unmet
		if !errors.As(err, &u) || u.Proof != c.proof {
			t.Errorf("the answer is %v, want one that is known by %s", err, c.proof)
			continue
		}
		if c.proof == lesson.ByBound && u.Short <= 0 {
			t.Errorf("nothing is said to be lacking: %+v", u)
		}
		for _, want := range c.want {
			if !strings.Contains(u.Error(), want) {
				t.Errorf("%q does not say %q", u.Error(), want)
			}
		}
	}
}
