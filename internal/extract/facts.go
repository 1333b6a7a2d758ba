package extract

import (
	"time"

	"github.com/paulmach/orb"

	"loopwright/internal/geo"
)

// NodeID, WayID and RelationID are OpenStreetMap's own numbers. They stop at
// indexing, but for the way ids that name kerbs.
type (
	NodeID     int64
	WayID      int64
	RelationID int64
)

// Extract is what one file says of its roads, typed. Slices are sorted
// by id unless they say otherwise.
type Extract struct {
	Source       Source
	Roads        []*Road       // ways that a car may drive or that open onto one
	Nodes        []Node        // every node of Roads (and those a cut left alone), by id, with its facts
	Restrictions []Restriction // turn restrictions that concern a motor car
	Settlements  []Settlement  // named places, for ROAD, SETTLEMENT
	Addresses    []Address     // postcodes and numbered houses
	Sites        []Site        // what is of use beside the roads, in the order of the file, nodes first
	Buildings    []Building    // outlines, in the order of the file
	Walls        []Wall        // walls, fences and hedges, in the order of the file
	Gates        []Gate        // entrances, gates and height bars, in the order of the file
	Report       Report
}

// Source is what the file says of itself.
type Source struct {
	Name      string    // base name of the file
	SHA256    [32]byte  // of the whole file
	Size      int64     // bytes
	Timestamp time.Time // of the data: header, else the newest object; zero if neither
	Bounds    orb.Bound // header box, else the hull of the nodes read
}

// Counts are the objects in the file, as osmium-tool counts them.
type Counts struct{ Nodes, Ways, Relations int64 }

// Report says what could not be read, so that nothing is passed over in silence.
type Report struct {
	Counts       Counts
	MissingNodes int64     // node references of Roads that the file does not hold
	BrokenWays   int64     // roads with such a reference: cut there
	Problems     []Problem // unreadable values by key, commonest first, then by key and value
}

// Problem is one kind of unreadable value: how often, and one object that has it.
type Problem struct {
	Key, Value string
	Count      int64
	Example    string // "way 123"
}

// Road is one way. Direction words (forward, left) are the way's own.
type Road struct {
	ID        WayID
	Nodes     []NodeID // at least two; repeated neighbours removed; absent nodes cut the way (see Part)
	Part      int      // 0 for the first unbroken run of the way, 1 for the next ...
	FirstNode int      // index of Nodes[0] in the way as the file has it

	Class Class
	Link  bool   // motorway_link, trunk_link ...
	Name  string // "" if none
	Ref   string

	// Use is what a learner's car may do on it, by the most specific tag of
	// access, vehicle, motor_vehicle, motorcar.
	Use               Use
	UseForward        Use // Use with one-way rules and :forward/:backward applied
	UseBackward       Use
	ConditionalAccess string // raw value where access depends on the time, else ""
	Roundabout        bool   // junction=roundabout or circular
	TurningLoop       bool   // ends where it begins, and is neither a roundabout nor an area

	LimitForward, LimitBackward Limit
	Lanes                       int // in all, 0 unknown
	LanesForward, LanesBackward int // 0 unknown
	Width                       Width
	Surface                     Surface
	Smoothness                  string // raw value
	Incline                     Incline
	Lit                         Answer
	Bridge, Tunnel, Ford        bool
	Layer                       int8
	Sidewalk                    string // raw value of sidewalk or sidewalk:both, "" unknown
	Calming                     string // traffic_calming on the way itself
	LivingStreet                bool
	DualTag                     Answer     // dual_carriageway=yes/no
	Parking                     [2]Parking // left, right
	Busway                      bool       // bus lane or busway tags on the way
	BusRoute                    bool       // a member of a bus route relation
	Service                     string     // value of service=* where Class is ServiceRoad
	Area                        bool       // area=yes: a forecourt, an opening only
}

// Class is the kind of road, from highway=*.
type Class uint8

const (
	ClassUnknown Class = iota
	Motorway
	Trunk
	Primary
	Secondary
	Tertiary
	Unclassified
	Residential
	LivingStreet
	PlainRoad    // highway=road: class not surveyed
	ServiceRoad  // highway=service: an opening, and the way into a car park
	Track        // highway=track: an opening
	Construction // not to be driven
	classCount
)

// Use is what a learner's car may do.
type Use uint8

const (
	UseUnknown  Use = iota // conditional or unreadable: not for driving through
	Through                // public
	Destination            // only for those who live or call there
	Private                // by leave of the owner: an opening only
	Barred                 // no
	useCount
)

// Answer is yes, no or not said.
type Answer uint8

const (
	NotSaid Answer = iota
	Yes
	No
	answerCount
)

// Limit is a speed limit. Low and High are equal where it is known. They are
// an interval where the map leaves open which of two holds: a border that it
// does not show decides (Wales), a road with no sign may be built-up or not, or
// another limit holds at times. Both are zero where nothing says.
type Limit struct {
	Low, High geo.MetresPerSecond
	Source    LimitSource
}

// LimitSource is how the limit is known.
type LimitSource uint8

const (
	LimitUnknown  LimitSource = iota
	LimitMapped               // maxspeed with a number
	LimitZone                 // a zone or type tag that stands for a number: GB:zone20, GB:nsl_single
	LimitNone                 // maxspeed=none: the number is the country's motorway default, if any
	LimitWalk                 // walking pace
	LimitDefault              // the country's default for the kind of road: assumed
	LimitVariable             // signals: not known here
	limitSourceCount
)

// Width is a mapped carriageway width, kerb to kerb, parked cars included.
type Width struct {
	Metres geo.Metres // 0 unknown
	Source WidthSource
}

// WidthSource is which tag gave a width, best first.
type WidthSource uint8

const (
	WidthUnknown     WidthSource = iota
	WidthCarriageway             // width:carriageway
	WidthTag                     // width
	WidthEstimate                // est_width
	widthSourceCount
)

// Incline is incline=*: Percent is rise per run in way direction where Known.
type Incline struct {
	Known    bool
	Percent  float64
	Up, Down bool // incline=up or down: sign only
}

// Surface groups surface=* by what a tyre and a reversing learner feel.
type Surface uint8

const (
	SurfaceUnknown Surface = iota
	Smooth                 // asphalt, concrete, paved, chipseal ...
	Setts                  // paving stones, sett, cobbles, bricks
	Loose                  // gravel, ground, grass, sand ...
	surfaceCount
)

// Parking is what the map says of one side of a road.
type Parking struct {
	Position    ParkingPosition
	Orientation string // parallel, diagonal, perpendicular, "" unknown
	Restriction string // no_parking, no_stopping, loading_only ..., "" unknown or none
	Conditional bool   // what holds depends on the time
}

// ParkingPosition is where cars stand.
type ParkingPosition uint8

const (
	ParkingUnknown ParkingPosition = iota
	ParkingNone                    // parking:*=no
	ParkingLane                    // on the carriageway
	ParkingHalfKerb
	ParkingKerb
	ParkingStreetSide // a bay beside the carriageway
	ParkingShoulder
	ParkingSeparate // mapped as its own area
	ParkingSomehow  // yes: where is not said
	parkingPositionCount
)

// Node is one node of a road: where it is, and what stands there.
type Node struct {
	ID           NodeID
	LonE7, LatE7 int32 // 10⁻⁷ degrees
	Features     Feature
	Direction    int8 // +1 forward, -1 backward (direction, traffic_signals:direction), 0 both or unsaid; of the way it lies on
}

// Feature is a set of things at a node.
type Feature uint32

const (
	MiniRoundabout Feature = 1 << iota
	TurningCircle
	TurningLoop
	Signals
	GiveWay
	Stop
	CrossingZebra
	CrossingSignals
	CrossingOther
	Calming
	Island
	BusStop
	LevelCrossing
	BarrierShut // a car can't pass: bollard, gate without access
	BarrierOpen // a car may pass: cattle grid, open gate, toll booth
	PassingPlace
	MotorwayJunction
	PostBox
)

// Settlement is a named place.
type Settlement struct {
	Name string
	At   orb.Point
	Rank uint8 // 0 city, 1 town, 2 village, 3 suburb or quarter, 4 hamlet or neighbourhood
}

// Address is a mapped address.
type Address struct {
	At       orb.Point
	Postcode string // "" if none
	Street   string // addr:street, "" if none
	House    string // addr:housenumber, "" if none
	City     string
	Homes    uint16 // how many it stands for: a range of numbers several, a shop none
}

// Restriction is one turn restriction that binds a motor car. From ways are
// among Roads; so are To and Via ways, but for those of an only_* restriction
// that lie beyond the extract's rim. With several From or To ways it bars each
// pair. A relation that bars more than one movement gives several, all with
// its ID.
type Restriction struct {
	ID      RelationID
	Only    bool // only_*: else no_*
	From    []WayID
	Via     []WayID // via ways in order, or
	ViaNode NodeID  // the via node; 0 where Via is set
	To      []WayID
	Kind    string // raw: no_left_turn ...
	// Conditional is the condition ("Mo-Fr 07:00-09:00") where the restriction
	// holds only at times; "" where always. One that can't be read bars at all
	// times.
	Conditional string
}
