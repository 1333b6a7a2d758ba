package indexing

import (
	"context"

	"loopwright/internal/elevation"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// AddHeights gives the network the heights of the ground along its stretches.
// Bridges and tunnels are passed over. The same folder and network give the
// same columns, whatever the number of workers (below 1: one per processor).
func AddHeights(ctx context.Context, n *roadnet.Network, ground *elevation.Folder, workers int) (*roadnet.Network, error) {
	lines := make([]elevation.Line, n.NumStretches())
	ends := make([]elevation.Ends, n.NumStretches())
	for s := range lines {
		id := roadnet.StretchID(s)
		lines[s] = elevation.Line{Points: n.Line(id.Segment(true)), Skip: offGround(n, id)}
		ends[s] = elevation.Ends{From: int(n.Tail(id.Segment(true))), To: int(n.Head(id.Segment(true)))}
	}
	profiles, err := elevation.Along(ctx, ground, lines, ends, n.NumNodes(), workers)
	if err != nil {
		return nil, err
	}
	return n.WithHeights(profiles), nil
}

// offGround gives the parts of a stretch on bridges and in tunnels.
func offGround(n *roadnet.Network, s roadnet.StretchID) (parts [][2]geo.Metres) {
	for _, p := range n.Pieces(s) {
		if p.Attributes.Flags&(roadnet.Bridge|roadnet.Tunnel) != 0 {
			parts = append(parts, [2]geo.Metres{p.From, p.To})
		}
	}
	return parts
}
