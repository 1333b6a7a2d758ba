package extract

import (
	"strconv"
	"strings"

	"loopwright/internal/geo"
)

// amenities, plainShops, leisures and railways are the values that make a site.
var (
	amenities = map[string]SiteKind{
		"school": SiteSchool, "kindergarten": SiteNursery, "college": SiteCollege, "university": SiteCollege,
		"hospital": SiteHospital, "parking": SiteCarPark, "parking_space": SiteBay,
		"pub": SitePub, "post_box": SitePostBox, "fuel": SiteFuel,
		"pharmacy": SiteChemist, "post_office": SitePostOffice, "library": SiteLibrary, "fire_station": SiteFireStation,
	}
	// plainShops are those that a driver knows by their windows.
	plainShops = map[string]SiteKind{"supermarket": SiteSupermarket, "bakery": SiteBakery, "butcher": SiteButcher, "chemist": SiteChemist}
	leisures   = map[string]SiteKind{"park": SitePark, "playground": SitePlayground}
	railways   = map[string]SiteKind{"station": SiteStation, "halt": SiteStation}
)

// carParkForms are the values of parking=* (OpenStreetMap wiki, "Key:parking",
// from memory).
var carParkForms = map[string]CarParkForm{
	"surface": CarParkSurface, "multi-storey": CarParkMultiStorey, "underground": CarParkUnderground, "rooftop": CarParkRooftop,
	"lane": CarParkRoadside, "street_side": CarParkRoadside, "layby": CarParkRoadside, "on_kerb": CarParkRoadside,
	"half_on_kerb": CarParkRoadside, "shoulder": CarParkRoadside,
	"garage_boxes": CarParkBoxes, "carports": CarParkBoxes, "sheds": CarParkBoxes, "garage": CarParkBoxes,
}

// closedShops are values of shop=* that sell nothing.
var closedShops = map[string]bool{"no": true, "vacant": true, "disused": true, "closed": true, "empty": true}

// mayBeBeside: the key may make something that stands beside the roads.
func mayBeBeside(k key) bool {
	switch k {
	case keyBuilding, keyBarrier, keyAmenity, keyShop, keyLeisure, keyLanduse, keyRailway, keyPublicTransport, keyHighway:
		return true
	}
	return false
}

// sites reads what uses an object has; without shapes.
func (o *object) sites() (out []Site) {
	add := func(k SiteKind) {
		out = append(out, Site{Object: ObjectID{o.kind, o.id}, Kind: k, Name: o.get(keyName)})
	}
	if o.is(keyHighway, "bus_stop") || o.is(keyPublicTransport, "platform") && o.is(keyBus, "yes") {
		add(SiteBusStop)
	}
	if k := amenities[o.get(keyAmenity)]; k != SiteUnknown {
		add(k)
		if k == SiteCarPark {
			out[len(out)-1].CarPark = o.carPark()
		}
	}
	if o.has(keyShop) && !closedShops[o.get(keyShop)] {
		add(SiteShop)
	}
	if k := plainShops[o.get(keyShop)]; k != SiteUnknown && k != amenities[o.get(keyAmenity)] {
		add(k)
	}
	if o.is(keyAmenity, "place_of_worship") && o.is(keyReligion, "christian") {
		add(SiteChurch)
	}
	if o.is(keyRailway, "rail") && o.claim(keyBridge) {
		add(SiteRailBridge)
	}
	if k := railways[o.get(keyRailway)]; k != SiteUnknown {
		add(k)
	}
	if k := leisures[o.get(keyLeisure)]; k != SiteUnknown {
		add(k)
	}
	if o.is(keyLanduse, "residential") {
		add(SiteHousing)
	}
	return out
}

func (o *object) carPark() CarPark {
	c := CarPark{Form: carParkForms[o.get(keyParking)], Capacity: o.capacity(), MaxHeight: o.maxHeight(), Surface: o.surface()}
	c.Use, _ = o.access(plainForm, UseUnknown)
	switch fee := o.get(keyFee); fee {
	case "":
	case "no", "free":
		c.Fee = No
	case "yes":
		c.Fee = Yes
	default: // times, amounts, conditions
		c.Fee, c.FeeWhen = Yes, fee
	}
	return c
}

// capacity reads a number of bays; a car park has at most mostBays.
func (o *object) capacity() int {
	v := o.get(keyCapacity)
	if v == "" {
		return 0
	}
	n, err := strconv.Atoi(v)
	if err != nil || n < 0 || n > mostBays {
		o.unreadable(keyCapacity)
		return 0
	}
	return n
}

// mostBays is more than any car park has: our choice.
const mostBays = 60000

// unsaidHeights are values of maxheight that name no figure (OpenStreetMap
// wiki, "Key:maxheight", from memory).
var unsaidHeights = map[string]bool{"default": true, "none": true, "no": true, "unsigned": true, "no_sign": true, "below_default": true, "no_indications": true}

func (o *object) maxHeight() (metres geo.Metres) {
	if v := o.get(keyMaxheight); v != "" && !unsaidHeights[v] {
		m, ok := parseLength(v)
		if !ok {
			o.unreadable(keyMaxheight)
		}
		return m
	}
	return 0
}

// gate reads where people or cars go in; its position is set by the caller.
func (o *object) gate() (Gate, bool) {
	if o.is(keyBarrier, "height_restrictor") {
		return Gate{Bar: true, MaxHeight: o.maxHeight()}, true
	}
	return Gate{}, o.is(keyBarrier, "gate") || o.has(keyEntrance) && !o.is(keyEntrance, "no")
}

// wall reads what stands along a boundary.
func (o *object) wall() (Wall, bool) {
	w := Wall{Object: ObjectID{o.kind, o.id}}
	switch o.get(keyBarrier) {
	case "wall", "retaining_wall", "city_wall":
		w.Kind = WallSolid
	case "fence":
		w.Kind = WallFence
	case "hedge":
		w.Kind = WallHedge
	default:
		return w, false
	}
	if m, ok := parseLength(o.get(keyHeight)); ok {
		w.Height = m
	}
	return w, true
}

// business says whether somebody works there, so that it is nobody's home.
func (o *object) business() bool {
	return o.has(keyShop) || o.has(keyOffice) || o.has(keyCraft) || o.has(keyTourism) || o.has(keyAmenity) || o.has(keyLeisure) || o.has(keyRailway)
}

// homes is how many homes an address stands for: what it is said to hold, else
// what its house number tells, none where somebody works or where no house is
// named.
func (o *object) homes() uint16 {
	if o.get(keyAddrHousenumber) == "" || o.business() {
		return 0
	}
	switch o.buildingKind() {
	case BuildingWork, BuildingGarage, BuildingGarages, BuildingOuthouse, BuildingRoof, BuildingUnfinished:
		return 0
	}
	if n := o.flats(); n > 0 {
		return n
	}
	return homesNumbered(o.get(keyAddrHousenumber))
}

// flats is how many homes a building is said to hold, 0 where nothing says.
func (o *object) flats() uint16 {
	if n, err := strconv.ParseUint(o.get(keyBuildingFlats), 10, 16); err == nil {
		return uint16(min(n, mostHomes))
	}
	if v := o.get(keyAddrFlats); v != "" {
		return homesNumbered(v)
	}
	return 0
}

// mostHomes is more than any one building holds: our choice.
const mostHomes = 1000

// homesNumbered counts the homes that a house number names: "12a" is one,
// "3;5" or "3,5" two, "1-19" ten, for one side of a road has the odd or the
// even numbers, and "1-12" twelve. What can't be read is one.
func homesNumbered(number string) uint16 {
	homes := 0
	for part := range strings.FieldsFuncSeq(number, func(r rune) bool { return r == ';' || r == ',' }) {
		one := 1
		if from, to, ok := strings.Cut(part, "-"); ok {
			a, errA := strconv.Atoi(strings.TrimSpace(from))
			b, errB := strconv.Atoi(strings.TrimSpace(to))
			if errA == nil && errB == nil && a > 0 && b > a && b-a < mostHomes {
				if one = b - a + 1; (b-a)%2 == 0 {
					one = (b-a)/2 + 1
				}
			}
		}
		homes += one
	}
	return uint16(min(max(homes, 1), mostHomes))
}
