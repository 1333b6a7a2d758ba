package lesson

import (
	"strings"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/directions"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// leaves is where the car stands after so many goes, one at the least.
func (p *practice) leaves(goes int) roadnet.Position {
	if p.FacesBack && goes%2 == 0 {
		return p.Position
	}
	return p.After
}

// comes is the drive that the car still comes from when it leaves after so many
// goes; nil where they have turned it round or put it into another road.
func (p *practice) comes(goes int, out *route.Path) *route.Path {
	if p.leaves(goes) == p.Position {
		return out
	}
	return nil
}

// takes is how many minutes some goes of so many minutes take, with the way
// round to each but the first.
func (p *practice) takes(goes int, each float64) float64 {
	return float64(goes)*each + float64(max(goes-1, 0))*p.roundMinutes()
}

func (p *practice) roundMinutes() float64 { return float64(p.roundMs) / 60000 }

// fit is how many goes some minutes have room for, each of the least length.
func (p *practice) fit(minutes, least float64) int {
	if minutes < least {
		return 0
	}
	return 1 + int((minutes-least)/(least+p.roundMinutes()))
}

// drivesRound says whether the car drives round to where the next go begins.
func drivesRound(ex *assess.Exercise) bool { return ex.MovesOn || ex.Corner }

// setRound finds the way round from where a go leaves the car to where the next
// begins; false where there is none that is short enough.
func (pl *planner) setRound(p *practice) bool {
	if !drivesRound(pl.ex) {
		return true
	}
	from := p.After
	if from.Segment == p.Position.Segment { // past it already
		from.Along = pl.n.Length(from.Segment.Stretch())
	}
	path, ok := pl.forward.Path(from, p.Position, geo.Seconds(pl.table.Goes.RoundMostS), pl.turning())
	if !ok {
		return false
	}
	d, ok := pl.w.Drive(p.After, p.Position, path.Segments, pl.turning())
	if !ok {
		return false
	}
	p.round, p.roundMs = &drive{d, pl.w, pl.w.Timeline(d)}, d.Ms+pl.w.StopMs(d.To)
	return float64(p.roundMs)/1000 <= pl.table.Goes.RoundMostS
}

// roundOf is the way round between so many goes as the circuit has it.
func (pl *planner) roundOf(p *practice, goes int) *circuit.Round {
	if p.round == nil || goes < 2 {
		return nil
	}
	return roundBy(pl.n, pl.p, p.round, pl.options())
}

// roundBy is a way round that is driven by somebody who is told so.
func roundBy(n *roadnet.Network, p *country.Profile, d *drive, opts directions.Options) *circuit.Round {
	drawn, ways := d.drawn(d.start(), d.end())
	r := &circuit.Round{Leg: circuit.Leg{
		Line: drawn, Ways: ways, Roads: d.roads(d.start(), d.end()), LengthM: float64(d.Length),
		DriveS: float64(d.Ms+d.w.StopMs(d.To)) / 1000, Driver: circuit.Learner,
	}}
	parts, moves := briefly(n, p, d.Path, opts)
	if r.Say, r.Moves = strings.Join(parts, ", then "), moves; len(parts) == 0 {
		r.Say = followRound
	}
	return r
}

// followRound is the way round that needs no direction.
const followRound = "follow the road round"
