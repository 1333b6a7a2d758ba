// Package country holds what differs between countries: the side driven on,
// units, default limits, usual widths, distances from junctions and the words
// of the trade. The table is data/countries.yaml.
package country

import "loopwright/internal/geo"

// Profile is one country's row of the table. Read only.
type Profile struct {
	Code        string // gb, ie, de, us; left or right where no country's own row fits
	Name        string
	DrivesLeft  bool
	SignsInMph  bool                           // limits on signs are in miles per hour
	Spoken      Unit                           // unit in which directions say distances
	Zone        string                         // IANA time zone; "" where the country has several and the position decides
	Boxes       []Box                          // coarse, ours
	LimitTags   map[string]geo.MetresPerSecond // maxspeed or maxspeed:type values that stand for a number
	Defaults    Defaults
	Carriageway map[string]Spread // default carriageway width by highway class
	LaneWidth   Spread
	// JunctionClear is the least distance from a junction for a manoeuvre or a
	// stop, by the country's code, and where it is measured from.
	JunctionClear geo.Metres
	ClearFrom     string
	Sources       map[string]string // of each of the above, by field name
}

// Spread is a value with its standard deviation.
type Spread struct{ Mean, SD geo.Metres }

// Unit is a unit of spoken distance.
type Unit uint8

const (
	UnitUnknown Unit = iota
	InMetres
	InYards
	InFeet
	unitCount
)

// Box is a coarse box in degrees.
type Box struct{ West, South, East, North float64 }

// Defaults are the limits where no sign is mapped, by kind of road.
type Defaults struct {
	BuiltUp, RuralSingle, RuralDual, Motorway, LivingStreet geo.MetresPerSecond
	// StreetLightsDecide: street lights alone make a road built-up and their
	// absence makes it rural, as in Britain (Highway Code, rule 124).
	StreetLightsDecide bool
	// Borders are boxes within which a border that the extract does not map
	// may decide the built-up limit, with the limit beyond it (Wales: 20 mph).
	Borders []Border
}

// Border is such a box: the default may be Other there.
type Border struct {
	Box
	Name  string
	Other geo.MetresPerSecond
}
