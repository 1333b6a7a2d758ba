package traffic

import (
	"github.com/paulmach/orb"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// Facts are what the map knows beside the roads, counted by StretchID. Where a
// slice is nil nobody looked, which is another thing than none.
type Facts struct {
	Homes   []uint32 // homes with an address
	Stops   []uint32 // bus stops
	Shops   []uint32
	Schools []uint32
	Bus     []bool // a bus route runs along most of it
}

// beside is how far from a road a home of that road stands: our choice, a
// deep front garden.
const beside geo.Metres = 100

// FactsOf takes what a network itself knows: addresses, bus stops on its roads
// and bus routes. Shops and schools it does not know.
func FactsOf(n *roadnet.Network) Facts {
	f := Facts{
		Homes: make([]uint32, n.NumStretches()), Stops: make([]uint32, n.NumStretches()),
		Bus: make([]bool, n.NumStretches()),
	}
	for a := range n.Addresses() {
		if a.House == "" {
			continue
		}
		if s, ok := roadOf(n, a.At, a.Street); ok {
			f.Homes[s]++
		}
	}
	for i := range f.Bus {
		s := roadnet.StretchID(i)
		for _, thing := range n.Things(s) {
			if thing.Features&extract.BusStop != 0 {
				f.Stops[s]++
			}
		}
		for _, node := range [2]roadnet.NodeID{n.Tail(s.Segment(true)), n.Head(s.Segment(true))} {
			if n.NodeFeatures(node)&extract.BusStop != 0 && n.Out(node)[0].Stretch() == s {
				f.Stops[s]++ // at a junction: once, on its first road
			}
		}
		var on geo.Metres
		for _, p := range n.Pieces(s) {
			if p.Attributes.Flags&roadnet.BusRoute != 0 {
				on += p.To - p.From
			}
		}
		f.Bus[i] = 2*on > n.Length(s)
	}
	return f
}

// roadOf is the stretch that an address belongs to: the nearest of the street
// that it names, else the nearest.
func roadOf(n *roadnet.Network, at orb.Point, street string) (roadnet.StretchID, bool) {
	if street != "" {
		named := func(s roadnet.StretchID) bool { return n.Name(n.NameOf(s)) == street }
		if s, _, _, _, ok := n.Nearest(at, beside, named); ok {
			return s, true
		}
	}
	s, _, _, _, ok := n.Nearest(at, beside, nil)
	return s, ok
}
