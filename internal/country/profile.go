// Package country holds what differs between countries: the side driven on,
// units, default limits, usual widths, distances from junctions and the words
// of the trade. The table is data/countries.yaml.
package country

import (
	"fmt"

	"loopwright/internal/geo"
)

// Profile is one country's row of the table. Read only.
type Profile struct {
	Code        string // gb, ie, de, us; left or right where no country's own row fits
	Name        string
	DrivesLeft  bool
	SignsInMph  bool                           // limits on signs are in miles per hour
	Spoken      Unit                           // unit in which directions say distances
	Zones       []Zone                         // the first that holds a position is its zone; see ZoneAt
	Boxes       []Box                          // coarse, ours; none where the position never chooses the profile
	LimitTags   map[string]geo.MetresPerSecond // maxspeed or maxspeed:type values that stand for a number
	Defaults    Defaults
	Carriageway map[string]Spread // usual carriageway width by highway class (highway=*), "road" where the class is not surveyed
	// Fronts are the usual carriageways of residential streets by how wide the
	// fronts of their homes are, the narrowest first; none where nothing is known.
	Fronts    []Front
	LaneWidth Spread
	// JunctionClear is the least distance from a junction for a manoeuvre or a
	// stop, by the country's code, and where it is measured from.
	JunctionClear geo.Metres
	ClearFrom     string
	// Sources says where each value comes from: by the table's key, and
	// "limit_tags GB:zone20", "defaults built_up", "carriageway residential",
	// "borders Wales" inside its groups.
	Sources map[string]string
}

// OnSigns is a speed as signs have it there: "30 mph", "50 km/h".
func (p *Profile) OnSigns(kmh float64) string {
	if p.SignsInMph {
		return fmt.Sprintf("%.0f mph", (geo.MetresPerSecond(kmh) * geo.KilometrePerHour).MilesPerHour())
	}
	return fmt.Sprintf("%.0f km/h", kmh)
}

// Spread is a value with its standard deviation.
type Spread struct{ Mean, SD geo.Metres }

// Front is the usual carriageway where homes have a front so wide.
type Front struct {
	Front       geo.Metres
	Carriageway Spread
}

// Residential is the usual carriageway of a residential street whose homes have
// a front so wide, straight between the table's; that of the class where the
// table has none.
func (p *Profile) Residential(front geo.Metres) Spread {
	last := Front{}
	for i, f := range p.Fronts {
		switch {
		case front > f.Front:
			last = f
		case i == 0:
			return f.Carriageway
		default:
			u := (front - last.Front) / (f.Front - last.Front)
			a, b := last.Carriageway, f.Carriageway
			return Spread{a.Mean + u*(b.Mean-a.Mean), a.SD + u*(b.SD-a.SD)}
		}
	}
	if len(p.Fronts) == 0 {
		return p.Carriageway["residential"]
	}
	return last.Carriageway
}

// Unit is a unit of spoken distance.
type Unit uint8

const (
	UnitUnknown Unit = iota
	InMetres
	InYards
	InFeet
	unitCount
)

var unitWords = [unitCount]string{"unknown", "metres", "yards", "feet"}

// String is the word a user reads.
func (u Unit) String() string { return unitWords[u] }

// Box is a coarse box in degrees.
type Box struct{ West, South, East, North float64 }

// Holds says whether a position lies in the box, edges included. No box
// crosses the antimeridian.
func (b Box) Holds(lon, lat float64) bool {
	return lon >= b.West && lon <= b.East && lat >= b.South && lat <= b.North
}

// Zone is a time zone and where it holds.
type Zone struct {
	Name string // IANA name; "" is the zone of the clock by longitude alone
	Box  Box    // where Everywhere is false
	// Everywhere is true where the zone holds in the whole country.
	Everywhere bool
}

// Defaults are the limits where no sign is mapped, by kind of road; 0 where
// the country does not decide.
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
