package demotown

import (
	"bytes"
	"fmt"
	"html"
	"math"

	"loopwright/internal/geo"
)

// picture draws the whole town, mapped or not, as an SVG of 1 unit per metre.
func (t *town) picture() []byte {
	var b bytes.Buffer
	p := &pen{&b}
	p.printf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="-2900 -2500 5800 5000" font-family="sans-serif">` + "\n")
	p.printf("<title>The invented market town of %s</title>\n", townName)
	p.printf(`<rect x="-2900" y="-2500" width="5800" height="5000" fill="#f1efe4"/>` + "\n")
	t.pictureLand(p)
	t.pictureRoads(p)
	t.pictureBuildings(p)
	t.pictureWords(p)
	p.printf("</svg>\n")
	return b.Bytes()
}

// pen writes SVG with north up and whole metres.
type pen struct{ *bytes.Buffer }

func (p *pen) printf(format string, args ...any) { fmt.Fprintf(p.Buffer, format, args...) }

// path writes the data of one line, relative after its first point.
func (p *pen) path(line []geo.XY, closed bool) {
	x, y := 0, 0
	for i, q := range line {
		qx, qy := int(math.Round(q.X)), int(math.Round(-q.Y))
		switch i {
		case 0:
			p.printf("M%d %d", qx, qy)
		case 1:
			p.printf("l%d %d", qx-x, qy-y)
		default:
			p.printf(" %d %d", qx-x, qy-y)
		}
		x, y = qx, qy
	}
	if closed {
		p.printf("z")
	}
}

// lines opens a path element, has the data written, and closes it.
func (p *pen) lines(style string, write func()) {
	p.printf(`<path %s d="`, style)
	write()
	p.printf("\"/>\n")
}

func (t *town) pictureLand(p *pen) {
	p.lines(`fill="none" stroke="#e8e2d4" stroke-width="105" stroke-linejoin="round" stroke-linecap="round"`, func() {
		for _, r := range t.roads {
			if r.class.public() && r.district.name != countryside && r.district.name != works && !r.dual && r.class != trunk {
				p.path(t.line(r), false)
			}
		}
	})
	p.lines(`fill="none" stroke="#ded9cc" stroke-width="150" stroke-linejoin="round"`, func() {
		for _, r := range t.roads {
			if r.class.public() && r.district.name == works {
				p.path(t.line(r), false)
			}
		}
	})
	fill := map[groundKind]string{school: "#e3d8b4", hospital: "#d8d2c4", park: "#c9e4b4", pitches: "#d2e8b9", allotments: "#d6dfb3", cemetery: "#c5d8b8", carPark: "#dcd8cc", privateCarPark: "#dcd8cc"}
	for i := range woods {
		p.lines(`fill="#b9d3a4"`, func() { p.path(woods[i], true) })
	}
	for i := range grounds {
		p.lines(`fill="`+fill[grounds[i].kind]+`"`, func() { p.path(grounds[i].ring, true) })
	}
	p.lines(`fill="#a9cfe6"`, func() { p.path(bank(river, riverWidth), true) })
	p.lines(`fill="none" stroke="#6b6b6b" stroke-width="7"`, func() { p.path(railway, false) })
	p.lines(`fill="none" stroke="#ffffff" stroke-width="3.5" stroke-dasharray="18 18"`, func() { p.path(railway, false) })
}

// strokes are how wide and in what colour each class is drawn.
var strokes = []struct {
	class        class
	width        float64
	fill, casing string
}{
	{track, 3, "#c9b48f", ""},
	{driveway, 3, "#ffffff", ""},
	{aisle, 4, "#ffffff", ""},
	{service, 5, "#ffffff", "#c8c2b8"},
	{unbuilt, 8, "#eeeeee", "#b8b0a4"},
	{livingStreet, 8, "#f4f1ea", "#b8b0a4"},
	{residential, 9, "#ffffff", "#b8b0a4"},
	{unclassified, 11, "#ffffff", "#a89f92"},
	{tertiary, 13, "#dccfe0", "#9a86a0"},
	{secondary, 15, "#c0a6c7", "#80628a"},
	{primary, 16, "#9a78a4", "#5f4169"},
	{trunk, 14, "#6a4a75", "#3d2745"},
}

func (t *town) pictureRoads(p *pen) {
	for _, casing := range [2]bool{true, false} {
		for _, s := range strokes {
			colour, width := s.fill, s.width
			if casing {
				colour, width = s.casing, s.width+4
			}
			if colour == "" {
				continue
			}
			style := fmt.Sprintf(`fill="none" stroke="%s" stroke-width="%g" stroke-linejoin="round" stroke-linecap="round"`, colour, width)
			p.lines(style, func() {
				for _, r := range t.roads {
					if r.class == s.class {
						p.path(t.line(r), false)
					}
				}
			})
		}
	}
}

func (t *town) pictureBuildings(p *pen) {
	for _, shade := range [2]struct {
		homes bool
		style string
	}{{true, `fill="#cdc3ae"`}, {false, `fill="#a9a08c"`}} {
		p.lines(shade.style, func() {
			for _, b := range t.blocks {
				if (b.use == "" || b.use == "garage") == shade.homes {
					p.path(b.ring, true)
				}
			}
		})
	}
}

// pictureWords letters the roads of the plan, the grounds and the town.
func (t *town) pictureWords(p *pen) {
	done := map[string]bool{}
	for _, r := range t.roads {
		line := geo.Polyline(t.line(r))
		if done[r.name] || r.ring || r.name == "" || float64(line.Length()) < 260 || (r.parent != nil && float64(line.Length()) < 420) {
			continue
		}
		done[r.name] = true
		at, heading := line.At(line.Length() * 0.55)
		turn := heading.Degrees() - 90
		if turn > 90 {
			turn -= 180
		}
		p.printf(`<text transform="translate(%.0f %.0f) rotate(%.0f)" text-anchor="middle" dy="8" font-size="26" fill="#333" stroke="#fff" stroke-width="5" paint-order="stroke">%s</text>`+"\n", at.X, -at.Y, turn, html.EscapeString(r.name))
	}
	for i := range grounds {
		if g := &grounds[i]; g.kind != carPark && g.kind != privateCarPark {
			at := between(g.ring[0], g.ring[2], 0.5)
			p.printf(`<text x="%.0f" y="%.0f" text-anchor="middle" font-size="24" font-style="italic" fill="#37512c">%s</text>`+"\n", at.X, -at.Y, html.EscapeString(g.name))
		}
	}
	p.printf(`<text x="-1500" y="640" text-anchor="middle" font-size="34" font-style="italic" fill="#2f6a8c">River Otten</text>` + "\n")
	p.printf(`<text x="-2840" y="-2390" font-size="110" fill="#333">%s</text>`+"\n", townName)
	p.printf(`<path d="M-2830 2400v20h500v-20" fill="none" stroke="#333" stroke-width="6"/><text x="-2580" y="2385" text-anchor="middle" font-size="44" fill="#333">500 m</text>` + "\n")
}
