package desk

import (
	"errors"
	"path/filepath"
	"sync"
	"time"

	"loopwright/internal/assess"
	"loopwright/internal/calendar"
	"loopwright/internal/geo"
	"loopwright/internal/notes"
)

// noted is the user's notes on a network. Desks of one network share it, and
// it follows what they, or another program, write meanwhile.
type noted struct {
	mu      sync.Mutex
	store   *notes.Store
	view    *notes.View
	version [2]int64
	made    int // how often the view was made; 0 not yet
}

// openNotes opens the user's notes.
func openNotes() (*notes.Store, error) {
	dir, err := DataFolder()
	if err != nil {
		return nil, err
	}
	s, err := notes.Open(filepath.Join(dir, "notes.db"))
	if err != nil {
		return nil, notesFault(err)
	}
	return s, nil
}

// notesFault says whose turn it is after an error with notes.
func notesFault(err error) error {
	var f *Fault
	var file *notes.Fault
	switch {
	case err == nil || errors.As(err, &f):
		return err
	case errors.As(err, &file):
		return &Fault{Kind: BadInput, Err: err}
	case errors.Is(err, notes.ErrNoAuthor):
		return &Fault{Kind: WrongUse, Err: err, Hint: "Say --by JB once; later notes are yours unless you say otherwise."}
	}
	return err
}

// heed brings the desk's assessor up to the notes as they are now.
func (d *Desk) heed() error {
	n := d.noted
	n.mu.Lock()
	defer n.mu.Unlock()
	version, err := n.store.Version()
	if err != nil {
		return notesFault(err)
	}
	if n.made == 0 || version != n.version {
		all, err := n.store.Within(d.net.About().Bounds)
		if err != nil {
			return notesFault(err)
		}
		n.view, n.version = notes.Match(d.net, all), version
		n.made++
	}
	if d.heeds != n.made {
		d.view, d.heeds = n.view, n.made
		d.assess = d.assess.WithNotes(d.view, notes.When{})
	}
	return nil
}

// on gives an assessor that heeds notes as they stand on a day; the zero time
// is no day in particular.
func (d *Desk) on(now time.Time) *assess.Assessor {
	if now.IsZero() {
		return d.assess
	}
	return d.assess.WithNotes(d.view, notes.When{Day: calendar.DateOf(now)})
}

// at gives an assessor that heeds notes as they stand at an hour of a day.
func (d *Desk) at(when time.Time) *assess.Assessor {
	return d.assess.WithNotes(d.view, notes.When{Day: calendar.DateOf(when), Hour: when})
}

// saidNear is how far along a road from a place its notes are listed: our choice,
// about what a driver sees.
const saidNear geo.Metres = 150

// hourly gives an assessor for a lesson: at its middle, by day, for the cars
// that are at home and the schools then. The dark is for the planner to mind,
// for it makes every road darker and none better than another.
func (d *Desk) hourly(when time.Time, minutes float64) *assess.Assessor {
	middle := when.Add(time.Duration(minutes / 2 * float64(time.Minute)))
	if calendar.LightAt(d.net.About().Bounds.Center(), middle) != calendar.Daylight {
		return d.at(when)
	}
	return d.at(when).AtHour(middle)
}

// said lists what is noted near a place, whatever it is, with whose it is and
// of when.
func (d *Desk) said(p assess.Place) []string {
	out := []string{}
	s := p.Position.Segment.Stretch()
	along := p.Position.Along
	if !p.Position.Segment.Forward() {
		along = d.net.Length(s) - along
	}
	here := d.view.On(s, notes.When{})
	for _, n := range here.Notes() {
		if n.Along > along-saidNear && n.Along < along+saidNear {
			out = append(out, n.Said())
		}
	}
	for _, n := range here.Road() {
		out = append(out, "on this road: "+n.Said())
	}
	return out
}
