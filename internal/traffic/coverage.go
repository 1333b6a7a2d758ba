package traffic

import (
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// Share is a part of what is to be expected, 0 to 1; not Known where nobody
// looked or nothing is to be expected.
type Share struct {
	Known bool
	Of    float64
}

func shareOf(part, whole float64, looked bool) Share {
	if !looked || whole <= 0 {
		return Share{}
	}
	return Share{true, min(part/whole, 1)}
}

// Coverage says how completely the extract maps what traffic is told by, so
// that an absence is not taken for more than it is.
type Coverage struct {
	Homes  Share // of the length of residential roads, where homes are mapped
	Stops  Share // of the bus stops to be expected along mapped bus routes in built-up areas
	Routes Share // of the mapped bus stops, those on a mapped bus route
	Shops  Share // of the shops to be expected for the homes
}

// shares lists them in the order of the file.
func (c *Coverage) shares() [4]*Share { return [...]*Share{&c.Homes, &c.Stops, &c.Routes, &c.Shops} }

// String is the share in words.
func (s Share) String() string {
	switch {
	case !s.Known:
		return "not known"
	case s.Of < 0.05:
		return "hardly any"
	case s.Of < 0.35:
		return "some"
	case s.Of < 0.65:
		return "about half"
	case s.Of < 0.95:
		return "most"
	}
	return "nearly all"
}

// Sentences tell a user what the reasons rest on.
func (c Coverage) Sentences() []string {
	return []string{
		"homes mapped along residential roads: " + c.Homes.String() + "; elsewhere their number is estimated by the length of the road",
		"bus stops mapped on the roads of bus routes in built-up areas: " + c.Stops.String(),
		"of the bus stops mapped on roads, on a mapped bus route: " + c.Routes.String(),
		"shops mapped: " + c.Shops.String(),
	}
}

// Our choice, from common practice: bus stops are 400 m apart in towns, in each
// direction (one node may stand for both); and a place has about ten shops to a
// thousand homes.
const stopEvery geo.Metres = 400

const shopsToHomes = 0.01

func coverageOf(n *roadnet.Network, f Facts, built []bool, loads []load, homes Share) Coverage {
	var stops, onRoute, inTown, town, shops, all float64
	for i := range loads {
		all += loads[i].homes
		if f.Shops != nil {
			shops += float64(f.Shops[i])
		}
		if f.Stops == nil || f.Bus == nil {
			continue
		}
		stops += float64(f.Stops[i])
		if f.Bus[i] {
			onRoute += float64(f.Stops[i])
			if built[i] {
				inTown += float64(f.Stops[i])
				town += float64(n.Length(roadnet.StretchID(i)))
			}
		}
	}
	looked := f.Stops != nil && f.Bus != nil
	return Coverage{
		Homes: homes, Stops: shareOf(inTown, town/float64(stopEvery), looked),
		Routes: shareOf(onRoute, stops, looked), Shops: shareOf(shops, all*shopsToHomes, f.Shops != nil),
	}
}
