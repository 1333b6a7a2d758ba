package notes

import (
	"bytes"
	"cmp"
	"math"
	"time"

	"loopwright/internal/calendar"
	"loopwright/internal/geo"
)

// Rest is why a place should be left alone, least first.
type Rest uint8

const (
	RestUnknown Rest = iota // the note tells nothing of it
	Free
	UsedLately
	BinDay
	Complained
	Shut
	NeverAgain
	restCount
)

var restWords = [restCount]string{"unknown", "free", "used lately", "bin day", "complaint", "closed", "never again"}

// String is the word in the tables and in findings.
func (r Rest) String() string { return restWords[r] }

// Rests says whether a window should be left alone, and by which note. A use
// and a bin day count near the window, a closure for the stretch, a complaint
// for the whole road.
func (h *Here) Rests(from, to geo.Metres) (Rest, *Placed) {
	worst, by := Free, (*Placed)(nil)
	see := func(p *Placed) {
		if p.rest > worst || p.rest == worst && by != nil && p.later(by) {
			worst, by = p.rest, p
		}
	}
	for _, k := range [...]Kind{Closure, Bins, Market, Use, Complaint, Never} {
		all := h.Of(k)
		for i := range all {
			p := &all[i]
			if k != Bins && k != Use || p.away(from, to) <= h.table().RestReach {
				see(p)
			}
		}
	}
	road := h.Road()
	for i := range road {
		see(&road[i])
	}
	return worst, by
}

// settle works out what a note comes to at a time. What has hours says nothing
// where the hour is not known, and what fades nothing where the day is not; a
// use on the day itself is the lesson's own.
func (m *Moment) settle(p *Placed) {
	t, when := m.view.table, m.when
	known, hour := when.Day != calendar.Date{}, !when.Hour.IsZero()
	then := known && (p.Hours == "" || hour) && m.then(&p.Note)
	rest := func(r Rest, holds bool) {
		if holds {
			p.rest = r
		}
	}
	switch p.Kind {
	case Never:
		p.rest = NeverAgain
	case Closure, Market:
		rest(Shut, then)
	case Bins:
		rest(BinDay, then)
	case Complaint:
		since := daysBetween(p.Day, when.Day)
		rest(Complained, known && since >= 0 && since < t.RestComplaintDays)
	case Use:
		since := daysBetween(p.Day, when.Day)
		rest(UsedLately, known && since > 0 && since < t.RestUseDays)
	case Restriction:
		p.off = !m.then(&p.Note)
	case Width:
		sd := t.spread(p.Method, p.Metres)
		p.weight = sd * sd
	case Parked, Traffic:
		p.weight = t.likeness(&p.Note, when)
	case Suits:
		p.weight = t.fading(&p.Note, when, t.SuitsHalfLife)
	}
}

// then says whether a note's days and hours hold; what is not known of the time
// bars nothing.
func (m *Moment) then(n *Note) bool {
	if m.when.Day != (calendar.Date{}) && !n.dates(m.when.Day, m.when.Day) {
		return false
	}
	if n.Hours == "" || m.when.Hour.IsZero() {
		return true
	}
	holds, ok := m.hold[n.Hours]
	if !ok {
		holds = m.view.hours(n.Hours, m.when.Hour, m.when.Hour.Add(time.Hour))
		if m.hold == nil {
			m.hold = map[string]bool{}
		}
		m.hold[n.Hours] = holds
	}
	return holds
}

// later says whether p was noted on a later day or, on the same, has the greater
// clock, and of equals the greater name.
func (p *Placed) later(q *Placed) bool {
	if p.Day != q.Day {
		return q.Day.Before(p.Day)
	}
	return cmp.Or(p.Clock.Compare(q.Clock), bytes.Compare(p.ID[:], q.ID[:])) > 0
}

// likeness is how much a note of parked cars tells of a time, 0 to 1.
func (t *table) likeness(n *Note, when When) float64 {
	age := t.fading(n, when, t.ParkedHalfLife)
	if n.Minute < 0 || when.Hour.IsZero() {
		return t.ParkedNoTime * age
	}
	apart := math.Abs(float64(n.Minute)/60 - float64(when.Hour.Hour()) - float64(when.Hour.Minute())/60)
	apart = min(apart, 24-apart)
	hours := math.Exp(-apart * apart / (2 * t.ParkedHours * t.ParkedHours))
	a, b := n.Day.Weekday(), when.Hour.Weekday()
	day := t.ParkedOther
	switch {
	case a == b:
		day = 1
	case weekend(a) && weekend(b):
		day = t.ParkedWeekend
	case !weekend(a) && !weekend(b):
		day = t.ParkedWeekday
	}
	return hours * day * age
}

func weekend(d time.Weekday) bool { return d == time.Saturday || d == time.Sunday }

// fading halves with the age of a note.
func (t *table) fading(n *Note, when When, halfLife float64) float64 {
	if when.Day == (calendar.Date{}) {
		return 1
	}
	return math.Exp2(-max(0, daysBetween(n.Day, when.Day)) / halfLife)
}

// daysBetween is how many days b is after a.
func daysBetween(a, b calendar.Date) float64 {
	day := func(d calendar.Date) time.Time { return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC) }
	return math.Round(day(b).Sub(day(a)).Hours() / 24)
}
