package extract

import (
	"fmt"

	"loopwright/internal/geo"
)

// E7 is a position in 10⁻⁷ degrees.
type E7 struct{ Lon, Lat int32 }

// Shape is what was drawn, in order: one position of a node, a line, or a ring
// that ends where it begins. Rings are as drawn: one may cross itself.
type Shape []E7

// ObjectID names an OpenStreetMap object: one that is drawn in several pieces
// gives several things with the same name.
type ObjectID struct {
	Kind ObjectKind
	ID   int64
}

// String is the name as people write it: "way 123".
func (o ObjectID) String() string { return fmt.Sprintf("%v %d", o.Kind, o.ID) }

// SiteKind is what a site is.
type SiteKind uint8

const (
	SiteUnknown     SiteKind = iota
	SiteBusStop              // highway=bus_stop, or a platform for buses
	SiteSchool               // amenity=school
	SiteNursery              // amenity=kindergarten
	SiteCollege              // amenity=college or university
	SiteHospital             // amenity=hospital
	SiteStation              // railway=station or halt
	SiteShop                 // shop=*
	SiteCarPark              // amenity=parking
	SiteBay                  // amenity=parking_space
	SitePark                 // leisure=park
	SitePlayground           // leisure=playground
	SiteHousing              // landuse=residential
	SiteChurch               // amenity=place_of_worship of Christians
	SitePub                  // amenity=pub
	SitePostBox              // amenity=post_box
	SiteFuel                 // amenity=fuel
	SiteSupermarket          // shop=supermarket; it is a shop too
	SiteRailBridge           // railway=rail with a bridge
	SiteChemist              // amenity=pharmacy or shop=chemist
	SiteBakery               // shop=bakery; it and the butcher's are shops too
	SiteButcher              // shop=butcher
	SitePostOffice           // amenity=post_office
	SiteLibrary              // amenity=library
	SiteFireStation          // amenity=fire_station
	SiteKinds                // how many there are
)

// Site is a place of some use beside the roads.
type Site struct {
	Object  ObjectID
	Kind    SiteKind
	Name    string
	Shape   Shape
	CarPark CarPark // of a car park; zero else
}

// CarParkForm is how a car park is built.
type CarParkForm uint8

const (
	CarParkUnknown     CarParkForm = iota
	CarParkSurface                 // open ground
	CarParkMultiStorey             // multi-storey
	CarParkUnderground
	CarParkRooftop
	CarParkRoadside // bays along a road: lane, street_side, layby, on_kerb, half_on_kerb
	CarParkBoxes    // garages, sheds, carports
	carParkFormCount
)

// CarPark is what the map says of a car park.
type CarPark struct {
	Form      CarParkForm
	Use       Use // what access says; UseUnknown where nothing does
	Capacity  int // 0 unknown
	Fee       Answer
	FeeWhen   string     // raw value of fee=* where it is a time
	MaxHeight geo.Metres // 0 not said
	Surface   Surface
}

// Gate is where people or cars go in: a node with entrance=* or barrier=gate,
// or a height bar over a way.
type Gate struct {
	At        E7
	Bar       bool       // barrier=height_restrictor
	MaxHeight geo.Metres // of a bar; 0 not said
}

// BuildingKind is what a building is for, as far as its tags tell.
type BuildingKind uint8

const (
	BuildingUnsaid     BuildingKind = iota // building=yes
	BuildingHouse                          // one home
	BuildingSemi                           // semidetached_house: one home or a pair
	BuildingTerrace                        // a row, or a house of one
	BuildingFlats                          // apartments, residential
	BuildingGarage                         // one
	BuildingGarages                        // a row
	BuildingRoof                           // roof, carport: seen through
	BuildingOuthouse                       // shed, greenhouse, barn ...
	BuildingWork                           // retail, industrial, school, church ...
	BuildingUnfinished                     // construction, ruins
	BuildingKinds                          // how many there are
)

// Building is the outline of a building on the ground.
type Building struct {
	Object    ObjectID
	Kind      BuildingKind
	Levels    uint8  // 0 unknown
	Flats     uint16 // homes that it is said to hold, 0 not said
	Addressed bool   // it has an address, which Addresses has as well
	Shape     Shape  // a ring
}

// WallKind is what stands along a boundary.
type WallKind uint8

const (
	WallUnknown WallKind = iota
	WallSolid            // wall, retaining_wall, city_wall
	WallFence
	WallHedge
	WallKinds // how many there are
)

// Wall is a wall, a fence or a hedge.
type Wall struct {
	Object ObjectID
	Kind   WallKind
	Height geo.Metres // 0 not said
	Shape  Shape      // a line or a ring
}
