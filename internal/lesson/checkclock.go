package lesson

import (
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// clock times what a walk drives, part by part and turn by turn, at the pace
// that circuits are planned for.
type clock struct{ w *route.Weights }

// run is the driving time in seconds between two points of a segment.
func (c *clock) run(s roadnet.SegmentID, from, to geo.Metres) float64 {
	a, b := c.w.At(roadnet.Position{Segment: s, Along: from}), c.w.At(roadnet.Position{Segment: s, Along: to})
	return (float64(b) - float64(a)) / 1000
}

// turn is the time in seconds that a turn adds.
func (c *clock) turn(t roadnet.TurnID) float64 { return float64(c.w.TurnMs(t)) / 1000 }

// stop is the time in seconds that pulling up and moving off again adds.
func (c *clock) stop(s roadnet.SegmentID, at geo.Metres) float64 {
	return float64(c.w.StopMs(roadnet.Position{Segment: s, Along: at})) / 1000
}
