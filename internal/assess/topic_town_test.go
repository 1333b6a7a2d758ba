package assess

import (
	"slices"
	"testing"

	"loopwright/internal/demotown"
	"loopwright/internal/roadnet"
)

// Topics against the truth of the town: said surely they are so, and chances
// tell more than the topic's share in the town does.
func TestTopicsInTheTown(t *testing.T) {
	n, byWay := town(t)
	a := New(n, profile(t, "gb"))
	truths := map[Topic]demotown.Topic{
		OpenJunctions: demotown.OpenJunctions, ClosedJunctions: demotown.ClosedJunctions, Crossroads: demotown.Crossroads,
		MiniRoundabouts: demotown.MiniRoundabouts, Roundabouts: demotown.Roundabouts, LargeRoundabouts: demotown.Roundabouts, Signals: demotown.Signals,
		Crossings: demotown.Crossings, MeetingTraffic: demotown.MeetingTraffic, PassingParkedCars: demotown.PassingParkedCars,
		DualCarriageways: demotown.DualCarriageways, CountryRoads: demotown.CountryRoads,
	}
	type tally struct {
		n, truly, sure, surely int
		ours                   float64
	}
	tallies := make(map[Topic]*tally)
	for _, topic := range Topics() {
		tallies[topic] = &tally{}
	}
	for seg := range roadnet.SegmentID(n.NumSegments()) {
		if !n.Drivable(seg) {
			continue
		}
		length := n.Length(seg.Stretch())
		k := truth(n, byWay, roadnet.Position{Segment: seg, Along: max(length-5, length/2)})
		if k == nil || k.Ahead == "unknown" {
			continue
		}
		got := make(map[Topic]float64)
		for _, x := range a.TopicsAlong(seg) {
			got[x.Topic] = x.Chance
		}
		lo, hi := n.TurnRange(roadnet.StateID(seg))
		for turn := lo; turn < hi; turn++ {
			for _, x := range a.TopicsAt(seg, n.StateSegment(n.TurnAt(turn).To)) {
				got[x.Topic] = x.Chance
			}
		}
		taught := k.Topics(demotown.Stated, 11)
		for topic, c := range tallies {
			yes, p := 0.0, got[topic]
			if slices.Contains(taught, truths[topic]) {
				yes = 1
				c.truly++
			}
			c.n++
			c.ours += (p - yes) * (p - yes)
			if p >= 0.7 {
				c.sure++
				if yes == 1 {
					c.surely++
				}
			}
		}
	}
	for _, topic := range Topics() {
		c := tallies[topic]
		switch topic {
		case Crossroads, MiniRoundabouts, Roundabouts, LargeRoundabouts, Signals, Crossings, DualCarriageways:
			if c.surely != c.sure || c.sure == 0 {
				t.Errorf("%v: said of %d segments, truly so of %d", topic, c.sure, c.surely)
			}
		default:
			if base := float64(c.truly) / float64(c.n); c.ours/float64(c.n) >= base*(1-base) {
				t.Errorf("%v: Brier score %.4f, of the bare share %.4f", topic, c.ours/float64(c.n), base*(1-base))
			}
		}
		share := float64(c.truly) / float64(c.n)
		t.Logf("%-20v of %d segments %.3f truly; said with 0.7 or more of %d, truly %d; Brier %.4f, of the share %.4f", topic, c.n, share, c.sure, c.surely, c.ours/float64(c.n), share*(1-share))
	}
}
