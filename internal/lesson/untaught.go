package lesson

import (
	"slices"
	"strings"

	"loopwright/internal/assess"
	"loopwright/internal/country"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// untaught finds on the network what a learner has not been taught. It goes by
// the map alone, and by what the map makes likely enough: data/learners.yaml.
type untaught struct {
	a      *assess.Assessor
	topics map[assess.Topic]bool
	known  float64
}

// untaughtOn is nil where everything may come on the drive.
func untaughtOn(n *roadnet.Network, p *country.Profile, topics map[assess.Topic]bool) *untaught {
	if len(topics) == 0 {
		return nil
	}
	return &untaught{assess.New(n, p), topics, standardLearners().KnownFrom}
}

func (u *untaught) among(all []assess.Teaching) assess.Topic {
	for _, t := range all {
		if u.topics[t.Topic] && t.Chance >= u.known {
			return t.Topic
		}
	}
	return assess.TopicUnknown
}

// along is what is untaught on a segment; TopicUnknown for nothing.
func (u *untaught) along(s roadnet.SegmentID) assess.Topic { return u.among(u.a.TopicsAlong(s)) }

// turning is what is untaught about going on from one segment along another.
func (u *untaught) turning(from, to roadnet.SegmentID) assess.Topic {
	return u.among(u.a.TopicsAt(from, to))
}

// reachable says which stretches a drive of so many milliseconds from the
// request's start to its finish can come by.
func (pl *planner) reachable(w *route.Weights, budgetMs int64) []bool {
	budget := geo.Seconds(float64(budgetMs) / 1000)
	turning := route.Options{UTurns: true}
	out := route.NewFinder(w).From(pl.wish.From, budget, turning)
	in := route.NewFinder(w).Into(pl.wish.To, budget, turning)
	reach := make([]bool, pl.n.NumStretches())
	for s := range reach {
		there, back := int64(never), int64(never)
		for _, forward := range []bool{true, false} {
			begin := roadnet.Position{Segment: roadnet.StretchID(s).Segment(forward)}
			if ms, ok := out.Ms(begin); ok {
				there = min(there, int64(ms))
			}
			if ms, ok := in.Ms(begin); ok {
				back = min(back, int64(ms))
			}
		}
		reach[s] = there+back <= budgetMs
	}
	for _, p := range []roadnet.Position{pl.wish.From, pl.wish.To} {
		reach[p.Segment.Stretch()] = true
	}
	return reach
}

// withoutUntaught are weights on which nothing untaught is open; nor is what lies too
// far away to be driven by in this lesson, which nobody looks at.
func (pl *planner) withoutUntaught(w *route.Weights) *route.Weights {
	reach := pl.reachable(w, pl.drivingMs(min(pl.wish.Minutes+mostMore, longest)))
	open := func(s roadnet.SegmentID) bool {
		return reach[s.Stretch()] && pl.untaught.along(s) == assess.TopicUnknown
	}
	return w.Keep(open, func(from, to roadnet.SegmentID) bool {
		return pl.untaught.turning(from, to) == assess.TopicUnknown
	})
}

// met are the untaught topics that some drives come by, in order.
func (u *untaught) met(drives ...*drive) []assess.Topic {
	var out []assess.Topic
	add := func(t assess.Topic) {
		if t != assess.TopicUnknown && !slices.Contains(out, t) {
			out = append(out, t)
		}
	}
	for _, d := range drives {
		for i, s := range d.Segments {
			add(u.along(s))
			if i > 0 {
				add(u.turning(d.Segments[i-1], s))
			}
		}
	}
	slices.Sort(out)
	return out
}

// inWords lists topics as one says them.
func inWords(topics []assess.Topic) string {
	var words []string
	for _, t := range topics {
		words = append(words, topicWords(t))
	}
	return listed(words)
}

// listed joins words with commas and an "and", as one says them.
func listed(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}

// tooHard adds to an answer that what is untaught stands in the way, and what
// would have to come on the drive; nothing where that would not help either.
func (pl *planner) tooHard(u *Unmet) {
	free := *pl
	free.untaught = nil
	free.open()
	free.gather()
	free.pose()
	f := free.best()
	if f == nil {
		return
	}
	met := inWords(pl.untaught.met(f.out, f.home))
	u.Why = "without " + met + ", " + u.Why
	u.Give = append(u.Give, met+" on the drive, each talked through")
}
