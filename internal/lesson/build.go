package lesson

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// Attribution is what stands on every map and in every file made from the data.
const Attribution = "Map data © OpenStreetMap contributors, Open Database Licence (ODbL) 1.0, openstreetmap.org/copyright"

// cautions stand in every circuit; see also sameReason.
var cautions = []string{
	"The map may be old or wrong. You decide on the day: signs, local rules and your licence come first.",
	"Widths and parked cars are seldom on the map. Look at the practice road before you brief for it.",
	"Never stop or manoeuvre where it is barred. Leave if another learner is there, a resident objects or children play.",
	"Keep away from schools at their hours. Nothing here is to be read while the car moves.",
}

// sameReason is owned up to where no circuit had a reason for each.
const (
	sameReason = "Two of the roads to judge will not do for the same reason: "
	noneFound  = "no other reason was found within reach."
)

// sameWay is owned up to where more than a share of the drive, our choice, goes
// along roads again in the same direction.
const (
	sameWay   = "A good part of the drive, most of it along %s, goes the same way twice: no better drive was found from here."
	muchAgain = 0.15
)

// noName is what a road without one is called.
const noName = "a road without a name"

// circuit writes a finalist down.
func (pl *planner) circuit(f *finalist) (*circuit.Circuit, error) {
	c, err := pl.header()
	if err != nil {
		return nil, err
	}
	if f.sameAgain {
		c.Cautions = append(c.Cautions, sameReason+pl.whyAgain())
	}
	if share, most := drivenAgain(f.drives()); share > muchAgain {
		c.Cautions = append(c.Cautions, fmt.Sprintf(sameWay, roadOf(pl.n, most)))
	}
	if c.Bound = pl.bound(f); c.Bound == nil {
		c.NoBound = noBoundOfChanges
	}
	pl.lay(c, f)
	return c, nil
}

func (pl *planner) pointOf(p roadnet.Position) orb.Point {
	at, _ := pointAt(pl.n, p)
	return at
}

// clocking keeps the time while a circuit is laid out.
type clocking struct {
	c  *circuit.Circuit
	at float64 // seconds from the lesson's start
}

// row adds to the timeline and lets the time pass.
func (k *clocking) row(what string, seconds float64) {
	k.c.Timeline = append(k.c.Timeline, circuit.Row{AtS: k.at, What: what, Minutes: seconds / 60})
	k.at += seconds
}

// leg adds a leg that begins now, and lets the time pass.
func (k *clocking) leg(l leg, what string) {
	drawn, ways := l.d.drawn(l.a, l.b)
	length := float64(l.d.part(l.a, l.b).Length)
	k.c.Legs = append(k.c.Legs, circuit.Leg{
		Order: len(k.c.Legs) + 1, Line: drawn, Ways: ways, Roads: l.d.roads(l.a, l.b), LengthM: length,
		DriveS: l.seconds, Driver: l.driver, AtS: k.at, Heights: l.d.heights(l.a, l.b),
	})
	k.c.DriveS += l.seconds
	k.c.LengthM += length
	k.row(what, l.seconds)
}

// lay lays out legs, stops, roads to judge and directions on one clock.
func (pl *planner) lay(c *circuit.Circuit, f *finalist) {
	k := &clocking{c: c}
	c.Start = pl.stop(pl.pickUp(), drivingSide(pl.p))
	c.Start.Minutes = pl.wish.split.Recap
	k.row("recap", c.Start.Minutes*60)
	legs := f.legs()
	for i, l := range legs {
		pl.layLeg(k, f, i, l)
		if i < len(f.halts) {
			pl.layHalt(k, f, f.halts[i], l.d.position(l.b))
		}
	}
	c.Finish = pl.stop(pl.dropOff(), drivingSide(pl.p))
	c.Finish.AtS = k.at
	c.Finish.Minutes = pl.wish.Minutes - k.at/60
	k.row("in hand at the drop-off", c.Finish.Minutes*60)
	c.Backups = pl.backupsOf(f.backups, c.Practice.AtS)
	pl.direct(c, f, legs)
	setAround(pl.n, c)
}

func (pl *planner) layLeg(k *clocking, f *finalist, i int, l leg) {
	what := "drive"
	var judging []string
	if l.d == f.out {
		for j, b := range f.shown {
			if b.before(l.a) || !b.before(l.b) {
				continue
			}
			e := pl.showing(k.c, pl.examples[f.order[j]].Example, pl.ex, k.at+float64(l.d.at(b)-l.d.at(l.a))/1000)
			judging = append(judging, e.Road)
		}
	}
	switch {
	case f.last != nil && l.d == f.last.way:
		what = "drive to a second road"
	case i == len(f.legs())-1:
		what = "drive home"
	}
	k.leg(l, legWords(l.driver, i == 0, judging, what))
}

func (pl *planner) layHalt(k *clocking, f *finalist, h halting, at roadnet.Position) {
	if h.last {
		pl.layLast(k, f, h)
		return
	}
	if h.what == practising {
		place := &pl.places[f.place]
		k.c.Practice = pl.practiceAt(place, f.goes)
		k.c.Practice.AtS, k.c.Practice.Minutes, k.c.Practice.What = k.at, h.minutes, practising
		k.c.Practice.Late = pl.late(f.goes, f.eachMin+place.roundMinutes())
		k.row(fmt.Sprintf("%s, %d goes in %s", pl.ex.Title, f.goes, k.c.Practice.Road)+withRound(k.c.Practice), h.minutes*60)
		return
	}
	s := pl.stop(at, drivingSide(pl.p))
	s.AtS, s.Minutes, s.What, s.ChangeOver = k.at, h.minutes, h.what, h.changes
	k.c.PullUps = append(k.c.PullUps, s)
	k.row(haltWords(s)+" in "+s.Road, h.minutes*60)
}

// late is what to leave out when the lesson is late: as few goes as win back the
// usual minutes, or all that may be, and the car faces as planned after them.
// eachMin is the minutes of one, with the way round to it.
func (pl *planner) late(planned int, eachMin float64) *circuit.Late {
	step := 1
	if turnsRound(pl.ex) {
		step = 2
	}
	var out *circuit.Late
	for goes := planned - step; goes >= pl.table.Goes.Least; goes -= step {
		out = &circuit.Late{Minutes: float64(planned-goes) * eachMin, Goes: goes}
		if out.Minutes >= pl.table.Late.Minutes {
			break
		}
	}
	return out
}

// withRound says of some goes that the car drives round between them.
func withRound(p circuit.Practice) string {
	if p.Round == nil {
		return ""
	}
	return fmt.Sprintf(", with the way round (%.0f min each time)", math.Max(1, math.Round(p.Round.DriveS/60)))
}

// backupsOf are backups of a place that is reached at a second of the lesson.
func (pl *planner) backupsOf(all []backup, atS float64) []circuit.Practice {
	var out []circuit.Practice
	for _, b := range all {
		p := pl.practiceAt(&pl.places[b.place], b.goes)
		drawn, ways := b.way.drawn(b.way.start(), b.way.end())
		p.Way = &circuit.Leg{
			Line: drawn, Ways: ways, Roads: b.way.roads(b.way.start(), b.way.end()), LengthM: float64(b.way.Length),
			DriveS: float64(b.way.Ms+pl.w.StopMs(b.way.To)) / 1000, Driver: circuit.Learner,
		}
		p.AtS = atS + p.Way.DriveS
		p.Minutes = pl.places[b.place].takes(b.goes, pl.table.Goes.LeastMinutes)
		out = append(out, p)
	}
	return out
}

// practiceAt is a place to practise, with so many goes.
func (pl *planner) practiceAt(p *practice, goes int) circuit.Practice {
	judged := pl.assessor.At(pl.ex, p.Position, p.Side)
	out := circuit.Practice{
		Stop: pl.stop(p.Position, p.Side), Exercise: pl.ex.Name, Goes: goes, Verdict: judged.Verdict, Chance: judged.Chance,
		MapFit: judged.MapFit, Findings: judged.Findings, Line: line(pl.n, p.Position.Segment, judged.From, judged.To),
	}
	if pl.ex.CarPark {
		out.Road = carPark(judged.Park, out.Road)
	}
	_, heading := pointAt(pl.n, p.leaves(goes))
	out.FacesAfterDeg = heading.Normal().Degrees()
	out.Round = pl.roundOf(p, goes)
	return out
}

// stop is where the car stands at a position.
func (pl *planner) stop(p roadnet.Position, side roadnet.Side) circuit.Stop {
	at, heading := pointAt(pl.n, p)
	return circuit.Stop{
		At: at, Kerb: pl.n.KerbAt(p, side).String(), Road: roadOf(pl.n, p.Segment), Side: side.String(),
		FacesDeg: heading.Normal().Degrees(), Towards: towards(pl.n, p.Segment),
	}
}

// roadOf is a segment's name, or its number, or that it has none.
func roadOf(n *roadnet.Network, s roadnet.SegmentID) string {
	if name := n.Name(n.NameOf(s.Stretch())); name != "" {
		return name
	}
	if ref := n.RefOf(s.Stretch()); ref != "" {
		return ref
	}
	return noName
}

// judgedRoad is what a road to judge is called: the car park that it leads by,
// for an exercise that is done in one.
func (pl *planner) judgedRoad(e assess.Example, ex *assess.Exercise) string {
	road := roadOf(pl.n, e.Segment)
	if !ex.CarPark {
		return road
	}
	return carPark(e.Park, road)
}

// carPark is the name of a car park, or where it lies.
func carPark(name, road string) string {
	if name != "" {
		return name
	}
	return "the car park in " + road
}

// farthest is how far ahead a road may be that a car is said to face towards:
// our choice, beyond it nobody would know.
const farthest geo.Metres = 600

// towards is the first road of another name that meets the road ahead, "" where
// there is none near.
func towards(n *roadnet.Network, s roadnet.SegmentID) string {
	own := roadOf(n, s)
	gone := geo.Metres(0)
	for range 20 {
		node := n.Head(s)
		next, best := roadnet.SegmentID(roadnet.None), ""
		for _, o := range n.Out(node) {
			if o == s.Opposite() {
				continue
			}
			name := n.Name(n.NameOf(o.Stretch()))
			switch {
			case name == own || name == "" && next == roadnet.SegmentID(roadnet.None):
				next = o
			case best == "" || name < best && name != "":
				best = name
			}
		}
		if best != "" {
			return best
		}
		if next == roadnet.SegmentID(roadnet.None) {
			return ""
		}
		gone += n.Length(next.Stretch())
		if gone > farthest {
			return ""
		}
		s = next
	}
	return ""
}
