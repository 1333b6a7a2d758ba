package lesson

import (
	"errors"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
	"time"

	"loopwright/internal/assess"
	"loopwright/internal/indexing/indexingtest"
	"loopwright/internal/roadnet"
)

// canBe says whether any order of any choice of so many roads to judge, at any
// place, is a lesson, by trying them all.
func canBe(pl *planner, no, yes int) bool {
	asked := pl.wish
	pl.wish.unsuitable, pl.wish.suitable = no, yes
	pl.problem.unsuitable, pl.problem.suitable, pl.problem.distinct = no, yes, false
	defer func() { pl.wish = asked }()
	for _, c := range everything(pl, false) {
		if _, ok := pl.finish(choice{order: c.order, place: c.place}, math.Inf(-1)); ok {
			return true
		}
	}
	return false
}

// mostThatCanBe is the wish with the most roads to judge below one, and of equally
// many the most unsuitable, that trying everything finds; false where it finds
// none.
func mostThatCanBe(pl *planner, no, yes int) (int, int, bool) {
	for total := no + yes - 1; total >= 1; total-- {
		for n := min(no, total-1); n >= 0; n-- {
			if y := total - n; y <= yes && canBe(pl, n, y) {
				return n, y, true
			}
		}
	}
	return 0, 0, false
}

// minutesMore is how many whole minutes longer a lesson must be before the times
// alone let any order of any choice be had; at most an hour.
func minutesMore(pl *planner) int {
	asked := pl.wish
	defer func() { pl.wish = asked }()
	for more := range 60 {
		pl.wish.Minutes = asked.Minutes + float64(more)
		if len(everything(pl, false)) > 0 {
			return more
		}
	}
	return 60
}

// On requests of the invented town, cut down so far that everything can be tried,
// the planner refuses just what can't be had; the best possible that it names is
// the best there is, what it says is lacking is lacking at the least, and the
// longer lesson that would do does.
func TestRefusalsAgreeWithTryingEverything(t *testing.T) {
	if testing.Short() {
		t.Skip("trying everything takes too long under the race detector")
	}
	seed := *seedFlag
	t.Logf("seed %d", seed)
	n, p := indexingtest.Lay(t, "../../data/demo/town.osm.pbf", "gb")
	a := assess.New(n, p)
	rng := rand.New(rand.NewPCG(seed, 14))
	refused, proven, longer := 0, 0, 0
	for i := range 20 {
		var from roadnet.Position
		for {
			s := roadnet.StretchID(rng.IntN(n.NumStretches()))
			if n.InCore(s) && n.Zone(s) == 0 {
				from = roadnet.Position{Segment: s.Segment(rng.IntN(2) == 0), Along: n.Length(s) / 2}
				break
			}
		}
		no, yes := rng.IntN(4), 1+rng.IntN(2)
		r := Request{
			From: from, To: from, Exercise: []string{"turn-in-the-road", "parallel-park"}[rng.IntN(2)], Minutes: float64(30 + 5*rng.IntN(3)),
			Unsuitable: &no, Suitable: &yes, When: time.Date(2027, 3, 4, 10, 0, 0, 0, time.UTC), Seed: rng.Uint64(),
		}
		pl := cutDown(t, n, p, a, r)
		_, f := pl.tried()
		if have := len(pl.examples) + len(pl.places); have > 14 {
			t.Fatalf("request %d: %d candidates, want at most 14", i, have)
		}
		can := canBe(pl, no, yes)
		if (f != nil) != can {
			t.Errorf("request %d, %d and %d in %g minutes: a lesson was found: %v, there is one: %v", i, no, yes, r.Minutes, f != nil, can)
		}
		if f != nil || can {
			continue
		}
		refused++
		var u *Unmet
		if err := pl.unmet(); !errors.As(err, &u) {
			t.Fatalf("request %d: %v", i, err)
		}
		t.Logf("request %d: %v", i, u)
		if u.Proof == ByBound {
			proven++
		}
		if more := minutesMore(pl); u.Short > float64(more) {
			t.Errorf("request %d: %g minutes are said to be lacking at the least, %d more would do: %v", i, u.Short, more, u)
		}
		wantNo, wantYes, some := mostThatCanBe(pl, no, yes)
		if some != (u.Best != nil) || some && (u.Best.Unsuitable != wantNo || u.Best.Suitable != wantYes) {
			t.Errorf("request %d: the best possible is %d and %d, %v: %v", i, wantNo, wantYes, some, u)
		}
		for _, give := range u.Give {
			words, ok := strings.CutPrefix(give, "a lesson of ")
			if !ok {
				continue
			}
			if r.Minutes, _ = strconv.ParseFloat(strings.TrimSuffix(words, " minutes"), 64); r.Minutes == 0 {
				t.Fatalf("request %d: no minutes in %q", i, give)
			}
			longer++
			pl := cutDown(t, n, p, a, r)
			pl.tried()
			if !canBe(pl, no, yes) {
				t.Errorf("request %d: %s would not do", i, give)
			}
		}
	}
	t.Logf("%d of 20 are refused, %d of those by the bound, and a longer lesson is named %d times", refused, proven, longer)
	if refused < 5 || proven == 0 || longer == 0 {
		t.Error("too few to tell")
	}
}
