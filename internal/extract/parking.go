package extract

// The keys of one side, as offsets from parking:left and its like.
const (
	parkingHere key = iota
	parkingOrientation
	parkingRestriction
	parkingRestrictionConditional
	parkingConditional
	parkingLaneOld
	parkingLaneParallel
	parkingLaneDiagonal
	parkingLanePerpendicular
	parkingCondition
	parkingConditionInterval
	parkingConditionConditional
)

// parkingWords are the values of parking:<side> (OpenStreetMap wiki, "Street
// parking", in use since 2022, from memory).
var parkingWords = map[string]ParkingPosition{
	"no": ParkingNone, "lane": ParkingLane, "on_street": ParkingLane, "street_side": ParkingStreetSide, "on_kerb": ParkingKerb,
	"half_on_kerb": ParkingHalfKerb, "shoulder": ParkingShoulder, "separate": ParkingSeparate, "yes": ParkingSomehow,
}

// oldPositionWords are the values of parking:lane:<side>:<orientation> of the
// scheme before, from memory of the same page.
var oldPositionWords = map[string]ParkingPosition{
	"on_street": ParkingLane, "on_lane": ParkingLane, "painted_area_only": ParkingLane, "street_side": ParkingStreetSide, "lay_by": ParkingStreetSide,
	"on_kerb": ParkingKerb, "half_on_kerb": ParkingHalfKerb, "shoulder": ParkingShoulder,
}

var orientationWords = map[string]bool{"parallel": true, "diagonal": true, "perpendicular": true}

// oldOrientations are the keys that say where cars stand that way.
var oldOrientations = map[string]key{"parallel": parkingLaneParallel, "diagonal": parkingLaneDiagonal, "perpendicular": parkingLanePerpendicular}

// restrictionWords are what parking:<side>:restriction may say; true for what
// keeps a car away. The rest (charges, discs) leaves the kerb to be parked at.
var restrictionWords = map[string]bool{
	"no_parking": true, "no_stopping": true, "no_standing": true, "loading_only": true, "charging_only": true,
	"fire_lane": true, "loading": true, "none": false, "no": false,
}

// parking reads both sides: left, then right. The scheme in use counts before
// the old one, a side's own tag before that for both.
func (o *object) parking() [2]Parking {
	var out [2]Parking
	for i, side := range [...]key{keyParkingLeft, keyParkingRight} {
		out[i] = o.parkingAt(side)
	}
	return out
}

func (o *object) parkingAt(side key) Parking {
	// pick is the side's own tag, else that for both.
	pick := func(offset key) key {
		if o.has(side + offset) {
			return side + offset
		}
		return keyParkingBoth + offset
	}
	if k := pick(parkingHere); o.has(k) || o.has(pick(parkingRestriction)) {
		return o.parkingNow(pick)
	}
	if k := pick(parkingLaneOld); o.has(k) {
		return o.parkingBefore(pick)
	}
	return Parking{}
}

func (o *object) parkingNow(pick func(key) key) Parking {
	var p Parking
	if k := pick(parkingHere); o.has(k) {
		position, ok := parkingWords[o.get(k)]
		if !ok {
			o.unreadable(k)
		}
		p.Position = position
	}
	if k := pick(parkingOrientation); o.has(k) {
		if orientationWords[o.get(k)] {
			p.Orientation = o.get(k)
		} else {
			o.unreadable(k)
		}
	}
	p.Restriction = o.kerbRestriction(pick(parkingRestriction))
	p.Conditional = o.has(pick(parkingRestrictionConditional)) || o.has(pick(parkingConditional))
	return p
}

// kerbRestriction reads a restriction that keeps cars away, "" for none.
func (o *object) kerbRestriction(k key) string {
	if !o.has(k) {
		return ""
	}
	bars, ok := restrictionWords[o.get(k)]
	if !ok {
		o.unreadable(k)
		return ""
	}
	if !bars {
		return ""
	}
	return o.get(k)
}

// parkingBefore reads parking:lane and parking:condition.
func (o *object) parkingBefore(pick func(key) key) Parking {
	var p Parking
	k := pick(parkingLaneOld)
	switch value := o.get(k); value {
	case "parallel", "diagonal", "perpendicular":
		p.Orientation = value
		p.Position = ParkingSomehow
		at := pick(oldOrientations[value])
		if o.has(at) {
			position, ok := oldPositionWords[o.get(at)]
			if !ok {
				o.unreadable(at)
			} else {
				p.Position = position
			}
		}
	case "no":
		p.Position = ParkingNone
	case "no_parking", "no_stopping", "fire_lane":
		p.Position, p.Restriction = ParkingNone, value
	case "separate":
		p.Position = ParkingSeparate
	case "yes", "marked":
		p.Position = ParkingSomehow
	default:
		o.unreadable(k)
	}
	if c := o.get(pick(parkingCondition)); restrictionWords[c] {
		p.Restriction = c
	}
	p.Conditional = o.has(pick(parkingConditionInterval)) || o.has(pick(parkingConditionConditional))
	return p
}
