package desk

import (
	"loopwright/internal/roadnet"
)

// Fork gives a desk of the same network for another worker. It is valid as long
// as d is open; only d is closed.
func (d *Desk) Fork() *Desk {
	return &Desk{net: d.net, profile: d.profile, assess: d.assess.Fork(), seen: d.seen, digest: d.digest, noted: d.noted, view: d.view, heeds: d.heeds}
}

// About says what the network was made from.
func (d *Desk) About() roadnet.About { return d.net.About() }

// keyOf names a stretch outside the process: the kerb at its middle, without a
// side. It outlives a new index as a kerb does.
func (d *Desk) keyOf(s roadnet.StretchID) string {
	pos := roadnet.Position{Segment: s.Segment(true), Along: d.net.Length(s) / 2}
	name := d.net.KerbAt(pos, roadnet.Left).String()
	return name[:len(name)-1]
}
