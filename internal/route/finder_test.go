package route_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

const anyTime = geo.Seconds(math.MaxInt32)

// eachRandom runs a test on random networks of several sizes.
func eachRandom(t *testing.T, test func(t *testing.T, r *rand.Rand, p *plan, w *route.Weights)) {
	t.Helper()
	for i := range uint64(24) {
		seed := *seedFlag + i
		r := rand.New(rand.NewPCG(seed, 0))
		p := randomPlan(r, 4+int(i)*3)
		p.country = [...]string{"gb", "de"}[i%2]
		w := middleWeights(t, p.network(t), p.country)
		test(t, r, p, w)
		if t.Failed() {
			t.Fatalf("seed %d", seed)
		}
	}
}

// TestFinderAgainstGonum holds forward and backward searches, with and without
// turning round, against gonum's Dijkstra on the unfolded graph, and every path
// against being read again segment by segment.
func TestFinderAgainstGonum(t *testing.T) {
	reached := 0
	eachRandom(t, func(t *testing.T, r *rand.Rand, p *plan, w *route.Weights) {
		n := w.Network()
		ahead, back := route.NewFinder(w), route.NewFinder(w)
		for _, uTurns := range []bool{false, true} {
			opts := route.Options{UTurns: uTurns}
			o := newOracle(w, uTurns)
			for range 12 {
				origin := anyPosition(r, n)
				want := o.from(origin)
				from := ahead.From(origin, anyTime, opts)
				for range 40 {
					target := anyPosition(r, n)
					if r.IntN(5) == 0 {
						target.Segment = origin.Segment
						target.Along = min(target.Along, n.Length(origin.Segment.Stretch()))
					}
					ms, ok := want(target)
					got, found := from.Ms(target)
					if got = onlyIf(got, found); got != onlyIf(ms, ok) || found != ok {
						t.Fatalf("From(%v).Ms(%v) = %d, %t, want %d, %t", origin, target, got, found, ms, ok)
					}
					into := back.Into(target, anyTime, opts)
					got, found = into.Ms(origin)
					if got = onlyIf(got, found); got != onlyIf(ms, ok) || found != ok {
						t.Fatalf("Into(%v).Ms(%v) = %d, %t, want %d, %t", target, origin, got, found, ms, ok)
					}
					if ok {
						reached++
						a, _ := from.Path(target)
						b, _ := into.Path(origin)
						checkPath(t, w, a, origin, target, ms, opts)
						checkPath(t, w, b, origin, target, ms, opts)
						checkLegal(t, p, a.Segments)
						checkLegal(t, p, b.Segments)
					}
				}
			}
		}
	})
	if reached < 1000 {
		t.Errorf("only %d pairs reach each other: the networks test too little", reached)
	}
}

func onlyIf(ms uint32, ok bool) uint32 {
	if !ok {
		return roadnet.None
	}
	return ms
}

// checkPath reads a path again from its segments alone.
func checkPath(t *testing.T, w *route.Weights, got route.Path, origin, target roadnet.Position, ms uint32, opts route.Options) {
	t.Helper()
	again, ok := w.Drive(origin, target, got.Segments, opts)
	if !ok {
		t.Fatalf("path %v is not legal", got)
	}
	if got.From != origin || got.To != target || got.Ms != ms || again.Ms != ms {
		t.Fatalf("path %v → %v takes %d, read again %d, want %v → %v in %d", got.From, got.To, got.Ms, again.Ms, origin, target, ms)
	}
	if d := again.Length - got.Length; d != 0 {
		t.Fatalf("path is %v long, read again %v", got.Length, again.Length)
	}
	for i := range got.States {
		if got.States[i] != again.States[i] {
			t.Fatalf("states %v, read again %v", got.States, again.States)
		}
	}
}

// checkLegal holds a path against what the plan bars, knowing no states.
func checkLegal(t *testing.T, p *plan, segments []roadnet.SegmentID) {
	t.Helper()
	for i, s := range segments {
		if !p.open(s) {
			t.Fatalf("%v drives along %d, which is not open", segments, s)
		}
		if i > 0 && p.banned[[2]roadnet.SegmentID{segments[i-1], s}] {
			t.Fatalf("%v makes the barred turn %d, %d", segments, segments[i-1], s)
		}
		for _, ban := range p.viaBan {
			if i > 1 && [3]roadnet.SegmentID(segments[i-2:i+1]) == ban {
				t.Fatalf("%v makes the barred movement %v", segments, ban)
			}
		}
	}
}

// TestBound asks for the same times with a bound: those within it and no others.
func TestBound(t *testing.T) {
	eachRandom(t, func(t *testing.T, r *rand.Rand, p *plan, w *route.Weights) {
		n := w.Network()
		f, g := route.NewFinder(w), route.NewFinder(w)
		for range 20 {
			at := anyPosition(r, n)
			bound := geo.Seconds(r.IntN(300))
			for _, search := range []func(f *route.Finder, bound geo.Seconds) *route.Tree{
				func(f *route.Finder, bound geo.Seconds) *route.Tree { return f.From(at, bound, route.Options{}) },
				func(f *route.Finder, bound geo.Seconds) *route.Tree { return f.Into(at, bound, route.Options{}) },
			} {
				bounded, whole := search(f, bound), search(g, anyTime)
				for range 50 {
					p := anyPosition(r, n)
					got, ok := bounded.Ms(p)
					want, all := whole.Ms(p)
					if within := all && want <= uint32(bound*1000); ok != within || ok && got != want {
						t.Fatalf("Ms(%v) within %v s = %d, %t; without a bound %d, %t", p, bound, got, ok, want, all)
					}
				}
			}
		}
	})
}

// TestLessIsNeverQuicker bars roads, and adds restrictions, and asks whether
// any drive became shorter.
func TestLessIsNeverQuicker(t *testing.T) {
	longer := 0
	eachRandom(t, func(t *testing.T, r *rand.Rand, p *plan, w *route.Weights) {
		n := w.Network()
		closed := roadnet.StretchID(r.IntN(n.NumStretches()))
		if len(p.viaBan) > 0 && r.IntN(2) == 0 {
			closed = p.viaBan[0][1].Stretch()
		}
		barred := w.Bar(closed)
		for range 4 {
			a := p.anySegment(r)
			if b, ok := p.anyAfter(r, a); ok {
				p.banned[[2]roadnet.SegmentID{a, b}] = true
			}
		}
		strict := route.NewFinder(middleWeights(t, p.network(t), p.country))
		f, g := route.NewFinder(w), route.NewFinder(barred)
		o := newOracle(barred, false)
		for range 10 {
			origin := anyPosition(r, n)
			free, shut, held := f.From(origin, anyTime, route.Options{}), g.From(origin, anyTime, route.Options{}), strict.From(origin, anyTime, route.Options{})
			want := o.from(origin)
			for range 40 {
				target := anyPosition(r, n)
				least, reached := free.Ms(target)
				for name, tree := range map[string]*route.Tree{"barring": shut, "a restriction": held} {
					ms, ok := tree.Ms(target)
					if ok && (!reached || ms < least) {
						t.Fatalf("%s made %v → %v quicker: %d, was %d, %t", name, origin, target, ms, least, reached)
					}
					if reached && (!ok || ms > least) {
						longer++
					}
				}
				ms, ok := shut.Ms(target)
				if wantMs, wantOK := want(target); ok != wantOK || ok && ms != wantMs {
					t.Fatalf("with %d barred, %v → %v takes %d, %t, want %d, %t", closed, origin, target, ms, ok, wantMs, wantOK)
				}
			}
		}
	})
	if longer < 100 {
		t.Errorf("only %d drives became longer: the test shows too little", longer)
	}
}

// TestRetiming cuts quick drives at random points, times the parts, joins them
// again, and asks for the same millisecond.
func TestRetiming(t *testing.T) {
	eachRandom(t, func(t *testing.T, r *rand.Rand, p *plan, w *route.Weights) {
		n := w.Network()
		f := route.NewFinder(w)
		opts := route.Options{UTurns: true}
		for range 100 {
			origin, target := anyPosition(r, n), anyPosition(r, n)
			whole, ok := f.From(origin, anyTime, opts).Path(target)
			if !ok {
				continue
			}
			starts := w.Timeline(whole)
			i := r.IntN(len(whole.Segments))
			stop := roadnet.Position{Segment: whole.Segments[i], Along: n.Length(whole.Segments[i].Stretch()) * geo.Metres(r.Float64())}
			if i == 0 {
				stop.Along = max(stop.Along, origin.Along)
			}
			if i == len(whole.Segments)-1 {
				stop.Along = min(stop.Along, target.Along)
			}
			if i == 0 && stop.Along < origin.Along || i == len(whole.Segments)-1 && stop.Along > target.Along {
				continue
			}
			// A stop inside a zone that the drive only leaves or only enters
			// is legal either way.
			first, ok := w.Drive(origin, stop, whole.Segments[:i+1], opts)
			if !ok {
				t.Fatalf("the drive %v is not legal up to %v", whole, stop)
			}
			after := opts
			after.After = &first
			second, ok := w.Drive(stop, target, whole.Segments[i:], after)
			if !ok {
				t.Fatalf("the drive %v is not legal on from %v", whole, stop)
			}
			joined, ok := w.Join(first, second)
			if !ok || joined.Ms != whole.Ms || first.Ms+second.Ms != whole.Ms {
				t.Fatalf("cut at %v: %d + %d, joined %d, whole %d", stop, first.Ms, second.Ms, joined.Ms, whole.Ms)
			}
			if d := float64(joined.Length - whole.Length); math.Abs(d) > 1e-6 {
				t.Fatalf("joined %v long, whole %v", joined.Length, whole.Length)
			}
			if at := w.TimeAt(whole, starts, i, stop.Along); at != first.Ms {
				t.Fatalf("TimeAt(%v) = %d, want %d", stop, at, first.Ms)
			}
			// Going on from where it stopped, no other way is quicker; but out
			// of a zone, which the drive without a stop might not have left.
			on, ok := f.From(stop, anyTime, after).Path(target)
			if !ok || on.Ms > second.Ms || on.Ms < second.Ms && n.Zone(stop.Segment.Stretch()) == 0 {
				t.Fatalf("From(%v) after the first part: %d, %t, want %d", stop, on.Ms, ok, second.Ms)
			}
		}
	})
}

// TestMemoryOutlivesAStop stops on the way of a restriction over several ways:
// what the drive before it barred is barred after it.
func TestMemoryOutlivesAStop(t *testing.T) {
	stops, fresh := 0, 0
	eachRandom(t, func(t *testing.T, r *rand.Rand, p *plan, w *route.Weights) {
		n := w.Network()
		f := route.NewFinder(w)
		for _, ban := range p.viaBan {
			half := func(s roadnet.SegmentID) roadnet.Position {
				return roadnet.Position{Segment: s, Along: n.Length(s.Stretch()) / 2}
			}
			before, ok := w.Drive(half(ban[0]), half(ban[1]), ban[:2], route.Options{})
			if !ok {
				continue
			}
			stops++
			if _, ok := w.Drive(before.To, half(ban[2]), ban[1:], route.Options{After: &before}); ok {
				t.Errorf("Drive makes the barred movement %v after a stop", ban)
			}
			if on, ok := f.From(before.To, anyTime, route.Options{After: &before}).Path(half(ban[2])); ok && len(on.Segments) == 2 {
				t.Errorf("From makes the barred movement %v after a stop", ban)
			}
			if on, ok := f.From(before.To, anyTime, route.Options{}).Path(half(ban[2])); ok && len(on.Segments) == 2 {
				fresh++
				if joined, ok := w.Join(before, on); ok {
					t.Errorf("Join makes the barred movement %v: %v", ban, joined)
				}
			}
		}
	})
	if stops < 20 || fresh < 10 {
		t.Errorf("%d stops, %d of them with the movement allowed to others: the networks test too little", stops, fresh)
	}
}

// TestDriveAgainstRules reads random walks over the turn table as drives and
// asks the oracle's rules, phase by phase, which of them are legal.
func TestDriveAgainstRules(t *testing.T) {
	legal, barred := 0, 0
	eachRandom(t, func(t *testing.T, r *rand.Rand, p *plan, w *route.Weights) {
		n := w.Network()
		for _, uTurns := range []bool{false, true} {
			o := &oracle{w: w, n: n, uTurns: uTurns}
			for range 200 {
				origin := anyPosition(r, n)
				state, walk := roadnet.StateID(origin.Segment), []roadnet.SegmentID{origin.Segment}
				phases := map[int]bool{public: true, leaving: true}
				for range 1 + r.IntN(6) {
					lo, hi := n.TurnRange(state)
					if lo == hi {
						break
					}
					to := n.TurnAt(lo + roadnet.TurnID(r.IntN(int(hi-lo)))).To
					next := make(map[int]bool)
					for phase := range phases {
						o.each(state, phase, func(reached roadnet.StateID, after int, _ uint32) {
							if reached == to {
								next[after] = true
							}
						})
					}
					state, phases = to, next
					walk = append(walk, n.StateSegment(to))
				}
				if len(walk) == 1 {
					continue
				}
				target := roadnet.Position{Segment: walk[len(walk)-1]}
				_, ok := w.Drive(origin, target, walk, route.Options{UTurns: uTurns})
				if want := len(phases) > 0; ok != want {
					t.Fatalf("Drive(%v) is legal = %t, want %t", walk, ok, want)
				}
				if ok {
					legal++
				} else {
					barred++
				}
			}
		}
	})
	if legal < 500 || barred < 500 {
		t.Errorf("%d walks legal, %d not: the networks test too little", legal, barred)
	}
}
