package lesson

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"loopwright/internal/assess"
	"loopwright/internal/country"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
)

// smallTown draws a random town of a grid of streets, some of them narrow, busy,
// winding or one-way, some missing.
func smallTown(rng *rand.Rand) string {
	const across, down = 7, 6
	var b strings.Builder
	at := func(i, j int) (int, int) { return 170*i + rng.IntN(30), 140*j + rng.IntN(30) }
	for i := range across {
		for j := range down {
			x, y := at(i, j)
			fmt.Fprintf(&b, "N%d%d %d,%d\nB%d%d %d,%d\n", i, j, x, y, i, j, x+75, y+20+rng.IntN(25))
		}
	}
	words := func() string {
		switch rng.IntN(7) {
		case 0:
			return "residential 30mph width=3.2"
		case 1:
			return "secondary 30mph"
		case 2:
			return "residential 30mph width=5.4"
		}
		return "residential 30mph width=6.6"
	}
	for j := range down {
		row, winds := words(), rng.IntN(4) == 0
		for i := range across - 1 {
			switch {
			case j > 0 && rng.IntN(8) == 0:
			case winds:
				fmt.Fprintf(&b, "N%d%d-B%d%d-N%d%d Row %d %s\n", i, j, i, j, i+1, j, j, row)
			default:
				fmt.Fprintf(&b, "N%d%d-N%d%d Row %d %s\n", i, j, i+1, j, j, row)
			}
		}
	}
	for i := range across {
		line, way := words(), "-"
		if rng.IntN(6) == 0 {
			way = ">"
		}
		for j := range down - 1 {
			if i == 0 || rng.IntN(10) > 0 {
				fmt.Fprintf(&b, "N%d%d%sN%d%d Line %d %s\n", i, j, way, i, j+1, i, line)
			}
		}
	}
	return b.String()
}

// smallPlanner is a planner in a random town with at most eight roads to judge
// and six places.
func smallPlanner(t *testing.T, rng *rand.Rand) *planner {
	t.Helper()
	p, err := country.ByCode("gb")
	if err != nil {
		t.Fatal(err)
	}
	n := roadnettest.Parse(t, smallTown(rng))
	var from roadnet.Position
	for {
		s := roadnet.StretchID(rng.IntN(n.NumStretches()))
		if n.InCore(s) {
			from = roadnet.Position{Segment: s.Segment(true), Along: n.Length(s) / 2}
			break
		}
	}
	pl := cutDown(t, n, p, assess.New(n, p), Request{
		From: from, To: from, Exercise: "turn-in-the-road", Minutes: float64(40 + 10*rng.IntN(4)),
		When: time.Date(2027, 3, 4, 10, 0, 0, 0, time.UTC), Seed: rng.Uint64(),
	})
	pl.gather()
	if n := len(pl.examples) + len(pl.places); n > 14 {
		t.Fatalf("%d candidates, want at most 14", n)
	}
	pl.pose()
	return pl
}

// cutDown is a planner with at most eight roads to judge and six places.
func cutDown(t *testing.T, n *roadnet.Network, p *country.Profile, a *assess.Assessor, r Request) *planner {
	t.Helper()
	pl, err := newPlanner(n, p, a, r)
	if err != nil {
		t.Fatal(err)
	}
	table := *pl.table
	table.Search.Candidates, table.Search.Places = 8, 3 // twice as many places are kept
	pl.table = &table
	return pl
}

// tried is an order and a place with what they are worth on the planned times.
type tried struct {
	order []int
	place int
	worth float64
}

// everything lists all orders of the wanted roads to judge with all places, the
// worthiest first. It reckons by itself: with the tables, and with a search for
// each leg. No rest is taken, and as many goes are done as would then fit.
func everything(pl *planner, distinct bool) []tried {
	w, goes := pl.table.Weights, pl.table.Goes
	var out []tried
	turning := pl.turning()
	seconds := func(from, to roadnet.Position) float64 {
		ms, ok := pl.forward.From(from, geo.Seconds(pl.table.Search.BetweenS), turning).Ms(to)
		if !ok {
			return math.Inf(1)
		}
		return float64(ms) / 1000
	}
	begins := make([]float64, len(pl.examples))
	legs := map[[2]int]float64{} // places count from -1 down
	for e := range pl.examples {
		begins[e] = float64(pl.examples[e].out) / 1000
		for f := range pl.examples {
			legs[[2]int{e, f}] = seconds(pl.examples[e].begin(), pl.examples[f].begin())
		}
		for i := range pl.places {
			legs[[2]int{e, -1 - i}] = seconds(pl.examples[e].begin(), pl.places[i].Position)
		}
	}
	share := pl.shares()
	road := func(s roadnet.StretchID) uint32 { return uint32(pl.n.NameOf(s)) }
	finish := func(order []int) {
		for i := range pl.places {
			place := &pl.places[i]
			if len(place.backups) == 0 {
				continue
			}
			spot := place.Position.Segment.Stretch()
			worth, drive, ok := w.Place*(place.Chance+place.MapFit)/2, begins[order[0]], true
			reasons := map[string]bool{}
			noAfterYes, yes := false, false
			for k, e := range order {
				j := &pl.examples[e]
				s := j.Segment.Stretch()
				to := -1 - i
				if k+1 < len(order) {
					to = order[k+1]
					along := float64(pl.w.At(j.finish())-pl.w.At(j.begin())) / 1000
					ok = ok && legs[[2]int{e, to}]-along >= pl.table.Examples.ApartS
				}
				drive += legs[[2]int{e, to}]
				ok = ok && s != spot
				if j.Verdict == assess.Unsuitable {
					noAfterYes = noAfterYes || yes
					v := j.Clarity * (1 - (1-w.CommonReason)*share[j.Reason])
					if reasons[j.Reason] {
						ok = ok && !distinct
						v *= w.ReasonAgain
					}
					worth += v
					reasons[j.Reason] = true
					if road(s) == road(spot) && road(s) != 0 {
						worth -= w.SameRoad
					}
				} else {
					yes = true
					worth += j.Clarity
				}
				for _, f := range order[:k] {
					u := pl.examples[f].Segment.Stretch()
					ok = ok && u != s
					if road(u) == road(s) && road(s) != 0 {
						worth -= w.SameRoad
					}
				}
			}
			if !noAfterYes {
				worth += w.UnsuitableFirst
			}
			if !ok || math.IsInf(drive, 1) {
				continue
			}
			best := math.Inf(-1)
			spare := pl.wish.Minutes - pl.wish.inHand - pl.wish.split.Recap - pl.wish.split.Briefing - pl.wish.split.Debrief
			for n := goes.Least; n <= goes.Most; n++ {
				home := place.home[n%2]
				total := (drive + float64(home)/1000) / 60
				if home == never || total+float64(n)*goes.LeastMinutes > spare+1e-9 {
					continue
				}
				v := -w.DriveMinute * total
				for _, go1 := range w.Go[:n-goes.Least] {
					v += go1
				}
				best = max(best, v)
			}
			if !math.IsInf(best, -1) {
				out = append(out, tried{slices.Clone(order), i, worth + best})
			}
		}
	}
	var grow func(order []int, no, yes int)
	grow = func(order []int, no, yes int) {
		if no == 0 && yes == 0 {
			finish(order)
			return
		}
		for e := range pl.examples {
			if slices.Contains(order, e) {
				continue
			}
			if pl.examples[e].Verdict == assess.Unsuitable {
				if no > 0 {
					grow(append(order, e), no-1, yes)
				}
			} else if yes > 0 {
				grow(append(order, e), no, yes-1)
			}
		}
	}
	grow(nil, pl.wish.unsuitable, pl.wish.suitable)
	slices.SortStableFunc(out, func(a, b tried) int { return cmp.Compare(b.worth, a.worth) })
	return out
}

// bestOfEverything drives all that may be the best: no drive is worth more than
// what was planned.
func bestOfEverything(t *testing.T, pl *planner) (best float64, found bool) {
	t.Helper()
	for _, distinct := range []bool{true, false} {
		best = math.Inf(-1)
		for _, c := range everything(pl, distinct) {
			if c.worth < best {
				break
			}
			f, ok := pl.finish(choice{order: c.order, place: c.place}, math.Inf(-1))
			if !ok {
				continue
			}
			if f.score > c.worth+1e-9 {
				t.Errorf("%v at %d: the drive is worth %v, more than the %v that was planned", c.order, c.place, f.score, c.worth)
			}
			best, found = max(best, f.score), true
		}
		if found {
			return best, true
		}
	}
	return best, false
}

// On random small towns, where every order of every choice can be tried, the
// planner finds the best in 97 of 100, its bound is never below it, and it finds
// none only where there is none.
func TestBestOfSmallTowns(t *testing.T) {
	if testing.Short() {
		t.Skip("trying everything takes too long under the race detector")
	}
	seed := *seedFlag
	t.Logf("seed %d", seed)
	const towns = 200
	equal, met := 0, 0
	var gaps []float64
	for i := range uint64(towns) {
		pl := smallPlanner(t, rand.New(rand.NewPCG(seed, i)))
		want, found := bestOfEverything(t, pl)
		f := pl.best()
		if (f != nil) != found {
			t.Errorf("town %d: a circuit was found: %v, there is one: %v", i, f != nil, found)
			continue
		}
		if f == nil {
			continue
		}
		met++
		if f.most < want-1e-9 || f.most < f.score {
			t.Errorf("town %d: the bound is %v, below the best, %v", i, f.most, max(want, f.score))
		}
		if f.score >= want-1e-9 {
			equal++
		}
		gaps = append(gaps, pl.bound(f).Gap)
	}
	slices.Sort(gaps)
	t.Logf("%d towns have a circuit, of which the best was found in %d; gaps: median %.3f, greatest %.3f", met, equal, gaps[len(gaps)/2], gaps[len(gaps)-1])
	if met < towns/2 {
		t.Errorf("only %d of %d towns have a circuit: too few to tell", met, towns)
	}
	if equal*100 < 97*met {
		t.Errorf("the best was found in %d of %d, want 97 in 100", equal, met)
	}
}
