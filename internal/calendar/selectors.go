package calendar

import (
	"slices"
	"strings"
	"time"
)

// The readers of the selectors in the grammar of ParseHours. Each leaves ok
// false where its words are not there or make no sense.

func (p *parser) year() (yearSpan, bool) {
	from, ok := p.number(4, 4)
	if !ok || p.peek(":") {
		return yearSpan{}, false
	}
	y := yearSpan{from, from}
	switch {
	case p.take("+"):
		y.to = 9999
	case p.take("-"):
		if y.to, ok = p.number(4, 4); !ok || y.to < y.from {
			return y, false
		}
	}
	// A year before a month belongs to the date.
	ahead := parser{p.rest}
	_, month := ahead.month()
	return y, !month || y.from != y.to
}

var months = map[string]time.Month{
	"jan": 1, "feb": 2, "mar": 3, "apr": 4, "may": 5, "jun": 6,
	"jul": 7, "aug": 8, "sep": 9, "oct": 10, "nov": 11, "dec": 12,
}

func (p *parser) month() (time.Month, bool) {
	w := p.word()
	m, ok := months[w[:min(3, len(w))]]
	return m, ok && isStart(w, m.String())
}

// isStart tells whether a word is the start of a name, or all of it.
func isStart(word, name string) bool { return strings.HasPrefix(strings.ToLower(name), word) }

// monthDay reads [year] month [day]; day 0 where there is none.
func (p *parser) monthDay() (Date, bool) {
	year, _ := try(p, func() (int, bool) { return p.number(4, 4) })
	m, ok := p.month()
	if !ok {
		return Date{}, false
	}
	d, _ := try(p, p.dayOfMonth)
	return Date{year, m, d}, true
}

// dayOfMonth reads a number from 1 to 31 which is not the start of a time.
func (p *parser) dayOfMonth() (int, bool) {
	n, ok := p.number(1, 2)
	time := len(p.rest) > 1 && p.rest[0] == ':' && p.rest[1] >= '0' && p.rest[1] <= '9'
	return n, ok && n >= 1 && n <= 31 && !time
}

func (p *parser) date() (dateSpan, bool) {
	from, ok := p.monthDay()
	if !ok {
		return dateSpan{}, false
	}
	to := from
	if p.take("-") {
		if end, ok := try(p, p.monthDay); ok {
			to = end
		} else if end, ok := try(p, p.dayOfMonth); ok && from.Day != 0 {
			to.Day = end
		} else {
			return dateSpan{}, false
		}
		if (from.Day == 0) != (to.Day == 0) {
			return dateSpan{}, false
		}
	}
	if from.Day == 0 {
		from.Day, to.Day = 1, 31
	}
	switch {
	case from.Year == 0 && to.Year != 0:
		return dateSpan{}, false
	case from.Year != 0 && to.Year == 0:
		to.Year = from.Year
		if to.Month < from.Month || to.Month == from.Month && to.Day < from.Day {
			to.Year++
		}
	}
	return dateSpan{from, to}, from.Year == 0 || !to.Before(from)
}

func (p *parser) week() (weekSpan, bool) {
	from, ok := p.number(1, 2)
	if !ok || from < 1 || from > 53 {
		return weekSpan{}, false
	}
	w := weekSpan{from, from, 1}
	if p.take("-") {
		if w.to, ok = p.number(1, 2); !ok || w.to < from || w.to > 53 {
			return w, false
		}
		if p.take("/") {
			if w.step, ok = p.number(1, 2); !ok || w.step < 1 {
				return w, false
			}
		}
	}
	return w, true
}

func (p *parser) weekday() (time.Weekday, bool) {
	w := p.word()
	if len(w) < 2 {
		return 0, false
	}
	for d := time.Sunday; d <= time.Saturday; d++ {
		if isStart(w, d.String()) {
			return d, true
		}
	}
	return 0, false
}

func (p *parser) day() (daySelector, bool) {
	holiday, ok := try(p, func() (string, bool) { w := p.word(); return w, w == "ph" || w == "sh" })
	if ok {
		kind := publicHolidays
		if holiday == "sh" {
			kind = schoolHolidays
		}
		// "PH -1 day" is the day before a holiday.
		return daySelector{kind: kind}, !p.peek("+") && !p.peek("-")
	}
	from, ok := p.weekday()
	if !ok {
		return daySelector{}, false
	}
	q := daySelector{from: from, to: from}
	if p.take("-") {
		if q.to, ok = p.weekday(); !ok {
			return q, false
		}
		return q, true
	}
	if p.take("[") {
		q.nth = slices.Concat(list(p, p.nth)...)
		if len(q.nth) == 0 || !p.take("]") || p.peek("+") || p.peek("-") {
			return q, false
		}
	}
	return q, true
}

// nth reads 2, -1 or 1-3.
func (p *parser) nth() ([]int, bool) {
	sign := 1
	if p.take("-") {
		sign = -1
	}
	from, ok := p.number(1, 1)
	to := from
	if ok && sign > 0 && p.take("-") {
		to, ok = p.number(1, 1)
	}
	var out []int
	for n := from; n <= to; n++ {
		out = append(out, sign*n)
	}
	return out, ok && from >= 1 && to <= 5 && from <= to
}

func (p *parser) times() (timeSpan, bool) {
	from, ok := p.clock()
	if !ok {
		return timeSpan{}, false
	}
	if p.take("+") {
		return timeSpan{from: from, to: from, openEnd: true}, true
	}
	if !p.take("-") {
		return timeSpan{}, false
	}
	to, ok := p.clock()
	return timeSpan{from: from, to: to, openEnd: p.take("+")}, ok && !p.peek("/")
}

var sunEvents = map[string]sunEvent{"dawn": dawn, "sunrise": sunrise, "sunset": sunset, "dusk": dusk}

func (p *parser) clock() (clock, bool) {
	if p.take("(") {
		e, ok := sunEvents[p.word()]
		sign := 1
		switch {
		case !ok:
			return clock{}, false
		case p.take("-"):
			sign = -1
		case !p.take("+"):
			return clock{}, false
		}
		offset, ok := p.hourMinute()
		return clock{e, sign * offset}, ok && p.take(")")
	}
	if e, ok := try(p, func() (sunEvent, bool) { e, ok := sunEvents[p.word()]; return e, ok }); ok {
		return clock{event: e}, true
	}
	seconds, ok := p.hourMinute()
	return clock{offset: seconds}, ok
}

// hourMinute reads 8:00 up to 48:00, in seconds.
func (p *parser) hourMinute() (int, bool) {
	h, ok := p.number(1, 2)
	if !ok || !strings.HasPrefix(p.rest, ":") {
		return 0, false
	}
	p.rest = p.rest[1:]
	m, ok := p.number(2, 2)
	return h*3600 + m*60, ok && m < 60 && h*60+m <= 48*60
}
