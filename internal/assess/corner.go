package assess

import (
	"math"

	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// sideRoad is the word for a corner that may be reversed round.
const sideRoad = "side road"

// Where a car pulls up past a corner, how far into the side road it comes to
// rest, and the room past the corner. Our choice: the corner's own curve and a car length, and the 25 m of
// clear kerb that common practice asks.
const (
	pastMouth geo.Metres = 10
	intoSide  geo.Metres = 25
	roomPast  geo.Metres = 25
)

// corner is the side road that a car has just passed at the start of a segment.
type corner struct {
	word   string
	length geo.Metres // of the side road to its next node
	after  roadnet.Position
}

// pastCorner is the window just past the start of the driven segment.
func (a *Assessor) pastCorner(ex *Exercise, w window) window {
	size := min(ex.Window, a.site.length)
	w.from = min(pastMouth, a.site.length-size)
	if !w.forward {
		w.from = a.site.length - size - w.from
	}
	w.to = w.from + size
	return w
}

// cornerAt looks for a side road on the driving side at the start of a segment:
// a plain junction of three arms, where the road driven goes on and the side
// road leaves it at something like a right angle.
func (a *Assessor) cornerAt(seg roadnet.SegmentID) corner {
	n := a.net
	at := n.Tail(seg)
	j := n.Junction(n.JunctionOf(at))
	if j.Kind != roadnet.PlainJunction {
		if j.Kind == roadnet.NoJunction {
			return corner{word: "none"}
		}
		return corner{word: "controlled"}
	}
	if j.Arms != 3 || len(n.Out(at)) != 3 {
		return corner{word: "crossroads"}
	}
	plane := geo.PlaneAt(n.NodeAt(at))
	start := plane.To(n.NodeAt(at))
	_, ahead := n.At(roadnet.Position{Segment: seg, Along: min(15, n.Length(seg.Stretch()))})
	var side roadnet.SegmentID = roadnet.SegmentID(roadnet.None)
	goesOn := false
	for _, out := range n.Out(at) {
		if out == seg {
			continue
		}
		p, _ := n.At(roadnet.Position{Segment: out, Along: min(15, n.Length(out.Stretch()))})
		turned := geo.Turned(ahead, plane.To(p).Sub(start).Heading()).Degrees()
		if a.profile.DrivesLeft {
			turned = -turned
		}
		switch {
		case math.Abs(turned) > 140:
			goesOn = true
		case turned > 50 && turned < 130:
			side = out
		}
	}
	if !goesOn || side == roadnet.SegmentID(roadnet.None) {
		return corner{word: "none"}
	}
	if n.Length(seg.Stretch()) < pastMouth+roomPast {
		return corner{word: "no room past it"}
	}
	length := n.Length(side.Stretch())
	c := corner{word: sideRoad, length: length, after: roadnet.Position{Segment: side.Opposite(), Along: length - min(intoSide, length)}}
	ours, theirs := n.PieceAt(seg.Stretch(), 0).Attributes, n.PieceAt(side.Stretch(), 0).Attributes
	switch {
	case !n.Drivable(side) || !n.Drivable(side.Opposite()):
		c.word = "one-way"
	case theirs.Class < ours.Class:
		c.word = "busier road"
	}
	return c
}

func readCorner(a *Assessor, st *site, w window) answer {
	c := a.cornerAt(st.stretch.Segment(w.forward))
	return answer{word: c.word, evidence: Inferred, source: "from the mapped roads at the junction just passed"}
}

// readCornerLength is how long the side road is: the car comes to rest in it,
// clear of its far end.
func readCornerLength(a *Assessor, st *site, w window) answer {
	c := a.cornerAt(st.stretch.Segment(w.forward))
	if c.word == "none" || c.word == "no room past it" || c.word == "controlled" || c.word == "crossroads" {
		return answer{skip: true}
	}
	return answer{mean: math.Min(float64(c.length), float64(farJunction)), evidence: Inferred, source: "from the mapped line of the side road"}
}

// readAhead is how far it is from the window to the junction ahead.
func readAhead(a *Assessor, st *site, w window) answer {
	d := st.length - w.to + st.beyond[1]
	if !w.forward {
		d = w.from + st.beyond[0]
	}
	if d > farJunction {
		return answer{mean: float64(farJunction), evidence: Inferred, source: "no junction near ahead on this road"}
	}
	return answer{mean: float64(d), sd: a.table.spreads.Junction, evidence: Inferred, source: "from the mapped line to the junction ahead"}
}
