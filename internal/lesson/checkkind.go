package lesson

import (
	"fmt"
	"math"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/roadnet"
)

// examined is what a stop of a mock test on the way is for: to pull up and to
// move off again.
const examined = "stop"

// events checks that each event is on the drive when it says, that the map
// teaches it there, that no movement counts twice, that they are apart, and that
// there are as many as were asked for.
func (k *checker) events() {
	a := assess.New(k.n, k.p)
	end := math.Inf(-1)
	seen := map[string]bool{}
	count := map[string]int{}
	for i, e := range k.c.Events {
		where := fmt.Sprintf("event %d, %s", i+1, e.Topic)
		if e.Order != i+1 {
			k.tellf(MustBeWhole, where, "its order is %d", e.Order)
		}
		if e.AtS-end < k.table.Events.ApartS-slackS {
			k.tellf(MustComeBy, where, "comes %.0f s after the one before, %.0f s is the least", e.AtS-end, k.table.Events.ApartS)
		}
		end = e.AtS
		at, ok := k.eventAt(a, e)
		switch {
		case !ok:
			k.tell(MustComeBy, "the drive does not come by it then", where)
			continue
		case seen[e.Topic+at]:
			k.tell(MustComeBy, "counts the same movement twice", where)
		}
		seen[e.Topic+at] = true
		count[e.Topic]++
	}
	for _, s := range k.c.Request.Seek {
		if count[s.Topic] < s.AtLeast {
			k.tellf(MustComeBy, "", "asked was %s, the drive comes by %d", wordsOf(s), count[s.Topic])
		}
	}
}

// eventAt finds the movement of an event on the drive, as a name of it: the
// visit that ends or begins at its point at its time, and teaches its topic.
func (k *checker) eventAt(a *assess.Assessor, e circuit.Event) (string, bool) {
	for i, trail := range k.trails {
		l := k.c.Legs[i]
		if l.Driver != circuit.Learner || e.AtS < l.AtS-slackS || e.AtS > l.AtS+l.DriveS+slackS {
			continue
		}
		for j, v := range trail {
			length := k.n.Length(v.segment.Stretch())
			near := func(node roadnet.NodeID, s float64) bool {
				return same(k.n.NodeAt(node), e.At) && math.Abs(s-e.AtS) <= slackS+slackDrive*(e.AtS-l.AtS)
			}
			if j+1 < len(trail) && near(k.n.Head(v.segment), l.AtS+k.seconds(k.clocks[l.Driver], trail, j, v.to)) {
				next := trail[j+1].segment
				if told(a.TopicsAt(v.segment, next), e) {
					return fmt.Sprintf("%d-%d", v.segment, next), true
				}
			}
			whole := v.from < 1 && v.to > length-1
			if !whole || !near(k.n.Tail(v.segment), l.AtS+k.seconds(k.clocks[l.Driver], trail, j, v.from)) || !told(a.TopicsAlong(v.segment), e) {
				continue
			}
			if j > 0 && e.Topic != assess.Crossings.String() && told(a.TopicsAlong(trail[j-1].segment), circuit.Event{Topic: e.Topic, Chance: -1}) {
				continue // it goes on here, and began before
			}
			return fmt.Sprint(v.segment), true
		}
	}
	return "", false
}

// told says whether some teaching is that of an event, as well known as it says;
// a chance below 0 asks for the topic alone.
func told(all []assess.Teaching, e circuit.Event) bool {
	for _, t := range all {
		emerges := e.Topic == emerging && (t.Topic == assess.OpenJunctions || t.Topic == assess.ClosedJunctions)
		large := e.Topic == assess.Roundabouts.String() && t.Topic == assess.LargeRoundabouts
		switch {
		case emerges && e.Evidence == assess.Inferred:
			return true
		case t.Topic.String() != e.Topic && !large:
		case e.Chance < 0 && t.Chance >= standard().Events.KnownFrom:
			return true
		case math.Abs(t.Chance-e.Chance) < 1e-6 && t.Evidence == e.Evidence && t.Chance >= standard().Events.KnownFrom:
			return true
		}
	}
	return false
}

// ofItsKind checks what is asked of one kind of lesson alone.
func (k *checker) ofItsKind() {
	switch k.c.Request.Kind {
	case circuit.Junctions:
		if len(k.c.Events) == 0 {
			k.tell(MustBeOfItsKind, "it comes by nothing that was sought", "")
		}
	}
}
