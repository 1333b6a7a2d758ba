package calendar

import (
	"fmt"
	"slices"
	"time"
)

// Span is some days, both ends included.
type Span struct{ From, To Date }

// Terms says when schools are in: listed terms where somebody has looked them
// up, and the usual holidays of the country for all other years.
type Terms struct {
	listed []Span
	usual  Hours
}

// NewTerms takes terms in any order and the usual holidays as hours, such as
// "Jul 25-Aug 31; Dec 22-Jan 02". Terms that end before they begin or overlap,
// and holidays that can't be read, are errors.
func NewTerms(listed []Span, usualHolidays string) (Terms, error) {
	t := Terms{slices.Clone(listed), ParseHours(usualHolidays)}
	slices.SortFunc(t.listed, func(a, b Span) int { return a.From.utc().Compare(b.From.utc()) })
	for i, s := range t.listed {
		if s.To.Before(s.From) {
			return Terms{}, fmt.Errorf("school term %v to %v ends before it begins: exchange the dates", s.From, s.To)
		}
		if i > 0 && !t.listed[i-1].To.Before(s.From) {
			return Terms{}, fmt.Errorf("school terms from %v and from %v overlap: mend the end of the first", t.listed[i-1].From, s.From)
		}
	}
	if unread := t.usual.Unread(); len(unread) > 0 {
		return Terms{}, fmt.Errorf("school holidays %q: can't read %q: write them like Jul 25-Aug 31; Dec 22-Jan 02", usualHolidays, unread[0])
	}
	return t, nil
}

// Holiday tells whether a date lies outside school terms, weekends aside.
// Between the first and the last listed term it is known: what is in no term is
// holiday. Elsewhere assumed is true and the usual holidays answer.
func (t Terms) Holiday(d Date) (holiday Answer, assumed bool) {
	if n := len(t.listed); n > 0 && !d.Before(t.listed[0].From) && !t.listed[n-1].To.Before(d) {
		return yes(!slices.ContainsFunc(t.listed, func(s Span) bool { return !d.Before(s.From) && !s.To.Before(d) })), false
	}
	return t.usual.on(Setting{Zone: time.UTC}, d, 0), true
}

// School is when the roads round a school are full: hours such as
// "Mo-Fr 08:15-09:15,14:45-15:45", in term.
type School struct {
	Hours Hours
	Terms Terms
}

// At tells whether children come or go at an instant. A public holiday of the
// setting is no school day; one that is unknown counts as a school day. assumed
// tells that the term was taken from the usual holidays and matters.
func (c School) At(s Setting, at time.Time) (busy Answer, assumed bool) {
	hours := c.Hours.At(s, at)
	if hours == No {
		return No, false
	}
	d := DateOf(at.In(s.Zone))
	if s.publicHoliday(d) == Yes {
		return No, false
	}
	holiday, assumed := c.Terms.Holiday(d)
	return hours.And(holiday.Not()), assumed
}

// Over tells how much of the time from an instant until just before another
// children come or go; assumed is as in At.
func (c School) Over(s Setting, from, until time.Time) (busy Share, assumed bool) {
	busy = shareOver(from, until, c.Hours.changes(s, from, until), func(at time.Time) Answer {
		answer, guess := c.At(s, at)
		assumed = assumed || guess
		return answer
	})
	return busy, assumed
}
