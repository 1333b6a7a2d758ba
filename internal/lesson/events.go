package lesson

import (
	"loopwright/internal/circuit"
	"loopwright/internal/roadnet"
)

// event is one time that a drive comes by what is sought.
type event struct {
	taught
	leg  int
	at   spot
	atS  float64
	road string // that the car comes along
}

// rowed is a leg with its place on the lesson's clock.
type rowed struct {
	leg
	atS float64
}

// comesBy lists what is sought on some legs but the first few, in order. A
// movement counts once, and a length of road where it begins; each at least the
// least time after the one before, so that it can be talked about. Where two
// come together, the one for the wish that is further from being met counts.
func (s *sought) comesBy(n *roadnet.Network, legs []rowed, skip int, atLeast []int, apartS float64) []event {
	var all []event
	for i, l := range legs {
		if i < skip || l.driver != circuit.Learner {
			continue
		}
		for k := l.a.index; k <= l.b.index; k++ {
			seg := l.d.Segments[k]
			from, to := l.d.extent(k, l.a, l.b)
			if from < 1 && to > n.Length(seg.Stretch())-1 {
				for _, t := range s.along(seg) {
					if runsOn(t.Topic) && k > l.a.index && has(s.along(l.d.Segments[k-1]), t.wish) {
						continue
					}
					all = append(all, l.event(n, i, t, spot{k, from}, seg))
				}
			}
			if k == l.b.index {
				break
			}
			for _, t := range s.turning(seg, l.d.Segments[k+1]) {
				all = append(all, l.event(n, i, t, spot{k, to}, seg))
			}
		}
	}
	return spaced(all, legs, atLeast, apartS)
}

func (l *rowed) event(n *roadnet.Network, leg int, t taught, at spot, seg roadnet.SegmentID) event {
	return event{t, leg, at, l.atS + float64(l.d.at(at)-l.d.at(l.a))/1000, roadOf(n, seg)}
}

// movement is what counts once.
type movement struct {
	wish     int
	from, to roadnet.SegmentID
}

func (e *event) movement(legs []rowed) movement {
	d := legs[e.leg].d
	m := movement{e.wish, d.Segments[e.at.index], roadnet.SegmentID(roadnet.None)}
	if e.at.along > 1 { // at the junction at its end
		m.to = d.Segments[e.at.index+1]
	}
	return m
}

// spaced keeps of all events those that count.
func spaced(all []event, legs []rowed, atLeast []int, apartS float64) []event {
	var out []event
	count := make([]int, len(atLeast))
	seen := map[movement]bool{}
	lacking := func(wish int) int { return atLeast[wish] - count[wish] }
	for i := 0; i < len(all); {
		best := -1
		j := i
		for ; j < len(all) && all[j].atS < all[i].atS+1; j++ { // as good as at once
			if seen[all[j].movement(legs)] || len(out) > 0 && all[j].atS < out[len(out)-1].atS+apartS {
				continue
			}
			if best < 0 || lacking(all[j].wish) > lacking(all[best].wish) {
				best = j
			}
		}
		i = j
		if best >= 0 {
			out = append(out, all[best])
			seen[all[best].movement(legs)] = true
			count[all[best].wish]++
		}
	}
	return out
}

// tally counts events by wish.
func tally(events []event, wishes int) []int {
	out := make([]int, wishes)
	for _, e := range events {
		out[e.wish]++
	}
	return out
}
