package demotown

import "math/rand/v2"

// Unseen draws again what no map of a town shows, over the same map: the widths
// of the roads that nobody has measured, the luck of the parked cars, who has a
// drive, and how the traffic of the hour falls out. Many such draws show what
// anybody could know at best who has the map and besides is told all that is drawn
// only once: every home and hump, mapped or not, and how far one sees.
type Unseen struct {
	town   *town
	drives map[*home]float64 // chance of one, of those whose garage does not show
}

// NewUnseen builds the town of a seed.
func NewUnseen(seed uint64) *Unseen {
	t := build(seed)
	t.draw()
	u := &Unseen{t, make(map[*home]float64)}
	for i, b := range t.blocks {
		if i+1 < len(t.blocks) && t.blocks[i+1].use == "garage" {
			continue
		}
		for _, h := range b.homes {
			u.drives[h] = b.district.drives
		}
	}
	return u
}

// Draw gives the truth of one draw, its records in the order of truth.csv. The
// same number gives the same draw; 0 is no draw.
func (u *Unseen) Draw(number uint64) []*Record {
	t := u.town
	t.redraw = number
	random := t.unseen("drives", false)
	for _, b := range t.blocks {
		for _, h := range b.homes {
			if share, ok := u.drives[h]; ok {
				h.drive = random.Float64() < share
			}
		}
	}
	for _, s := range t.stretches {
		s.pass = [2]passing{}
	}
	t.setWidths()
	t.park()
	t.blurFlows(t.unseen("flows", false))
	return t.records()
}

// unseen is the stream of a concern that no map shows, another one in each
// redraw; of a road of which the map tells something, always the town's own.
func (t *town) unseen(concern string, told bool) *rand.Rand {
	if told {
		return t.stream(concern)
	}
	return stream(t.seed+t.redraw<<32, concern)
}
