// Package gazetteer turns the words of a user into a position on the network,
// and a position into words.
//
// A place is given as
//
//	52.6701,-0.7290            a point, within 200 m of a road
//	w123+45l                   the name of a kerb
//	Mill Lane, Ashby           a road, in a settlement where that is needed
//	Mill Lane & High Street    where two roads meet ("and" too)
//	LE15 7XX                   a postcode that the map has
//
// Names are compared folded: case, marks on letters, punctuation and common
// abbreviations do not matter. A name that the map has not is taken for a
// misspelling only where one single name comes near, and the answer says so.
// What fits several places is not guessed at: the error lists them.
//
// What the map does not name can't be found; there are no house numbers here.
package gazetteer

import (
	"fmt"
	"strings"

	"github.com/paulmach/orb"

	"loopwright/internal/country"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// Result is where a car stands: at the kerb on the driving side, facing with
// the traffic, unless the words named another kerb that is legal to stand at.
type Result struct {
	Position roadnet.Position
	Side     roadnet.Side // of the kerb, seen in the direction of travel
	Kerb     roadnet.Kerb
	Road     string // its name, else its number, else "unnamed road"
	At       orb.Point
	Said     string // what was understood, where that is not what was typed; else ""

	Whole []roadnet.StretchID // all of the road, where the words name one and no spot on it; else nil
}

// Match is one of several places that the words fit.
type Match struct {
	Name string // "High Street, Ashby"
	Result
}

// mostMatches is how many of them are listed.
const mostMatches = 10

// Ambiguous says that words fit several places and lists up to ten.
type Ambiguous struct {
	Words   string
	Reason  string // "fits 3 places", "is not a name on this map, but comes near 2"
	Matches []Match
	More    int // not listed
}

// Error asks which.
func (a *Ambiguous) Error() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%q %s; which one?", a.Words, a.Reason)
	for i, m := range a.Matches {
		if i > 0 {
			b.WriteByte(';')
		}
		fmt.Fprintf(&b, " %s at %.5f,%.5f", m.Name, m.At.Lat(), m.At.Lon())
	}
	if a.More > 0 {
		fmt.Fprintf(&b, "; and %d more", a.More)
	}
	return b.String()
}

// NotFound says that words fit nothing, and what to do.
type NotFound struct {
	Words string
	Hint  string
}

// Error says so.
func (e *NotFound) Error() string { return fmt.Sprintf("%q: %s", e.Words, e.Hint) }

// seeker answers one question.
type seeker struct {
	n       *roadnet.Network
	profile *country.Profile
	words   string // as typed

	settlements []roadnet.Settlement
	roads       names // filled when a road is asked for
}

// Find reads a place. The error is *Ambiguous, *NotFound, or says what is wrong
// with the words.
func Find(n *roadnet.Network, words string) (Result, error) {
	profile, err := country.ByCode(n.About().Country)
	if err != nil {
		return Result{}, fmt.Errorf("the index was made for another program version: %w", err)
	}
	s := &seeker{n: n, profile: profile, words: strings.TrimSpace(words), settlements: n.Settlements()}
	if s.words == "" {
		return Result{}, &NotFound{words, "give a place: a road, two roads that meet, a postcode, a point such as 52.6701,-0.7290, or a kerb such as w123+45l"}
	}
	for _, try := range []func() (Result, bool, error){s.kerb, s.point, s.postcode} {
		if r, ok, err := try(); ok || err != nil {
			return r, err
		}
	}
	return s.road()
}

// result makes a car stand at a position that is legal to drive, at a side.
func (s *seeker) result(pos roadnet.Position, side roadnet.Side) Result {
	at, _ := s.n.At(pos)
	return Result{Position: pos, Side: side, Kerb: s.n.KerbAt(pos, side), Road: RoadAt(s.n, pos), At: at}
}

// drivingSide is the side of the road that traffic keeps to.
func (s *seeker) drivingSide() roadnet.Side {
	if s.profile.DrivesLeft {
		return roadnet.Left
	}
	return roadnet.Right
}

// standing finds where a car stands near a point of a stretch: on the side
// where the point lies if both directions are legal, else in the one that is;
// clear of junctions.
func (s *seeker) standing(stretch roadnet.StretchID, along geo.Metres, left bool) Result {
	segment := stretch.Segment(left == s.profile.DrivesLeft)
	if !s.n.Drivable(segment) {
		segment = segment.Opposite()
	}
	if !segment.Forward() {
		along = s.n.Length(stretch) - along
	}
	return s.result(s.clear(roadnet.Position{Segment: segment, Along: along}), s.drivingSide())
}

// drivable says whether a learner's car may be on a stretch in some direction.
func (s *seeker) drivable(stretch roadnet.StretchID) bool {
	return s.n.Drivable(stretch.Segment(true)) || s.n.Drivable(stretch.Segment(false))
}

// clear moves a position along its stretch until it is as far from junctions as
// the country's code asks of a stopping car; to the middle where the stretch is
// too short for that.
func (s *seeker) clear(pos roadnet.Position) roadnet.Position {
	low, high := geo.Metres(0), s.n.Length(pos.Segment.Stretch())
	if s.meets(s.n.Tail(pos.Segment)) {
		low += s.profile.JunctionClear
	}
	if s.meets(s.n.Head(pos.Segment)) {
		high -= s.profile.JunctionClear
	}
	pos.Along = min(max(pos.Along, low), high)
	if low > high {
		pos.Along = s.n.Length(pos.Segment.Stretch()) / 2
	}
	return pos
}

// meets says whether a driver meets other traffic at a node.
func (s *seeker) meets(node roadnet.NodeID) bool {
	return s.n.Junction(s.n.JunctionOf(node)).Kind != roadnet.NoJunction
}
