package drawing

import (
	"cmp"
	"math"
	"slices"

	"loopwright/internal/circuit"
)

// named is a road of one name on the paper, with all its lines.
type named struct {
	name   string
	rank   int // roads of the lesson first, then by class
	lines  [][]point
	length float64
}

// names writes the names of roads along them: those of the lesson first, then
// by class and length. A name that finds no free place is left out.
func (m *mapper) names() {
	roads := m.named()
	for _, r := range roads[:min(len(roads), mostNames)] {
		size, heavy := Points(7), false
		if r.rank >= driven {
			size, heavy = 7.5, true
		}
		if b, ok := m.place(r, size, heavy); ok {
			ink := inkQuiet
			if heavy {
				ink = inkText
			}
			m.put(`<g stroke="#fff" stroke-width="0.7" stroke-linejoin="round" paint-order="stroke">`)
			m.words(b, r.name, size, heavy, ink, "name")
			m.put("</g>\n")
			m.layout.take(b.grown(0.3))
		}
	}
}

// mostNames is how many roads are looked at for a place for their name; a page
// has room for a hundred or so.
const mostNames = 1500

// driven is the rank from which a road is one of the lesson.
const driven = 10

func (m *mapper) named() []*named {
	lesson := map[string]int{}
	for _, p := range m.c.Practices() {
		lesson[p.Road] = driven + 2
		for _, b := range p.Backups {
			lesson[b.Road] = max(lesson[b.Road], driven+1)
		}
	}
	for _, e := range m.c.Examples {
		lesson[e.Road] = max(lesson[e.Road], driven+2)
	}
	for _, l := range m.c.Legs {
		for _, name := range l.Roads {
			lesson[name] = max(lesson[name], driven)
		}
	}
	byName := map[string]*named{}
	var out []*named
	add := func(r circuit.Road) {
		line := m.frame.line(r.Line)
		if r.Name == "" || len(line) < 2 || !m.seen(line) {
			return
		}
		n := byName[r.Name]
		if n == nil {
			n = &named{name: r.Name}
			byName[r.Name], out = n, append(out, n)
		}
		n.rank = max(n.rank, lookOf(r.Class).rank, lesson[r.Name])
		n.lines = append(n.lines, line)
		n.length += length(line)
	}
	for _, r := range m.c.Around {
		add(r)
	}
	slices.SortStableFunc(out, func(a, b *named) int {
		return cmp.Or(cmp.Compare(b.rank, a.rank), cmp.Compare(b.length, a.length), cmp.Compare(a.name, b.name))
	})
	for _, n := range out {
		n.lines = joined(n.lines)
	}
	return out
}

// joined puts lines together that meet end to end; so many of one name that it
// would take long are left as they are.
func joined(lines [][]point) [][]point {
	const meet, most = 0.1, 200
	if len(lines) > most {
		return lines
	}
	for i := 0; i < len(lines); i++ {
		for j := 0; j < len(lines); j++ {
			if i == j {
				continue
			}
			a, b := lines[i], lines[j]
			switch {
			case a[len(a)-1].to(b[0]) < meet:
			case a[len(a)-1].to(b[len(b)-1]) < meet:
				b = reversed(b)
			case a[0].to(b[0]) < meet:
				a = reversed(a)
			default:
				continue
			}
			lines[i] = append(slices.Clone(a), b[1:]...)
			lines = slices.Delete(lines, j, j+1)
			i = -1
			break
		}
	}
	return lines
}

func reversed(line []point) []point {
	out := slices.Clone(line)
	slices.Reverse(out)
	return out
}

// place finds the best free box for a name: on its road where the drive does
// not run there, else beside it, where the road is straight enough.
func (m *mapper) place(r *named, size Points, heavy bool) (box, bool) {
	width, height := Width(r.name, size, heavy), size.MM()*1.05
	var best box
	least := math.Inf(1)
	for _, line := range r.lines {
		total := length(line)
		if total < 0.5*width {
			continue
		}
		span := math.Min(width, total)
		for from := 0.0; from <= total-span+1e-9; from += 2 {
			at, u, bent := chord(line, from, from+span)
			if bent > 0.55 {
				continue
			}
			if u.x < 0 || u.x == 0 && u.y > 0 {
				u = u.times(-1)
			}
			for _, aside := range []float64{0, 1, -1} {
				shift := aside * (height/2 + 1.3)
				b := box{at.add(u.left().times(shift)), u, width, height}
				cost := math.Abs(from+span/2-total/2)/total + 0.6*math.Abs(aside) + bent + 2*(width-span)/width
				if cost < least && m.layout.free(b.grown(0.3)) && m.clearOfDrive(b) {
					best, least = b, cost
				}
			}
		}
	}
	return best, !math.IsInf(least, 1)
}

// chord is the straight line between two distances along a line: its middle,
// moved to the middle of the line's own points, its direction, and how far the
// line strays from it, in millimetres.
func chord(line []point, from, to float64) (middle, u point, bent float64) {
	a, _ := along(line, from)
	b, _ := along(line, to)
	u = b.sub(a).unit()
	if a.to(b) < 0.8*(to-from) {
		return a, u, math.Inf(1)
	}
	low, high := 0.0, 0.0
	for k := 1; k < 8; k++ {
		p, _ := along(line, from+(to-from)*float64(k)/8)
		off := p.sub(a).dot(u.left())
		low, high = math.Min(low, off), math.Max(high, off)
	}
	return a.add(b).times(0.5).add(u.left().times((low + high) / 2)), u, (high - low) / 2
}
