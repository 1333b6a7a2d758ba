package directions

import (
	"fmt"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// run is a part of the drive between two stops, however many paths it was
// planned as. Offsets are metres from where the car moves off.
type run struct {
	n        *roadnet.Network
	opts     Options
	segments []roadnet.SegmentID
	starts   []geo.Metres // by segment: the offset of its start; below 0 for the first, where the car stood part-way
	end      geo.Metres   // the offset of the stop
	pullUp   roadnet.Side
	carPark  bool // by driving into one
	parts    []part
}

// part is what one drive of the chain has of one of its segments.
type part struct {
	drive, index int
	from, to     geo.Metres // offsets
	along        geo.Metres // along the segment, at from
}

// runs cuts the chain at its stops.
func runs(n *roadnet.Network, chain []Drive, opts Options) []*run {
	var out []*run
	var r *run
	for d, drive := range chain {
		path := drive.Path
		if r == nil {
			r = &run{n: n, opts: opts, segments: path.Segments[:1:1], starts: []geo.Metres{-path.From.Along}}
		} else if before := chain[d-1].Path.To; before != path.From {
			panic(fmt.Sprintf("directions: drive %d begins elsewhere than the one before ends, with no stop between: bug in the caller", d))
		}
		r.add(d, drive)
		if drive.PullUp != roadnet.SideUnknown || d == len(chain)-1 {
			r.pullUp, r.carPark = drive.PullUp, drive.CarPark
			out = append(out, r)
			r = nil
		}
	}
	return out
}

func (r *run) add(d int, drive Drive) {
	path := drive.Path
	for i, s := range path.Segments {
		if i > 0 {
			last := len(r.segments) - 1
			r.starts = append(r.starts, r.starts[last]+r.n.Length(r.segments[last].Stretch()))
			r.segments = append(r.segments, s)
		}
		p := part{drive: d, index: i}
		to := r.n.Length(s.Stretch())
		if i == 0 {
			p.along = path.From.Along
		}
		if i == len(path.Segments)-1 {
			to = path.To.Along
		}
		start := r.starts[len(r.starts)-1]
		p.from, p.to = start+p.along, start+to
		r.parts = append(r.parts, p)
		r.end = p.to
	}
}

// spot is where an offset lies in the chain.
func (r *run) spot(offset geo.Metres) Spot {
	for _, p := range r.parts {
		if offset < p.to {
			return Spot{p.drive, p.index, max(p.along, p.along+offset-p.from)}
		}
	}
	p := r.parts[len(r.parts)-1]
	return Spot{p.drive, p.index, p.along + p.to - p.from}
}

// speed is that of the learner on the i-th segment.
func (r *run) speed(i int) geo.MetresPerSecond {
	ms := r.opts.Pace.SegmentMs(r.segments[i])
	return geo.MetresPerSecond(float64(r.n.Length(r.segments[i].Stretch())) * 1000 / float64(max(ms, 1)))
}

// attributes are those of most use for a whole stretch: of its middle.
func attributes(n *roadnet.Network, s roadnet.StretchID) *roadnet.Attributes {
	return n.PieceAt(s, n.Length(s)/2).Attributes
}

// ring says whether a segment is part of a roundabout.
func ring(n *roadnet.Network, s roadnet.SegmentID) bool {
	return attributes(n, s.Stretch()).Flags&roadnet.Roundabout != 0
}

// rank orders roads by how much a driver takes them for the main one; lower is
// more. Unclassified and residential roads look alike.
func rank(n *roadnet.Network, s roadnet.SegmentID) int {
	switch c := attributes(n, s.Stretch()).Class; c {
	case extract.Unclassified, extract.Residential, extract.PlainRoad:
		return int(extract.Unclassified)
	default:
		return int(c)
	}
}

// oneWay says whether a car may drive the segment but not the way back.
func oneWay(n *roadnet.Network, s roadnet.SegmentID) bool {
	return n.Drivable(s) && !n.Drivable(s.Opposite())
}

// outward is the direction of a segment as one sees it from its start: the
// chord to the point 20 m along, or to its end.
func outward(n *roadnet.Network, s roadnet.SegmentID) geo.Radians {
	a, _ := n.At(roadnet.Position{Segment: s})
	b, _ := n.At(roadnet.Position{Segment: s, Along: min(seen, n.Length(s.Stretch()))})
	return geo.Heading(a, b)
}

// seen is how much of a road's mouth shows its direction: past the kerb radius
// of a side road, well before its first bend. Our choice.
const seen = 20 * geo.Metres(1)
