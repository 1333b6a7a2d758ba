// Package directions turns a drive into what the instructor says: for every
// turn that a learner can't guess one sentence of three parts, the alert, the
// direction and where ("I'd like you to | take the next road on the left |
// into Mill Lane"), and the place on the drive where it is said.
//
// In go a network, the country's profile and a chain of drives with the stops
// between them; out comes a list of steps in the order in which they are said.
//
//  1. The chain is cut into runs at its stops. A run's junctions are looked at
//     as a driver sees them: halves of a dual carriageway and the legs round an
//     island are one road, a roundabout is one junction.
//  2. At each junction a learner who is told nothing follows the road ahead.
//     Where the drive goes elsewhere, or where they would doubt, a form is
//     chosen that fits one road alone: the end of the road, the traffic lights,
//     a fork, an exit, or a road counted on its side.
//  3. Turns too close to be said one by one are joined. A direction is said so
//     many seconds ahead as the speed asks, later where that makes the number
//     smaller, and never before the turn before it is done.
//  4. What is counted are roads: every public road on that side, also one with
//     no entry, since that shows only from near; never a drive, a parking aisle
//     or a service road, which are named instead where they could be mistaken
//     for the road meant ("not the car park entrance").
//
// The words are in data/sentences.yaml, by profile. Nothing here knows an
// exercise or a lesson, and nothing is known of what hides a road from view.
package directions

import (
	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// Pace gives driving times; route.Weights does.
type Pace interface {
	// SegmentMs is the time to drive along a segment, turns not included.
	SegmentMs(roadnet.SegmentID) uint32
}

// Options of Write.
type Options struct {
	Pace     Pace
	Beginner bool // directions are said earlier
	MySide   bool // sides are also called my side and your side
	Signs    bool // where signs are sure to stand, the learner follows them
	Moving   bool // the chain begins with the car on its way: nothing is said of moving off

	left bool // drives on the left
}

// Drive is one path of the chain and how it ends: with a stop at the kerb on a
// side, as the driver sees it, or, where PullUp is unknown, by driving on into
// the next. The last may end with no stop.
type Drive struct {
	Path   route.Path
	PullUp roadnet.Side

	CarPark bool // with PullUp: by driving into a car park on that side
}

// Spot is a point of the chain: which drive, which of its path's segments, and
// metres along that segment.
type Spot struct {
	Drive, Index int
	Along        geo.Metres
}

// Kind is what a step is about.
type Kind uint8

const (
	KindUnknown Kind = iota
	KindMoveOff
	KindTurn
	KindEndOfRoad
	KindRoundabout
	KindFollow
	KindTurnRound
	KindPullUp
	KindQuestion
	kindCount
)

// String is the word in the circuit file.
func (k Kind) String() string {
	return [kindCount]string{"unknown", "move-off", "turn", "end-of-road", "roundabout", "follow", "turn-round", "pull-up", "question"}[k]
}

// Step is one thing said. Say is the whole of it: alert, direction and where,
// with a capital and a full stop. Where turns are joined, Direction holds all
// of them but the last one's where.
type Step struct {
	Said     Spot
	Done     Spot       // where the last manoeuvre of the sentence is behind the car
	Distance geo.Metres // from where it is said to the first manoeuvre
	Kind     Kind       // of the first
	Turns    int        // how many manoeuvres it tells, moving off not counted

	Alert, Direction, Where, Say string
	Brief                        string         // Say without the words that ask for it
	Moves                        []circuit.Move // the same as values, moving off too; nil of a question

	// Missed is the segment that a learner drives onto who misses the first
	// manoeuvre; None where there is nothing to miss, or it can't be told.
	Missed roadnet.SegmentID

	// Cost is how awkward the sentence is: 0 plain, 1 awkward, 5 where no words
	// were found that fit one road alone.
	Cost float64
}

// Write gives the steps of a chain of drives. A drive that goes on without a
// stop must begin where the one before it ends; Write panics otherwise. The
// work is linear in the chain's segments but for what is counted ahead of
// turns.
func Write(n *roadnet.Network, p *country.Profile, chain []Drive, opts Options) []Step {
	opts.left = p.DrivesLeft
	var steps []Step
	var before *run
	words := wordsOf(p)
	if opts.MySide {
		words = words.seenFrom(p.DrivesLeft)
	}
	for i, r := range runs(n, chain, opts) {
		back := before != nil && before.segments[len(before.segments)-1] == r.segments[0].Opposite()
		steps = append(steps, (&writer{run: r, words: words, passages: r.passages(), back: back, moving: opts.Moving && i == 0}).write()...)
		before = r
	}
	return steps
}

// Cost adds up how awkward steps are.
func Cost(steps []Step) float64 {
	sum := 0.0
	for _, s := range steps {
		sum += s.Cost
	}
	return sum
}
