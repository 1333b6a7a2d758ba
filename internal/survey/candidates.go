package survey

import (
	"cmp"
	"math"
	"slices"

	"loopwright/internal/country"
	"loopwright/internal/geo"
	"loopwright/internal/lesson"
	"loopwright/internal/orienteer"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// seenFrom is how far from where the car stands a place may begin that is still
// judged from there: as far as notes reach that tell what was seen.
const seenFrom geo.Metres = 60

// candidate is a road in doubt to drive along, in one direction.
type candidate struct {
	doubt    int
	segment  roadnet.SegmentID
	stop     roadnet.Position // a kerb from which its doubtful place is seen
	standing bool             // there is such a kerb
}

func (c candidate) begin() roadnet.Position { return roadnet.Position{Segment: c.segment} }

func (a *Area) end(c candidate) roadnet.Position {
	return roadnet.Position{Segment: c.segment, Along: a.Net.Length(c.segment.Stretch())}
}

// candidates are the roads that are worth most, each in every direction in which
// a car comes along it and home again.
func (a *Area) candidates(p *country.Profile, v *worth, most int) []candidate {
	k := v.knowing(nil)
	gains := make([]float64, len(v.doubts))
	order := make([]int, len(v.doubts))
	for i := range order {
		order[i], gains[i] = i, k.adding(i)
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(gains[j], gains[i]) })
	turning := route.Options{UTurns: true}
	const reach geo.Seconds = 1800 // out, and home: our choice, farther off the way takes the hour
	out := route.NewFinder(a.Weights).From(a.From, reach, turning)
	back := route.NewFinder(a.Weights).Into(a.From, reach, turning)
	var all []candidate
	roads := 0
	for _, i := range order {
		found := false
		for _, forward := range [2]bool{true, false} {
			c := candidate{doubt: i, segment: v.doubts[i].stretch.Segment(forward)}
			if !a.Weights.Open(c.segment) || a.Net.Zone(v.doubts[i].stretch) != 0 {
				continue
			}
			_, there := out.Ms(c.begin())
			_, home := back.Ms(a.end(c))
			if there && home {
				c.stop, c.standing = stopIn(a.Net, p, c.segment, v.doubts[i])
				all, found = append(all, c), true
			}
		}
		if found {
			roads++
		}
		if roads == most {
			break
		}
	}
	return all
}

// stopIn is the kerb nearest to the doubtful place of a segment's stretch.
func stopIn(n *roadnet.Network, p *country.Profile, s roadnet.SegmentID, d doubt) (roadnet.Position, bool) {
	from, to := d.place.From, d.place.To
	if d.place.Position.Segment != s {
		length := n.Length(s.Stretch())
		from, to = length-to, length-from
	}
	middle := (from + to) / 2
	best, found := geo.Metres(0), false
	for _, k := range lesson.Kerbs(n, p, s) {
		// Half a car's room from either end of the gap.
		at := min(max(middle, k[0]+6), k[1]-6)
		if off := max(from-at, at-to); off <= seenFrom && (!found || math.Abs(float64(at-middle)) < math.Abs(float64(best-middle))) {
			best, found = at, true
		}
	}
	return roadnet.Position{Segment: s, Along: best}, found
}

// problem is the candidates as stops of a tour from home to home; rewards come
// later. Each takes the time to drive along it, to write it down, and its share of
// a stop.
func (a *Area) problem(all []candidate, minutes float64, t table) *orienteer.Problem {
	n := len(all)
	from, to := make([]roadnet.Position, n+1), make([]roadnet.Position, n+1)
	for i, c := range all {
		from[i], to[i] = a.end(c), c.begin()
	}
	from[n], to[n] = a.From, a.From
	ms := route.NewFinder(a.Weights).Matrix(from, to, geo.Seconds(minutes*60), route.Options{UTurns: true})
	p := &orienteer.Problem{Stops: make([]orienteer.Stop, n), Times: make([][]int64, n+2), Budget: int64(minutes * 60000)}
	for i := range n + 2 {
		p.Times[i] = make([]int64, n+2)
		for j := range n + 2 {
			p.Times[i][j] = orienteer.Never
			if m := ms[min(i, n)][min(j, n)]; m != roadnet.None {
				p.Times[i][j] = int64(m)
			}
		}
	}
	for i, c := range all {
		stop := t.PullUp + t.Pace/stopsAPaced
		if c.standing {
			stop += float64(a.Weights.StopMs(c.stop)) / 1000
		}
		share := t.Write + stop/float64(t.RoadsAStop)
		p.Stops[i] = orienteer.Stop{Service: int64(a.Weights.SegmentMs(c.segment)) + int64(1000*share), Group: -1}
	}
	return p
}

// stopsAPaced is about how many stops there are to one at which the width is
// paced; a drive that comes out too long is cut. Our choice, as drives in town were.
const stopsAPaced = 6
