// Package route finds the quickest legal drives of a learner's car.
//
// In go a network and a Pace, which says how fast a learner of some stage
// drives and what each kind of junction costs them. Weights turns the two into
// whole milliseconds: so much to run along a segment, so much for a turn. A
// Finder then searches: From one position to all that lie within a bound, or
// Into one position from all. The Tree that comes back gives times and paths.
//
// What is searched are states (a segment, and what a restriction over several
// ways remembers), since the cost and the legality of a turn depend on where
// the car comes from. A movement that is barred is in no table here, so it
// can't be driven. Roads for those who live or call there may be left by a car
// that starts in them and entered by one that stops in them, and are never
// driven through. Turning round happens only where the network has a turn for
// it and the caller allows it.
//
// Times are integers, so that the same drive has the same time in whatever
// order it is added up, cut or joined: a stop part-way along a segment, or a
// path timed again piece by piece, changes no millisecond. They are estimates
// all the same: no traffic, no weather, no queue is known here.
package route

import (
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// Path is one drive from a position to another. The first segment is driven
// from From.Along and the last to To.Along; where From and To lie on the same
// segment with To ahead, that one segment is all.
type Path struct {
	From, To roadnet.Position
	States   []roadnet.StateID
	Segments []roadnet.SegmentID // of States, index by index
	Ms       uint32              // driving time
	Length   geo.Metres
}

// Options of a search. The zero value is a fresh start that never turns round.
type Options struct {
	// UTurns allows the turns back along the same road that the network has:
	// at turning heads and roundabouts.
	UTurns bool
	// After is the drive that ended where this one starts, nil where the car
	// comes to its start in no matter what way. What a restriction over several
	// ways remembers of that drive goes on to hold. Only forward searches read
	// it.
	After *Path
}
