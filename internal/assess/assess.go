package assess

import (
	"errors"
	"math"
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
	needs      map[*Exercise][]Need // with the profile's distances filled in
	site       site
	judging    judging
	rows       []row
	light      calendar.Light  // at the hour of the lesson; unknown where none is given
	when       time.Time       // zero where none is given
	school     calendar.Answer // whether children come or go at that hour
	rowsFor    *Exercise       // what rows holds for the loaded stretch, nil nothing
	values     []float64
	carParks   map[roadnet.StretchID][]roadnet.CarPark // filled when first asked for
	quiet      *traffic.Quiet                          // nil where the index has none
	quietFault error                                   // why the index's traffic can't be read
	noted      *notes.Moment                           // what instructors noted, at a time
	measured   *measuredRoads                          // of noted
}

// New makes an assessor.
func New(n *roadnet.Network, p *country.Profile) *Assessor {
	a := &Assessor{net: n, profile: p, noted: (*notes.View)(nil).At(notes.When{}), measured: &measuredRoads{}, table: standard(), needs: make(map[*Exercise][]Need)}
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
		a.needs[ex] = needs
	}
	return a
}

// Fork gives an assessor of the same network, hour and notes for another worker.
func (a *Assessor) Fork() *Assessor {
	b := New(a.net, a.profile)
	b.light, b.when, b.school = a.light, a.when, a.school
	b.noted, b.measured = a.noted.Fork(), a.measured
	return b
}

// WithNotes gives an assessor that heeds what instructors noted, as it stands
// at a time.
func (a *Assessor) WithNotes(v *notes.View, when notes.When) *Assessor {
	b := a.Fork()
	b.noted, b.measured = v.At(when), &measuredRoads{}
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
	// After is where the car stands after one go, facing along that segment.
	After roadnet.Position
}

// Places gives the best window at each kerb of a stretch that the exercise can
// be begun from, with its findings: none, one or two. A kerb where a learner's
// car may not drive has none.
func (a *Assessor) Places(ex *Exercise, s roadnet.StretchID) []Place {
	return a.places(ex, s, true)
}

// Scan is Places without the findings, for looking through many stretches; At
// gives the findings of a place at its Position.
func (a *Assessor) Scan(ex *Exercise, s roadnet.StretchID) []Place {
	return a.places(ex, s, false)
}

func (a *Assessor) places(ex *Exercise, s roadnet.StretchID, explain bool) []Place {
	if ex.CarPark {
		return a.inCarParks(ex, s, explain)
	}
	var out []Place
	for _, forward := range [2]bool{true, false} {
		seg := s.Segment(forward)
		if !a.net.Drivable(seg) {
			continue
		}
		if out == nil {
			a.load(s)
			out = make([]Place, 0, 2)
		}
		w := a.kerb(ex, forward)
		best := a.slide(ex, w)
		out = append(out, a.place(ex, seg, best, explain))
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
	a.site.alike = alike{}
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

// row is one window's readings: each need's chance and evidence.
type row struct {
	w        window
	chance   []float64
	evidence []Evidence
	product  float64 // of the chances: rises and falls with the chance of all
	fit      float64 // the same without what is assumed
}

// slideStep is how far apart windows begin; on long stretches it grows so that
// no more than mostWindows are tried. Our choice: a car length, and a hundred
// windows tell a kilometre well enough.
const (
	slideStep   geo.Metres = 5
	mostWindows int        = 100
)

// windows reads all windows of a kerb into a.rows, in order along the stretch.
// What does not vary along a stretch of one piece is read once, and for the
// second kerb only what has a side.
func (a *Assessor) windows(ex *Exercise, kerb window) []row {
	length := a.site.length
	size := min(ex.Window, length)
	count := min(int(math.Ceil(float64((length-size)/slideStep)))+1, mostWindows)
	needs := a.needs[ex]
	for len(a.rows) < count {
		a.rows = append(a.rows, row{})
	}
	uniform := len(a.site.pieces) == 1
	again := a.rowsFor == ex
	a.rowsFor = ex
	for i := range count {
		r := &a.rows[i]
		r.w = kerb
		if count > 1 {
			r.w.from = (length - size) * geo.Metres(i) / geo.Metres(count-1)
		} else {
			r.w.from = 0
		}
		r.w.to = r.w.from + size
		if cap(r.chance) < len(needs) {
			r.chance, r.evidence = make([]float64, len(needs)), make([]Evidence, len(needs))
		}
		r.chance, r.evidence = r.chance[:len(needs)], r.evidence[:len(needs)]
		r.product, r.fit = 1, 1
		for k := range needs {
			need := &needs[k]
			switch {
			case need.corner:
				r.chance[k], r.evidence[k] = 1, Inferred
			case again && !need.sided:
			case i > 0 && uniform && !a.site.differs(need):
				r.chance[k], r.evidence[k] = a.rows[0].chance[k], a.rows[0].evidence[k]
			default:
				r.chance[k], r.evidence[k] = a.weigh(need, &a.site, r.w, a.read(need, r.w))
			}
			r.product *= r.chance[k]
			if r.evidence[k] != Assumed && r.evidence[k] != EvidenceUnknown {
				r.fit *= r.chance[k]
			}
		}
	}
	return a.rows[:count]
}

// slide finds the best window of a kerb: the greatest product of all chances,
// then of the known ones; of equals the one nearest to the middle, then the
// first that the car comes to.
func (a *Assessor) slide(ex *Exercise, kerb window) window {
	if ex.Corner {
		return a.pastCorner(ex, kerb)
	}
	if a.hopeless(ex, kerb) {
		return a.centred(ex, kerb, a.site.length/2)
	}
	rows := a.windows(ex, kerb)
	off := func(r *row) float64 { return math.Abs(float64(r.w.from + r.w.to - a.site.length)) }
	best := &rows[0]
	for i := range rows[1:] {
		r := &rows[i+1]
		switch {
		case r.product != best.product:
			if r.product > best.product {
				best = r
			}
		case r.fit != best.fit:
			if r.fit > best.fit {
				best = r
			}
		case off(r) < off(best)-1e-6 || off(r) < off(best)+1e-6 && !kerb.forward:
			best = r
		}
	}
	return best.w
}

// hopeless says whether something that is the same all along the stretch rules
// it out, so that no window is better than another: most roads are settled so.
func (a *Assessor) hopeless(ex *Exercise, kerb window) bool {
	if len(a.site.pieces) > 1 {
		return false
	}
	kerb.to = a.site.length
	needs := a.needs[ex]
	for k := range needs {
		need := &needs[k]
		if a.site.differs(need) {
			continue
		}
		if p, e := a.weigh(need, &a.site, kerb, a.read(need, kerb)); p == 0 && e != EvidenceUnknown {
			return true
		}
	}
	return false
}

// place assesses one window.
func (a *Assessor) place(ex *Exercise, seg roadnet.SegmentID, w window, explain bool) Place {
	p := Place{Side: w.side, From: w.from, To: w.to, FacesBack: ex.FacesBack}
	if !seg.Forward() {
		p.From, p.To, p.Side = a.site.length-w.to, a.site.length-w.from, w.side.Opposite()
	}
	p.Position = roadnet.Position{Segment: seg, Along: (p.From + p.To) / 2}
	p.After = p.Position
	if ex.FacesBack {
		p.After = a.net.Opposite(p.Position)
	}
	if ex.Corner {
		if c := a.cornerAt(seg); c.word == sideRoad {
			p.After = c.after
		}
	}
	needs := a.needs[ex]
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
