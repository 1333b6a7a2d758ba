package traffic

import (
	"math"

	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// Built-up is told by the roads alone: where the public roads in the nine
// squares of 250 m around a stretch's middle have 5 km to the square kilometre
// or more. Our choice: villages of one street have 2 to 4 and towns 8 to 15,
// open country 1 to 2.
const square geo.Metres = 250

const builtUpFrom = 5.0 // km per km²

// squareAt is a square of the map.
type squareAt struct{ x, y int }

// squares tells which square a position lies in. One plane serves a whole
// extract here: 100 km from its middle a square is 2 % wider or narrower than
// it should be, which no threshold of ours feels.
type squares struct{ plane geo.Plane }

func squaresOf(n *roadnet.Network) squares { return squares{geo.PlaneAt(n.About().Bounds.Center())} }

func (q squares) at(p geo.XY) squareAt {
	return squareAt{int(math.Floor(p.X / float64(square))), int(math.Floor(p.Y / float64(square)))}
}

// middle is the square of a stretch's middle.
func (q squares) middle(n *roadnet.Network, s roadnet.StretchID) squareAt {
	p, _ := n.At(roadnet.Position{Segment: s.Segment(true), Along: n.Length(s) / 2})
	return q.at(q.plane.To(p))
}

// around adds up a quantity over a square and its eight neighbours.
func around(sum map[squareAt]float64, k squareAt) float64 {
	var out float64
	for dx := -1; dx <= 1; dx++ {
		for dy := -1; dy <= 1; dy++ {
			out += sum[squareAt{k.x + dx, k.y + dy}]
		}
	}
	return out
}

// builtUp says of each stretch whether it lies in a built-up area, and in
// which square.
func builtUp(n *roadnet.Network) (built []bool, in []squareAt) {
	q := squaresOf(n)
	sum := map[squareAt]float64{}
	in, built = make([]squareAt, n.NumStretches()), make([]bool, n.NumStretches())
	for i := range in {
		s := roadnet.StretchID(i)
		in[i] = q.middle(n, s)
		if !public(n, s.Segment(true)) && !public(n, s.Segment(false)) {
			continue
		}
		line := q.plane.Line(n.Line(s.Segment(true))).Resample(square / 5)
		for k := 1; k < len(line); k++ {
			sum[q.at(line[k].Add(line[k-1]).Scale(0.5))] += float64(line[k].Sub(line[k-1]).Norm())
		}
	}
	area := 9 * float64(square*square) / 1e6
	for i := range in {
		built[i] = around(sum, in[i])/1000/area >= builtUpFrom
	}
	return built, in
}
