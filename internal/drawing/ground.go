package drawing

import (
	"fmt"

	"loopwright/internal/geo"
)

const (
	inkFootway = "#e4e1d8"
	inkRoad    = "#f6f5f1"
)

// How thick kerbs and the lines of bays are on the paper, in millimetres, and into
// how many chords a corner's quarter circle is cut, which of 6 m is then 7 mm off at most
// on the ground: our choices.
const (
	kerbLine = 0.7
	bayLine  = 0.35
	chords   = 16
)

// area fills a rectangle of the ground.
func (p panel) area(x0, y0, x1, y1 geo.Metres, ink string) {
	q := p.all(geo.XY{X: float64(x0), Y: float64(y0)}, geo.XY{X: float64(x1), Y: float64(y0)}, geo.XY{X: float64(x1), Y: float64(y1)}, geo.XY{X: float64(x0), Y: float64(y1)})
	p.put(`<path d="%sZ" fill="%s"/>`+"\n", points(q), ink)
}

// edge draws a kerb, or the line of a bay, through some points.
func (p panel) edge(class string, width float64, line ...geo.XY) {
	p.put(`<path class="%s" d="%s" stroke="%s" stroke-width="%s"/>`+"\n", class, points(p.all(line...)), inkText, number(width))
}

// draw lays the ground: the carriageway with its kerbs and footways, or a car
// park.
func (p panel) draw() {
	if p.ground == carPark {
		p.drawBays()
		return
	}
	low, high := p.bounds()
	p.area(geo.Metres(low.X), p.from, 0, p.to, inkFootway)
	p.area(0, p.from, p.width, p.to, inkRoad)
	p.area(p.width, p.from, p.width+footway, p.to, inkFootway)
	far := float64(p.width)
	if p.ground == road {
		p.edge("kerb", kerbLine, geo.XY{Y: low.Y}, geo.XY{Y: high.Y})
	} else {
		p.drawSideRoad(low, high)
	}
	p.edge("kerb", kerbLine, geo.XY{X: far, Y: low.Y}, geo.XY{X: far, Y: high.Y})
}

// drawSideRoad draws a side road with rounded corners: quarter circles of a
// radius, in chords.
func (p panel) drawSideRoad(low, high geo.XY) {
	p.area(geo.Metres(low.X), -p.side, 0, 0, inkRoad)
	r, w := float64(p.radius), float64(p.side)
	var near, beyond []geo.XY
	for i := range chords + 1 {
		u := geo.Towards(geo.Radians(float64(i)/chords) * 90 * geo.Degree)
		// From the main road's kerb round to the side road's.
		near = append(near, geo.XY{X: -r + r*u.Y, Y: r - r*u.X})
		beyond = append(beyond, geo.XY{X: -r + r*u.Y, Y: -w - r + r*u.X})
	}
	// The corners are cut off the footway.
	for i := range chords {
		for _, c := range [][]geo.XY{near, beyond} {
			y := 0.0
			if c[0].Y < 0 {
				y = -w
			}
			q := p.all(c[i], c[i+1], geo.XY{X: 0, Y: y})
			p.put(`<path d="%sZ" fill="%s" stroke="%s" stroke-width="0.1"/>`+"\n", points(q), inkRoad, inkRoad)
		}
	}
	p.edge("kerb", kerbLine, append(append([]geo.XY{{Y: high.Y}}, near...), geo.XY{X: low.X, Y: 0})...)
	p.edge("kerb", kerbLine, append(append([]geo.XY{{Y: low.Y}}, beyond...), geo.XY{X: low.X, Y: -w})...)
}

// drawBays draws an aisle with a row of bays below it.
func (p panel) drawBays() {
	low, high := p.bounds()
	p.area(geo.Metres(low.X), geo.Metres(low.Y), geo.Metres(high.X), geo.Metres(high.Y), inkRoad)
	half, length := float64(p.bay.Width)/2, float64(p.bay.Length)
	for x := half; x <= high.X; x += 2 * half {
		for _, s := range []float64{x, -x} {
			p.edge("bay", bayLine, geo.XY{X: s, Y: 0}, geo.XY{X: s, Y: -length})
		}
	}
	p.edge("kerb", kerbLine, geo.XY{X: low.X, Y: float64(p.width)}, geo.XY{X: high.X, Y: float64(p.width)})
	p.edge("kerb", kerbLine, geo.XY{X: low.X, Y: -length}, geo.XY{X: high.X, Y: -length})
	text := fmt.Sprintf("bay %.1f m", p.bay.Width)
	at := p.paper(geo.XY{X: 0, Y: -length})
	const beyond = 1.6 // mm below the bay, clear of its kerb
	b := upright(point{at.x, at.y + beyond}, Width(text, noteSize, false), noteSize.MM())
	p.halo(b, text, false, "note")
	p.layout.take(b)
}
