package gazetteer

import (
	"github.com/paulmach/orb"

	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// meeting is where two roads meet.
type meeting struct {
	at    orb.Point
	first []roadnet.SegmentID // of the first road, those that lead away from it
	other string              // a name of the second
}

// oneMeeting is how far apart two junctions of the same two roads may lie and
// still be one place: our choice, for staggered arms and dual carriageways.
const oneMeeting geo.Metres = 60

// justBeyond is how far beyond the code's distance from the junction a car
// stands: our choice, half the width of a wide crossing road and a car's
// length, since positions count from the middle of the junction.
const justBeyond geo.Metres = 12

// meetings are the places where two roads meet, in the order of the first.
func (s *seeker) meetings(first, second []run) []meeting {
	others := make(map[roadnet.JunctionID]run)
	for _, r := range second {
		for _, segment := range s.reaches(r) {
			others[s.n.JunctionOf(s.n.Tail(segment))] = r
		}
	}
	var out []meeting
	for _, r := range first {
		for _, segment := range s.reaches(r) {
			j := s.n.JunctionOf(s.n.Tail(segment))
			other, ok := others[j]
			if !ok || other == r {
				continue
			}
			at := s.n.Junction(j).At
			known := false
			for i := range out {
				if geo.Distance(out[i].at, at) <= oneMeeting {
					out[i].first = append(out[i].first, segment)
					known = true
				}
			}
			if !known {
				name := RoadAt(s.n, roadnet.Position{Segment: other.stretch.Segment(true), Along: (other.from + other.to) / 2})
				out = append(out, meeting{at, []roadnet.SegmentID{segment}, name})
			}
		}
	}
	return out
}

// reaches are the segments of a run's stretch that begin at an end which the
// run reaches.
func (s *seeker) reaches(r run) []roadnet.SegmentID {
	var out []roadnet.SegmentID
	if r.from == 0 {
		out = append(out, r.stretch.Segment(true))
	}
	if r.to >= s.n.Length(r.stretch) {
		out = append(out, r.stretch.Segment(false))
	}
	return out
}

// match makes the car stand on the first road just beyond the meeting: driving
// away from it, if any arm may be driven so, on the longest such arm.
func (m meeting) match(s *seeker) Match {
	best, bestAway := m.first[0], false
	for _, segment := range m.first {
		away := s.n.Drivable(segment)
		if away != bestAway && !away {
			continue
		}
		if away != bestAway || s.n.Length(segment.Stretch()) > s.n.Length(best.Stretch()) {
			best, bestAway = segment, away
		}
	}
	pos := s.clear(roadnet.Position{Segment: best, Along: s.profile.JunctionClear + justBeyond})
	if !bestAway {
		pos = s.n.Opposite(pos)
	}
	result := s.result(pos, s.drivingSide())
	return Match{result.Road + " & " + m.other, result}
}
