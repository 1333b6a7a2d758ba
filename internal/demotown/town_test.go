package demotown

import (
	"math"
	"sync"
	"testing"
)

// shipped is the town of the shipped seed, built once for all tests.
var shipped = sync.OnceValues(func() (*town, *mapped) {
	t := build(Seed)
	return t, t.draw()
})

// The sizes that the town is meant to have; the margins are our choice.
func TestSizeOfTheTown(t *testing.T) {
	town, m := shipped()
	names := map[string]bool{}
	for _, r := range town.roads {
		if r.name != "" {
			names[r.name] = true
		}
	}
	stretches, buildings, addressed := 0, 0, 0
	for _, s := range town.stretches {
		if s.lot == nil {
			stretches++
		}
	}
	for _, w := range m.ways {
		if b := w.tags["building"]; b != "" && b != "garage" {
			buildings++
			if w.tags["addr:street"] != "" {
				addressed++
			}
		}
	}
	for _, c := range []struct {
		what           string
		got, low, high int
	}{
		{"named roads", len(names), 330, 420},
		{"stretches", stretches, 1400, 1750},
		{"buildings on the map", buildings, 5000, 6500},
		{"buildings with an address", addressed, 5000, 6500},
	} {
		if c.got < c.low || c.got > c.high {
			t.Errorf("%d %s, want %d to %d", c.got, c.what, c.low, c.high)
		}
	}
}

// Each quarter over water or rails hangs on one road.
func TestQuartersHangOnOneWayIn(t *testing.T) {
	town, _ := shipped()
	for _, c := range []struct {
		name string
		cut  *road
		kind featureKind
		part quarter
	}{
		{"the bridge", town.named("Otten Bridge"), unknownFeature, hillside},
		{"the level crossing", nil, levelCrossing, works},
	} {
		t.Run(c.name, func(t *testing.T) {
			barred := map[int]bool{}
			if c.cut != nil {
				barred[c.cut.nodes[0]] = true
			}
			for _, f := range town.features {
				if c.kind != unknownFeature && f.kind == c.kind {
					barred[town.nodeAt(f.at)] = true
				}
			}
			reached := town.reachable(barred)
			for _, s := range town.stretches {
				if s.road.district.name == c.part && s.road.class.public() && s.road.name != "Decoy Lane" && reached[s.nodes[0]] && reached[s.nodes[len(s.nodes)-1]] {
					t.Fatalf("%s in %v is reached without %s", s.road.name, c.part, c.name)
				}
			}
			if len(reached) < 1000 {
				t.Errorf("only %d nodes are left", len(reached))
			}
		})
	}
}

func (t *town) named(name string) *road {
	for _, r := range t.roads {
		if r.name == name {
			return r
		}
	}
	return nil
}

// reachable floods the public roads from the market place, short of barred nodes.
func (t *town) reachable(barred map[int]bool) map[int]bool {
	arms := map[int][]int{}
	for _, r := range t.roads {
		if !r.class.public() {
			continue
		}
		for i := 1; i < len(r.nodes); i++ {
			a, b := r.nodes[i-1], r.nodes[i]
			arms[a], arms[b] = append(arms[a], b), append(arms[b], a)
		}
	}
	start := t.nodeAt(market)
	seen, stack := map[int]bool{start: true}, []int{start}
	for len(stack) > 0 {
		n := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		for _, k := range arms[n] {
			if !seen[k] && !barred[k] {
				seen[k] = true
				stack = append(stack, k)
			}
		}
	}
	return seen
}

// Everyone who gets in can get out, one-ways and all.
func TestOneWaysLeaveTheTownConnected(t *testing.T) {
	town, _ := shipped()
	if !town.connected() {
		t.Error("some road can be reached and not left, or left and not reached")
	}
}

// Traffic that keeps left goes clockwise round a roundabout.
func TestRoundabouts(t *testing.T) {
	town, _ := shipped()
	arms := town.publicArms()
	byArms := map[float64]int{}
	for _, r := range town.roads {
		if !r.ring {
			continue
		}
		line := town.line(r)
		area, n := 0.0, 0.0
		for i := 1; i < len(line); i++ {
			area += line[i-1].Cross(line[i])
			if arms[r.nodes[i]] > 2 {
				n++
				for _, o := range town.roadsAt(r.nodes[i]) {
					if o.dual {
						n -= 0.5 // each carriageway is half an arm
					}
				}
			}
		}
		if area >= 0 {
			t.Errorf("roundabout %q runs anticlockwise", r.name)
		}
		byArms[n]++
	}
	for _, n := range []float64{3, 4, 5} {
		if byArms[n] == 0 {
			t.Errorf("no roundabout with %v arms: %v", n, byArms)
		}
	}
}

// The hill has every gradient from level to 14 %.
func TestGradientsOfTheHill(t *testing.T) {
	town, _ := shipped()
	seen := map[int]int{}
	for _, s := range town.stretches {
		if s.road.district.name == hillside {
			seen[int(s.steep)]++
		}
	}
	for g := 0; g <= 13; g++ {
		if seen[g] == 0 {
			t.Errorf("no stretch on the hill has %d to %d %%", g, g+1)
		}
	}
	for g := range seen {
		if g > 18 {
			t.Errorf("%d stretches on the hill have %d %%", seen[g], g)
		}
	}
}

// There is room to practise: straight, quiet streets of a fair width.
func TestRoomToPractise(t *testing.T) {
	town, _ := shipped()
	good, narrow := 0, 0
	for _, s := range town.stretches {
		if s.road.class != residential {
			continue
		}
		if s.straight() >= 100 && s.width[Stated] >= 5 && s.width[Stated] <= 7.5 {
			good++
		}
		if s.width[Stated] < 5 {
			narrow++
		}
	}
	if good < 60 || narrow < 60 {
		t.Errorf("%d residential stretches with 100 m straight at 5 to 7.5 m, %d under 5 m; want 60 of each", good, narrow)
	}
}

func TestHomesKeepClearOfRoads(t *testing.T) {
	town, _ := shipped()
	for _, b := range town.blocks {
		for i, p := range b.ring {
			town.near(p, 10, func(_ int, s *piece) {
				if s.road.class.public() && len(b.homes) > 0 {
					if away, _ := toSegment(p, town.nodes[s.a].at, town.nodes[s.b].at); away < 4 {
						t.Errorf("corner %d of a house in %s stands %.1f m from the middle of %s", i, b.homes[0].road.name, away, s.road.name)
					}
				}
			})
		}
	}
}

// One building in five is missing, the rest of the map is as sparse as real
// extracts are.
func TestSparseTags(t *testing.T) {
	town, m := shipped()
	missing := 0
	for _, b := range town.blocks {
		if !b.mapped {
			missing++
		}
	}
	roads, limits, surfaces, parking, widths := 0, 0, 0, 0, 0
	for _, w := range m.ways {
		switch w.tags["highway"] {
		case "residential", "unclassified", "tertiary", "secondary", "primary", "trunk":
		default:
			continue
		}
		roads++
		count := func(n *int, keys ...string) {
			for _, k := range keys {
				if w.tags[k] != "" {
					*n++
					return
				}
			}
		}
		count(&limits, "maxspeed", "maxspeed:type")
		count(&surfaces, "surface")
		count(&parking, "parking:left", "parking:right", "parking:both", "parking:lane:left", "parking:lane:right", "parking:lane:both")
		count(&widths, "width", "est_width")
	}
	for _, c := range []struct {
		what             string
		part, of         int
		least, mostShare float64
	}{
		{"buildings missing", missing, len(town.blocks), 0.15, 0.25},
		{"limits", limits, roads, 0.4, 0.65},
		{"surfaces", surfaces, roads, 0.4, 0.65},
		{"parking", parking, roads, 0.06, 0.15},
		{"widths", widths, roads, 0.01, 0.09},
	} {
		if share := float64(c.part) / float64(c.of); share < c.least || share > c.mostShare {
			t.Errorf("%s: %d of %d, want %.0f to %.0f %%", c.what, c.part, c.of, 100*c.least, 100*c.mostShare)
		}
	}
}

func TestFifteenRestrictions(t *testing.T) {
	_, m := shipped()
	kinds := map[string]int{}
	for _, r := range m.relations {
		if r.tags["type"] != "restriction" {
			continue
		}
		kinds["all"]++
		if r.tags["restriction:conditional"] != "" {
			kinds["conditional"]++
		}
		if len(r.tags["restriction"]) > 5 && r.tags["restriction"][:5] == "only_" {
			kinds["only"]++
		}
		if r.members[1].kind == wayMember {
			kinds["via way"]++
		}
	}
	if kinds["all"] != 15 || kinds["conditional"] != 2 || kinds["only"] != 3 || kinds["via way"] != 2 {
		t.Errorf("restrictions %v, want 15 in all, 2 conditional, 3 only_*, 2 via a way", kinds)
	}
}

// The spline must pass through the points of the plan, or roads that share one
// would not meet.
func TestSplineKeepsItsPoints(t *testing.T) {
	for _, c := range courses {
		on := map[[2]float64]bool{}
		for _, p := range spline(c.points, 22) {
			if math.IsNaN(p.X) || math.IsNaN(p.Y) {
				t.Fatalf("%s: not a number", c.name)
			}
			on[[2]float64{p.X, p.Y}] = true
		}
		for _, p := range c.points {
			if !on[[2]float64{p.X, p.Y}] {
				t.Errorf("%s does not pass through %v", c.name, p)
			}
		}
	}
}

func BenchmarkGenerate(b *testing.B) {
	for b.Loop() {
		if _, err := Generate(Seed); err != nil {
			b.Fatal(err)
		}
	}
}
