package changes

import (
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// Across finds a position of one network on another: the same kerb's segment,
// facing the same way. False where no road lies there.
func Across(from, to *roadnet.Network, pos roadnet.Position) (roadnet.Position, bool) {
	stretch := pos.Segment.Stretch()
	along := pos.Along
	if !pos.Segment.Forward() {
		along = from.Length(stretch) - along
	}
	piece := from.PieceAt(stretch, along)
	at, heading := from.At(roadnet.Position{Segment: stretch.Segment(true), Along: along})
	on, ok := finder{n: to}.partner(part{piece: &piece, middle: at, heading: heading})
	if !ok {
		return roadnet.Position{}, false
	}
	line := geo.PlaneAt(at).Line(to.Line(on.stretch.Segment(true)))
	there, _, _ := line.Nearest(geo.XY{})
	forward := pos.Segment.Forward() != on.turned
	length := to.Length(on.stretch)
	there = min(there*length/max(line.Length(), sliver), length)
	if !forward {
		there = length - there
	}
	return roadnet.Position{Segment: on.stretch.Segment(forward), Along: there}, true
}
