package calendar

import (
	"strconv"
	"strings"
)

// ParseHours reads opening hours. It never fails: a rule that can't be read is
// unknown at all times, and Unread lists it. The grammar is a subset of
// "Key:opening_hours/specification", OpenStreetMap wiki, version 0.7:
//
//	hours     = rule { (";" | "," | "||") rule }
//	rule      = "24/7" | [selector] [state] ["text in quotes"]
//	selector  = [years] [dates] ["week" weeks] [":"] [days] [times]
//	years     = 2024 | 2024-2026 | 2024+                   , ...
//	dates     = Mar | Mar-Oct | Dec 25 | Dec 24-26 | [2024] Dec 25-[2025] Jan 3 , ...
//	weeks     = 1 | 1-10 | 1-53/2                          , ...
//	days      = Mo | Mo-Fr | Sa[1,3] | Su[-1] | PH | SH    , ... (PH and SH may
//	            also stand before other days: those that are holidays too)
//	times     = 08:00-09:30 | sunset-sunrise | (sunset+01:00)-22:00 | 08:00+ |
//	            08:00-17:00+                           , ...
//	state     = open | closed | off | unknown
//
// A comma adds a time, a day and so on where the next word is one, else a rule.
// Beyond the specification it takes any case, three letters and more of a day,
// long dashes, and hours without a leading zero, which are all common. Quotes
// without a state are a condition that nobody can check: unknown.
func ParseHours(text string) Hours {
	h := Hours{text: text}
	p := parser{rest: strings.TrimSpace(strings.NewReplacer("–", "-", "—", "-", "−", "-").Replace(text))}
	join := instead
	for p.rest != "" {
		if p.take(";") { // an empty rule says nothing
			continue
		}
		start := p.rest
		r, ok := p.rule()
		ended := p.rest == "" || p.peek(";") || p.peek(",") || p.peek("||")
		if !ok || !ended || p.rest == start {
			p.rest = start
			r = rule{unread: p.skip()}
		}
		r.join = join
		h.rules = append(h.rules, r)
		switch {
		case p.take("||"):
			join = fallback
		case p.take(";"):
			join = instead
		case p.take(","):
			join = also
		}
	}
	return h
}

// parser reads words from the front of a text; take and the rest of its methods
// leave it where it was when what they look for is not there.
type parser struct{ rest string }

func (p *parser) space() { p.rest = strings.TrimLeft(p.rest, " \t\u00a0") }

func (p *parser) peek(mark string) bool {
	p.space()
	return strings.HasPrefix(p.rest, mark)
}

func (p *parser) take(mark string) bool {
	if !p.peek(mark) {
		return false
	}
	p.rest = p.rest[len(mark):]
	p.space()
	return true
}

// skip passes what can't be read, up to the next ";" or "||" or the end, and
// returns it; commas may be part of it.
func (p *parser) skip() string {
	end := len(p.rest)
	quoted := false
	for i, c := range p.rest {
		if c == '"' {
			quoted = !quoted
		}
		if !quoted && (c == ';' || strings.HasPrefix(p.rest[i:], "||")) {
			end = i
			break
		}
	}
	text := strings.TrimSpace(p.rest[:end])
	p.rest = p.rest[end:]
	if text == "" {
		return "nothing before a separator"
	}
	return text
}

// word takes the letters at the front.
func (p *parser) word() string {
	p.space()
	n := 0
	for n < len(p.rest) && (p.rest[n]|0x20) >= 'a' && (p.rest[n]|0x20) <= 'z' {
		n++
	}
	w := strings.ToLower(p.rest[:n])
	p.rest = p.rest[n:]
	return w
}

// number takes the digits at the front: from least to most of them.
func (p *parser) number(least, most int) (int, bool) {
	p.space()
	n := 0
	for n < len(p.rest) && p.rest[n] >= '0' && p.rest[n] <= '9' {
		n++
	}
	if n < least || n > most {
		return 0, false
	}
	v, err := strconv.Atoi(p.rest[:n])
	if err != nil {
		return 0, false
	}
	p.rest = p.rest[n:]
	return v, true
}

// try runs a reader and goes back where it does not succeed.
func try[T any](p *parser, read func() (T, bool)) (T, bool) {
	start := p.rest
	v, ok := read()
	if !ok {
		var none T
		p.rest = start
		return none, false
	}
	return v, true
}

// list reads items with commas between, as long as what follows a comma is
// another item.
func list[T any](p *parser, read func() (T, bool)) []T {
	var out []T
	v, ok := try(p, read)
	for ok {
		out = append(out, v)
		v, ok = try(p, func() (T, bool) {
			var none T
			if !p.take(",") {
				return none, false
			}
			return read()
		})
	}
	return out
}

func (p *parser) rule() (rule, bool) {
	r := rule{state: Yes}
	if p.take("24/7") {
		return p.state(r)
	}
	r.years = list(p, p.year)
	r.dates = list(p, p.date)
	if _, ok := try(p, func() (string, bool) { w := p.word(); return w, w == "week" }); ok {
		if r.weeks = list(p, p.week); len(r.weeks) == 0 {
			return r, false
		}
	}
	wide := len(r.years)+len(r.dates)+len(r.weeks) > 0
	if wide {
		p.take(":")
	}
	for {
		days := list(p, p.day)
		if len(days) == 0 {
			break
		}
		r.days = append(r.days, days)
		if len(r.days) > 2 {
			return r, false
		}
	}
	if len(r.days) == 2 && !onlyHolidays(r.days[0]) && !onlyHolidays(r.days[1]) {
		return r, false
	}
	if len(r.days) > 0 {
		p.take(":")
	}
	r.times = list(p, p.times)
	return p.state(r)
}

func onlyHolidays(days []daySelector) bool {
	for _, q := range days {
		if q.kind == weekdays {
			return false
		}
	}
	return true
}

// state reads what holds, and the words in quotes.
func (p *parser) state(r rule) (rule, bool) {
	word, stated := try(p, func() (string, bool) { w := p.word(); return w, w != "" })
	if stated {
		switch word {
		case "open":
			r.state = Yes
		case "off", "closed":
			r.state = No
		case "unknown":
			r.state = Unknown
		default:
			return r, false
		}
	}
	if p.take(`"`) {
		end := strings.IndexByte(p.rest, '"')
		if end < 0 {
			return r, false
		}
		p.rest = p.rest[end+1:]
		p.space()
		if !stated {
			r.state = Unknown
		}
	}
	return r, true
}
