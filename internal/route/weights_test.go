package route_test

import (
	"math/rand/v2"
	"testing"

	"loopwright/internal/country"
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// TestAtAlongSegments asks that time never falls along a segment, begins at 0,
// ends at the segment's own time, and that no part is driven above the limit.
func TestAtAlongSegments(t *testing.T) {
	eachRandom(t, func(t *testing.T, r *rand.Rand, p *plan, w *route.Weights) {
		n := w.Network()
		for s := range roadnet.SegmentID(n.NumSegments()) {
			if !w.Open(s) {
				continue
			}
			length := n.Length(s.Stretch())
			before := uint32(0)
			for i := range 51 {
				along := length * geo.Metres(i) / 50
				at := w.At(roadnet.Position{Segment: s, Along: along})
				if at < before || i == 0 && at != 0 {
					t.Fatalf("At(%d, %v) = %d after %d", s, along, at, before)
				}
				before = at
			}
			if end := w.At(roadnet.Position{Segment: s, Along: length}); end != w.SegmentMs(s) || end < before {
				t.Fatalf("At the end of %d = %d, want %d", s, end, w.SegmentMs(s))
			}
			fastest := geo.MetresPerSecond(0)
			for _, piece := range n.Pieces(s.Stretch()) {
				fastest = max(fastest, geo.MetresPerSecond(piece.Attributes.LimitLowDkmh[s&1])/10*geo.KilometrePerHour)
			}
			if fastest > 0 && geo.Seconds(w.SegmentMs(s)+1)/1000 < geo.Seconds(length)/geo.Seconds(fastest) && p.stretch[s.Stretch()].attributes.LimitLowDkmh[s&1] != 0 {
				t.Fatalf("segment %d of %v is driven in %d ms, above its limit of %.0f km/h", s, length, w.SegmentMs(s), fastest.KilometresPerHour())
			}
		}
	})
}

// TestStagesGetQuicker asks that no drive takes a learner longer than one of an
// earlier stage. A turn alone may: who drives faster loses more by slowing.
func TestStagesGetQuicker(t *testing.T) {
	paces, err := route.Paces()
	if err != nil {
		t.Fatal(err)
	}
	gb, err := country.ByCode("gb")
	if err != nil {
		t.Fatal(err)
	}
	r := rand.New(rand.NewPCG(*seedFlag, 1))
	n := randomPlan(r, 60).network(t)
	stages := []string{"beginner", "middle", "near-test"}
	if len(paces) != len(stages) {
		t.Errorf("the table holds %d stages, want %v", len(paces), stages)
	}
	for i := 1; i < len(stages); i++ {
		slow, quick := route.NewFinder(route.NewWeights(n, gb, paces[stages[i-1]])), route.NewFinder(route.NewWeights(n, gb, paces[stages[i]]))
		for range 30 {
			origin := anyPosition(r, n)
			a, b := slow.From(origin, anyTime, route.Options{}), quick.From(origin, anyTime, route.Options{})
			for range 30 {
				target := anyPosition(r, n)
				long, ok := a.Ms(target)
				if short, _ := b.Ms(target); ok && long < short {
					t.Errorf("seed %d: %v → %v: %s %d ms, %s %d ms", *seedFlag, origin, target, stages[i-1], long, stages[i], short)
				}
			}
		}
	}
}

// plainPlan is one random plan, always the same, with nothing along its roads, and one of its
// stretches that is open both ways and longer than some millimetres.
func plainPlan(longer uint32) (*plan, roadnet.StretchID) {
	p := randomPlan(rand.New(rand.NewPCG(2, 2)), 12)
	p.country = "gb"
	for i := range p.stretch {
		p.stretch[i].things = nil
	}
	stretch := roadnet.StretchID(0)
	for p.stretch[stretch].lengthMm < longer || !p.open(stretch.Segment(true)) || !p.open(stretch.Segment(false)) {
		stretch++
	}
	return p, stretch
}

// TestDelayStandsWhereTheThingStands asks for the whole delay right behind a
// zebra crossing in either direction, and none before it.
func TestDelayStandsWhereTheThingStands(t *testing.T) {
	p, stretch := plainPlan(200_000)
	plain := middleWeights(t, p.network(t), "gb")
	p.stretch[stretch].things = []roadnet.Thing{{Along: 60_000, Features: extract.CrossingZebra}}
	w := middleWeights(t, p.network(t), "gb")
	length := w.Network().Length(stretch)
	for _, c := range []struct {
		forward bool
		along   geo.Metres
	}{{true, 60}, {false, length - 60}} {
		segment := stretch.Segment(c.forward)
		for _, at := range []struct {
			along geo.Metres
			delay bool
		}{{c.along - 1, false}, {c.along, false}, {c.along + 0.01, true}, {length, true}} {
			pos := roadnet.Position{Segment: segment, Along: at.along}
			late := int(w.At(pos)) - int(plain.At(pos))
			whole := int(w.SegmentMs(segment)) - int(plain.SegmentMs(segment))
			if want := map[bool]int{true: whole}[at.delay]; late < want-2 || late > want+2 || whole < 1000 {
				t.Errorf("forward %t: %d ms late at %v, want %d; the crossing stands at %v", c.forward, late, at.along, want, c.along)
			}
		}
	}
}

// TestLines asks which approach a give-way or stop line slows.
func TestLines(t *testing.T) {
	_, stretch := plainPlan(200_000)
	// Junctions of the random plan are of all kinds: this one is plain.
	turns := func(p *plan, forward bool) (ms uint32) {
		p.kind = roadnet.PlainJunction
		w := middleWeights(t, p.network(t), "gb")
		lo, hi := w.Network().TurnRange(roadnet.StateID(stretch.Segment(forward)))
		for turn := lo; turn < hi; turn++ {
			ms += w.TurnMs(turn)
		}
		return ms
	}
	for _, c := range []struct {
		name        string
		feature     extract.Feature
		length      uint32
		along       uint32
		direction   int8
		ahead, back bool // which end is slowed
	}{
		{"stop before the end", extract.Stop, 200_000, 195_000, 1, true, false},
		{"stop before the end, facing unsaid", extract.Stop, 200_000, 195_000, 0, true, false},
		{"stop before the end, facing back", extract.Stop, 200_000, 195_000, -1, false, false},
		{"stop at the start, facing back", extract.Stop, 200_000, 5_000, -1, false, true},
		{"stop at the start, facing unsaid", extract.Stop, 200_000, 5_000, 0, false, true},
		{"stop far from both", extract.Stop, 200_000, 100_000, 0, false, false},
		{"stop on a short road, facing unsaid", extract.Stop, 40_000, 15_000, 0, false, true},
		{"stop on a short road, facing ahead", extract.Stop, 40_000, 15_000, 1, true, false},
	} {
		base, _ := plainPlan(200_000)
		base.stretch[stretch].lengthMm = c.length
		p, _ := plainPlan(200_000)
		p.stretch[stretch].lengthMm = c.length
		p.stretch[stretch].things = []roadnet.Thing{{Along: geo.Metres(c.along), Features: c.feature, Direction: c.direction}}
		if got := turns(p, true) > turns(base, true); got != c.ahead {
			t.Errorf("%s: slows the end = %t, want %t", c.name, got, c.ahead)
		}
		if got := turns(p, false) > turns(base, false); got != c.back {
			t.Errorf("%s: slows the start = %t, want %t", c.name, got, c.back)
		}
	}
}

// TestThingsCostTime asks that something along a road never makes it quicker,
// and that what faces the other way costs nothing.
func TestThingsCostTime(t *testing.T) {
	base := func() *plan {
		p, _ := plainPlan(200_000)
		return p
	}
	_, stretch := plainPlan(200_000)
	ms := func(p *plan, forward bool) uint32 {
		return middleWeights(t, p.network(t), p.country).SegmentMs(stretch.Segment(forward))
	}
	for _, c := range []struct {
		name      string
		feature   extract.Feature
		direction int8
		ahead     bool // costs forward
		back      bool
	}{
		{"zebra", extract.CrossingZebra, 0, true, true},
		{"zebra forward only", extract.CrossingZebra, 1, true, false},
		{"level crossing", extract.LevelCrossing, 0, true, true},
		{"signals facing back", extract.Signals, -1, false, true},
		{"gate", extract.BarrierOpen, 0, true, true},
		{"bus stop", extract.BusStop, 0, false, false},
		{"give way far from the end", extract.GiveWay, 1, false, false},
	} {
		p := base()
		p.stretch[stretch].things = []roadnet.Thing{{Along: 100_000, Features: c.feature, Direction: c.direction}}
		if got := ms(p, true) > ms(base(), true); got != c.ahead {
			t.Errorf("%s costs time forward = %t, want %t", c.name, got, c.ahead)
		}
		if got := ms(p, false) > ms(base(), false); got != c.back {
			t.Errorf("%s costs time back = %t, want %t", c.name, got, c.back)
		}
		if ms(p, true) < ms(base(), true) || ms(p, false) < ms(base(), false) {
			t.Errorf("%s makes the road quicker", c.name)
		}
	}
}
