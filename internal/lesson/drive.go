package lesson

import (
	"github.com/paulmach/orb"

	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// drive is one drive without a break in it, joined from paths and walked
// through the network's turns, so that what a restriction over several ways
// remembers is carried over every joint.
type drive struct {
	route.Path
	w      *route.Weights
	starts []uint32 // ms at the start of each segment
}

// spot is a point of a drive: a segment of it, by index, and metres along.
type spot struct {
	index int
	along geo.Metres
}

func (s spot) before(t spot) bool {
	return s.index < t.index || s.index == t.index && s.along < t.along
}

// join makes one drive of paths that follow one another, each beginning at the
// position where the one before ended; opts holds the drive that the car comes
// from, if what came before still binds. It gives the spots of the
// ends of the paths; false where the whole is barred though each path is legal.
func join(w *route.Weights, opts route.Options, paths []route.Path) (*drive, []spot, bool) {
	var segments []roadnet.SegmentID
	ends := make([]spot, 0, len(paths))
	for i, p := range paths {
		part := p.Segments
		if i > 0 {
			part = part[1:]
		}
		segments = append(segments, part...)
		ends = append(ends, spot{len(segments) - 1, p.To.Along})
	}
	whole, ok := w.Drive(paths[0].From, paths[len(paths)-1].To, segments, opts)
	if !ok {
		return nil, nil, false
	}
	return &drive{whole, w, w.Timeline(whole)}, ends, true
}

// position is the spot in the network.
func (d *drive) position(s spot) roadnet.Position {
	return roadnet.Position{Segment: d.Segments[s.index], Along: s.along}
}

func (d *drive) start() spot { return spot{0, d.From.Along} }
func (d *drive) end() spot   { return spot{len(d.Segments) - 1, d.To.Along} }

// at is the driving time in milliseconds from the drive's start to a spot,
// stops not counted.
func (d *drive) at(s spot) int64 { return int64(d.w.TimeAt(d.Path, d.starts, s.index, s.along)) }

// after is where the drive is so many milliseconds after a, b at the latest, to
// a centimetre.
func (d *drive) after(a, b spot, ms int64) spot {
	goal := d.at(a) + ms
	if goal >= d.at(b) {
		return b
	}
	i := b.index
	for i > a.index && int64(d.starts[i]) > goal {
		i--
	}
	from, to := d.extent(i, a, b)
	for to-from > 0.01 {
		if middle := (from + to) / 2; d.at(spot{i, middle}) > goal {
			to = middle
		} else {
			from = middle
		}
	}
	return spot{i, from}
}

// part is the path between two spots.
func (d *drive) part(a, b spot) route.Path {
	p := route.Path{
		From: d.position(a), To: d.position(b),
		States: d.States[a.index : b.index+1], Segments: d.Segments[a.index : b.index+1],
		Ms: uint32(d.at(b) - d.at(a)),
	}
	for i := a.index; i <= b.index; i++ {
		from, to := d.extent(i, a, b)
		p.Length += to - from
	}
	return p
}

// extent is what is driven of the i-th segment between two spots.
func (d *drive) extent(i int, a, b spot) (from, to geo.Metres) {
	to = d.w.Network().Length(d.Segments[i].Stretch())
	if i == a.index {
		from = a.along
	}
	if i == b.index {
		to = b.along
	}
	return from, to
}

// atVertex is how near a vertex a stop is put onto it: five times what the
// file's seven decimals round away.
const atVertex geo.Metres = 0.05

// line is the drawn line of a segment between two distances along it: every
// vertex of the network, and a point part-way only at the two ends.
func line(n *roadnet.Network, s roadnet.SegmentID, from, to geo.Metres) orb.LineString {
	vertices, along := measured(n, s)
	var out orb.LineString
	for i, v := range vertices {
		if along[i] < from-atVertex || along[i] > to+atVertex {
			continue
		}
		if len(out) == 0 && along[i] > from+atVertex {
			out = append(out, between(vertices, along, i, from))
		}
		out = append(out, v)
	}
	if len(out) == 0 { // both ends between the same two vertices
		i := 1
		for along[i] < to {
			i++
		}
		return orb.LineString{between(vertices, along, i, from), between(vertices, along, i, to)}
	}
	if i := next(along, to); i < len(along) && along[i] > to+atVertex && along[i-1] < to-atVertex {
		out = append(out, between(vertices, along, i, to))
	}
	return out
}

// next is the index of the first vertex at or beyond a distance.
func next(along []geo.Metres, at geo.Metres) int {
	i := 1
	for i < len(along) && along[i] < at {
		i++
	}
	return i
}

// between is the point a distance along the line, before vertex i.
func between(vertices orb.LineString, along []geo.Metres, i int, at geo.Metres) orb.Point {
	a, b := vertices[i-1], vertices[i]
	t := float64((at - along[i-1]) / (along[i] - along[i-1]))
	return orb.Point{a.Lon() + t*(b.Lon()-a.Lon()), a.Lat() + t*(b.Lat()-a.Lat())}
}

// measured is a segment's line with the distance along it at each vertex, by
// the network's measure of its length.
func measured(n *roadnet.Network, s roadnet.SegmentID) (orb.LineString, []geo.Metres) {
	vertices := n.Line(s)
	along := make([]geo.Metres, len(vertices))
	for i := 1; i < len(vertices); i++ {
		along[i] = along[i-1] + geo.Distance(vertices[i-1], vertices[i])
	}
	length := n.Length(s.Stretch())
	if total := along[len(along)-1]; total > 0 {
		for i := range along {
			along[i] *= length / total
		}
	}
	along[len(along)-1] = length
	return vertices, along
}

// pointAt is the position in degrees, on the vertex where it is as good as
// there, with the heading of the car.
func pointAt(n *roadnet.Network, p roadnet.Position) (orb.Point, geo.Radians) {
	vertices, along := measured(n, p.Segment)
	i := min(next(along, p.Along), len(along)-1)
	heading := geo.Heading(vertices[i-1], vertices[i])
	switch {
	case along[i]-p.Along <= atVertex:
		return vertices[i], heading
	case p.Along-along[i-1] <= atVertex:
		return vertices[i-1], heading
	}
	return between(vertices, along, i, p.Along), heading
}

// drawn is the line and the signed ways of the part between two spots. A way
// is listed again where the drive comes back to it or joins it elsewhere.
func (d *drive) drawn(a, b spot) (orb.LineString, []int64) {
	var out orb.LineString
	var ways []int64
	last := wayEnd{}
	for i := a.index; i <= b.index; i++ {
		from, to := d.extent(i, a, b)
		part := line(d.w.Network(), d.Segments[i], from, to)
		if len(out) > 0 && len(part) > 0 {
			part = part[1:]
		}
		out = append(out, part...)
		ways, last = appendWays(ways, last, d.w.Network(), d.Segments[i], from, to)
	}
	return out, ways
}

// wayEnd is where along a way, in nodes, the listing has come to.
type wayEnd struct {
	id   int64
	node int64
}

// appendWays lists the ways of a part of a segment.
func appendWays(ways []int64, last wayEnd, n *roadnet.Network, s roadnet.SegmentID, from, to geo.Metres) ([]int64, wayEnd) {
	pieces := n.Pieces(s.Stretch())
	length := n.Length(s.Stretch())
	vertices, _ := n.LineE7(s.Stretch())
	for k := range pieces {
		if !s.Forward() {
			k = len(pieces) - 1 - k
		}
		p := pieces[k]
		lastVertex := uint32(len(vertices) - 1)
		if k+1 < len(pieces) {
			lastVertex = pieces[k+1].FirstVertex
		}
		lo, hi := p.From, p.To
		if !s.Forward() {
			lo, hi = length-p.To, length-p.From
		}
		if over := min(hi, to) - max(lo, from); over <= atVertex && over < hi-lo-1e-6 {
			continue
		}
		enter, leave := int64(p.FirstNode), int64(p.FirstNode)+int64(lastVertex-p.FirstVertex)
		if p.Reversed {
			leave = int64(p.FirstNode) - int64(lastVertex-p.FirstVertex)
		}
		if !s.Forward() {
			enter, leave = leave, enter
		}
		id := int64(p.Way)
		if s.Forward() == p.Reversed {
			id = -id
		}
		if id != last.id || enter != last.node {
			ways = append(ways, id)
		}
		last = wayEnd{id, leave}
	}
	return ways, last
}

// roads are the names of the roads between two spots, each once while it
// lasts; roads without a name are left out.
func (d *drive) roads(a, b spot) []string {
	var out []string
	for i := a.index; i <= b.index; i++ {
		name := d.w.Network().Name(d.w.Network().NameOf(d.Segments[i].Stretch()))
		if name == "" {
			name = d.w.Network().RefOf(d.Segments[i].Stretch())
		}
		if name != "" && (len(out) == 0 || out[len(out)-1] != name) {
			out = append(out, name)
		}
	}
	return out
}

// repeated is the share of the length of some drives that goes along a
// segment, in the same direction, that was driven before.
func repeated(drives ...*drive) float64 {
	share, _ := drivenAgain(drives)
	return share
}

// drivenAgain is repeated, with the segment of the road that it is most of; of
// several, the first.
func drivenAgain(drives []*drive) (share float64, most roadnet.SegmentID) {
	seen := map[roadnet.SegmentID]bool{}
	byRoad := map[string]geo.Metres{}
	longest := geo.Metres(-1)
	var again, all geo.Metres
	for _, d := range drives {
		for i, s := range d.Segments {
			from, to := d.extent(i, d.start(), d.end())
			all += to - from
			if seen[s] {
				again += to - from
				road := roadOf(d.w.Network(), s)
				if byRoad[road] += to - from; byRoad[road] > longest {
					longest, most = byRoad[road], s
				}
			}
			seen[s] = true
		}
	}
	if all == 0 {
		return 0, most
	}
	return float64(again / all), most
}
