package roadnet

import (
	"loopwright/internal/extract"
	"loopwright/internal/roadnet/sectionfile"
)

// # The index file
//
// A sectionfile (see there for header, table and checksums) with the magic
// 8A 4C 57 4E 0D 0A 1A 0A: a high byte, "LWN", and the line ends that a
// transfer as text would change.
//
// Versions:
//
//	1  the first
//
// Sections, with bytes per element. "rows of" names the column of starts that
// groups them. Numbers are little-endian; mm are millimetres, E7 are 10⁻⁷
// degrees. "none" stands nowhere: every number points at an element.
//
//	about              1  JSON: what the network was made from
//	node-lon           4  int32 E7, by node
//	node-lat           4  int32 E7, by node
//	node-osm           8  int64 node number in OpenStreetMap, by node
//	node-features      4  uint32 bits of extract.Feature, by node
//	node-junction      4  junction, by node
//	out-start          4  uint32, by node + 1
//	out                4  segment that leaves the node; rows of out-start
//	stretch-tail       4  node, by stretch
//	stretch-head       4  node, by stretch
//	stretch-length     4  uint32 mm, by stretch
//	stretch-zone       4  uint32, 0 public, by stretch
//	stretch-flags      1  bits: 1 in the core, 2 near the rim; by stretch
//	stretch-name       4  name, by stretch
//	stretch-ref        4  name, by stretch
//	vertex-start       4  uint32, by stretch + 1
//	piece-start        4  uint32, by stretch + 1
//	mouth-start        4  uint32, by stretch + 1
//	thing-start        4  uint32, by stretch + 1
//	segment-use        1  extract.Use, by segment
//	vertex-lon         4  int32 E7; rows of vertex-start
//	vertex-lat         4  int32 E7; rows of vertex-start
//	piece-way          8  int64 way number; rows of piece-start
//	piece-reversed     1  1 where the stretch runs against the way; rows of piece-start
//	piece-from         4  uint32 mm along the stretch; rows of piece-start
//	piece-way-from     4  uint32 mm along the way; rows of piece-start
//	piece-node         4  uint32 index in the way's list of nodes; rows of piece-start
//	piece-vertex       4  uint32 among the stretch's vertices; rows of piece-start
//	piece-name         4  name; rows of piece-start
//	piece-ref          4  name; rows of piece-start
//	piece-attributes   4  row of attribute-rows; rows of piece-start
//	attribute-rows    32  Attributes, each different
//	piece-by-way       4  piece, by way number, then metres along the way
//	state-segment      4  segment, by state
//	turn-start         4  uint32, by state + 1
//	turn-to            4  state; rows of turn-start
//	turn-angle         2  int16 10⁻⁴ rad, positive to the right; rows of turn-start
//	turn-u             1  1 where back along the same stretch; rows of turn-start
//	junction-kind      1  JunctionKind, by junction
//	junction-arms      1  uint8, by junction
//	junction-lon       4  int32 E7, by junction
//	junction-lat       4  int32 E7, by junction
//	junct-node-start   4  uint32, by junction + 1
//	junction-node      4  node; rows of junct-node-start
//	mouth-along        4  uint32 mm; rows of mouth-start
//	mouth-side         1  Side; rows of mouth-start
//	mouth-kind         1  MouthKind; rows of mouth-start
//	mouth-counts       1  1 where a learner would count it; rows of mouth-start
//	mouth-way          8  int64 way number; rows of mouth-start
//	thing-along        4  uint32 mm; rows of thing-start
//	thing-features     4  uint32 bits of extract.Feature; rows of thing-start
//	thing-direction    1  int8; rows of thing-start
//	name-start         4  uint32, by name + 1
//	name-bytes         1  UTF-8; rows of name-start
//	settle-name        4  name, by settlement
//	settle-lon         4  int32 E7, by settlement
//	settle-lat         4  int32 E7, by settlement
//	settle-rank        1  uint8, 0 city to 4 hamlet, by settlement
//	address-lon        4  int32 E7, by address
//	address-lat        4  int32 E7, by address
//	address-postcode   4  name, by address
//	address-street     4  name, by address
//	address-house      4  name, by address
//	site-kind          1  extract.SiteKind, by site
//	site-object        8  int64 number in OpenStreetMap × 4 + extract.ObjectKind, by site
//	site-name          4  name, by site
//	site-stretch       4  stretch that it stands beside, 2³² − 1 for none, by site
//	site-along         4  uint32 mm along the stretch, by site
//	site-side          1  Side, by site
//	site-shape-start   4  uint32, by site + 1
//	site-lon           4  int32 E7; rows of site-shape-start
//	site-lat           4  int32 E7; rows of site-shape-start
//	site-boxes        16  as tree-boxes, over the sites in order
//	gate-start         4  uint32, by site + 1
//	gate-lon           4  int32 E7; rows of gate-start
//	gate-lat           4  int32 E7; rows of gate-start
//	car-parks         44  CarParkRow, by site
//	stop-start         4  uint32, by stretch + 1
//	stop-along         4  uint32 mm; rows of stop-start
//	stop-side          1  Side; rows of stop-start
//	stop-name          4  name; rows of stop-start
//	kerb-homes         2  uint16 homes mapped; by stretch, left then right
//	kerb-garages       2  uint16 garages mapped; by stretch, left then right
//	building-kind      1  extract.BuildingKind, by building
//	building-levels    1  uint8, 0 unknown, by building
//	building-shape     4  uint32, by building + 1
//	building-lon       4  int32 E7, rings; rows of building-shape
//	building-lat       4  int32 E7, rings; rows of building-shape
//	building-start     4  uint32, by stretch + 1
//	building-near      4  building; rows of building-start
//	wall-kind          1  extract.WallKind, by wall
//	wall-height        1  uint8 dm, 0 not said, by wall
//	wall-shape         4  uint32, by wall + 1
//	wall-lon           4  int32 E7; rows of wall-shape
//	wall-lat           4  int32 E7; rows of wall-shape
//	wall-start         4  uint32, by stretch + 1
//	wall-near          4  wall; rows of wall-start
//	cell-grid          4  int32 E7: width and height of a cell; absent with the next two
//	cell-key           8  int64, see CellKey, by cell, rising; the first stands for the whole extract
//	cell-share         1  uint8, 255 for all that there is; fifteen to a cell
//	tree-order         4  stretch, in leaf order
//	tree-boxes        16  west, south, east, north, int32 E7; level by level
//	height-start       4  uint32, by stretch + 1; the three are empty without heights
//	height             4  int32 cm; rows of height-start
//	height-error       2  uint16 cm; nine to a stretch
//	traffic            1  see package traffic; empty where it is not measured yet
//
// Invariants, checked when a file is first opened, and what each buys:
// starts begin at 0, never fall and end at the number of rows (a slice
// expression can't fail); every number is below the count of what it points
// at (so can't an index); a stretch has two vertices or more, which begin and
// end at its nodes, and a piece that begins at 0 (Line and PieceAt need no
// special case); distances along a stretch never fall (binary search); state i
// below the number of segments is segment i (no table for plain segments); a
// turn leads to a segment that begins where its own ends (a path is joined by
// construction); pieces by way are in order (kerb names by binary search).
//
// A later kind of section is a new row here and in the table below; where it
// may be absent it is left empty in the columns. Readers skip what they do not
// know, so that only a changed meaning raises the version.

var fileFormat = sectionfile.Format{Magic: [8]byte{0x8A, 'L', 'W', 'N', '\r', '\n', 0x1A, '\n'}, Version: 1}

// column ties a section to the field that it fills.
type column struct {
	tag  string
	size int
	put  func(*Columns) []byte
	take func(*Columns, []byte)
}

func columnOf[T any](tag string, field func(*Columns) *[]T) column {
	return column{
		tag:  tag,
		size: sectionfile.Size[T](),
		put:  func(c *Columns) []byte { return sectionfile.Bytes(*field(c)) },
		take: func(c *Columns, b []byte) { *field(c) = sectionfile.View[T](b) },
	}
}

const aboutTag = "about"

// columns is the order of the sections after "about". Reader and writer are
// loops over it.
var columns = []column{
	columnOf("node-lon", func(c *Columns) *[]int32 { return &c.NodeLonE7 }),
	columnOf("node-lat", func(c *Columns) *[]int32 { return &c.NodeLatE7 }),
	columnOf("node-osm", func(c *Columns) *[]int64 { return &c.NodeOSM }),
	columnOf("node-features", func(c *Columns) *[]extract.Feature { return &c.NodeFeatures }),
	columnOf("node-junction", func(c *Columns) *[]JunctionID { return &c.NodeJunction }),
	columnOf("out-start", func(c *Columns) *[]uint32 { return &c.OutStart }),
	columnOf("out", func(c *Columns) *[]SegmentID { return &c.Out }),
	columnOf("stretch-tail", func(c *Columns) *[]NodeID { return &c.StretchTail }),
	columnOf("stretch-head", func(c *Columns) *[]NodeID { return &c.StretchHead }),
	columnOf("stretch-length", func(c *Columns) *[]uint32 { return &c.StretchLengthMm }),
	columnOf("stretch-zone", func(c *Columns) *[]uint32 { return &c.StretchZone }),
	columnOf("stretch-flags", func(c *Columns) *[]StretchFlags { return &c.StretchFlags }),
	columnOf("stretch-name", func(c *Columns) *[]NameID { return &c.StretchName }),
	columnOf("stretch-ref", func(c *Columns) *[]NameID { return &c.StretchRef }),
	columnOf("vertex-start", func(c *Columns) *[]uint32 { return &c.VertexStart }),
	columnOf("piece-start", func(c *Columns) *[]uint32 { return &c.PieceStart }),
	columnOf("mouth-start", func(c *Columns) *[]uint32 { return &c.MouthStart }),
	columnOf("thing-start", func(c *Columns) *[]uint32 { return &c.ThingStart }),
	columnOf("segment-use", func(c *Columns) *[]extract.Use { return &c.SegmentUse }),
	columnOf("vertex-lon", func(c *Columns) *[]int32 { return &c.VertexLonE7 }),
	columnOf("vertex-lat", func(c *Columns) *[]int32 { return &c.VertexLatE7 }),
	columnOf("piece-way", func(c *Columns) *[]int64 { return &c.PieceWay }),
	columnOf("piece-reversed", func(c *Columns) *[]uint8 { return &c.PieceReversed }),
	columnOf("piece-from", func(c *Columns) *[]uint32 { return &c.PieceFromMm }),
	columnOf("piece-way-from", func(c *Columns) *[]uint32 { return &c.PieceWayFromMm }),
	columnOf("piece-node", func(c *Columns) *[]uint32 { return &c.PieceFirstNode }),
	columnOf("piece-vertex", func(c *Columns) *[]uint32 { return &c.PieceVertex }),
	columnOf("piece-name", func(c *Columns) *[]NameID { return &c.PieceName }),
	columnOf("piece-ref", func(c *Columns) *[]NameID { return &c.PieceRef }),
	columnOf("piece-attributes", func(c *Columns) *[]uint32 { return &c.PieceAttributes }),
	columnOf("attribute-rows", func(c *Columns) *[]Attributes { return &c.AttributeRows }),
	columnOf("piece-by-way", func(c *Columns) *[]PieceID { return &c.PieceByWay }),
	columnOf("state-segment", func(c *Columns) *[]SegmentID { return &c.StateSegment }),
	columnOf("turn-start", func(c *Columns) *[]uint32 { return &c.TurnStart }),
	columnOf("turn-to", func(c *Columns) *[]StateID { return &c.TurnTo }),
	columnOf("turn-angle", func(c *Columns) *[]int16 { return &c.TurnAngle }),
	columnOf("turn-u", func(c *Columns) *[]uint8 { return &c.TurnU }),
	columnOf("junction-kind", func(c *Columns) *[]JunctionKind { return &c.JunctionKinds }),
	columnOf("junction-arms", func(c *Columns) *[]uint8 { return &c.JunctionArms }),
	columnOf("junction-lon", func(c *Columns) *[]int32 { return &c.JunctionLonE7 }),
	columnOf("junction-lat", func(c *Columns) *[]int32 { return &c.JunctionLatE7 }),
	columnOf("junct-node-start", func(c *Columns) *[]uint32 { return &c.JunctionNodeStart }),
	columnOf("junction-node", func(c *Columns) *[]NodeID { return &c.JunctionNode }),
	columnOf("mouth-along", func(c *Columns) *[]uint32 { return &c.MouthAlongMm }),
	columnOf("mouth-side", func(c *Columns) *[]Side { return &c.MouthSide }),
	columnOf("mouth-kind", func(c *Columns) *[]MouthKind { return &c.MouthKinds }),
	columnOf("mouth-counts", func(c *Columns) *[]uint8 { return &c.MouthCounts }),
	columnOf("mouth-way", func(c *Columns) *[]int64 { return &c.MouthWay }),
	columnOf("thing-along", func(c *Columns) *[]uint32 { return &c.ThingAlongMm }),
	columnOf("thing-features", func(c *Columns) *[]extract.Feature { return &c.ThingFeatures }),
	columnOf("thing-direction", func(c *Columns) *[]int8 { return &c.ThingDirection }),
	columnOf("name-start", func(c *Columns) *[]uint32 { return &c.NameStart }),
	columnOf("name-bytes", func(c *Columns) *[]uint8 { return &c.NameBytes }),
	columnOf("settle-name", func(c *Columns) *[]NameID { return &c.SettlementName }),
	columnOf("settle-lon", func(c *Columns) *[]int32 { return &c.SettlementLonE7 }),
	columnOf("settle-lat", func(c *Columns) *[]int32 { return &c.SettlementLatE7 }),
	columnOf("settle-rank", func(c *Columns) *[]uint8 { return &c.SettlementRank }),
	columnOf("address-lon", func(c *Columns) *[]int32 { return &c.AddressLonE7 }),
	columnOf("address-lat", func(c *Columns) *[]int32 { return &c.AddressLatE7 }),
	columnOf("address-postcode", func(c *Columns) *[]NameID { return &c.AddressPostcode }),
	columnOf("address-street", func(c *Columns) *[]NameID { return &c.AddressStreet }),
	columnOf("address-house", func(c *Columns) *[]NameID { return &c.AddressHouse }),
	columnOf("site-kind", func(c *Columns) *[]extract.SiteKind { return &c.SiteKinds }),
	columnOf("site-object", func(c *Columns) *[]int64 { return &c.SiteObject }),
	columnOf("site-name", func(c *Columns) *[]NameID { return &c.SiteName }),
	columnOf("site-stretch", func(c *Columns) *[]uint32 { return &c.SiteStretch }),
	columnOf("site-along", func(c *Columns) *[]uint32 { return &c.SiteAlongMm }),
	columnOf("site-side", func(c *Columns) *[]Side { return &c.SiteSide }),
	columnOf("site-shape-start", func(c *Columns) *[]uint32 { return &c.SiteShapeStart }),
	columnOf("site-lon", func(c *Columns) *[]int32 { return &c.SiteLonE7 }),
	columnOf("site-lat", func(c *Columns) *[]int32 { return &c.SiteLatE7 }),
	columnOf("site-boxes", func(c *Columns) *[]Box { return &c.SiteBoxes }),
	columnOf("gate-start", func(c *Columns) *[]uint32 { return &c.GateStart }),
	columnOf("gate-lon", func(c *Columns) *[]int32 { return &c.GateLonE7 }),
	columnOf("gate-lat", func(c *Columns) *[]int32 { return &c.GateLatE7 }),
	columnOf("car-parks", func(c *Columns) *[]CarParkRow { return &c.CarParks }),
	columnOf("stop-start", func(c *Columns) *[]uint32 { return &c.StopStart }),
	columnOf("stop-along", func(c *Columns) *[]uint32 { return &c.StopAlongMm }),
	columnOf("stop-side", func(c *Columns) *[]Side { return &c.StopSide }),
	columnOf("stop-name", func(c *Columns) *[]NameID { return &c.StopName }),
	columnOf("kerb-homes", func(c *Columns) *[]uint16 { return &c.KerbHomes }),
	columnOf("kerb-garages", func(c *Columns) *[]uint16 { return &c.KerbGarages }),
	columnOf("building-kind", func(c *Columns) *[]extract.BuildingKind { return &c.BuildingKinds }),
	columnOf("building-levels", func(c *Columns) *[]uint8 { return &c.BuildingLevels }),
	columnOf("building-shape", func(c *Columns) *[]uint32 { return &c.BuildingShapeStart }),
	columnOf("building-lon", func(c *Columns) *[]int32 { return &c.BuildingLonE7 }),
	columnOf("building-lat", func(c *Columns) *[]int32 { return &c.BuildingLatE7 }),
	columnOf("building-start", func(c *Columns) *[]uint32 { return &c.BuildingStart }),
	columnOf("building-near", func(c *Columns) *[]uint32 { return &c.BuildingNear }),
	columnOf("wall-kind", func(c *Columns) *[]extract.WallKind { return &c.WallKinds }),
	columnOf("wall-height", func(c *Columns) *[]uint8 { return &c.WallHeightDm }),
	columnOf("wall-shape", func(c *Columns) *[]uint32 { return &c.WallShapeStart }),
	columnOf("wall-lon", func(c *Columns) *[]int32 { return &c.WallLonE7 }),
	columnOf("wall-lat", func(c *Columns) *[]int32 { return &c.WallLatE7 }),
	columnOf("wall-start", func(c *Columns) *[]uint32 { return &c.WallStart }),
	columnOf("wall-near", func(c *Columns) *[]uint32 { return &c.WallNear }),
	columnOf("cell-grid", func(c *Columns) *[]int32 { return &c.CellGrid }),
	columnOf("cell-key", func(c *Columns) *[]int64 { return &c.CellKey }),
	columnOf("cell-share", func(c *Columns) *[]uint8 { return &c.CellShare }),
	columnOf("tree-order", func(c *Columns) *[]StretchID { return &c.TreeOrder }),
	columnOf("tree-boxes", func(c *Columns) *[]Box { return &c.TreeBoxes }),
	columnOf("height-start", func(c *Columns) *[]uint32 { return &c.HeightStart }),
	columnOf("height", func(c *Columns) *[]int32 { return &c.HeightCm }),
	columnOf("height-error", func(c *Columns) *[]uint16 { return &c.HeightErrorCm }),
	columnOf("traffic", func(c *Columns) *[]uint8 { return &c.Traffic }),
}
