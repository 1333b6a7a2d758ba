package laying

import (
	"math"

	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
)

// grid sorts positions into cells at least so many metres wide and high, so
// that what lies within that distance is in the nine cells around.
type grid struct{ lonE7, latE7 int64 }

// farthest is the latitude of the node farthest from the equator, positive.
func farthest(nodes []extract.Node) (latE7 int32) {
	for i := range nodes {
		latE7 = max(latE7, nodes[i].LatE7, -nodes[i].LatE7)
	}
	return latE7
}

// newGrid makes a grid that serves all nodes: its cells are wide enough at
// the latitude farthest from the equator.
func (s *site) newGrid(metres float64) grid {
	const metresPerE7 = 0.0110 // along a meridian, a little less than anywhere
	lat := metres / metresPerE7
	return grid{int64(lat / math.Max(0.01, math.Cos(float64(s.topE7)/1e7*math.Pi/180))), int64(lat)}
}

// cell is the cell of a position.
func (g grid) cell(lonE7, latE7 int32) cell {
	return cell((int64(lonE7)+1<<32)/g.lonE7<<32 | (int64(latE7)+1<<32)/g.latE7)
}

// cellsOf visits the cells that a box touches, when it is so much wider and
// higher on each side.
func (g grid) cellsOf(dLon, dLat int64, box roadnet.Box, visit func(cell)) {
	west, east := (int64(box.West)-dLon+1<<32)/g.lonE7, (int64(box.East)+dLon+1<<32)/g.lonE7
	south, north := (int64(box.South)-dLat+1<<32)/g.latE7, (int64(box.North)+dLat+1<<32)/g.latE7
	for x := west; x <= east; x++ {
		for y := south; y <= north; y++ {
			visit(cell(x<<32 | y))
		}
	}
}

// wide says whether a box is more than so many cells wide or high.
func (g grid) wide(box roadnet.Box, cells int64) bool {
	return int64(box.East)-int64(box.West) > cells*g.lonE7 || int64(box.North)-int64(box.South) > cells*g.latE7
}

type cell int64

// around visits the cell and its eight neighbours.
func (c cell) around(visit func(cell)) {
	for dx := cell(-1); dx <= 1; dx++ {
		for dy := cell(-1); dy <= 1; dy++ {
			visit(c + dx<<32 + dy)
		}
	}
}
