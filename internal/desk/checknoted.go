package desk

import (
	"fmt"
	"math"
	"slices"
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

// onDrive is how far from a driven line a closure still lies on it: our choice,
// within a carriageway.
const onDrive geo.Metres = 10

// closed says which roads that the circuit drives are noted as closed at its
// hours, or were to be kept off.
func (d *Desk) closed(c *circuit.Circuit, start time.Time) []Fails {
	var out []Fails
	tell := func(all []roadnet.StretchID, must, what string) {
		for _, s := range all {
			at := middle(d.net, s, true)
			point, _ := d.net.At(at)
			if slices.ContainsFunc(c.Legs, func(l circuit.Leg) bool { return away(l.Line, point) <= onDrive }) {
				out = append(out, Fails{must, what, gazetteer.RoadAt(d.net, at), "The drive can't be driven: plan it again."})
			}
		}
	}
	until := start.Add(time.Duration(c.Request.Minutes * float64(time.Minute)))
	tell(d.view.Closed(start, until), "open roads", "it is noted as closed then")
	for _, kerb := range c.Request.KeepOff {
		if s, err := d.stretchesOf([]string{kerb}); err == nil { // one that the map has no longer is not driven
			tell(s, "keep off", "the drive was to keep off it")
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
