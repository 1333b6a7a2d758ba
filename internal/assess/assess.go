package assess

import (
	"errors"
	"slices"
	"time"

	"loopwright/internal/calendar"
	"loopwright/internal/country"
	"loopwright/internal/geo"
	"loopwright/internal/notes"
	"loopwright/internal/roadnet"
	"loopwright/internal/traffic"
)

// Assessor judges the roads of one network in one country. It keeps working
// space, so it is not for concurrent use: give each worker a Fork.
type Assessor struct {
	net        *roadnet.Network
	profile    *country.Profile
	table      *Table
	needs      map[*Exercise]*asked
	site       site
	judging    judging
	rows       []row
	light      calendar.Light  // at the hour of the lesson; unknown where none is given
	when       time.Time       // zero where none is given
	school     calendar.Answer // whether children come or go at that hour
	rowsFor    *Exercise       // what rows holds for the loaded stretch, nil nothing
	rowsAt     window          // the kerb that rows are of
	asked      *asked          // of rowsFor
	same       uint64          // its needs that don't vary along the stretch, a bit each
	values     []float64
	carParks   map[roadnet.StretchID][]roadnet.CarPark // filled when first asked for
	quiet      *traffic.Quiet                          // nil where the index has none
	quietFault error                                   // why the index's traffic can't be read
	noted      *notes.Moment                           // what instructors noted, at a time
	widths     *likeRoads                              // of noted; nil: none is learnt from
	parked     *likeRoads
	lived      *livedKerbs // of net, shared by all forks
}

// New makes an assessor.
func New(n *roadnet.Network, p *country.Profile) *Assessor {
	a := &Assessor{net: n, profile: p, noted: (*notes.View)(nil).At(notes.When{}), lived: livedIn(n, &standard().spreads), table: standard(), needs: make(map[*Exercise]*asked)}
	if quiet, err := traffic.Of(n); err == nil {
		a.quiet = quiet
	} else if !errors.Is(err, traffic.ErrNotMeasured) {
		a.quietFault = err
	}
	for _, ex := range a.table.Exercises {
		needs := append([]Need(nil), ex.Needs...)
		for i := range needs {
			needs[i].accepts = append([]point(nil), needs[i].accepts...)
			needs[i].exercise, needs[i].heeds = ex.Name, heeded[needs[i].Criterion]
			if needs[i].Criterion == "gradient" {
				needs[i].accepts = mirrored(needs[i].accepts)
			}
			for k := range needs[i].accepts {
				if pt := &needs[i].accepts[k]; pt.clear {
					pt.at = float64(p.JunctionClear)
				}
			}
		}
		a.needs[ex] = ask(needs)
	}
	return a
}

// Fork gives an assessor of the same network, hour and notes for another worker.
func (a *Assessor) Fork() *Assessor {
	b := New(a.net, a.profile)
	b.light, b.when, b.school = a.light, a.when, a.school
	b.noted, b.widths, b.parked, b.lived = a.noted.Fork(), a.widths, a.parked, a.lived
	return b
}

// WithNotes gives an assessor that heeds what instructors noted, as it stands
// at a time.
func (a *Assessor) WithNotes(v *notes.View, when notes.When) *Assessor {
	b := a.Fork()
	b.noted = v.At(when)
	b.widths, b.parked = b.likeRoads(notes.Width), b.likeRoads(notes.Parked)
	return b
}

// AtHour gives an assessor for an hour of a day: it asks for light, counts the
// cars that are at home then, and keeps away from schools at their hours. Sun
// and clock are those of the middle of the network.
func (a *Assessor) AtHour(when time.Time) *Assessor {
	b := a.Fork()
	middle := a.net.About().Bounds.Center()
	b.light = calendar.LightAt(middle, when)
	b.when = when
	if zone, err := a.profile.ZoneAt(middle); err == nil {
		b.when = when.In(zone)
		b.school, _ = a.table.school.At(calendar.Setting{Position: middle, Zone: zone}, b.when)
	}
	if b.parked != nil {
		b.parked = b.likeRoads(notes.Parked) // other cars are to be expected then
	}
	return b
}

// Place is a window of kerb assessed for one exercise. Position is its middle,
// on the segment along which the car arrives; From and To are its ends along
// that segment, and Side its kerb as seen from there.
type Place struct {
	Position       roadnet.Position
	Side           roadnet.Side
	From, To       geo.Metres
	Verdict        Verdict
	Chance, MapFit float64
	Findings       []Finding // in the exercise's order; nil from Scan
	FacesBack      bool      // after one go the car faces the other way
	Park           string    // of a car park: its name, "" where it has none
	// After is where the car stands after one go, facing along that segment.
	After roadnet.Position
}

// Places gives the best window at each kerb of a stretch that the exercise can
// be begun from, with its findings: none, one or two. A kerb where a learner's
// car may not drive has none.
func (a *Assessor) Places(ex *Exercise, s roadnet.StretchID) []Place {
	return a.places(ex, s, explained)
}

// Scan is Places without the findings, for looking through many stretches; At
// gives the findings of a place at its Position.
func (a *Assessor) Scan(ex *Exercise, s roadnet.StretchID) []Place {
	return a.places(ex, s, everything)
}

// Promising is Scan for those who take nothing less than a likely place, which
// most stretches are soon known not to have.
func (a *Assessor) Promising(ex *Exercise, s roadnet.StretchID) []Place {
	return slices.DeleteFunc(a.places(ex, s, promising), func(p Place) bool { return p.Verdict < Likely })
}

// wanted is which places of a stretch are asked for.
type wanted uint8

const (
	everything wanted = iota
	explained         // with findings
	promising         // places that can't be likely may be left out
)

func (a *Assessor) places(ex *Exercise, s roadnet.StretchID, want wanted) []Place {
	if ex.CarPark {
		return a.inCarParks(ex, s, want == explained)
	}
	var out []Place
	for _, forward := range [2]bool{true, false} {
		seg := s.Segment(forward)
		if !a.net.Drivable(seg) {
			continue
		}
		a.load(s)
		w := a.kerb(ex, forward)
		if want == promising && a.unlikely(ex, w) {
			continue
		}
		out = append(out, a.place(ex, seg, a.slide(ex, w), want == explained))
	}
	return out
}

// At assesses the window whose middle is nearest to a position, at a kerb as
// seen along the position's segment. A window stays within its stretch, and is
// the whole of one that is too short.
func (a *Assessor) At(ex *Exercise, pos roadnet.Position, side roadnet.Side) Place {
	if ex.CarPark {
		return a.carParkAt(ex, pos)
	}
	s := pos.Segment.Stretch()
	a.load(s)
	along := pos.Along
	w := window{side: side, forward: pos.Segment.Forward()}
	if !w.forward {
		along, w.side = a.site.length-along, side.Opposite()
	}
	if ex.Corner {
		return a.place(ex, pos.Segment, a.pastCorner(ex, w), true)
	}
	return a.place(ex, pos.Segment, a.centred(ex, w, along), true)
}

// load gathers what is known of a stretch, unless it was the last one.
func (a *Assessor) load(s roadnet.StretchID) {
	if a.site.pieces != nil && a.site.stretch == s {
		return
	}
	a.site.load(a.net, s)
	a.loadBeside(&a.site, s)
	a.site.noted = a.noted.On(s)
	a.site.alikeWidth, a.site.alikeCars = alike{}, alike{}
	a.rowsFor = nil
}

// kerb is the kerb at which an exercise begins for a car that drives forward
// or back along the stretch.
func (a *Assessor) kerb(ex *Exercise, forward bool) window {
	side := roadnet.Right
	if a.profile.DrivesLeft != ex.FarKerb {
		side = roadnet.Left
	}
	if !forward {
		side = side.Opposite()
	}
	return window{side: side, forward: forward}
}

// centred puts the exercise's window about a distance along the stretch.
func (a *Assessor) centred(ex *Exercise, w window, along geo.Metres) window {
	size := min(ex.Window, a.site.length)
	w.from = min(max(along-size/2, 0), a.site.length-size)
	w.to = w.from + size
	return w
}

// place assesses one window.
func (a *Assessor) place(ex *Exercise, seg roadnet.SegmentID, w window, explain bool) Place {
	p := Place{Side: w.side, From: w.from, To: w.to, FacesBack: ex.FacesBack}
	if !seg.Forward() {
		p.From, p.To, p.Side = a.site.length-w.to, a.site.length-w.from, w.side.Opposite()
	}
	p.Position = roadnet.Position{Segment: seg, Along: (p.From + p.To) / 2}
	p.After = p.Position
	if w.park != nil {
		p.Park = w.park.Site.Name
	}
	if ex.FacesBack {
		p.After = a.net.Opposite(p.Position)
	}
	if ex.Corner {
		if c := a.cornerAt(seg); c.word == sideRoad {
			p.After = c.after
		}
	}
	needs := a.needs[ex].needs
	a.judging.start(a.table)
	if explain {
		p.Findings = make([]Finding, 0, len(needs))
	}
	for k := range needs {
		need := &needs[k]
		x := a.read(need, w)
		if x.skip {
			continue
		}
		if explain {
			f := a.finding(need, &a.site, w, x)
			p.Findings = append(p.Findings, f)
			a.judging.add(need, f.Chance, f.Evidence)
			continue
		}
		chance, evidence := a.weigh(need, &a.site, w, x)
		a.judging.add(need, chance, evidence)
	}
	p.Verdict, p.Chance, p.MapFit = a.judging.verdict()
	return p
}
