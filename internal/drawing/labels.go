package drawing

import (
	"fmt"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"loopwright/internal/circuit"
)

// pill is a word in a rounded frame beside what it names.
type pill struct {
	at       point
	text     string
	ink      string
	filled   bool
	rounding float64
}

const pillSize = Points(8)

// places names where the car stands: start, finish, pull-ups, practice place
// and backups. Stops at one spot share a pill.
func (m *mapper) places() {
	pills := []pill{
		{m.at(m.c.Start.At), "Start", inkDrive, true, 2},
		{m.at(m.c.Finish.At), "Finish", inkDrive, true, 2},
	}
	for i, s := range m.c.PullUps {
		word := s.What
		switch {
		case m.c.Request.Kind == circuit.SurveyDrive:
			word = fmt.Sprintf("stop %d", i+1) // as the sheet counts them
		case word == "":
			word = "pull up"
		}
		pills = append(pills, pill{m.at(s.At), capital(word), inkDrive, false, 2})
	}
	for i, p := range m.c.Practices() {
		which := ""
		if i > 0 {
			which = fmt.Sprintf(" %d", i+1)
		}
		pills = append([]pill{{m.at(p.At), "Practise" + which, inkPlace, true, 0.6}}, pills...)
		for j, b := range p.Backups {
			pills = append(pills, pill{m.at(b.At), fmt.Sprintf("Backup%s %d", which, j+1), inkPlace, false, 0.6})
		}
	}
	const together = 2.5
	for i := range pills {
		for j := range i {
			if pills[j].text != "" && pills[j].filled == pills[i].filled && pills[j].ink == pills[i].ink && pills[i].at.to(pills[j].at) < together {
				pills[j].text += ", " + strings.ToLower(pills[i].text)
				pills[i].text = ""
				break
			}
		}
	}
	// Where a car stands is kept clear of words.
	for _, p := range pills {
		m.layout.take(upright(p.at, 2, 2))
	}
	for _, p := range pills {
		if p.text != "" {
			m.pill(p)
		}
	}
}

// capital begins a text with a capital.
func capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

func (m *mapper) pill(p pill) {
	p.text = Cut(p.text, pillSize, true, m.width/3)
	width, height := Width(p.text, pillSize, true)+2.4, pillSize.MM()+1.4
	b, ok := m.layout.near(p.at, width+0.6, height+0.6, 1.6, m.clearOfDrive)
	if !ok {
		return
	}
	m.leader(p.at, b, p.ink)
	m.put(`<circle cx="%s" cy="%s" r="0.9" fill="%s" stroke="#fff" stroke-width="0.25"/>`+"\n", number(p.at.x), number(p.at.y), p.ink)
	fill, ink := "#fff", p.ink
	if p.filled {
		fill, ink = p.ink, "#fff"
	}
	m.put(`<rect x="%s" y="%s" width="%s" height="%s" rx="%s" fill="%s" stroke="%s" stroke-width="0.4"/>`+"\n",
		number(b.at.x-width/2), number(b.at.y-height/2), number(width), number(height), number(p.rounding), fill, p.ink)
	m.words(upright(b.at, width, height), p.text, pillSize, true, ink, "place")
	m.layout.take(b)
}

// leader is the line from a point to the box that names it, where they lie
// apart.
func (m *mapper) leader(at point, b box, ink string) {
	end := b.nearest(at)
	if at.to(end) < 0.8 {
		return
	}
	m.put(`<path d="%s" stroke="%s" stroke-width="0.3"/>`+"\n", points([]point{at, end}), ink)
	d := end.sub(at)
	m.layout.take(box{at.add(d.times(0.5)), d.unit(), d.length(), 0.3})
}

// clearOfDrive says whether a box leaves the drive to be seen.
func (m *mapper) clearOfDrive(b box) bool {
	reach := math.Hypot(b.width, b.height)/2 + 0.5
	for _, line := range m.drive {
		for i := 1; i < len(line); i++ {
			p, q := line[i-1], line[i]
			if math.Max(p.x, q.x) < b.at.x-reach || math.Min(p.x, q.x) > b.at.x+reach || math.Max(p.y, q.y) < b.at.y-reach || math.Min(p.y, q.y) > b.at.y+reach {
				continue
			}
			if b.grown(0.45).crossed(p, q) {
				return false
			}
		}
	}
	return true
}

// letters puts the sign of each road to judge beside its middle.
func (m *mapper) letters() {
	const r = 2.3
	for _, e := range m.c.Examples {
		line := m.frame.line(e.Line)
		if len(line) == 0 {
			continue
		}
		at, _ := along(line, length(line)/2)
		b, ok := m.layout.near(at, 2*r+1.4, 2*r+1.4, 2.4, m.clearOfDrive)
		if !ok {
			continue
		}
		s := signOf(e.Verdict)
		m.leader(at, b, s.ink)
		s.draw(&m.pen, b.at, r, Letter(e.Order))
		m.layout.take(b)
	}
}

// numbered is a run of steps whose turns lie at one spot of the paper.
type numbered struct {
	first, last int
	at          point
}

// numbers puts the number of each step where it is to be done. Steps done
// together share a label, as in 7-9; questions have a number in the list only.
func (m *mapper) numbers() {
	const together = 2.2
	const size = Points(7)
	var all []numbered
	for _, s := range m.c.Steps {
		if s.Kind == "question" {
			continue
		}
		at := m.at(m.c.TurnAt(s))
		if n := len(all) - 1; n >= 0 && all[n].last == s.Order-1 && all[n].at.to(at) < together {
			all[n].last = s.Order
			continue
		}
		all = append(all, numbered{s.Order, s.Order, at})
	}
	for _, n := range all {
		text := fmt.Sprint(n.first)
		if n.last > n.first {
			text += "–" + fmt.Sprint(n.last)
		}
		width := math.Max(Width(text, size, true)+1.3, 3.4)
		b, ok := m.layout.near(n.at, width+0.5, 3.4+0.5, 0.9, m.clearOfDrive)
		if !ok {
			continue
		}
		m.leader(n.at, b, inkDrive)
		m.put(`<rect x="%s" y="%s" width="%s" height="3.4" rx="1.7" fill="#fff" stroke="%s" stroke-width="0.3"/>`+"\n",
			number(b.at.x-width/2), number(b.at.y-1.7), number(width), inkDrive)
		m.words(upright(b.at, width, 3.4), text, size, true, inkDrive, "step")
		m.layout.take(b)
	}
}
