package lesson

import (
	"loopwright/internal/circuit"
	"loopwright/internal/directions"
)

// direct writes what is said on the drive, with the time of each.
func (pl *planner) direct(c *circuit.Circuit, f *finalist, legs []leg) {
	chain := make([]directions.Drive, len(legs))
	for i, l := range legs {
		side := drivingSide(pl.p)
		if i < len(f.halts) && f.halts[i].what == practising {
			side = pl.places[f.place].Side
		}
		chain[i] = directions.Drive{Path: l.d.part(l.a, l.b), PullUp: side}
	}
	for i, s := range directions.Write(pl.n, pl.p, chain, directions.Options{Pace: pl.w}) {
		l := legs[s.Said.Drive]
		at := spot{l.a.index + s.Said.Index, s.Said.Along}
		c.Steps = append(c.Steps, circuit.Step{
			Order: i + 1, At: pl.pointOf(l.d.position(at)), AtS: c.Legs[s.Said.Drive].AtS + float64(l.d.at(at)-l.d.at(l.a))/1000,
			Say: s.Say, Alert: s.Alert, Direction: s.Direction, Where: s.Where, DistanceM: s.Distance, Kind: s.Kind.String(),
		})
	}
}
