package extract

import "github.com/paulmach/orb"

// settlementRanks are the values of place that people name a road's place by.
var settlementRanks = map[string]uint8{
	"city": 0, "town": 1, "village": 2, "suburb": 3, "quarter": 3, "borough": 3, "hamlet": 4, "neighbourhood": 4, "isolated_dwelling": 4,
}

// settlement reads a named place; its position is set by the caller.
func (o *object) settlement() (Settlement, bool) {
	rank, ok := settlementRanks[o.get(keyPlace)]
	return Settlement{Name: o.get(keyName), Rank: rank}, ok && o.has(keyName)
}

// address reads a postcode or a numbered house.
func (o *object) address() (Address, bool) {
	a := Address{Postcode: o.get(keyAddrPostcode), Street: o.get(keyAddrStreet), House: o.get(keyAddrHousenumber), City: o.get(keyAddrCity), Homes: o.homes()}
	return a, a.Postcode != "" || a.House != ""
}

// outline is a settlement or an address mapped as a line or an area: it stands
// at the middle of the box round its nodes.
type outline struct {
	nodes      []NodeID
	settlement Settlement
	address    Address
	isPlace    bool
	isAddress  bool
}

// middle of a box in 10⁻⁷ degrees.
func middle(west, south, east, north int32) orb.Point {
	return orb.Point{(float64(west) + float64(east)) / 2e7, (float64(south) + float64(north)) / 2e7}
}
