package drawing

import (
	"fmt"
	"math"

	"loopwright/internal/geo"
)

// measure writes the width between the kerbs, outside the road.
func (p panel) measure() {
	end := p.from
	if p.lying {
		end = p.to
	}
	kerbs := p.all(geo.XY{X: 0, Y: float64(end)}, geo.XY{X: float64(p.width), Y: float64(end)})
	if p.ground == carPark { // the aisle is across the page
		kerbs = p.all(geo.XY{X: float64(aisleShown), Y: 0}, geo.XY{X: float64(aisleShown), Y: float64(p.width)})
		if p.mirrored {
			kerbs = p.all(geo.XY{X: -float64(aisleShown), Y: 0}, geo.XY{X: -float64(aisleShown), Y: float64(p.width)})
		}
	}
	out := point{0, 1}
	if p.lying || p.ground == carPark {
		out = point{1, 0}
	}
	a, b := kerbs[0].add(out.times(2)), kerbs[1].add(out.times(2))
	p.put(`<path class="measure" d="%s%s%s" stroke="%s" stroke-width="0.35"/>`+"\n", points([]point{a, b}),
		points([]point{a.sub(out), a.add(out)}), points([]point{b.sub(out), b.add(out)}), inkText)
	text := fmt.Sprintf("%.1f m", p.width)
	size := upright(a.add(b).times(0.5), Width(text, noteSize, true), noteSize.MM())
	size.at = size.at.add(out.times(1.2 + size.reach(out)))
	p.words(size, text, noteSize, true, inkText, "width")
}

// halo writes words that stay readable on what lies below.
func (p panel) halo(b box, text string, heavy bool, class string) {
	p.put(`<g stroke="#fff" stroke-width="1" stroke-linejoin="round" paint-order="stroke">`)
	p.words(b, text, noteSize, heavy, inkText, class)
	p.put("</g>\n")
}

func (p panel) mark(m mark) {
	at := p.paper(m.at)
	line := func(a, b geo.XY) {
		p.put(`<path class="mark" d="%s" stroke="%s" stroke-width="0.4" stroke-dasharray="1.6 1"/>`+"\n", points(p.all(a, b)), inkNo)
	}
	switch {
	case m.across:
		line(geo.XY{X: 0, Y: m.at.Y}, geo.XY{X: float64(p.width), Y: m.at.Y})
	case m.kerb:
		line(geo.XY{X: m.at.X, Y: m.at.Y - 4}, geo.XY{X: m.at.X, Y: m.at.Y + 2})
	case m.look != (geo.XY{}):
		u := p.paper(m.at.Add(m.look)).sub(at).unit()
		n := u.left()
		p.put(`<path class="look" d="%s" stroke="%s" stroke-width="0.7"/><path d="%sZ" fill="%s"/>`+"\n", points([]point{at, at.add(u.times(6))}), inkNo,
			points([]point{at.add(u.times(8)), at.add(u.times(5.5)).add(n.times(1.4)), at.add(u.times(5.5)).sub(n.times(1.4))}), inkNo)
		p.layout.take(upright(at.add(u.times(4)), 3+5*math.Abs(u.x), 3+5*math.Abs(u.y)))
	default:
		p.put(`<circle cx="%s" cy="%s" r="1.1" fill="%s"/>`+"\n", number(at.x), number(at.y), inkNo)
	}
	b, ok := p.layout.near(at, Width(m.text, noteSize, false)+1, noteSize.MM()+0.6, 1.2, p.insidePanel)
	if !ok {
		return
	}
	if end := b.nearest(at); m.look == (geo.XY{}) && !m.across && !m.kerb && at.to(end) > 1.5 {
		p.put(`<path d="%s" stroke="%s" stroke-width="0.3"/>`+"\n", points([]point{at, end}), inkNo)
	}
	p.halo(b, m.text, false, "note")
	p.layout.take(b)
}

// insidePanel says whether words lie on this panel's road or footways.
func (p panel) insidePanel(b box) bool {
	ends := p.all(p.span()...)
	for _, c := range b.corners() {
		if c.x < math.Min(ends[0].x, ends[1].x)-1 || c.x > math.Max(ends[0].x, ends[1].x)+1 ||
			c.y < math.Min(ends[0].y, ends[1].y) || c.y > math.Max(ends[0].y, ends[1].y) {
			return false
		}
	}
	return true
}

// slope shows which way the road falls.
func (p panel) slope() {
	if p.downhill == 0 || p.ground == carPark {
		return
	}
	x, y, step := float64(p.width)+float64(footway)/2, float64(p.from+p.to)/2, 2.2
	if p.downhill > 0 { // rises along Y: it rolls back
		step = -step
	}
	a, b := p.paper(geo.XY{X: x, Y: y - step}), p.paper(geo.XY{X: x, Y: y + step})
	u := b.sub(a).unit()
	n := u.left()
	p.put(`<path class="slope" d="%s" stroke="%s" stroke-width="1.1"/><path d="%sZ" fill="%s"/>`+"\n", points([]point{a, b}), inkDoubt,
		points([]point{b.add(u.times(3)), b.add(n.times(2)), b.sub(n.times(2))}), inkDoubt)
	const text = "downhill"
	words := box{at: a, along: u, width: Width(text, noteSize, true), height: noteSize.MM()}
	words.at = a.sub(u.times(1 + words.width/2))
	if u.x < -0.5 || u.y > 0.5 {
		words.along = u.times(-1)
	}
	p.halo(words, text, true, "note")
	p.layout.take(words)
}
