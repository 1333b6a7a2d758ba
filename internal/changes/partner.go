package changes

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// How far a part of a road may lie from its partner. Our choices: a road is
// redrawn within some metres; a way that keeps its number may have been moved
// further.
const (
	near    geo.Metres  = 10
	sameWay geo.Metres  = 30
	alike   geo.Radians = 20 * geo.Degree
	bent    geo.Radians = 45 * geo.Degree // of the same way
	step    geo.Metres  = 20              // longest part that is compared
)

// part is a short run of a piece of a stretch.
type part struct {
	piece   *roadnet.Piece
	line    orb.LineString // forward along the stretch
	length  geo.Metres
	middle  orb.Point
	heading geo.Radians
}

// parts cuts a stretch into parts of one piece each.
func parts(n *roadnet.Network, s roadnet.StretchID) []part {
	line := n.Line(s.Segment(true))
	plane := geo.PlaneAt(line[0])
	flat := plane.Line(line)
	whole := flat.Length()
	if whole == 0 {
		return nil
	}
	scale := n.Length(s) / whole
	var out []part
	pieces := n.Pieces(s)
	for i := range pieces {
		p := &pieces[i]
		length := p.To - p.From
		count := max(math.Ceil(float64(length/step)), 1)
		each := length / geo.Metres(count)
		for k := range int(count) {
			from := (p.From + geo.Metres(k)*each) / scale
			run := flat.Slice(from, from+each/scale)
			if len(run) < 2 {
				continue
			}
			middle, heading := flat.At(from + each/scale/2)
			positions := make(orb.LineString, len(run))
			for j, v := range run {
				positions[j] = rounded(plane.From(v))
			}
			out = append(out, part{p, positions, each, plane.From(middle), heading})
		}
	}
	return out
}

// rounded is a position to the extract's own 10⁻⁷ degrees, so that parts join.
func rounded(p orb.Point) orb.Point {
	return orb.Point{math.Round(p[0]*1e7) / 1e7, math.Round(p[1]*1e7) / 1e7}
}

// partner is where a part lies on another network.
type partner struct {
	stretch roadnet.StretchID
	piece   roadnet.Piece
	turned  bool // the stretch runs the other way
}

// finder finds partners on a network.
type finder struct {
	n *roadnet.Network
}

// partner is the same way where it lies within 30 m, else the nearest road
// within 10 m that runs alike; but one that is driven the other way only where
// nothing else serves, since the halves of a road swap their numbers at times.
func (f finder) partner(p part) (best partner, ok bool) {
	bestRank, bestAway := rank{}, geo.Metres(0)
	f.visit(p.middle, sameWay, func(c partner, away geo.Metres, runs geo.Radians) {
		turn := geo.Radians(math.Abs(float64(geo.Turned(p.heading, runs))))
		same := c.piece.Way == p.piece.Way
		within, fit := near, alike
		if same {
			within, fit = sameWay, bent
		}
		if away > within || min(turn, math.Pi-turn) > fit {
			return
		}
		c.turned = turn > math.Pi/2
		r := rank{against(p.piece.Attributes, &c), !same}
		if !ok || r.less(bestRank) || r == bestRank && away < bestAway {
			best, bestRank, bestAway, ok = c, r, away, true
		}
	})
	return best, ok
}

// rank orders candidates; false is better.
type rank struct{ against, other bool }

func (r rank) less(s rank) bool {
	if r.against != s.against {
		return !r.against
	}
	return !r.other && s.other
}

// against says whether both roads are driven one way only, and not the same.
func against(a *roadnet.Attributes, c *partner) bool {
	forward, back := c.directions()
	was, is := ways(c.piece.Attributes, forward, back), ways(a, 0, 1)
	return was == onward && is == backward || was == backward && is == onward
}

// directions are the partner's directions as the part runs: onward and back.
func (c *partner) directions() (onward, back int) {
	if c.turned {
		return 1, 0
	}
	return 0, 1
}

// there says whether any road lies within 10 m, however it runs.
func (f finder) there(at orb.Point) (yes bool) {
	f.visit(at, near, func(partner, geo.Metres, geo.Radians) { yes = true })
	return yes
}

// sliver is left off the ends of a piece, lest a millimetre of the next one tell
// its heading.
const sliver geo.Metres = 0.01

// visit goes through the pieces of roads within a distance, by stretch: where
// each is nearest, how far away and the heading there.
func (f finder) visit(at orb.Point, within geo.Metres, take func(c partner, away geo.Metres, heading geo.Radians)) {
	plane := geo.PlaneAt(at)
	far := float64(within)
	var hits []roadnet.StretchID
	f.n.Within(orb.Bound{Min: plane.From(geo.XY{X: -far, Y: -far}), Max: plane.From(geo.XY{X: far, Y: far})}, func(s roadnet.StretchID) bool {
		hits = append(hits, s)
		return true
	})
	slices.Sort(hits)
	for _, s := range hits {
		line := plane.Line(f.n.Line(s.Segment(true)))
		whole := line.Length()
		if whole == 0 {
			continue
		}
		scale := f.n.Length(s) / whole
		for _, piece := range f.n.Pieces(s) {
			run := line.Slice(piece.From/scale+sliver, piece.To/scale-sliver)
			if len(run) < 2 {
				continue
			}
			along, away, _ := run.Nearest(geo.XY{})
			if away > within {
				continue
			}
			_, heading := run.At(along)
			take(partner{stretch: s, piece: piece}, away, heading)
		}
	}
}
