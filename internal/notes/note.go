package notes

import (
	"encoding/hex"
	"fmt"

	"github.com/paulmach/orb"

	"loopwright/internal/calendar"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// Name is the SHA-256 of a revision's canonical JSON. A note has the name of
// its first revision.
type Name [32]byte

// String is the name as it stands in files: 64 hexadecimal digits.
func (n Name) String() string { return hex.EncodeToString(n[:]) }

// Short is the beginning of the name, enough for a person.
func (n Name) Short() string { return n.String()[:8] }

// ParseName reads a name as String writes it.
func ParseName(s string) (n Name, err error) {
	if len(s) != 2*len(n) {
		return n, fmt.Errorf("%q is not the name of a revision, which has 64 hexadecimal digits", s)
	}
	if _, err = hex.Decode(n[:], []byte(s)); err != nil {
		return n, fmt.Errorf("%q is not the name of a revision: %w", s, err)
	}
	return n, nil
}

// Note is what one revision says.
type Note struct {
	ID      Name // of the note; of the revision itself where it is the first
	Name    Name // of the revision
	Clock   Clock
	Author  string // initials
	Deleted bool
	Kind    Kind
	Place   Place
	Day     calendar.Date
	Minute  int // of the day, on the clock of the place; -1 where no time was noted

	Metres   geo.Metres // Width: between the kerbs; Sight: how far one sees, 0 not said
	Method   Method     // of a Width
	Word     Word
	Exercise string        // of a Use or Suits
	From     calendar.Date // of a Closure; zero open
	Until    calendar.Date // the last day; zero open
	Hours    string        // in the manner of opening_hours; "" always
	Circuit  string        // that was driven: of a Use, and of what was seen on a survey drive
	Text     string
}

// Place is where a note was made, so that a newer extract can tell: by the way,
// else by position, heading and name.
type Place struct {
	Kerb    roadnet.Kerb
	At      orb.Point   // on the road's line
	Heading geo.Radians // of the way there, in its own direction
	Road    string      // its name, else its number; "" where it has neither
}

// PlaceAt is the place at a kerb, as seen along the position's segment.
func PlaceAt(n *roadnet.Network, pos roadnet.Position, side roadnet.Side) Place {
	k := n.KerbAt(pos, side)
	s := pos.Segment.Stretch()
	along := pos.Along
	if !pos.Segment.Forward() {
		along = n.Length(s) - along
	}
	piece := n.PieceAt(s, along)
	if located, _, err := n.LocateKerb(k); err == nil {
		pos = located
	} else if pos.Segment.Forward() == piece.Reversed {
		pos = n.Opposite(pos)
	}
	at, heading := n.At(pos)
	return Place{Kerb: k, At: at, Heading: heading, Road: roadOf(n, piece)}
}

// roadOf is what a piece of road is called: its name, else its number.
func roadOf(n *roadnet.Network, p roadnet.Piece) string {
	if p.Name != 0 {
		return n.Name(p.Name)
	}
	return n.Name(p.Ref)
}
