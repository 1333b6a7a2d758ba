package desk

import (
	"fmt"
	"math"
	"time"

	"github.com/paulmach/orb"

	"loopwright/internal/calendar"
	"loopwright/internal/circuit"
	"loopwright/internal/gazetteer"
	"loopwright/internal/geo"
	"loopwright/internal/notes"
	"loopwright/internal/roadnet"
)

// rests says which of a circuit's places to practise should be left alone at
// its start, and by whose note.
func (d *Desk) rests(c *circuit.Circuit, start time.Time) []string {
	out := []string{}
	when := notes.When{Day: calendar.DateOf(start), Hour: start}
	var places []circuit.Practice
	var first []bool // the place itself, not a backup
	for _, at := range c.Practices() {
		places, first = append(places, at.Practice), append(first, true)
		for _, b := range at.Backups {
			places, first = append(places, b), append(first, false)
		}
	}
	for i, p := range places {
		kerb, err := roadnet.ParseKerb(p.Kerb)
		if err != nil {
			continue // lesson.Check tells of it
		}
		pos, _, err := d.net.LocateKerb(kerb)
		if err != nil {
			continue
		}
		s, along := pos.Segment.Stretch(), pos.Along
		if !pos.Segment.Forward() {
			along = d.net.Length(s) - along
		}
		here := d.view.On(s, when)
		if rest, by := here.Rests(along, along); rest > notes.Free {
			what := "the practice place"
			if !first[i] {
				what = "a backup"
			}
			out = append(out, fmt.Sprintf("%s, %s, should rest: %s", what, p.Road, by.Said()))
		}
	}
	return out
}

// onDrive is how far from a driven line a closure still lies on it.
const onDrive geo.Metres = 10

// closed says which roads that the circuit drives are closed at its hours.
func (d *Desk) closed(c *circuit.Circuit, start time.Time) []Fails {
	var out []Fails
	until := start.Add(time.Duration(c.Request.Minutes * float64(time.Minute)))
	for _, s := range d.view.Closed(start, until) {
		middle := roadnet.Position{Segment: s.Segment(true), Along: d.net.Length(s) / 2}
		at, _ := d.net.At(middle)
		for i := range c.Legs {
			if away(c.Legs[i].Line, at) <= onDrive {
				out = append(out, Fails{
					"open roads", "it is noted as closed then", gazetteer.RoadAt(d.net, middle),
					"The drive can't be driven: plan it again.",
				})
				break
			}
		}
	}
	return out
}

// away is how far a position lies from a line.
func away(line orb.LineString, at orb.Point) geo.Metres {
	plane := geo.PlaneAt(at)
	if len(line) < 2 {
		return geo.Metres(math.Inf(1))
	}
	_, far, _ := plane.Line(line).Nearest(geo.XY{})
	return far
}
