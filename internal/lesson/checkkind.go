package lesson

import (
	"fmt"
	"math"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/geo"
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
			if j > 0 && e.Topic != assess.Crossings.String() && told(a.TopicsAlong(trail[j-1].segment), circuit.Event{Topic: e.Topic, Chance: -1, Evidence: e.Evidence}) {
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
		case e.Chance < 0 && t.Chance >= standard().Events.KnownFrom && (t.Evidence != assess.Assumed || e.Evidence == assess.Assumed):
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
	case circuit.TwoExercises:
		if len(k.c.Examples) == 0 && !k.admits(noRoads) {
			k.tell(MustBeOfItsKind, "it has no road to judge", "")
		}
	case circuit.MockTest:
		k.isMock()
	case circuit.TestDay:
		k.isTestDay()
	}
}

// isMock checks that a mock test is as long as one, varied, and has its exercise.
func (k *checker) isMock() {
	m := k.table.Mock
	end := k.c.Finish.AtS
	for _, s := range k.c.PullUps {
		if s.What == debrief {
			end = s.AtS
		}
	}
	if took := (end - k.c.Legs[0].AtS) / 60; took < m.LeastMinutes-slackS/60 || took > m.MostMinutes+slackS/60 {
		k.tellf(MustBeOfItsKind, "", "the drive of the mock test takes %.0f minutes, %g to %g are meant", took, m.LeastMinutes, m.MostMinutes)
	}
	topics := map[string]bool{}
	for _, e := range k.c.Events {
		topics[e.Topic] = true
	}
	if len(topics) < m.LeastTopics {
		k.tellf(MustBeOfItsKind, "", "it comes by %d topics, %d are the least", len(topics), m.LeastTopics)
	}
	if !k.c.Practises() {
		k.tell(MustBeOfItsKind, "it has no exercise", "")
	}
	if len(k.c.Examples) > 0 {
		k.tell(MustBeOfItsKind, "it has roads to judge", "")
	}
}

// isTestDay checks that the warm-up keeps off the road of the test centre, and
// away from it with the exercise.
func (k *checker) isTestDay() {
	last := 0.0 // when the warm-up is over
	for _, e := range k.c.Events {
		last = max(last, e.AtS)
	}
	for _, p := range k.c.Practices() {
		last = max(last, p.AtS+p.Minutes*60)
		for _, place := range append([]circuit.Practice{p.Practice}, p.Backups...) {
			if d := geo.Distance(place.At, k.c.Finish.At); float64(d) < k.table.TestDay.AwayM {
				k.tellf(MustBeOfItsKind, place.Road, "is %.0f m from the test centre, %.0f m is the least", d, k.table.TestDay.AwayM)
			}
		}
	}
	for i, s := range k.c.PullUps {
		if s.Road == k.c.Finish.Road && s.Road != noName && !k.atDropOff(s) && geo.Distance(s.At, k.c.Finish.At) < ownRoadWithin {
			k.tell(MustBeOfItsKind, "is in the road of the test centre", fmt.Sprintf("pull-up %d", i+1))
		}
	}
	end := k.trails[len(k.trails)-1]
	if len(end) == 0 {
		return
	}
	stretch := end[len(end)-1].segment.Stretch()
	own := func(v visit) bool {
		s := v.segment.Stretch()
		named := k.n.NameOf(s) != 0 && k.n.NameOf(s) == k.n.NameOf(stretch)
		return s == stretch || named && geo.Distance(k.n.NodeAt(k.n.Head(v.segment)), k.c.Finish.At) < ownRoadWithin
	}
	away := false // the drive has left the road where it may have begun
	for i, trail := range k.trails {
		for j, v := range trail {
			switch at := k.c.Legs[i].AtS + k.seconds(k.clocks[k.c.Legs[i].Driver], trail, j, v.from); {
			case !own(v):
				away = true
			case away && at < last-slackS:
				k.tell(MustBeOfItsKind, "the warm-up drives along the road of the test centre", fmt.Sprintf("leg %d", i+1))
				return
			}
		}
	}
}
