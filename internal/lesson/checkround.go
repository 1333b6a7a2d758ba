package lesson

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// endsAt says whether a leg ends at a stop.
func endsAt(l circuit.Leg, s circuit.Stop) bool {
	return len(l.Line) > 0 && same(l.Line[len(l.Line)-1], s.At) && math.Abs(s.AtS-l.AtS-l.DriveS) <= slackS
}

// endsInCorner says whether a go at a place ends in the side road that was passed
// before it.
func endsInCorner(p circuit.Practice) bool {
	ex, err := assess.Named(p.Exercise)
	return err == nil && ex.Corner
}

// leftInCorner says whether the car stands in a side road after the practice at
// the end of a leg.
func (k *checker) leftInCorner(leg int) bool {
	for _, p := range k.c.Practices() {
		if endsAt(k.c.Legs[leg], p.Stop) && endsInCorner(p.Practice) {
			return true
		}
	}
	return false
}

// How far into the side road a car is said to stand, and at which angle that
// road leaves the one driven along, in degrees. Our choice, a car's length to
// either side of what is usual.
const (
	leastIn, mostIn       geo.Metres = 10, 40
	leastAside, mostAside            = 50.0, 130.0
	aheadToSee            geo.Metres = 15 // of a road, to tell where it leads
)

// corner is the side road on the driving side that a drive passed last, as the
// segment out of it; false where there is none.
func (w *walker) corner(along roadnet.SegmentID) (roadnet.SegmentID, bool) {
	ahead := w.leads(along)
	for _, side := range w.n.Out(w.n.Tail(along)) {
		turned := geo.Turned(ahead, w.leads(side)).Degrees()
		if side != along && math.Abs(turned) > leastAside && math.Abs(turned) < mostAside && turned < 0 == w.left {
			return side.Opposite(), true
		}
	}
	return 0, false
}

// inCorner are the places in the network where a drive may begin at a, going on
// to b, that lie in the side road which a drive passed last.
func (w *walker) inCorner(along roadnet.SegmentID, a, b orb.Point) []visit {
	side, ok := w.corner(along)
	return slices.DeleteFunc(w.starts(a, b), func(v visit) bool {
		from := w.n.Length(v.segment.Stretch()) - v.from
		return !ok || v.segment != side || from < leastIn || from > mostIn
	})
}

// leads is the heading in which a road leaves its node.
func (w *walker) leads(s roadnet.SegmentID) geo.Radians {
	g := w.of(s)
	i := 1
	for i+1 < len(g.line) && g.along[i] < aheadToSee {
		i++
	}
	return geo.Heading(g.line[0], g.line[i])
}

// round checks the way round to the next go: it is there where the car needs it,
// begins where a go leaves the car and ends where the next begins, every movement
// of it is legal and taught, and it is as long as it says.
func (k *checker) round(p circuit.Practice, stood visit, where string) {
	r := p.Round
	if (r != nil) != (drivesRound(k.ex) && p.Goes > 1) {
		k.tell(MustGo, "a way round to the next go is missing, or is not needed", where)
	}
	if r == nil {
		return
	}
	where += ", the way round"
	if len(r.Line) < 2 || !same(r.Line[len(r.Line)-1], p.At) {
		k.tell(MustGo, "does not end where the next go begins", where)
		return
	}
	if r.Say == "" {
		k.tell(MustSay, "says nothing", where)
	}
	from := []visit{stood}
	if k.ex.Corner {
		from = k.w.inCorner(stood.segment, r.Line[0], r.Line[1])
	} else if !same(r.Line[0], p.At) {
		from = nil
	}
	if len(from) == 0 {
		k.tell(MustGo, "does not begin where a go leaves the car", where)
		return
	}
	from[0].turn = roadnet.TurnID(roadnet.None)
	trail, f := k.w.follow(from[0], r.Line)
	if f != nil {
		k.tell(f.must, f.what, fmt.Sprintf("%s, at %s", where, place(r.Line[f.index])))
		return
	}
	if s := k.driven(k.clocks[circuit.Learner], trail); math.Abs(s-r.DriveS) > slackS+slackDrive*s || s > k.table.Goes.RoundMostS+slackS {
		k.tellf(MustKeepTime, where, "takes %.0f s to drive, it says %.0f s; %.0f s is the most", s, r.DriveS, k.table.Goes.RoundMostS)
	}
	if !slices.Equal(k.w.ways(trail), once(r.Ways)) {
		k.tellf(MustNameWays, where, "ways are %v, driven are %v", r.Ways, k.w.ways(trail))
	}
	for _, v := range trail {
		if v.turn != roadnet.TurnID(roadnet.None) && k.n.TurnAt(v.turn).U && !k.turns {
			k.tell(MustNotTurnBack, "turns back", where)
		}
		if use := k.use(v); use != extract.Through {
			k.tellf(MustBeLegal, where, "%s is not open to a learner's car", k.road(v))
		}
	}
	if k.untaught != nil {
		k.taught(k.untaught, trail, where)
	}
}
