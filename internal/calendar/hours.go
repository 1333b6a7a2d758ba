package calendar

import (
	"slices"
	"time"
)

// Hours is a value in the manner of OpenStreetMap's opening_hours tag, as far
// as it can be read: a list of rules, each with the days and times that it is
// about and what holds then. The zero Hours has no rule and never holds.
type Hours struct {
	text  string
	rules []rule
}

// String is the text as it was given.
func (h Hours) String() string { return h.text }

// Unread gives the rules that could not be read, as they stand in the text.
func (h Hours) Unread() []string {
	var out []string
	for _, r := range h.rules {
		if r.unread != "" {
			out = append(out, r.unread)
		}
	}
	return out
}

// joiner is how a rule meets those before it.
type joiner uint8

const (
	instead  joiner = iota // ";": replaces them on its days
	also                   // ",": adds to them
	fallback               // "||": where they do not hold
)

// rule is one rule: all its selectors must match. An empty list of a selector
// matches everything.
type rule struct {
	join   joiner
	unread string // the text, where it can't be read: unknown at all times
	years  []yearSpan
	dates  []dateSpan
	weeks  []weekSpan
	days   [][]daySelector // all of the lists, one selector of each
	times  []timeSpan
	state  Answer // Yes open, No closed, Unknown as the rule says itself
}

type yearSpan struct{ from, to int }

// dateSpan runs from a date to another, both included; year 0 is every year.
type dateSpan struct{ from, to Date }

type weekSpan struct{ from, to, step int }

// daySelector is weekdays, perhaps only the nth of a month, or a kind of
// holiday.
type daySelector struct {
	kind     dayKind
	from, to time.Weekday
	nth      []int // of the month, negative from its end; empty: all
}

type dayKind uint8

const (
	weekdays dayKind = iota
	publicHolidays
	schoolHolidays
)

// timeSpan is from a time until just before another. openEnd: when it ends
// after that is unknown.
type timeSpan struct {
	from, to clock
	openEnd  bool
}

// clock is a time of day: seconds after midnight, or after an event of the sun.
type clock struct {
	event  sunEvent
	offset int
}

type sunEvent uint8

const (
	midnight sunEvent = iota
	dawn
	sunrise
	sunset
	dusk
)

const day = 24 * 60 * 60

// At tells whether the hours hold at an instant.
func (h Hours) At(s Setting, at time.Time) Answer {
	local := at.In(s.Zone)
	date := DateOf(local)
	second := local.Hour()*3600 + local.Minute()*60 + local.Second()
	// A span that runs over midnight belongs to the day on which it began.
	return h.on(s, date, second).Or(h.on(s, date.Add(-1), second+day))
}

// on evaluates the rules for one date at some seconds after its midnight; from
// day on, only what runs over midnight holds, which a rule that can't be read
// may do until openEndsBy.
func (h Hours) on(s Setting, date Date, second int) Answer {
	result := No
	for _, r := range h.rules {
		if r.unread != "" {
			if second < openEndsBy && (r.join != fallback || result != Yes) {
				result = Unknown
			}
			continue
		}
		if r.join == fallback && result == Yes {
			continue
		}
		rest := result
		if r.join == instead && r.state != No {
			// A rule about open hours takes the whole of its days; one that
			// closes takes only its own hours.
			rest = No
		}
		result = r.onDate(s, date).choose(r.atSecond(s, date, second).choose(r.state, rest), result)
	}
	return result
}

// onDate tells whether the rule is about a date.
func (r rule) onDate(s Setting, d Date) Answer {
	if len(r.years) > 0 && !slices.ContainsFunc(r.years, func(y yearSpan) bool { return y.from <= d.Year && d.Year <= y.to }) {
		return No
	}
	if len(r.dates) > 0 && !slices.ContainsFunc(r.dates, func(q dateSpan) bool { return q.holds(d) }) {
		return No
	}
	_, week := d.utc().ISOWeek()
	if len(r.weeks) > 0 && !slices.ContainsFunc(r.weeks, func(w weekSpan) bool {
		return w.from <= week && week <= w.to && (week-w.from)%w.step == 0
	}) {
		return No
	}
	all := Yes
	for _, list := range r.days {
		any := No
		for _, q := range list {
			any = any.Or(q.holds(s, d))
		}
		all = all.And(any)
	}
	return all
}

func (q dateSpan) holds(d Date) bool {
	order := func(d Date) int { return int(d.Month)*100 + d.Day }
	from, to, on := order(q.from), order(q.to), order(d)
	switch {
	case q.from.Year != 0:
		from += q.from.Year * 10000
		to += q.to.Year * 10000
		on += d.Year * 10000
	case to < from: // over the new year
		return on >= from || on <= to
	}
	return from <= on && on <= to
}

func (q daySelector) holds(s Setting, d Date) Answer {
	switch q.kind {
	case publicHolidays:
		return s.publicHoliday(d)
	case schoolHolidays:
		return s.schoolHoliday(d)
	}
	if w := d.Weekday(); (w-q.from+7)%7 > (q.to-q.from+7)%7 {
		return No
	}
	if len(q.nth) == 0 {
		return Yes
	}
	last := Date{d.Year, d.Month + 1, 1}.Add(-1).Day
	return yes(slices.Contains(q.nth, (d.Day-1)/7+1) || slices.Contains(q.nth, -((last-d.Day)/7+1)))
}

// atSecond tells whether one of the rule's times holds some seconds after the
// date's midnight.
func (r rule) atSecond(s Setting, d Date, second int) Answer {
	if len(r.times) == 0 {
		return yes(second < day)
	}
	any := No
	for _, q := range r.times {
		any = any.Or(q.holds(s, d, second))
	}
	return any
}

func (q timeSpan) holds(s Setting, d Date, second int) Answer {
	from, to, end, ok := q.bounds(s, d)
	switch {
	case !ok:
		return Unknown
	case second < from || second >= end:
		return No
	case second >= to:
		return Unknown
	}
	return Yes
}

// openEndsBy is when an open end is over for certain: six in the morning after
// (our choice: late bars have shut, early shops not yet opened).
const openEndsBy = day + 6*60*60

// bounds gives the span in seconds after the date's midnight; it holds until
// to, and is unknown from there until end. ok is false where the sun does not
// rise or set that day.
func (q timeSpan) bounds(s Setting, d Date) (from, to, end int, ok bool) {
	from, ok = q.from.seconds(s, d)
	if !ok {
		return 0, 0, 0, false
	}
	if to, ok = q.to.seconds(s, d); to < from || to == from && !q.openEnd {
		to += day
	}
	end = to
	if q.openEnd {
		end = max(to, openEndsBy)
	}
	return from, to, end, ok
}

func (c clock) seconds(s Setting, d Date) (second int, ok bool) {
	if c.event == midnight {
		return c.offset, true
	}
	sun := SunOn(s.Position, d, s.Zone)
	at := map[sunEvent]time.Time{dawn: sun.Dawn, sunrise: sun.Rise, sunset: sun.Set, dusk: sun.Dusk}[c.event]
	if at.IsZero() {
		return 0, false
	}
	days := int(DateOf(at).utc().Sub(d.utc()).Hours() / 24)
	return days*day + at.Hour()*3600 + at.Minute()*60 + at.Second() + c.offset, true
}

// Over tells how much of the time from an instant until just before another the
// hours hold. Where the second is not later it is the instant alone.
func (h Hours) Over(s Setting, from, until time.Time) Share {
	return shareOver(from, until, h.changes(s, from, until), func(at time.Time) Answer { return h.At(s, at) })
}

// changes lists the instants at which the answer may change: the bounds of all
// spans of the days concerned, and midnights.
func (h Hours) changes(s Setting, from, until time.Time) []time.Time {
	var out []time.Time
	last := DateOf(until.In(s.Zone))
	for d := DateOf(from.In(s.Zone)).Add(-1); !last.Before(d); d = d.Add(1) {
		seconds := []int{0, openEndsBy}
		for _, r := range h.rules {
			for _, q := range r.times {
				if from, to, end, ok := q.bounds(s, d); ok {
					seconds = append(seconds, from, to, end)
				}
			}
		}
		for _, sec := range seconds {
			at := d.at(sec, s.Zone)
			// Where the clock is put back, its hours come twice.
			out = append(out, at, at.Add(-time.Hour), at.Add(time.Hour))
		}
		if _, end := d.at(0, s.Zone).ZoneBounds(); !end.IsZero() {
			out = append(out, end)
		}
	}
	return out
}

// shareOver asks once in every piece between changes.
func shareOver(from, until time.Time, changes []time.Time, at func(time.Time) Answer) Share {
	pieces := []time.Time{from}
	for _, c := range changes {
		if c.After(from) && c.Before(until) {
			pieces = append(pieces, c)
		}
	}
	slices.SortFunc(pieces, time.Time.Compare)
	var seen [Yes + 1]bool
	for _, p := range slices.CompactFunc(pieces, time.Time.Equal) {
		seen[at(p)] = true
	}
	switch {
	case seen[Yes] && seen[No]:
		return Sometimes
	case seen[Unknown]:
		return ShareUnknown
	case seen[Yes]:
		return Always
	}
	return Never
}
