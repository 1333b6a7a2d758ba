package roadnet

import (
	"slices"

	"github.com/paulmach/orb"

	"loopwright/internal/extract"
)

// FactKind is a kind of thing that a map may have or lack.
type FactKind uint8

// Tags of roads.
const (
	FactUnknown FactKind = iota
	FactWidth
	FactParking // along the kerb
	FactLit
	FactSurface
	FactFootway // whether there is a sidewalk
	FactLimit   // a speed limit that is tagged

	// Things on or beside them.
	FactCalming
	FactCrossing
	FactStop // bus stops
	FactHome
	FactBuilding
	FactDrive
	FactGarage
	FactWall // walls, fences and hedges
	FactKinds
)

// String is the word for a kind of thing, in the plural where it is one.
func (k FactKind) String() string {
	return [FactKinds]string{"unknown", "widths", "parking", "lighting", "surfaces", "footways", "limits", "calming", "crossings",
		"bus stops", "homes", "buildings", "drives", "garages", "walls"}[k]
}

// Completeness is how much of a kind of thing the extract maps about a
// position, 0.02 to 0.98: what the absence of one there counts for. It is an
// estimate from the extract itself, over squares of some 500 m and their
// neighbours; see package laying. Where no road is near it is the extract's
// mean.
func (n *Network) Completeness(kind FactKind, at orb.Point) float64 {
	c := &n.c
	row := 0
	if len(c.CellGrid) == 2 {
		if i, ok := slices.BinarySearch(c.CellKey, CellKey(c.CellGrid, e7(at.Lon()), e7(at.Lat()))); ok {
			row = i
		}
	}
	if len(c.CellShare) == 0 {
		return leastShare
	}
	return max(leastShare, min(1-leastShare, float64(c.CellShare[row*int(FactKinds)+int(kind)])/255))
}

const leastShare = 0.02

// LikelyHomesOn is how many homes there are likely to be along one side of a
// stretch: those mapped, and of those that a road like it would have beyond
// them the share that the extract is likely to lack there. A road to live on
// would have as many as those of the extract's best-mapped neighbourhoods, at
// least 60 to the kilometre; others half as many (our choice), country roads
// and motorways none.
func (n *Network) LikelyHomesOn(s StretchID, side Side) float64 {
	mapped := float64(n.HomesOn(s, side))
	if len(n.c.CellFull) == 0 {
		return mapped
	}
	density := float64(n.c.CellFull[FactHome]) / 1000
	switch middle := n.PieceAt(s, n.Length(s)/2).Attributes; {
	case middle.Class <= extract.Trunk || middle.LimitLowDkmh[0] > builtUpLimitDkmh:
		return mapped
	case middle.Class != extract.Residential && middle.Class != extract.LivingStreet:
		density /= 2
	}
	if side != Both {
		density /= 2
	}
	at, _ := n.At(Position{s.Segment(true), n.Length(s) / 2})
	return mapped + max(0, density*float64(n.Length(s))-mapped)*(1-n.Completeness(FactHome, at))
}

// builtUpLimitDkmh is 60 km/h, in tenths: a road with a higher limit is not
// built up. Our choice, above 30 and 50 and below the open country's limits.
const builtUpLimitDkmh = 600

// CellKey numbers the cell of a position in a grid of cells so wide and high,
// in 10⁻⁷ degrees. The first row of the cells has the key 0, which is no
// cell's, and the extract's means.
func CellKey(grid []int32, lonE7, latE7 int32) int64 {
	return (int64(lonE7)+1<<31)/int64(grid[0])<<32 | (int64(latE7)+1<<31)/int64(grid[1])
}
