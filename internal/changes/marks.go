package changes

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// moved is how far a hump or a barrier may have been redrawn: our choice.
const moved geo.Metres = 15

// mark is a place on a road where something stands.
type mark struct {
	at      orb.Point
	heading geo.Radians
	stretch roadnet.StretchID
	along   geo.Metres
}

// part is the point of road that it is on.
func (k mark) part(piece *roadnet.Piece) part {
	return part{piece: piece, middle: k.at, heading: k.heading}
}

// marks tells the places where one network has something and the other has not,
// though both have the road.
func (c *comparison) marks(kind Kind, feature extract.Feature) {
	before, after := marks(c.old, feature), marks(c.now, feature)
	was, is := cells(before), cells(after)
	old := finder{n: c.old}
	for _, k := range after {
		piece := c.now.PieceAt(k.stretch, k.along)
		if _, known := old.partner(k.part(&piece)); known && !was.near(k.at) {
			c.tell(key{kind, piece.Way, "", here}, nameOf(c.now, &piece), dot(k.at), 0, c.now.NearRim(k.stretch), k.stretch)
		}
	}
	now := finder{n: c.now}
	for _, k := range before {
		piece := c.old.PieceAt(k.stretch, k.along)
		if on, still := now.partner(k.part(&piece)); still && !is.near(k.at) {
			c.tell(key{kind, on.piece.Way, here, ""}, nameOf(c.now, &on.piece), dot(k.at), 0, c.now.NearRim(on.stretch), on.stretch)
		}
	}
}

// here stands for the places of a change until they are counted.
const here = "here"

// countMarks says at how many places.
func (c *comparison) countMarks() {
	for i := range c.all {
		ch := &c.all[i]
		for _, words := range []*string{&ch.Was, &ch.Is} {
			switch {
			case *words != here:
			case len(ch.Where) == 1:
				*words = "at 1 place"
			default:
				*words = fmt.Sprintf("at %d places", len(ch.Where))
			}
		}
	}
}

// dot is a point as a line, so that every change has lines.
func dot(p orb.Point) orb.LineString { return orb.LineString{p, p} }

// marks are all places of a network that have a feature, by stretch, each once.
func marks(n *roadnet.Network, feature extract.Feature) []mark {
	var out []mark
	seen := map[roadnet.NodeID]bool{}
	for s := range roadnet.StretchID(n.NumStretches()) {
		seg := s.Segment(true)
		add := func(along geo.Metres) {
			at, heading := n.At(roadnet.Position{Segment: seg, Along: along})
			out = append(out, mark{at, heading, s, along})
		}
		for i, v := range [2]roadnet.NodeID{n.Tail(seg), n.Head(seg)} {
			if n.NodeFeatures(v)&feature != 0 && !seen[v] {
				seen[v] = true
				add(geo.Metres(i) * n.Length(s))
			}
		}
		for _, t := range n.Things(s) {
			if t.Features&feature != 0 {
				add(t.Along)
			}
		}
	}
	return out
}

// grid finds marks near a position.
type grid map[[2]int32][]orb.Point

// cellsPerDegree makes cells of some 56 m north to south; east to west they are
// no less than twice moved wide up to 60° of latitude, and beyond it two columns
// are looked at.
const cellsPerDegree = 2000

func cellOf(p orb.Point) [2]int32 {
	return [2]int32{int32(math.Floor(p[0] * cellsPerDegree)), int32(math.Floor(p[1] * cellsPerDegree))}
}

func cells(all []mark) grid {
	g := grid{}
	for _, k := range all {
		c := cellOf(k.at)
		g[c] = append(g[c], k.at)
	}
	return g
}

func (g grid) near(p orb.Point) bool {
	c := cellOf(p)
	for dx := int32(-2); dx <= 2; dx++ {
		for dy := int32(-1); dy <= 1; dy++ {
			for _, q := range g[[2]int32{c[0] + dx, c[1] + dy}] {
				if geo.Distance(p, q) <= moved {
					return true
				}
			}
		}
	}
	return false
}
