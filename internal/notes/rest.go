package notes

import "loopwright/internal/geo"

// Rest is why a place should be left alone, least first.
type Rest uint8

const (
	RestUnknown Rest = iota // no day was asked about
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
// for the whole road. A use on the day itself is the lesson's own.
func (h Here) Rests(from, to geo.Metres, when When) (Rest, *Placed) {
	if h.None() {
		return Free, nil
	}
	worst, by := Free, (*Placed)(nil)
	see := func(p *Placed, r Rest) {
		if r > worst || r == worst && by != nil && p.later(by) {
			worst, by = r, p
		}
	}
	for i := range h.placed {
		p := &h.placed[i]
		see(p, h.rest(p, from, to, when))
	}
	for i := range h.road {
		p := &h.road[i]
		see(p, h.rest(p, p.Along, p.Along, when))
	}
	return worst, by
}

// rest is what one note comes to.
func (h Here) rest(p *Placed, from, to geo.Metres, when When) Rest {
	t := h.view.table
	close := p.off(from, to) <= t.RestReach
	since := daysBetween(p.Day, when.Day)
	known := when.Day != When{}.Day
	switch p.Kind {
	case Never:
		return NeverAgain
	case Closure, Market:
		if known && h.strictlyThen(p, when) {
			return Shut
		}
	case Complaint:
		if known && since >= 0 && since < t.RestComplaintDays {
			return Complained
		}
	case Bins:
		if known && close && h.strictlyThen(p, when) {
			return BinDay
		}
	case Use:
		if known && close && since > 0 && since < t.RestUseDays {
			return UsedLately
		}
	}
	return Free
}

// strictlyThen is then, but no where hours are noted and the hour is not known.
func (h Here) strictlyThen(p *Placed, when When) bool {
	return (p.Hours == "" || !when.Hour.IsZero()) && h.then(p, when)
}
