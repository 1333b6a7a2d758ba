package lesson

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"loopwright/internal/circuit"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// What is drawn around a circuit. Our choice: a road or two either side of the
// drive, to find the way back by, in a file of some 100 kB.
const (
	aroundM    geo.Metres = 150
	mostAround int        = 800 // stretches
)

// setAround gives a circuit what its map draws beside it: the roads near the
// drive, main roads first, and a few buildings. It goes by the circuit alone.
func setAround(n *roadnet.Network, c *circuit.Circuit) {
	c.Around, c.Buildings = around(n, c), buildings(n, c)
}

// around are the roads near the drive, main roads first.
func around(n *roadnet.Network, c *circuit.Circuit) []circuit.Road {
	near := map[roadnet.StretchID]bool{}
	look := func(line orb.LineString) {
		for i := 1; i < len(line); i++ {
			n.Within(grown(orb.MultiPoint{line[i-1], line[i]}.Bound(), aroundM), func(s roadnet.StretchID) bool {
				near[s] = true
				return true
			})
		}
	}
	for _, l := range c.Legs {
		look(l.Line)
	}
	for _, p := range c.Practices() {
		for _, b := range p.Backups {
			if b.Way != nil {
				look(b.Way.Line)
			}
		}
	}
	class := func(s roadnet.StretchID) uint8 { return uint8(n.PieceAt(s, n.Length(s)/2).Attributes.Class) }
	order := make([]roadnet.StretchID, 0, len(near))
	for s := range near {
		order = append(order, s)
	}
	slices.SortFunc(order, func(a, b roadnet.StretchID) int {
		return cmp.Or(cmp.Compare(class(a), class(b)), cmp.Compare(a, b))
	})
	var out []circuit.Road
	for _, s := range order[:min(len(order), mostAround)] {
		out = append(out, Drawn(n, s))
	}
	return out
}

// Drawn is a stretch as a map draws it.
func Drawn(n *roadnet.Network, s roadnet.StretchID) circuit.Road {
	kind := n.PieceAt(s, n.Length(s)/2).Attributes.Class
	return circuit.Road{Name: n.Name(n.NameOf(s)), Class: strings.ReplaceAll(kind.String(), " ", "_"), Line: n.Line(s.Segment(true))}
}

// grown is a box with so much more on every side.
func grown(b orb.Bound, by geo.Metres) orb.Bound {
	const degree = 111_195 // metres of a degree of latitude on the sphere of package geo
	lat := float64(by) / degree
	lon := lat / max(math.Cos(b.Center().Lat()*math.Pi/180), 0.01)
	return orb.Bound{Min: orb.Point{b.Min.Lon() - lon, b.Min.Lat() - lat}, Max: orb.Point{b.Max.Lon() + lon, b.Max.Lat() + lat}}
}
