package traffic

import (
	"fmt"
	"strings"

	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
)

// Reason is a row in a sentence: the band, and what it was told by.
func (r Row) Reason(n *roadnet.Network) string {
	if r.Cause == OneWayIn && r.Band == Light {
		return r.marked("own traffic only, but of many: one way in, " + r.homes())
	}
	return r.marked(r.Band.String() + ": " + r.told(n))
}

// told is the cause in words.
func (r Row) told(n *roadnet.Network) string {
	switch r.Cause {
	case NotPublic:
		return "not open to all traffic, or the map does not say"
	case AtRim:
		return "too near the edge of the map file"
	case Apart:
		return "the map joins it to no other public road"
	case CallersOnly:
		return "for residents and callers"
	case OneWayIn:
		return "one way in, " + r.homes()
	case LittlePasses:
		return "few ways lead along it"
	case CutThrough:
		return r.cut(n)
	case ManyPass:
		return "many in the neighbourhood pass on their way"
	case WayToMany:
		return "on the only way in to " + r.homes()
	case Draws:
		return r.draws()
	case OnBusRoute:
		return "bus route"
	case MainRoad:
		if r.Marks&BusRoute != 0 {
			return "bus route, " + class(r.Class)
		}
		return class(r.Class)
	}
	return "not measured"
}

// homes counts them in words.
func (r Row) homes() string {
	about := ""
	if r.Marks&Estimated != 0 {
		about = "about "
	}
	if r.Homes == 1 {
		return about + "1 home"
	}
	if r.Homes == 0 {
		return "no homes"
	}
	return fmt.Sprintf("%s%d homes", about, r.Homes)
}

func (r Row) draws() string {
	switch {
	case r.Marks&School == 0:
		return "shops"
	case r.Marks&Shops == 0:
		return "a school"
	}
	return "a school and shops"
}

// cut says between which main roads a cut-through leads.
func (r Row) cut(n *roadnet.Network) string {
	if r.From == none || r.To == none {
		return "a way through between main roads"
	}
	from, to := r.road(n, r.From), r.road(n, r.To)
	switch {
	case from == to && strings.HasPrefix(from, "a "):
		return "a way through between main roads"
	case from == to:
		return "leaves " + from + " and comes back to it"
	case r.Marks&Corner != 0:
		return "cuts the corner between " + from + " and " + to
	}
	return "a way through between " + from + " and " + to
}

// road is a road's name, else its number, else its kind.
func (r Row) road(n *roadnet.Network, s roadnet.StretchID) string {
	if name := n.Name(n.NameOf(s)); name != "" {
		return name
	}
	if ref := n.RefOf(s); ref != "" {
		return "the " + ref
	}
	return "a main road"
}

// class is the map's own word for a kind of main road.
func class(c extract.Class) string {
	return map[extract.Class]string{
		extract.Motorway: "motorway", extract.Trunk: "trunk road", extract.Primary: "primary road",
		extract.Secondary: "secondary road", extract.Tertiary: "tertiary road",
	}[c]
}

// marked adds what the driver should know besides.
func (r Row) marked(said string) string {
	if r.Cause != Draws && r.Cause != NotPublic && r.Marks&(School|Shops) != 0 {
		said += "; " + r.draws()
	}
	if r.Marks&NearRim != 0 && r.Cause != AtRim && r.Band != Busy {
		said += "; near the edge of the map file, so more may pass"
	}
	return said
}
