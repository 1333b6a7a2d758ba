package directions_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"loopwright/internal/directions"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
	"loopwright/internal/route"
)

// fault is where the driver who obeys leaves the plan.
type fault struct {
	say string
	err error
}

// arrive drives a path on what is said alone and gives the faults; after each
// the driver is put back on the plan.
func arrive(n *roadnet.Network, left bool, path route.Path, steps []directions.Step) []fault {
	d := driver{n, left}
	var faults []fault
	var orders []order
	say, next := "", 0
	seen := &number{}
	for i := 0; i < len(path.Segments); {
		in := path.Segments[i]
		heardAt := geo.Metres(-1)
		if i == 0 {
			heardAt = path.From.Along
		}
		mouths := func(upTo geo.Metres) {
			for _, m := range n.Mouths(in.Stretch()) {
				along, side := m.Along, m.Side
				if !in.Forward() {
					along, side = n.Length(in.Stretch())-along, side.Opposite()
				}
				if len(orders) > 0 && orders[0].what == whatRoad && m.Counts && (side == orders[0].side || side == roadnet.Both) && along > heardAt && along <= upTo {
					seen.count++
				}
			}
		}
		for next < len(steps) && steps[next].Said.Index <= i {
			s := steps[next]
			next++
			if len(orders) > 0 {
				faults = append(faults, fault{say, fmt.Errorf("not done when %q is said", s.Say)})
			}
			heard, err := listen(s.Say)
			if err != nil {
				faults = append(faults, fault{s.Say, err})
			}
			orders, say, heardAt, seen = heard, s.Say, s.Said.Along, &number{}
		}
		if i == len(path.Segments)-1 {
			break
		}
		mouths(n.Length(in.Stretch()))
		var o *order
		if len(orders) > 0 {
			o = &orders[0]
		}
		// The plan's way through this junction.
		j := i + 1
		round := n.Junction(n.JunctionOf(n.Head(in))).Kind == roadnet.RoundaboutJunction
		for path.Segments[j] != in.Opposite() && j < len(path.Segments)-1 && (d.onRing(path.Segments[j]) || !round && d.within(path.Segments[j])) && n.JunctionOf(n.Head(path.Segments[j])) == n.JunctionOf(n.Head(in)) {
			j++
		}
		to, done, err := d.at(in, o, seen)
		planned := path.Segments[j]
		same := to == planned || d.legs(planned, in.Opposite()) && to == in.Opposite()
		if err == nil && !same {
			err = fmt.Errorf("drives into %q instead of %q", n.Name(n.NameOf(to.Stretch())), n.Name(n.NameOf(planned.Stretch())))
		}
		if err != nil {
			at := n.NodeAt(n.Head(in))
			faults = append(faults, fault{say, fmt.Errorf("at %.5f,%.5f: %w", at.Lat(), at.Lon(), err)})
			orders = nil
		}
		if done && len(orders) > 0 {
			orders, seen = orders[1:], &number{}
		}
		i = j
	}
	if len(orders) > 0 && !slices.ContainsFunc(orders, func(o order) bool { return o.what == whatPullUp }) {
		faults = append(faults, fault{say, fmt.Errorf("not done at the end")})
	}
	return faults
}

// A driver who knows only the words arrives, at every junction drawn by hand.
func TestObeyed(t *testing.T) {
	for _, c := range junctionCases {
		n := roadnettest.Parse(t, c.drawing)
		path := pathOf(t, n, c.path)
		steps := directions.Write(n, profile(t, "gb"), []directions.Drive{{Path: path}}, directions.Options{Pace: steady{n, 10}})
		for _, f := range arrive(n, true, path, steps) {
			t.Errorf("%s: %q: %v", c.name, f.say, f.err)
		}
	}
}

// A sentence with its sides changed over is caught: the driver does not arrive.
func TestMutantsAreCaught(t *testing.T) {
	for _, c := range junctionCases {
		n := roadnettest.Parse(t, c.drawing)
		path := pathOf(t, n, c.path)
		steps := directions.Write(n, profile(t, "gb"), []directions.Drive{{Path: path}}, directions.Options{Pace: steady{n, 10}})
		for i := range steps {
			mutants := []string{swapSides(steps[i].Say)}
			for from, to := range map[string]string{"the next road": "the second road", "the second road": "the third road", "the third road": "the second road",
				"the first exit": "the second exit", "the second exit": "the third exit", "the third exit": "the first exit"} {
				mutants = append(mutants, strings.Replace(steps[i].Say, from, to, 1))
			}
			for _, say := range mutants {
				if say == steps[i].Say || strings.HasPrefix(say, "I'd like you to take the road ahead") {
					continue
				}
				changed := slices.Clone(steps)
				changed[i].Say = say
				if len(arrive(n, true, path, changed)) == 0 {
					t.Errorf("%s: %q instead of %q arrives all the same", c.name, say, steps[i].Say)
				}
			}
		}
	}
}

// So does one on random drives through real districts, but for a few sentences
// in a thousand at junctions of odd shape.
func TestObeyedOnRealRoads(t *testing.T) {
	for _, real := range reals {
		t.Run(real.name, func(t *testing.T) {
			n, p := openReal(t, real.path, real.code)
			const seed = 1
			w, drives := randomDrives(t, n, p, seed, 1000)
			total, faulty, cost := 0, 0, 0.0
			kinds := map[directions.Kind]int{}
			for _, path := range drives {
				steps := directions.Write(n, p, []directions.Drive{{Path: path, PullUp: roadnet.Left}}, directions.Options{Pace: w})
				total += len(steps)
				cost += directions.Cost(steps)
				for _, s := range steps {
					kinds[s.Kind]++
				}
				for _, f := range arrive(n, p.DrivesLeft, path, steps) {
					faulty++
					t.Logf("%q: %v", f.say, f.err)
				}
			}
			t.Logf("seed %d: %d sentences on %d drives, %d not followed as planned, mean cost %.2f, %v", seed, total, len(drives), faulty, cost/float64(total), kinds)
			if float64(faulty)*1000 > real.atMost*float64(total) {
				t.Errorf("%d of %d sentences are not followed as planned, want %g in a thousand at most", faulty, total, real.atMost)
			}
		})
	}
}
