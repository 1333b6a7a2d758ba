package drawing

import (
	"fmt"
	"math"

	"loopwright/internal/circuit"
)

// Heights draws the height of the road along the drive, on paper of a size in
// millimetres; "" where the circuit does not have all of it. The heights are
// stretched so that hills are seen, by as much as is written beside them.
func Heights(c *circuit.Circuit, width, height float64) SVG {
	type sample struct{ along, height float64 }
	var all []sample
	starts := make([]float64, len(c.Legs))
	gone := 0.0
	for i, l := range c.Legs {
		starts[i] = gone
		if len(l.Heights) < 2 {
			return ""
		}
		for j, h := range l.Heights {
			all = append(all, sample{gone + l.LengthM*float64(j)/float64(len(l.Heights)-1), float64(h)})
		}
		gone += l.LengthM
	}
	if gone <= 0 {
		return ""
	}
	low, high := all[0].height, all[0].height
	for _, s := range all {
		low, high = math.Min(low, s.height), math.Max(high, s.height)
	}
	const left, right, top, bottom = 13.0, 4.0, 8.0, 6.0
	rise := math.Max(high-low, 10) // a level drive is drawn level
	x := func(along float64) float64 { return left + along/gone*(width-left-right) }
	y := func(h float64) float64 { return height - bottom - (h-low)/rise*(height-top-bottom) }
	line := make([]point, len(all))
	for i, s := range all {
		line[i] = point{x(s.along), y(s.height)}
	}
	p := &pen{}
	area := append(append([]point{{x(0), height - bottom}}, line...), point{x(gone), height - bottom})
	p.put(`<path d="%sZ" fill="%s" fill-opacity="0.12"/><path class="heights" d="%s" stroke="%s" stroke-width="0.6" stroke-linejoin="round"/>`+"\n", points(area), inkDrive, points(line), inkDrive)
	const size = Points(7)
	level := func(h float64) {
		text := fmt.Sprintf("%.0f m", h)
		p.put(`<path d="M%s %sH%s" stroke="%s" stroke-width="0.2" stroke-dasharray="0.6 0.6"/>`+"\n", number(left), number(y(h)), number(width-right), inkQuiet)
		p.words(upright(point{left - 1.5 - Width(text, size, false)/2, y(h)}, 0, 0), text, size, false, inkText, "level")
	}
	level(low)
	level(low + rise)
	taken := &layout{width: width, height: height}
	// where is the spot of the profile at a moment of the lesson.
	where := func(atS float64) point {
		for i := len(c.Legs) - 1; i >= 0; i-- {
			if l := c.Legs[i]; atS >= l.AtS-0.5 {
				share := 1.0
				if l.DriveS > 0 {
					share = clamp((atS-l.AtS)/l.DriveS, 0, 1)
				}
				at := x(starts[i] + share*l.LengthM)
				return point{at, heightOn(line, at)}
			}
		}
		return line[0]
	}
	for _, e := range c.Examples {
		at := where(e.AtS)
		sign := point{at.x, 3}
		for !taken.free(upright(sign, 5, 5)) && sign.x < width-3 {
			sign.x += 0.5
		}
		taken.take(upright(sign, 5, 5))
		p.put(`<path d="%s" stroke="%s" stroke-width="0.25"/>`+"\n", points([]point{at, {sign.x, 5}}), inkQuiet)
		signOf(e.Verdict).draw(p, sign, 2, Letter(e.Order))
	}
	stop := func(atS float64, word, ink string) {
		at := where(atS)
		b := upright(point{clamp(at.x, left+4, width-10), height - 2}, Width(word, size, false)+1, 3)
		for !taken.free(b) && b.at.x < width-8 {
			b.at.x += 0.5
		}
		if !taken.free(b) {
			return
		}
		taken.take(b)
		p.put(`<path d="M%s %sV%s" stroke="%s" stroke-width="0.3"/>`+"\n", number(at.x), number(at.y), number(height-bottom+1), ink)
		p.words(b, word, size, false, ink, "place")
	}
	for _, p := range c.Practices() {
		stop(p.AtS, "practise", inkPlace)
	}
	stop(0, "start", inkDrive)
	for _, s := range c.PullUps {
		stop(s.AtS, s.What, inkDrive)
	}
	title := fmt.Sprintf("Heights along the drive: between %.0f and %.0f metres, drawn %.0f times as steep as they are.",
		low, high, (height-top-bottom)/rise/((width-left-right)/gone))
	return wrap(width, height, "profile", title, p.String())
}

// heightOn is the height of a line that runs to the right, at an x.
func heightOn(line []point, x float64) float64 {
	for i := 1; i < len(line); i++ {
		if line[i].x >= x && line[i].x > line[i-1].x {
			t := (x - line[i-1].x) / (line[i].x - line[i-1].x)
			return line[i-1].y + t*(line[i].y-line[i-1].y)
		}
	}
	return line[len(line)-1].y
}
