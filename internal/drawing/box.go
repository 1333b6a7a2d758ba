package drawing

import "math"

// box is a rectangle on the paper that may be turned.
type box struct {
	at            point // its middle
	along         point // unit vector of its length
	width, height float64
}

func upright(at point, width, height float64) box { return box{at, point{1, 0}, width, height} }

// grown is the box with so much more on every side.
func (b box) grown(by float64) box {
	b.width += 2 * by
	b.height += 2 * by
	return b
}

// nearest is the point of an upright box nearest to a point.
func (b box) nearest(p point) point {
	return point{clamp(p.x, b.at.x-b.width/2, b.at.x+b.width/2), clamp(p.y, b.at.y-b.height/2, b.at.y+b.height/2)}
}

func clamp(v, low, high float64) float64 { return math.Max(low, math.Min(high, v)) }

func (b box) corners() [4]point {
	u, v := b.along.times(b.width/2), b.along.left().times(b.height/2)
	return [4]point{b.at.add(u).add(v), b.at.add(u).sub(v), b.at.sub(u).sub(v), b.at.sub(u).add(v)}
}

// reach is half of what the box covers along a unit vector.
func (b box) reach(axis point) float64 {
	return math.Abs(b.along.dot(axis))*b.width/2 + math.Abs(b.along.left().dot(axis))*b.height/2
}

// meets says whether two boxes overlap: no axis of either parts them (Gottschalk,
// Lin and Manocha, "OBBTree", 1996, section 5, in the plane).
func (b box) meets(o box) bool {
	d := o.at.sub(b.at)
	for _, axis := range [...]point{b.along, b.along.left(), o.along, o.along.left()} {
		if math.Abs(d.dot(axis)) >= b.reach(axis)+o.reach(axis) {
			return false
		}
	}
	return true
}

// crossed says whether the straight line between two points enters the box.
func (b box) crossed(p, q point) bool {
	d := q.sub(p)
	return b.meets(box{p.add(d.times(0.5)), d.unit(), d.length(), 1e-6})
}

// inside says whether the box lies within a sheet of a size.
func (b box) inside(width, height float64) bool {
	for _, c := range b.corners() {
		if c.x < 0 || c.y < 0 || c.x > width || c.y > height {
			return false
		}
	}
	return true
}

// layout keeps what already lies on the paper.
type layout struct {
	width, height float64
	boxes         []box
	failed        int // how often no spot was found
}

// mostFailed is how often that may happen; then a paper is held to be full.
// Our choice.
const mostFailed = 20

// free says whether a box would lie on the paper and on nothing else.
func (l *layout) free(b box) bool {
	if !b.inside(l.width, l.height) {
		return false
	}
	for _, o := range l.boxes {
		if b.meets(o) {
			return false
		}
	}
	return true
}

func (l *layout) take(b box) { l.boxes = append(l.boxes, b) }

// near finds the free spot nearest to a point for an upright box, on widening
// rings; the first is around a radius. ok is false where none is left within
// the paper's size.
func (l *layout) near(at point, width, height, radius float64, good func(box) bool) (box, bool) {
	if l.failed > mostFailed {
		return box{}, false
	}
	var spare box
	found := false
	for r := radius; r < l.width+l.height; r += 1.5 {
		steps := max(8, int(2*math.Pi*r/2.5))
		for i := range steps {
			sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.5) / float64(steps))
			// Measured from the box's edge, so that a wide one starts beside the point.
			c := point{at.x + cos*(r+width/2), at.y + sin*(r+height/2)}
			b := upright(c, width, height)
			if !l.free(b) {
				continue
			}
			if good == nil || good(b) {
				return b, true
			}
			if !found {
				spare, found = b, true
			}
		}
		// A spot that is not good but near beats a good one far away.
		if found && r > radius+14 {
			return spare, true
		}
	}
	if !found {
		l.failed++
	}
	return spare, found
}
