package drawing

import (
	"github.com/paulmach/orb"

	"loopwright/internal/circuit"
)

// Area draws the roads of an area on paper of a size in millimetres, by their
// class with their names, and where it is entered from.
func Area(from orb.Point, roads []circuit.Road, width, height float64) (SVG, error) {
	c := &circuit.Circuit{Around: roads, Start: circuit.Stop{At: from}, Finish: circuit.Stop{At: from}}
	if err := drawable(c); err != nil {
		return "", err
	}
	// The frame holds every road, as it holds a drive.
	framed := *c
	for _, r := range roads {
		framed.Legs = append(framed.Legs, circuit.Leg{Line: r.Line})
	}
	m := &mapper{frame: frameOf(&framed, width, height, 11), c: c}
	m.layout = layout{width: width, height: height}
	m.roads()
	m.scaleAndNorth()
	m.places()
	m.names()
	m.put(`<rect x="0.15" y="0.15" width="%s" height="%s" stroke="%s" stroke-width="0.3"/>`+"\n", number(width-0.3), number(height-0.3), inkQuiet)
	return wrap(width, height, "map", "Map of the area, north up. The lists say the same in words.", m.String()), nil
}
