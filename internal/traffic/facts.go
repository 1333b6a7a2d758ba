package traffic

import (
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// Facts are what the map knows beside the roads, counted by StretchID. Where a
// slice is nil nobody looked, which is another thing than none.
type Facts struct {
	Homes   []uint32 // homes that are mapped
	Stops   []uint32 // bus stops
	Shops   []uint32
	Schools []uint32
	Bus     []bool // a bus route runs along most of it
}

// FactsOf takes what a network itself knows.
func FactsOf(n *roadnet.Network) Facts {
	stretches := n.NumStretches()
	f := Facts{
		Homes: make([]uint32, stretches), Stops: make([]uint32, stretches), Bus: make([]bool, stretches),
		Shops: make([]uint32, stretches), Schools: make([]uint32, stretches),
	}
	for i := range f.Bus {
		s := roadnet.StretchID(i)
		f.Homes[i] = uint32(n.HomesOn(s, roadnet.Both))
		f.Stops[i] = uint32(len(n.StopsOn(s)))
		var on geo.Metres
		for _, p := range n.Pieces(s) {
			if p.Attributes.Flags&roadnet.BusRoute != 0 {
				on += p.To - p.From
			}
		}
		f.Bus[i] = 2*on > n.Length(s)
	}
	drawn := map[extract.ObjectID]bool{} // a school in several pieces counts once
	for i := range n.NumSites() {
		site := n.Site(roadnet.SiteID(i))
		if !site.HasRoad || drawn[site.Object] {
			continue
		}
		switch on := site.Beside.Segment.Stretch(); site.Kind {
		case extract.SiteShop:
			f.Shops[on]++
		case extract.SiteSchool:
			f.Schools[on]++
			drawn[site.Object] = true
		}
	}
	return f
}
