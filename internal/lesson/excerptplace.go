package lesson

import (
	"slices"

	"loopwright/internal/circuit"
	"loopwright/internal/roadnet"
)

// place takes over a place to practise with its backups and its row.
func (x *excerpt) place(k *clocking, old circuit.Practice, backups []circuit.Practice) (p circuit.Practice, moved []circuit.Practice) {
	p = x.withRound(old)
	p.AtS = k.at
	for _, b := range backups {
		b = x.withRound(b)
		if b.AtS = p.AtS; b.Way != nil {
			b.AtS += b.Way.DriveS
		}
		moved = append(moved, b)
	}
	title := p.Exercise
	if row, ok := x.rowAt(old.AtS); ok {
		title = row.What
	}
	k.row(title, p.Minutes*60)
	return p, moved
}

// withRound is a place with its way round told and timed as the excerpt's drive
// is.
func (x *excerpt) withRound(p circuit.Practice) circuit.Practice {
	if p.Round == nil {
		return p
	}
	w := &walker{n: x.n, shape: map[roadnet.SegmentID]*shape{}}
	for _, at := range w.starts(p.Round.Line[0], p.Round.Line[1]) {
		trail, f := w.follow(at, p.Round.Line)
		if f != nil || !slices.Equal(w.ways(trail), once(p.Round.Ways)) {
			continue
		}
		r := roundBy(x.n, x.p, driveOf(x.weights(), trail), optionsFor(x.weights(), x.c.Request.Pace, false))
		p.Minutes += float64(p.Goes-1) * (r.DriveS - p.Round.DriveS) / 60
		p.Round = r
		return p
	}
	p.Round = nil // not on this map: Check says so of the circuit it is from
	return p
}

// choices are the roads that the circuit lets the learner choose from; its
// verdicts are taken over.
func (x *excerpt) choices() func(leg, spot) []circuit.Choosable {
	old := x.old.Choice
	if old == nil {
		return nil
	}
	return func(l leg, from spot) []circuit.Choosable {
		var out []circuit.Choosable
		driven := l.d.roads(from, l.b)
		for _, r := range old.Roads {
			if slices.Contains(driven, r.Road) || r.Road == x.old.Practice.Road {
				out = append(out, r)
			}
		}
		return out
	}
}
