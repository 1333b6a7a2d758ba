package assess

import (
	"math"

	"github.com/paulmach/orb"

	"loopwright/internal/elevation"
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/notes"
	"loopwright/internal/roadnet"
)

// site is what the criteria read of one stretch, gathered once for all its
// windows; what takes long, when it is first asked for. Distances are along the
// stretch, forward.
type site struct {
	net     *roadnet.Network
	stretch roadnet.StretchID
	length  geo.Metres
	pieces  []roadnet.Piece
	mouths  []roadnet.Mouth
	things  []roadnet.Thing // those at the ends too
	// beyond is how far past the start and the end the next junction is: 0
	// where the stretch ends at one, infinite where none is near.
	beyond     [2]geo.Metres
	followed   bool // drawn is this stretch's line
	drawn      line
	homes      [2]bool // a residential road meets the start, the end
	inCore     bool
	heights    elevation.Profile
	hasHeights bool
	nearRim    bool
	noted      *notes.Here
	beside     beside
	alikeWidth alike // known once asked for
	alikeCars  alike
	start      orb.Point
}

// window is a part of a stretch at one kerb.
type window struct {
	from, to geo.Metres
	side     roadnet.Side     // of the stretch, looking forward
	forward  bool             // the car arrives along the stretch's own direction
	park     *roadnet.CarPark // of an exercise in a car park
}

// farJunction is where a junction no longer matters: no exercise asks so much.
const farJunction geo.Metres = 500

func (st *site) load(n *roadnet.Network, s roadnet.StretchID) {
	st.net, st.stretch, st.length, st.followed = n, s, n.Length(s), false
	st.pieces, st.mouths = n.Pieces(s), n.Mouths(s)
	st.inCore, st.nearRim = n.InCore(s), n.NearRim(s)
	forward := s.Segment(true)
	st.start = n.NodeAt(n.Tail(forward))
	ends := [2]roadnet.NodeID{n.Tail(forward), n.Head(forward)}
	st.things = append(st.things[:0], roadnet.Thing{Along: 0, Features: n.NodeFeatures(ends[0])})
	st.things = append(st.things, n.Things(s)...)
	st.things = append(st.things, roadnet.Thing{Along: st.length, Features: n.NodeFeatures(ends[1])})
	for i, v := range ends {
		st.beyond[i], st.homes[i] = toJunction(n, v, s), false
		for _, out := range n.Out(v) {
			if c := n.PieceAt(out.Stretch(), 0).Attributes.Class; c == extract.Residential || c == extract.LivingStreet {
				st.homes[i] = st.homes[i] || out.Stretch() != s
			}
		}
	}
	st.heights, st.hasHeights = n.Profile(s)
}

// line is the stretch's line as a driver sees it.
func (st *site) line() *line {
	if !st.followed {
		st.followed = true
		st.drawn.follow(st.net, st.stretch)
	}
	return &st.drawn
}

// toJunction is how far beyond a node, on the road that goes on from stretch s,
// the next junction lies; infinite where the road ends or it is too far to matter.
func toJunction(n *roadnet.Network, v roadnet.NodeID, s roadnet.StretchID) geo.Metres {
	var d geo.Metres
	for d < farJunction {
		if n.Junction(n.JunctionOf(v)).Kind != roadnet.NoJunction {
			return d
		}
		out := n.Out(v)
		next := roadnet.SegmentID(roadnet.None)
		for _, o := range out {
			if o.Stretch() == s {
				continue
			}
			if next != roadnet.SegmentID(roadnet.None) {
				return d // several roads go on, though no driver meets traffic: play safe
			}
			next = o
		}
		if next == roadnet.SegmentID(roadnet.None) {
			break
		}
		s, v = next.Stretch(), n.Head(next)
		d += n.Length(s)
	}
	return geo.Metres(math.Inf(1))
}

// in calls visit for each piece that a window lies on; for a window without
// length, which only a stretch without length has, for every piece.
func (st *site) in(w window, visit func(*roadnet.Piece)) {
	for i := range st.pieces {
		p := &st.pieces[i]
		if p.To > w.from && p.From < w.to || w.from == w.to {
			visit(p)
		}
	}
}

// class is the class of most consequence in a window: the busiest.
func (st *site) class(w window) extract.Class {
	best := extract.ClassUnknown
	st.in(w, func(p *roadnet.Piece) {
		if c := p.Attributes.Class; best == extract.ClassUnknown || c < best {
			best = c
		}
	})
	return best
}

// nearest is the distance from a window to the nearest thing with some of the
// features; ok is false where there is none.
func (st *site) nearest(w window, features extract.Feature) (d geo.Metres, ok bool) {
	best := geo.Metres(math.Inf(1))
	for _, t := range st.things {
		if t.Features&features != 0 {
			best = min(best, max(w.from-t.Along, t.Along-w.to, 0))
		}
	}
	return best, !math.IsInf(float64(best), 1)
}
