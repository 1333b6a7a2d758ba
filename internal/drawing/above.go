package drawing

import (
	"fmt"
	"math"

	"loopwright/internal/geo"
	"loopwright/internal/manoeuvre"
)

// panel is one act on the paper.
type panel struct {
	*pen
	*scene
	k      float64 // millimetres of paper to a metre
	origin point   // of X = 0, Y = 0
	column float64 // that the panel has of the page's width
	layout *layout
}

const (
	footway     = geo.Metres(1.2) // drawn beyond either kerb; our choice
	titleRoom   = 7.0             // above a panel, for its number
	measureRoom = 7.5             // below a panel, for the width
	besideRoom  = 15.0            // beside a lying panel, for the same
	noteSize    = Points(9)
)

// paper is a place of the road on the paper.
func (p panel) paper(v geo.XY) point {
	if p.mirrored {
		v.X = -v.X
	}
	if p.lying {
		return point{p.origin.x + v.Y*p.k, p.origin.y + v.X*p.k}
	}
	return point{p.origin.x + v.X*p.k, p.origin.y - v.Y*p.k}
}

func (p panel) all(vs ...geo.XY) []point {
	out := make([]point, len(vs))
	for i, v := range vs {
		out[i] = p.paper(v)
	}
	return out
}

// size is how wide and how tall a panel is, in metres, and what it takes beside
// and below itself in millimetres for the width that is written there.
func (s *scene) size() (wide, tall, aside, below float64) {
	low, high := s.bounds()
	wide, tall, below = high.X-low.X, high.Y-low.Y, measureRoom
	if s.lying {
		wide, tall = tall, wide
	}
	if s.lying || s.ground == carPark {
		aside, below = besideRoom, 3
	}
	return wide, tall, aside, below
}

// panelAt is a panel whose road has its upper left corner at a point, at so many
// millimetres to a metre.
func (s *scene) panelAt(p *pen, corner point, k, column float64, taken *layout) panel {
	low, high := s.bounds()
	q := panel{p, s, k, corner, column, taken}
	switch {
	case s.lying && s.mirrored:
		q.origin = corner.add(point{-low.Y * k, high.X * k})
	case s.lying:
		q.origin = corner.add(point{-low.Y * k, -low.X * k})
	case s.mirrored:
		q.origin = corner.add(point{high.X * k, high.Y * k})
	default:
		q.origin = corner.add(point{-low.X * k, high.Y * k})
	}
	return q
}

// draw lays the panels out at one scale on paper of a width, and gives the
// picture with its height. No panel is taller than most allows.
func (s *scene) draw(width, most float64, title string) SVG {
	wide, tall, aside, below := s.size()
	// As few rows of panels as cost no more than a fifth of the scale: our choice.
	// The gap is in millimetres.
	const gap, dear = 4.0, 1.25
	columns, k := 1, 0.0
	for n := len(s.acts); n >= 1; n-- {
		rows := (len(s.acts) + n - 1) / n
		scale := math.Min(((width-gap*float64(n-1))/float64(n)-aside)/wide, (most/float64(rows)-titleRoom-below)/tall)
		if scale > dear*k {
			columns, k = n, scale
		}
	}
	rows := (len(s.acts) + columns - 1) / columns
	column, row := width/float64(columns), tall*k+titleRoom+below
	p := &pen{}
	taken := &layout{width: width, height: row * float64(rows)}
	for i, a := range s.acts {
		corner := point{column*float64(i%columns) + (column-aside-wide*k)/2, row*float64(i/columns) + titleRoom}
		q := s.panelAt(p, corner, k, column, taken)
		q.headed(i+1, a.stage.Title)
		q.act(a)
	}
	return scaled(wrap(width, row*float64(rows), "above", title, p.String()), k)
}

// scaled is a picture that says its millimetres to a metre.
func scaled(svg SVG, k float64) SVG {
	return SVG(fmt.Sprintf(`<svg data-mm-per-m="%s"%s`, exact(k), svg[len("<svg"):]))
}

// exact is a number in full, for what is read back.
func exact(v float64) string { return fmt.Sprintf("%.6f", v) }

// span is the two corners of what the panel shows.
func (p panel) span() []geo.XY {
	low, high := p.bounds()
	return []geo.XY{low, high}
}

// headed puts a number and a title over a panel.
func (p panel) headed(nth int, title string) {
	ends := p.all(p.span()...)
	at := point{math.Min(ends[0].x, ends[1].x) + 3.2, math.Min(ends[0].y, ends[1].y) - 3.4}
	p.put(`<circle cx="%s" cy="%s" r="2.9" fill="%s"/>`+"\n", number(at.x), number(at.y), inkText)
	p.words(upright(at, 0, 0), fmt.Sprint(nth), 11, true, "#fff", "number")
	size := Points(11)
	if room, need := p.column-10, Width(title, size, true); need > room {
		size *= Points(room / need)
	}
	p.words(upright(point{at.x + 4.5 + Width(title, size, true)/2, at.y}, 0, 0), title, size, true, inkText, "title")
}

func (p panel) act(a act) {
	p.put(`<g class="panel" data-origin="%s %s">`+"\n", exact(p.origin.x), exact(p.origin.y))
	p.draw()
	for _, v := range a.parked {
		p.outline(v, ` fill="#cdd2d6" stroke="`+inkQuiet+`" stroke-width="0.35"`, "parked")
	}
	for _, m := range a.moves {
		p.sweep(m)
	}
	for _, m := range a.moves {
		p.axle(m)
	}
	if n := len(a.moves); n > 0 {
		p.outline(a.moves[0].Poses[0], ` stroke="`+inkDrive+`" stroke-width="0.4" stroke-dasharray="1.2 0.8"`, "start")
		end := a.moves[n-1].End()
		p.car(end)
		p.layout.take(p.room(end))
	}
	p.measure()
	p.slope()
	for _, m := range a.marks {
		if m.look != (geo.XY{}) {
			p.mark(m)
		}
	}
	for _, m := range a.marks {
		if m.look == (geo.XY{}) {
			p.mark(m)
		}
	}
	p.put("</g>\n")
}

// sweep shades what the body covers on its way: outlines half a metre apart.
func (p panel) sweep(m manoeuvre.Movement) {
	p.put(`<g class="sweep" fill="%s" fill-opacity="0.07" stroke="%s" stroke-opacity="0.35" stroke-width="0.15">`+"\n", inkDrive, inkDrive)
	last := geo.XY{X: math.Inf(1)}
	for _, pose := range m.Poses {
		if pose.At.Sub(last).Norm() >= 0.5 {
			p.outline(pose, "", "")
			last = pose.At
		}
	}
	p.put("</g>\n")
}

// axle draws the way of the rear axle's middle with an arrow at its end; its
// points are the poses.
func (p panel) axle(m manoeuvre.Movement) {
	line := make([]point, len(m.Poses))
	for i, pose := range m.Poses {
		line[i] = p.paper(pose.At)
	}
	dashes := ""
	if m.Gear == manoeuvre.Reverse {
		dashes = ` stroke-dasharray="2 1"`
	}
	p.put(`<path class="axle" data-gear="%s" d="%s" stroke="%s" stroke-width="0.6"%s/>`+"\n", m.Gear, points(line), inkDrive, dashes)
	if n := len(line); n > 4 && length(line) > 3 {
		at, u := along(line, length(line)*0.55)
		side := u.left()
		p.put(`<path class="way" d="%sZ" fill="%s"/>`+"\n", points([]point{at.add(u.times(2.2)), at.add(side.times(1.5)), at.sub(side.times(1.5))}), inkDrive)
	}
}

func (p panel) outline(pose manoeuvre.Pose, style, class string) {
	c := p.vehicle.Outline(pose)
	if class != "" {
		class = ` class="` + class + `"`
	}
	p.put(`<path%s d="%sZ"%s/>`+"\n", class, points(p.all(c[:]...)), style)
}

// room is the car's outline on the paper.
func (p panel) room(pose manoeuvre.Pose) box {
	c := p.vehicle.Outline(pose)
	q := p.all(c[0], c[1], c[2])
	return box{q[0].add(q[2]).times(0.5), q[0].sub(q[1]).unit(), q[0].to(q[1]), q[1].to(q[2])}
}

// car draws where the car comes to stand: its body, its windscreen to tell the
// front, and its wheels.
func (p panel) car(pose manoeuvre.Pose) {
	v := p.vehicle
	p.outline(pose, ` class="end" fill="#fff" fill-opacity="0.85" stroke="`+inkDrive+`" stroke-width="0.7"`, "")
	ahead, right := geo.Towards(pose.Heading), geo.Towards(pose.Heading+90*geo.Degree)
	at := func(forward, aside geo.Metres) geo.XY {
		return pose.At.Add(ahead.Scale(float64(forward))).Add(right.Scale(float64(aside)))
	}
	front := v.Wheelbase * 0.72
	half := v.Width/2 - 0.18
	p.put(`<path d="%sZ" fill="%s" fill-opacity="0.75"/>`+"\n", points(p.all(at(front, -half), at(front, half), at(front-0.7, half-0.12), at(front-0.7, -half+0.12))), inkDrive)
	for _, w := range v.Wheels(pose) {
		a, b := w.Add(ahead.Scale(0.3)), w.Sub(ahead.Scale(0.3))
		p.put(`<path d="%s" stroke="%s" stroke-width="%s"/>`+"\n", points(p.all(a, b)), inkText, number(0.18*p.k))
	}
}
