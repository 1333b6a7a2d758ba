package lesson

import (
	"strings"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/roadnet"
)

// emerging may be sought beside the topics of package assess: coming out of a
// road that ends at another, at an open junction or a closed one.
const emerging = "emerging"

// Sightings are what may be sought, as one writes it.
func Sightings() []string {
	out := []string{emerging}
	for _, t := range assess.Topics() {
		out = append(out, topicWords(t))
	}
	return out
}

// soughtNamed reads what is sought as one writes it, and gives its word in files.
func soughtNamed(words string) (string, error) {
	switch strings.ToLower(strings.TrimSpace(words)) {
	case emerging, "emerges", "junctions to emerge at":
		return emerging, nil
	}
	t, err := topicNamed(words)
	return t.String(), err
}

// sought finds on the network what is sought. It goes by the map alone.
type sought struct {
	a      *assess.Assessor
	topics []string // one for each wish
	asked  int      // so many of them were asked for; the rest is for variety
	known  float64
	turns  map[[2]roadnet.SegmentID][]taught
	roads  map[roadnet.SegmentID][]taught
}

// taught is something sought that is found: for which wish, and how it is known.
type taught struct {
	wish int
	assess.Teaching
}

func soughtOn(n *roadnet.Network, p *country.Profile, wishes []circuit.Sought) *sought {
	s := &sought{
		a: assess.New(n, p), known: standard().Events.KnownFrom,
		turns: map[[2]roadnet.SegmentID][]taught{}, roads: map[roadnet.SegmentID][]taught{},
	}
	for _, w := range wishes {
		s.topics = append(s.topics, w.Topic)
	}
	return s
}

// among are the teachings that count for a wish, in the order of the wishes.
func (s *sought) among(all []assess.Teaching) []taught {
	var out []taught
	for w, topic := range s.topics {
		for _, t := range all {
			side := t.Topic == assess.OpenJunctions || t.Topic == assess.ClosedJunctions
			switch {
			case topic == emerging && side:
				t = assess.Teaching{Topic: t.Topic, Chance: 1, Evidence: assess.Inferred, Source: "the road ends at another"}
			case w >= s.asked && t.Evidence == assess.Assumed:
				continue
			case topic == t.Topic.String() && t.Chance >= s.known:
			case topic == assess.Roundabouts.String() && t.Topic == assess.LargeRoundabouts:
			default:
				continue
			}
			out = append(out, taught{w, t})
			break
		}
	}
	return out
}

// turning is what going on from one segment along another counts for.
func (s *sought) turning(from, to roadnet.SegmentID) []taught {
	at := [2]roadnet.SegmentID{from, to}
	found, known := s.turns[at]
	if !known {
		found = s.among(s.a.TopicsAt(from, to))
		s.turns[at] = found
	}
	return found
}

// along is what driving along a segment counts for.
func (s *sought) along(seg roadnet.SegmentID) []taught {
	found, known := s.roads[seg]
	if !known {
		found = s.among(s.a.TopicsAlong(seg))
		s.roads[seg] = found
	}
	return found
}

// runsOn says whether a topic is a length of road, so that the next stretch with
// it is still the same one.
func runsOn(t assess.Topic) bool { return t != assess.Crossings }

// has says whether some teaching counts for a wish.
func has(all []taught, wish int) bool {
	for _, t := range all {
		if t.wish == wish {
			return true
		}
	}
	return false
}
