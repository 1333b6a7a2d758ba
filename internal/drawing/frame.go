package drawing

import (
	"math"

	"github.com/paulmach/orb"

	"loopwright/internal/circuit"
	"loopwright/internal/geo"
)

// frame lays the ground on the paper, north up.
type frame struct {
	plane         geo.Plane
	scale         float64 // millimetres of paper to a metre of ground
	width, height float64
}

// closest is the largest scale of a map: 2 m to a millimetre. A lesson in one
// road needs no more, and the lines of the map are no better. Our choice.
const closest = 0.5

// frameOf shows all that the circuit stands on, with a margin on every side.
func frameOf(c *circuit.Circuit, width, height, margin float64) frame {
	first, low, high := extent(c)
	size := high.Sub(low)
	scale := math.Min(closest, math.Min((width-2*margin)/math.Max(size.X, 1), (height-2*margin)/math.Max(size.Y, 1)))
	return frame{geo.PlaneAt(first.From(low.Add(size.Scale(0.5)))), scale, width, height}
}

// Extent is how far what a map of a circuit shows reaches to the east and to the
// north, in metres.
func Extent(c *circuit.Circuit) (wide, high float64) {
	_, a, b := extent(c)
	return b.X - a.X, b.Y - a.Y
}

func extent(c *circuit.Circuit) (plane geo.Plane, low, high geo.XY) {
	plane = geo.PlaneAt(c.Start.At)
	each(c, func(q orb.Point) {
		at := plane.To(q)
		low = geo.XY{X: math.Min(low.X, at.X), Y: math.Min(low.Y, at.Y)}
		high = geo.XY{X: math.Max(high.X, at.X), Y: math.Max(high.Y, at.Y)}
	})
	return plane, low, high
}

// each visits the positions that a map of the circuit must show.
func each(c *circuit.Circuit, visit func(orb.Point)) {
	line := func(l orb.LineString) {
		for _, q := range l {
			visit(q)
		}
	}
	visit(c.Finish.At)
	for _, l := range c.Legs {
		line(l.Line)
	}
	for _, s := range c.PullUps {
		visit(s.At)
	}
	for _, e := range c.Examples {
		line(e.Line)
	}
	for _, place := range c.Practices() {
		for _, p := range append([]circuit.Practice{place.Practice}, place.Backups...) {
			visit(p.At)
			line(p.Line)
			if p.Way != nil {
				line(p.Way.Line)
			}
		}
	}
}

func (f frame) at(q orb.Point) point { return f.paper(f.plane.To(q)) }

func (f frame) paper(v geo.XY) point {
	return point{f.width/2 + v.X*f.scale, f.height/2 - v.Y*f.scale}
}

func (f frame) line(l orb.LineString) []point {
	out := make([]point, 0, len(l))
	for _, q := range l {
		p := f.at(q)
		if len(out) == 0 || out[len(out)-1].to(p) > 0.05 {
			out = append(out, p)
		}
	}
	return out
}

// shifted is a line moved to its right by a distance; corners are mitred, sharp
// ones less than in full.
func shifted(line []point, by float64) []point {
	out := make([]point, len(line))
	for i, p := range line {
		before, after := line[max(i-1, 0)], line[min(i+1, len(line)-1)]
		u, v := p.sub(before), after.sub(p)
		switch {
		case i == 0:
			u = v
		case i == len(line)-1:
			v = u
		}
		n := u.unit().left().add(v.unit().left()).times(-1)
		if n.length() < 0.2 { // the line turns back on itself
			n = u.unit().left().times(-1)
		}
		n = n.unit()
		out[i] = p.add(n.times(by / math.Max(0.5, math.Abs(n.dot(u.unit().left())))))
	}
	return out
}

// length is the sum of the straight parts.
func length(line []point) float64 {
	sum := 0.0
	for i := 1; i < len(line); i++ {
		sum += line[i-1].to(line[i])
	}
	return sum
}

// along is the point a distance along a line, and the direction there.
func along(line []point, at float64) (point, point) {
	for i := 1; i < len(line); i++ {
		d := line[i-1].to(line[i])
		if at <= d && d > 0 || i == len(line)-1 {
			u := line[i].sub(line[i-1]).unit()
			return line[i-1].add(u.times(math.Min(at, d))), u
		}
		at -= d
	}
	return line[0], point{1, 0}
}
