// Package roadnet is the road network of one extract: immutable, in arrays,
// the same type whether built in memory or mapped from an index file.
//
//	node ---- stretch ---- node
//	          segment 2s   (the stretch's own direction, "forward")
//	          segment 2s+1 (back)
//
// A stretch runs between two nodes of the network: places where three or more
// public drivable arms meet, mini-roundabouts, dead ends, and the few places
// where what is legal changes along the way. Drives, parking aisles and
// service roads split no stretch: they are its mouths. A stretch is made of
// pieces, each a run of one way with the same attributes. Everything with a
// side or a direction is relative to the stretch, never to the way.
//
// A state is a segment, or a segment together with what a restriction over
// several ways remembers of how the car came there. States below NumSegments
// are the plain segments. The turns of a state are all that is legal from it:
// a movement that is barred is not in the table.
//
// Nothing here knows an exercise, a learner or a lesson.
package roadnet

import (
	"time"

	"github.com/paulmach/orb"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
)

// Dense numbers. They hold within one open network and never leave the process.
type (
	NodeID     uint32
	StretchID  uint32
	SegmentID  uint32
	StateID    uint32
	TurnID     uint32
	PieceID    uint32
	JunctionID uint32
	MouthID    uint32
	NameID     uint32 // 0 is the empty name
)

// None marks the absence of a dense number.
const None = ^uint32(0)

// Stretch is the one the segment runs along.
func (s SegmentID) Stretch() StretchID { return StretchID(s >> 1) }

// Forward says whether the segment runs in its stretch's own direction.
func (s SegmentID) Forward() bool { return s&1 == 0 }

// Opposite is the same stretch the other way.
func (s SegmentID) Opposite() SegmentID { return s ^ 1 }

// Segment is the stretch driven forward or back.
func (s StretchID) Segment(forward bool) SegmentID {
	if forward {
		return SegmentID(s << 1)
	}
	return SegmentID(s<<1 | 1)
}

// Side is a side of a road, seen in some direction of travel.
type Side uint8

const (
	SideUnknown Side = iota
	Left
	Right
	Both
	sideCount
)

// Opposite is the other side; Both and SideUnknown stay.
func (s Side) Opposite() Side {
	switch s {
	case Left:
		return Right
	case Right:
		return Left
	}
	return s
}

// String is the word a user reads.
func (s Side) String() string {
	return [...]string{"unknown", "left", "right", "both"}[s]
}

// Position is a point on a segment: metres from the segment's start, in its
// direction of travel. A car there faces along the segment.
type Position struct {
	Segment SegmentID
	Along   geo.Metres
}

// Attributes are what the map says of a piece, relative to its stretch. Fixed
// size: one row of a column. Zero means unknown throughout.
type Attributes struct {
	Class         extract.Class
	Link          uint8 // 1: motorway_link and the like
	Surface       extract.Surface
	Lit           extract.Answer
	Use           [2]extract.Use         // forward, backward: one-way rules applied
	LimitSource   [2]extract.LimitSource // forward, backward
	LimitLowDkmh  [2]uint16              // tenths of km/h; 0 unknown
	LimitHighDkmh [2]uint16
	Lanes         [3]uint8 // in all, forward, backward
	WidthSource   extract.WidthSource
	WidthCm       uint16
	Flags         AttributeFlags
	InclinePermil int16                      // rise per run forward; with InclineKnown
	Parking       [2]extract.ParkingPosition // left, right
	ParkingBarred [2]uint8                   // ParkingBar bits, left, right
	Layer         int8
	Calming       uint8 // 1: traffic_calming on the way
}

// AttributeFlags are the yes-or-no facts of a piece.
type AttributeFlags uint16

const (
	Bridge AttributeFlags = 1 << iota
	Tunnel
	Ford
	Roundabout
	TurningLoop
	DualCarriageway // one half of a dual carriageway: tagged so, or another half runs beside it
	DualTagged
	InclineKnown
	InclineUp
	InclineDown
	BusLane
	Sidewalk   // sidewalk mapped on at least one side
	NoSidewalk // sidewalk=no
	SmoothnessBad
	ConditionalUse // access depends on the time
	BusRoute       // a bus route runs along it
)

// ParkingBar bits say what is barred at a kerb.
const (
	NoParking uint8 = 1 << iota
	NoStopping
	ConditionalParking
	PerpendicularParking // or diagonal
)

// Piece is a run of one way along a stretch.
type Piece struct {
	Way         extract.WayID
	Reversed    bool       // the stretch runs against the way
	From, To    geo.Metres // along the stretch
	WayFrom     geo.Metres // metres along the way at the piece's From; falls along the piece where Reversed
	FirstNode   uint32     // index in the way's node list of the vertex at From
	FirstVertex uint32     // index among the stretch's vertices of the vertex at From
	Name, Ref   NameID
	Attributes  *Attributes // a view: valid while the network is open
}

// Turn is one legal movement at the end of a state's segment.
type Turn struct {
	To    StateID
	Angle geo.Radians // turned: positive to the right
	U     bool        // back along the same stretch, at a turning head or a roundabout
}

// JunctionKind is what a driver meets.
type JunctionKind uint8

const (
	NoJunction JunctionKind = iota // a dead end or a legal change: no other traffic
	PlainJunction
	MiniRoundaboutJunction
	RoundaboutJunction
	SignalsJunction
	junctionKindCount
)

// Junction is the nodes that are one junction to a driver.
type Junction struct {
	Kind  JunctionKind
	At    orb.Point
	Arms  uint8 // roads that meet there, halves of a dual carriageway counted once
	Nodes []NodeID
}

// MouthKind is what opens onto a stretch between its ends.
type MouthKind uint8

const (
	MouthUnknown MouthKind = iota
	MouthDrive             // a private drive
	MouthAisle             // a parking aisle or the way into a car park
	MouthService           // another service road
	MouthStub              // a dead-end stub under 25 m with neither name nor homes
	MouthTrack
	MouthPrivate // a road that is private or barred to the learner
	mouthKindCount
)

// Mouth is where a road, drive or aisle opens onto a stretch.
type Mouth struct {
	Along geo.Metres // from the stretch's start
	Side  Side       // of the stretch, looking forward
	Kind  MouthKind
	// Counts is true where a learner told "second on the left" would count it.
	Counts bool
	Way    extract.WayID
}

// Thing is a feature along a stretch.
type Thing struct {
	Along     geo.Metres
	Features  extract.Feature
	Direction int8 // +1 concerns only traffic forward, -1 only back, 0 both or unsaid
}

// Settlement and Address are the gazetteer's rows.
type (
	Settlement struct {
		Name string
		At   orb.Point
		Rank uint8 // 0 city, 1 town, 2 village, 3 suburb or quarter, 4 hamlet or neighbourhood
	}
	Address struct {
		At                      orb.Point
		Postcode, Street, House string
	}
)

// About says what a network was made from.
type About struct {
	Extract     string // base name of the extract
	ExtractPath string // where it was when indexed, so that it can be made anew
	SHA256      [32]byte
	Size        int64
	Timestamp   time.Time // of the data; zero unknown
	Bounds      orb.Bound
	Country     string // profile code
	Report      extract.Report
	Made        Made
}

// Made counts what became of the extract's facts when the network was made,
// so that nothing is passed over in silence.
type Made struct {
	Restrictions Restrictions
	Stubs        int // dead-end stubs that split no stretch
	Barriers     int // nodes that a car can't pass
}

// Restrictions counts turn restrictions by what became of them.
type Restrictions struct {
	Obeyed      int // bar some movement of the network
	Conditional int // of these, ones that hold only at times and bar always
	Needless    int // bar nothing that would be possible: one-way roads, ways that are no public road
	Incomplete  int // a way or node of theirs is not in the extract
	Unconnected int // their ways do not meet as they say
}
