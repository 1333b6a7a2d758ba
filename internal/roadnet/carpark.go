package roadnet

import (
	"loopwright/internal/extract"
	"loopwright/internal/geo"
)

// CarParkRow is a car park as it lies in the file. Zero means unknown but for
// the first four, where none is None.
type CarParkRow struct {
	Site            SiteID
	EntranceStretch uint32
	EntranceAlongMm uint32
	FeeWhen         NameID
	DriveInMm       uint32
	AislesMm        uint32
	LongestAisleMm  uint32
	AisleWidthCm    uint16
	Capacity        uint16
	Bays            uint16
	MaxHeightCm     uint16
	Form            extract.CarParkForm
	Use             extract.Use
	Fee             extract.Answer
	Surface         extract.Surface
	EntranceSide    Side
	HeightBar       uint8 // 0 or 1
	Unused          [2]uint8
}

// CarPark is a car park, with how it is driven into and what lies within.
type CarPark struct {
	Site      Site
	Form      extract.CarParkForm
	Use       extract.Use // UseUnknown where access is not tagged
	Capacity  int         // 0 unknown
	Bays      int         // bays that are mapped one by one
	Fee       extract.Answer
	FeeWhen   string     // raw value of fee=* where it is a time or an amount
	MaxHeight geo.Metres // 0 not said
	HeightBar bool       // a bar is mapped on the way in
	Surface   extract.Surface

	Aisles       geo.Metres // length of all parking aisles in it
	LongestAisle geo.Metres // length of the longest
	AisleWidth   geo.Metres // of the longest, 0 unknown

	// Entrance is where the way in leaves the network, on the side seen in the
	// stretch's direction, and DriveIn how far it is from there; only with
	// HasEntrance.
	Entrance    Position
	Side        Side
	DriveIn     geo.Metres
	HasEntrance bool
}

// NumCarParks counts the car parks; one that is drawn in several pieces counts
// as several.
func (n *Network) NumCarParks() int { return len(n.c.CarParks) }

// CarPark is one of them, by number from 0.
func (n *Network) CarPark(i int) CarPark {
	r := &n.c.CarParks[i]
	c := CarPark{
		Site: n.Site(r.Site), Form: r.Form, Use: r.Use, Capacity: int(r.Capacity), Bays: int(r.Bays), Fee: r.Fee,
		FeeWhen: n.Name(r.FeeWhen), MaxHeight: geo.Metres(r.MaxHeightCm) / 100, HeightBar: r.HeightBar != 0, Surface: r.Surface,
		Aisles: millimetres(r.AislesMm), LongestAisle: millimetres(r.LongestAisleMm), AisleWidth: geo.Metres(r.AisleWidthCm) / 100,
	}
	if r.EntranceStretch != None {
		c.HasEntrance, c.Side, c.DriveIn = true, r.EntranceSide, millimetres(r.DriveInMm)
		c.Entrance = Position{StretchID(r.EntranceStretch).Segment(true), millimetres(r.EntranceAlongMm)}
	}
	return c
}
