package notes

import (
	"bytes"
	"cmp"
	"math"
	"slices"
	"sort"

	"github.com/paulmach/orb"

	"loopwright/internal/extract"
	"loopwright/internal/gazetteer"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// How far a note may lie from the road that it is laid on. Our choices: a road
// is redrawn within some metres; a way that keeps its number, its course and its
// name is the same road though it was moved a little further; and a road without
// a name that lies where it lay was given one since.
const (
	near       geo.Metres  = 10
	sameWay    geo.Metres  = 30
	sameLine   geo.Metres  = 3
	alike      geo.Radians = 20 * geo.Degree
	sameWayFit geo.Radians = 45 * geo.Degree
)

// spot is where a note lies on a network.
type spot struct {
	note    packed
	stretch roadnet.StretchID
	kind    Kind         // of the note, at hand
	side    roadnet.Side // of the stretch, looking forward
	along   geo.Metres   // from the stretch's start
}

// order is lay's; the cheaper comparisons spare the dearer ones.
func order(a, b spot) int {
	if a.stretch != b.stretch {
		return cmp.Compare(a.stretch, b.stretch)
	}
	if a.along != b.along {
		return cmp.Compare(a.along, b.along)
	}
	return bytes.Compare(a.note[:32], b.note[:32])
}

// lay finds the stretches of notes, by stretch, then along it, of those at one
// point by name; those that have none come back by name. A note goes
//
//  1. to the kerb of its way, if that lies where the note was made;
//  2. else to the same way within 10 m, or within 30 m if it is called the same;
//  3. else to the nearest road within 10 m that runs alike, within 20°, and is
//     called the same; where it was made on a road without a name, to any within
//     3 m that runs alike.
//
// The side goes by the heading, since a way may have been turned round.
func lay(n *roadnet.Network, all []packed) (spots []spot, rest []packed) {
	ways := map[extract.WayID][]roadnet.WayPiece{}
	byWay := make([]spot, 0, len(all))
	count := make([]uint32, n.NumStretches()+1)
	var astray []packed
	for _, note := range all {
		way := note.way()
		pieces, known := ways[way]
		if !known {
			pieces = n.PiecesOfWay(way)
			ways[way] = pieces
		}
		s, along, ok := locate(pieces, note.along())
		if !ok {
			astray = append(astray, note)
			continue
		}
		byWay = append(byWay, spot{note: note, kind: note.kind(), stretch: s, along: along})
		count[s+1]++
	}
	for s := range n.NumStretches() {
		count[s+1] += count[s]
	}
	spots = make([]spot, len(byWay), len(all))
	for _, p := range byWay {
		spots[count[p.stretch]] = p
		count[p.stretch]++
	}
	kept := spots[:0]
	var l line
	for _, p := range spots {
		l.load(n, p.stretch)
		away, heading := l.at(p.along, p.note.at())
		if away > near || turned(heading, p.note.heading()) > sameWayFit {
			astray = append(astray, p.note)
			continue
		}
		p.side = sideBy(p.note, heading)
		kept = append(kept, p)
	}
	for _, note := range astray {
		if p, ok := search(n, note); ok {
			kept = append(kept, p)
		} else {
			rest = append(rest, note)
		}
	}
	slices.SortFunc(kept, order)
	slices.SortFunc(rest, func(a, b packed) int { return bytes.Compare(a[:32], b[:32]) })
	return kept, rest
}

// locate finds the metres along a way among its pieces.
func locate(pieces []roadnet.WayPiece, at geo.Metres) (roadnet.StretchID, geo.Metres, bool) {
	i := sort.Search(len(pieces), func(i int) bool { return pieces[i].High >= at })
	if i == len(pieces) {
		i--
	}
	if i < 0 {
		return 0, 0, false
	}
	p := &pieces[i]
	into := min(max(at, p.Low), p.High) - p.Low
	if p.Reversed {
		into = p.High - p.Low - into
	}
	return p.Stretch, p.From + into, true
}

// search looks for a road by where the note lies.
func search(n *roadnet.Network, note packed) (spot, bool) {
	full, err := note.note()
	if err != nil {
		return spot{}, false
	}
	way, road := full.Place.Kerb.Way, full.Place.Road
	if p, ok := nearest(n, note, near, sameWayFit, func(piece *roadnet.Piece) bool { return piece.Way == way }); ok {
		return p, true
	}
	if p, ok := nearest(n, note, sameWay, sameWayFit, func(piece *roadnet.Piece) bool { return piece.Way == way && called(n, piece, road) }); ok {
		return p, true
	}
	if p, ok := nearest(n, note, near, alike, func(piece *roadnet.Piece) bool { return called(n, piece, road) }); ok || road != "" {
		return p, ok
	}
	return nearest(n, note, sameLine, alike, func(*roadnet.Piece) bool { return true })
}

// called says whether a piece of road has a name or number, or none where road
// is "".
func called(n *roadnet.Network, p *roadnet.Piece, road string) bool {
	if road == "" {
		return p.Name == 0 && p.Ref == 0
	}
	return p.Name != 0 && gazetteer.SameName(n.Name(p.Name), road) || p.Ref != 0 && n.Name(p.Ref) == road
}

// nearest finds the nearest point of the pieces that are taken, where the road
// runs like the note's, either way.
func nearest(n *roadnet.Network, note packed, within geo.Metres, fit geo.Radians, take func(*roadnet.Piece) bool) (best spot, ok bool) {
	plane, heading := geo.PlaneAt(note.at()), note.heading()
	var stretches []roadnet.StretchID
	n.Within(around(plane, within), func(s roadnet.StretchID) bool {
		stretches = append(stretches, s)
		return true
	})
	slices.Sort(stretches)
	bestAway := within
	for _, s := range stretches {
		line := plane.Line(n.Line(s.Segment(true)))
		scale := scaleOf(n.Length(s), line.Length())
		for _, piece := range n.Pieces(s) {
			if !take(&piece) {
				continue
			}
			from := piece.From / scale
			part := line.Slice(from, piece.To/scale)
			along, away, _ := part.Nearest(geo.XY{})
			if len(part) == 0 || away > bestAway || ok && away == bestAway {
				continue
			}
			_, runs := line.At(from + along)
			if turned(runs, heading) > fit {
				continue
			}
			best = spot{note: note, kind: note.kind(), stretch: s, along: min((from+along)*scale, n.Length(s)), side: sideBy(note, runs)}
			bestAway, ok = away, true
		}
	}
	return best, ok
}

// scaleOf turns metres on a plane into the network's, which differ by parts in
// ten thousand.
func scaleOf(length, onPlane geo.Metres) geo.Metres {
	if onPlane == 0 {
		return 1
	}
	return length / onPlane
}

func around(plane geo.Plane, r geo.Metres) orb.Bound {
	a, b := plane.From(geo.XY{X: -float64(r), Y: -float64(r)}), plane.From(geo.XY{X: float64(r), Y: float64(r)})
	return orb.Bound{Min: a, Max: b}
}

// turned is the angle between two headings of which either may be turned round.
func turned(a, b geo.Radians) geo.Radians {
	t := geo.Radians(math.Abs(float64(geo.Turned(a, b))))
	return min(t, math.Pi-t)
}

// sideBy is a note's side of a road that has a heading there.
func sideBy(note packed, heading geo.Radians) roadnet.Side {
	if math.Abs(float64(geo.Turned(heading, note.heading()))) > math.Pi/2 {
		return note.side().Opposite()
	}
	return note.side()
}

// line is the shape of the stretch last loaded.
type line struct {
	stretch  roadnet.StretchID
	plane    geo.Plane
	points   geo.Polyline
	from     []geo.Metres // of each part, in the network's metres
	headings []geo.Radians
}

func (l *line) load(n *roadnet.Network, s roadnet.StretchID) {
	if l.points != nil && l.stretch == s {
		return
	}
	ls := n.Line(s.Segment(true))
	l.stretch, l.plane = s, geo.PlaneAt(ls[0])
	l.points = l.plane.Line(ls)
	scale := scaleOf(n.Length(s), l.points.Length())
	l.from, l.headings = l.from[:0], l.headings[:0]
	sum := geo.Metres(0)
	for i := 1; i < len(l.points); i++ {
		d := l.points[i].Sub(l.points[i-1])
		l.from = append(l.from, sum)
		l.headings = append(l.headings, d.Heading())
		sum += d.Norm() * scale
	}
}

// at gives how far a position lies from the point along the stretch, and the
// heading there.
func (l *line) at(along geo.Metres, p orb.Point) (geo.Metres, geo.Radians) {
	i := sort.Search(len(l.from), func(i int) bool { return l.from[i] > along })
	i = max(i-1, 0)
	on := l.points[i].Add(geo.Towards(l.headings[i]).Scale(float64(along - l.from[i])))
	return l.plane.To(p).Sub(on).Norm(), l.headings[i]
}
