package roadnet

import (
	"slices"

	"github.com/paulmach/orb"
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

// CellKey numbers the cell of a position in a grid of cells so wide and high,
// in 10⁻⁷ degrees. The first row of the cells has the key 0, which is no
// cell's, and the extract's means.
func CellKey(grid []int32, lonE7, latE7 int32) int64 {
	return (int64(lonE7)+1<<31)/int64(grid[0])<<32 | (int64(latE7)+1<<31)/int64(grid[1])
}
