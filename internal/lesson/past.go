package lesson

import (
	"errors"
	"fmt"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// Past is a drive of the instructor's own along given segments, in their order,
// with stops in some of them, and home: nobody practises on it.
type Past struct {
	From, To roadnet.Position
	Roads    []Seen
	What     string // is done at them
}

// Seen is a road to look at: the whole segment is driven along.
type Seen struct {
	Segment roadnet.SegmentID
	Stop    *Standing    // nil: driven past
	Place   assess.Place // what is to be judged
}

// Standing is a stop in a road that is looked at.
type Standing struct {
	Along   geo.Metres // at the driving side
	Minutes float64
	What    string // is done there
}

// ErrNoWay says that roads can't be driven along in the order asked for.
var ErrNoWay = errors.New("the roads can't be driven along in that order")

// Kerbs gives the parts of a segment along whose driving-side kerb a car may
// stand, legally and with room as far as the map tells, each as from and to in
// metres along it.
func Kerbs(n *roadnet.Network, p *country.Profile, s roadnet.SegmentID) [][2]geo.Metres {
	var out [][2]geo.Metres
	for _, k := range (&kerbs{n: n, p: p}).find(s) {
		out = append(out, [2]geo.Metres{k.from, k.to})
	}
	return out
}

// DrivePast fills in the drive of a circuit, whose request, start and words are
// set already: legs, stops, timeline and directions. It is ErrNoWay if a stop can't
// be reached from the one before it.
func DrivePast(n *roadnet.Network, p *country.Profile, w *route.Weights, c *circuit.Circuit, r Past) error {
	d, ends, err := drivePast(n, w, r)
	if err != nil {
		return err
	}
	pl := &planner{n: n, p: p}
	k := &clocking{c: c}
	c.Start = pl.stop(r.From, drivingSide(p))
	var legs []leg
	var seen []circuit.Example
	from := d.start()
	drive := func(to spot, what string) {
		l := leg{d: d, a: from, b: to, seconds: float64(d.part(from, to).Ms+w.StopMs(d.position(to))) / 1000}
		legs = append(legs, l) // told in full, as to a learner
		l.driver = circuit.Instructor
		k.leg(l, what)
		from = to
	}
	for i, road := range r.Roads {
		length := n.Length(road.Segment.Stretch())
		begin := spot{ends[i].index, 0}
		seen = append(seen, circuit.Example{
			Order: i + 1, Line: line(n, road.Segment, 0, length), AtS: k.at + float64(d.at(begin)-d.at(from))/1000,
			Verdict: road.Place.Verdict, Reason: r.What, Road: roadOf(n, road.Segment), Chance: road.Place.Chance, Findings: road.Place.Findings,
			Kerb: n.KerbAt(road.Place.Position, road.Place.Side).String(),
		})
		if road.Stop == nil {
			continue
		}
		s := pl.stop(roadnet.Position{Segment: road.Segment, Along: road.Stop.Along}, drivingSide(p))
		drive(spot{ends[i].index, road.Stop.Along}, "drive to "+s.Road)
		s.AtS, s.Minutes, s.What = k.at, road.Stop.Minutes, road.Stop.What
		c.PullUps = append(c.PullUps, s)
		k.row(s.What+" in "+s.Road, s.Minutes*60)
	}
	drive(d.end(), "drive home")
	c.Finish = pl.stop(r.To, drivingSide(p))
	c.Finish.AtS = k.at
	(&teller{n: n, p: p, w: w, table: standard(), c: c, legs: legs}).tell(nil)
	c.Examples = seen // nobody is asked about them
	setAround(n, c)
	return nil
}

// drivePast joins the drive, and gives where each road ends on it.
func drivePast(n *roadnet.Network, w *route.Weights, r Past) (*drive, []spot, error) {
	finder := route.NewFinder(w)
	const bound geo.Seconds = 3600
	var paths []route.Path
	at, opts := r.From, route.Options{UTurns: true}
	to := func(target roadnet.Position) error {
		path, ok := finder.Path(at, target, bound, opts)
		if !ok {
			return fmt.Errorf("%w: no way within an hour from %s to %s", ErrNoWay, roadOf(n, at.Segment), roadOf(n, target.Segment))
		}
		paths = append(paths, path)
		at, opts.After = target, &paths[len(paths)-1]
		return nil
	}
	for _, road := range r.Roads {
		for _, along := range [2]geo.Metres{0, n.Length(road.Segment.Stretch())} {
			if err := to(roadnet.Position{Segment: road.Segment, Along: along}); err != nil {
				return nil, nil, err
			}
		}
	}
	if err := to(r.To); err != nil {
		return nil, nil, err
	}
	d, all, ok := join(w, route.Options{UTurns: true}, paths)
	if !ok {
		return nil, nil, fmt.Errorf("%w: a restriction over several roads bars the whole drive", ErrNoWay)
	}
	ends := make([]spot, len(r.Roads))
	for i := range ends {
		ends[i] = all[2*i+1]
	}
	return d, ends, nil
}
