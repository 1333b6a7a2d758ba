package extract

import "strconv"

// buildingKinds are values of building=* (OpenStreetMap wiki, "Key:building",
// from memory); every other is one where somebody works.
var buildingKinds = map[string]BuildingKind{
	"yes": BuildingUnsaid,

	"house": BuildingHouse, "detached": BuildingHouse, "bungalow": BuildingHouse, "farm": BuildingHouse, "cabin": BuildingHouse,
	"cottage": BuildingHouse, "villa": BuildingHouse, "static_caravan": BuildingHouse, "houseboat": BuildingHouse, "trullo": BuildingHouse,
	"semidetached_house": BuildingSemi, "semi": BuildingSemi, "semi_detached": BuildingSemi,
	"terrace": BuildingTerrace, "terraced_house": BuildingTerrace, "townhouse": BuildingTerrace,
	"apartments": BuildingFlats, "residential": BuildingFlats, "flats": BuildingFlats, "dormitory": BuildingFlats,

	"garage": BuildingGarage, "garages": BuildingGarages,
	"roof": BuildingRoof, "carport": BuildingRoof, "canopy": BuildingRoof,
	"shed": BuildingOuthouse, "hut": BuildingOuthouse, "greenhouse": BuildingOuthouse, "barn": BuildingOuthouse, "farm_auxiliary": BuildingOuthouse,
	"stable": BuildingOuthouse, "cowshed": BuildingOuthouse, "sty": BuildingOuthouse, "outbuilding": BuildingOuthouse, "service": BuildingOuthouse,
	"toilets": BuildingOuthouse, "bunker": BuildingOuthouse, "silo": BuildingOuthouse, "storage_tank": BuildingOuthouse, "conservatory": BuildingOuthouse,
	"construction": BuildingUnfinished, "ruins": BuildingUnfinished, "collapsed": BuildingUnfinished,
}

// building reads a building; its shape is set by the caller.
func (o *object) building() (Building, bool) {
	if !o.has(keyBuilding) || o.is(keyBuilding, "no") {
		return Building{}, false
	}
	b := Building{Object: ObjectID{o.kind, o.id}, Kind: o.buildingKind(), Flats: o.flats(), Addressed: o.has(keyAddrHousenumber)}
	if levels, err := strconv.ParseFloat(o.get(keyBuildingLevels), 64); err == nil && levels > 0 && levels < 256 {
		b.Levels = uint8(levels)
	}
	return b, true
}

func (o *object) buildingKind() BuildingKind {
	if !o.has(keyBuilding) {
		return BuildingUnsaid
	}
	kind, ok := buildingKinds[o.get(keyBuilding)]
	if !ok || kind != BuildingRoof && kind != BuildingUnfinished && o.business() {
		return BuildingWork
	}
	return kind
}
