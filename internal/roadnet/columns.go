package roadnet

import (
	"loopwright/internal/extract"
)

// Columns are a network's data before and in the file: one slice per fact, the
// comment says what indexes it. A slice named ...Start has one element more
// than its owner has members; the rows of member i are [Start[i], Start[i+1]).
// The format page, format.go, lists them with their widths.
type Columns struct {
	About About

	// by NodeID
	NodeLonE7, NodeLatE7 []int32
	NodeOSM              []int64
	NodeFeatures         []extract.Feature
	NodeJunction         []JunctionID
	OutStart             []uint32 // +1: into Out
	Out                  []SegmentID

	// by StretchID
	StretchTail, StretchHead []NodeID
	StretchLengthMm          []uint32
	StretchZone              []uint32
	StretchFlags             []StretchFlags
	StretchName, StretchRef  []NameID
	VertexStart              []uint32 // +1: into VertexLonE7, VertexLatE7
	PieceStart               []uint32 // +1: into Piece...
	MouthStart               []uint32 // +1: into Mouth...
	ThingStart               []uint32 // +1: into Thing...

	// by SegmentID
	SegmentUse []extract.Use

	// both ends of a stretch included
	VertexLonE7, VertexLatE7 []int32

	// by PieceID
	PieceWay        []int64
	PieceReversed   []uint8 // 0 or 1
	PieceFromMm     []uint32
	PieceWayFromMm  []uint32
	PieceFirstNode  []uint32
	PieceVertex     []uint32 // among the stretch's vertices
	PieceName       []NameID
	PieceRef        []NameID
	PieceAttributes []uint32 // into AttributeRows
	AttributeRows   []Attributes
	PieceByWay      []PieceID // all pieces, by way, then by the metres along it

	// by StateID, the first NumSegments being the plain segments
	StateSegment []SegmentID
	TurnStart    []uint32 // +1: into Turn...

	// by TurnID
	TurnTo    []StateID
	TurnAngle []int16 // 10⁻⁴ rad, positive to the right
	TurnU     []uint8 // 0 or 1

	// by JunctionID
	JunctionKinds                []JunctionKind
	JunctionArms                 []uint8
	JunctionLonE7, JunctionLatE7 []int32
	JunctionNodeStart            []uint32 // +1: into JunctionNode
	JunctionNode                 []NodeID

	// by MouthID
	MouthAlongMm []uint32
	MouthSide    []Side
	MouthKinds   []MouthKind
	MouthCounts  []uint8 // 0 or 1
	MouthWay     []int64

	// things along stretches
	ThingAlongMm   []uint32
	ThingFeatures  []extract.Feature
	ThingDirection []int8

	// by NameID; the first is the empty name
	NameStart []uint32 // +1: into NameBytes
	NameBytes []uint8

	// settlements
	SettlementName                   []NameID
	SettlementLonE7, SettlementLatE7 []int32
	SettlementRank                   []uint8

	// addresses
	AddressLonE7, AddressLatE7                   []int32
	AddressPostcode, AddressStreet, AddressHouse []NameID

	// what is of use beside the roads, by SiteID, in the order of their tree
	SiteKinds            []extract.SiteKind
	SiteObject           []int64 // OpenStreetMap's number << 2 | extract.ObjectKind
	SiteName             []NameID
	SiteStretch          []uint32 // StretchID that it stands beside, None where none is near
	SiteAlongMm          []uint32 // where, from the stretch's start
	SiteSide             []Side
	SiteShapeStart       []uint32 // +1: into SiteLonE7, SiteLatE7
	SiteLonE7, SiteLatE7 []int32
	SiteBoxes            []Box    // level by level: see tree.go
	GateStart            []uint32 // +1, by SiteID: into GateLonE7, GateLatE7
	GateLonE7, GateLatE7 []int32

	CarParks []CarParkRow // by site

	// bus stops by the stretch that they serve
	StopStart   []uint32 // by StretchID, +1: into Stop...
	StopAlongMm []uint32
	StopSide    []Side
	StopName    []NameID

	// homes and garages by kerb: 2 × StretchID on the left, + 1 on the right
	KerbHomes   []uint16
	KerbGarages []uint16

	// buildings near a road, and the stretches that they are near to
	BuildingKinds                []extract.BuildingKind
	BuildingLevels               []uint8
	BuildingShapeStart           []uint32 // +1: into BuildingLonE7, BuildingLatE7
	BuildingLonE7, BuildingLatE7 []int32
	BuildingStart                []uint32 // by StretchID, +1: into BuildingNear
	BuildingNear                 []uint32 // rows of Building...

	// walls, fences and hedges near a road, likewise
	WallKinds            []extract.WallKind
	WallHeightDm         []uint8  // 0 not said
	WallShapeStart       []uint32 // +1: into WallLonE7, WallLatE7
	WallLonE7, WallLatE7 []int32
	WallStart            []uint32 // by StretchID, +1: into WallNear
	WallNear             []uint32 // rows of Wall...

	// how completely things are mapped, by cell: see completeness.go
	CellGrid  []int32 // width and height of a cell
	CellKey   []int64 // rising; the first is the extract's mean
	CellShare []uint8 // FactKinds to a cell, 255 for all

	// spatial index: see tree.go
	TreeOrder []StretchID // leaf order
	TreeBoxes []Box       // level by level, leaves first

	// heights along stretches; all empty where the index has none: see heights.go
	HeightStart   []uint32 // by StretchID, +1: into HeightCm
	HeightCm      []int32
	HeightErrorCm []uint16 // heightErrors to a stretch

	// how quiet the roads are, as package traffic encodes it; empty until measured
	Traffic []uint8
}

// StretchFlags are the yes-or-no facts of a stretch.
type StretchFlags uint8

// InCore and NearRim are explained at the accessors of the same names.
const (
	FlagInCore StretchFlags = 1 << iota
	FlagNearRim
)

// Box is a box of coordinates in 10⁻⁷ degrees, edges included.
type Box struct{ West, South, East, North int32 }

// New makes a network of columns. It checks every invariant that the accessors
// rely on, and says which one does not hold. The network keeps the slices.
func New(c Columns) (*Network, error) {
	if err := c.check(); err != nil {
		return nil, err
	}
	return &Network{c: c}, nil
}
