package lesson

import (
	"errors"
	"fmt"

	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/directions"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// Mark is a junction on the drive of a circuit: the start of a segment of a
// leg, both by index. The number of a leg's segments stands for its end.
type Mark struct{ Leg, Index int }

// Paths are the drives of a circuit's legs on a network. The error says which
// leg can't be driven there.
func Paths(n *roadnet.Network, p *country.Profile, c *circuit.Circuit) ([]route.Path, error) {
	drives, err := drivesOf(n, p, c)
	if err != nil {
		return nil, err
	}
	paths := make([]route.Path, len(drives))
	for i, d := range drives {
		paths[i] = d.Path
	}
	return paths, nil
}

func drivesOf(n *roadnet.Network, p *country.Profile, c *circuit.Circuit) ([]*drive, error) {
	var fault error
	w := &walker{n: n, left: p.DrivesLeft, shape: map[roadnet.SegmentID]*shape{}}
	trails := w.readBack(c, func(m Must, what, where string) {
		if fault == nil {
			fault = errors.New(Broken{m, what, where}.String())
		}
	})
	if fault != nil {
		return nil, fault
	}
	weights := map[string]*route.Weights{} // by driver
	drives := make([]*drive, len(trails))
	for i, trail := range trails {
		by := c.Legs[i].Driver
		if weights[by] == nil {
			pace, err := paceOf(c, by)
			if err != nil {
				return nil, err
			}
			weights[by] = route.NewWeights(n, p, pace)
		}
		drives[i] = driveOf(weights[by], trail)
	}
	return drives, nil
}

// driveOf is a walk along a leg as a drive.
func driveOf(w *route.Weights, trail []visit) *drive {
	first, last := trail[0], trail[len(trail)-1]
	path := route.Path{
		From: roadnet.Position{Segment: first.segment, Along: first.from},
		To:   roadnet.Position{Segment: last.segment, Along: last.to},
	}
	for _, v := range trail {
		path.Segments = append(path.Segments, v.segment)
		path.States = append(path.States, v.state)
		path.Length += v.to - v.from
	}
	d := &drive{path, w, w.Timeline(path)}
	d.Ms = uint32(d.at(d.end()))
	return d
}

// Excerpt is the part of a circuit from one junction of its drive to another,
// as a circuit of its own: its clock begins at the first of them, and nothing
// in it, not the least digit, comes from what is left out. The learner, the
// pick-up and the drop-off are left out, and roads to judge and stops before
// and after; the drive is timed for the usual pace. The practice place must lie
// between the two, or be the second.
func Excerpt(n *roadnet.Network, p *country.Profile, c *circuit.Circuit, from, to Mark) (*circuit.Circuit, error) {
	asked := c.Request
	asked.Wishless()
	asked.Pace, asked.Without, asked.KeepOff, asked.PractiseAt = "", nil, nil, "" // all of them tell of the learner, or the home
	plain := *c
	plain.Request = asked
	drives, err := drivesOf(n, p, &plain)
	if err != nil {
		return nil, err
	}
	if from.Leg > to.Leg || from.Leg == to.Leg && from.Index >= to.Index || to.Leg >= len(drives) || to.Index == 0 || to.Index > len(drives[to.Leg].Segments) || from.Index >= len(drives[from.Leg].Segments) {
		panic("lesson: an excerpt that ends before it begins: bug in the caller")
	}
	x := &excerpt{n: n, p: p, from: from, to: to, old: c, c: &circuit.Circuit{
		MadeFrom: c.MadeFrom, Request: asked, StartsAt: c.StartsAt, Zone: c.Zone, Attribution: c.Attribution, Cautions: c.Cautions, Sent: circuit.ForAnyone,
	}}
	for i := from.Leg; i <= to.Leg; i++ {
		d := drives[i]
		l := leg{d: d, a: d.start(), b: d.end(), driver: c.Legs[i].Driver}
		if i == from.Leg && from != (Mark{}) {
			l.a = spot{from.Index, 0}
		}
		if i == to.Leg && to.Index < len(d.Segments) {
			l.b = spot{to.Index - 1, n.Length(d.Segments[to.Index-1].Stretch())}
		}
		x.legs = append(x.legs, l)
	}
	if err := x.lay(); err != nil {
		return nil, err
	}
	t := &teller{n, p, x.weights(), standard(), x.c, x.legs, x.choices()}
	t.tell(x.shown)
	setAround(n, x.c)
	return x.c, nil
}

// excerpt is the work on one.
type excerpt struct {
	n        *roadnet.Network
	p        *country.Profile
	from, to Mark
	old, c   *circuit.Circuit
	legs     []leg
	shown    []directions.Span
}

// toItsEnd says whether the last leg is kept to the stop at its end.
func (x *excerpt) toItsEnd() bool {
	l := x.legs[len(x.legs)-1]
	return l.b == l.d.end()
}

// lay lays out legs, stops and roads to judge on a clock that begins at the
// first junction.
func (x *excerpt) lay() error {
	k := &clocking{c: x.c}
	x.c.Start = x.junction(x.legs[0].d.position(x.legs[0].a))
	practised := false
	for i, l := range x.legs {
		x.leg(k, i, l)
		if i == len(x.legs)-1 && !x.toItsEnd() {
			break
		}
		old := x.old.Legs[x.from.Leg+i]
		end := old.AtS + old.DriveS
		if near(x.old.Practice.AtS, end) {
			practised = true
			x.practice(k)
			continue
		}
		if second := x.old.Second; second != nil && near(second.AtS, end) {
			x.second(k)
			continue
		}
		for _, s := range x.old.PullUps {
			if near(s.AtS, end) {
				s.AtS = k.at
				x.c.PullUps = append(x.c.PullUps, s)
				k.row(haltWords(s)+" in "+s.Road, s.Minutes*60)
			}
		}
	}
	if !practised {
		return errors.New("the practice place is not on the part that would be left")
	}
	last := x.legs[len(x.legs)-1]
	x.c.Finish = x.junction(last.d.position(last.b))
	if x.toItsEnd() {
		x.c.Finish.Side = x.c.Practice.Side
	}
	x.c.Finish.AtS = k.at
	x.c.Request.From, x.c.Request.To = junctionWords(x.c.Start), junctionWords(x.c.Finish)
	x.c.Request.Minutes, x.c.Request.InHand = k.at/60, 0
	x.c.Request.Unsuitable, x.c.Request.Suitable = 0, 0
	for _, e := range x.c.Examples {
		if e.Reason == suits {
			x.c.Request.Suitable++
		} else {
			x.c.Request.Unsuitable++
		}
	}
	return nil
}

func (x *excerpt) leg(k *clocking, i int, l leg) {
	old := x.old.Legs[x.from.Leg+i]
	ms := l.d.at(l.b) - l.d.at(l.a)
	if i < len(x.legs)-1 || x.toItsEnd() {
		ms += int64(l.d.w.StopMs(l.d.position(l.b)))
	}
	l.seconds = float64(ms) / 1000
	what := "drive"
	if old.Driver == circuit.Instructor {
		what = "you drive"
	}
	if judging := x.examples(k, old, l); len(judging) > 0 {
		what = "drive, and judge " + listed(judging)
	}
	k.leg(l, what)
}

// examples takes over the roads to judge that the part of a leg drives along
// from end to end, and gives their names.
func (x *excerpt) examples(k *clocking, old circuit.Leg, l leg) []string {
	var names []string
	for _, e := range x.old.Examples {
		if e.AtS < old.AtS-rounding || e.AtS >= old.AtS+old.DriveS {
			continue
		}
		begin, ok := x.spotOn(l, e)
		if !ok {
			continue
		}
		at, length := k.at+float64(l.d.at(begin)-l.d.at(l.a))/1000, lengthOf(x.n, l.d.Segments[begin.index], e)
		end := spot{begin.index, begin.along + length}
		if l.b.before(end) {
			continue
		}
		x.shown = append(x.shown, directions.Span{From: geo.Seconds(at), To: geo.Seconds(k.at + float64(l.d.at(end)-l.d.at(l.a))/1000)})
		e.AtS, e.Order = at, len(x.c.Examples)+1
		x.c.Examples = append(x.c.Examples, e)
		names = append(names, e.Road)
	}
	return names
}

// spotOn is where a leg comes to a road to judge; false where that is before
// its part begins.
func (x *excerpt) spotOn(l leg, e circuit.Example) (spot, bool) {
	w := &walker{n: x.n, shape: map[roadnet.SegmentID]*shape{}}
	for i := l.a.index; i <= l.b.index; i++ {
		for _, v := range w.starts(e.Line[0], e.Line[1]) {
			at := spot{i, v.from}
			if v.segment == l.d.Segments[i] && !at.before(l.a) && !l.b.before(at) {
				return at, true
			}
		}
	}
	return spot{}, false
}

// lengthOf is the length of a road to judge along its segment.
func lengthOf(n *roadnet.Network, s roadnet.SegmentID, e circuit.Example) geo.Metres {
	k := &checker{n: n, w: &walker{n: n, shape: map[roadnet.SegmentID]*shape{}}}
	v := visit{segment: s, to: n.Length(s.Stretch())}
	from, _ := k.alongOf(v, e.Line[0])
	to, _ := k.alongOf(v, e.Line[len(e.Line)-1])
	return to - from
}

func (x *excerpt) practice(k *clocking) {
	x.c.Practice, x.c.Backups = x.place(k, x.old.Practice, x.old.Backups)
}

func (x *excerpt) second(k *clocking) {
	p, backups := x.place(k, *x.old.Second, x.old.SecondBackups)
	x.c.Second, x.c.SecondBackups = &p, backups
}

func (x *excerpt) rowAt(atS float64) (circuit.Row, bool) {
	for _, r := range x.old.Timeline {
		if near(r.AtS, atS) {
			return r, true
		}
	}
	return circuit.Row{}, false
}

// junction is where an excerpt begins or ends: the car does not stand there.
func (x *excerpt) junction(at roadnet.Position) circuit.Stop {
	point, heading := pointAt(x.n, at)
	return circuit.Stop{
		At: point, Road: roadOf(x.n, at.Segment), Side: drivingSide(x.p).String(), FacesDeg: heading.Normal().Degrees(), Towards: towards(x.n, at.Segment),
	}
}

func junctionWords(s circuit.Stop) string { return fmt.Sprintf("%.6f,%.6f", s.At.Lat(), s.At.Lon()) }

// weights are those of the learner; of the instructor where only they drive.
func (x *excerpt) weights() *route.Weights {
	for _, l := range x.legs {
		if l.driver != circuit.Instructor {
			return l.d.w
		}
	}
	return x.legs[0].d.w
}
