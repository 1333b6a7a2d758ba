package extract

// key is a tag key that something here asks for; 0 is every other.
type key uint8

const (
	keyOther key = iota

	// roads
	keyHighway
	keyJunction
	keyArea
	keyName
	keyRef
	keyService
	keyConstruction
	keyLivingStreet
	keyDualCarriageway

	// access, most general first; each in the order of accessForm
	keyAccess
	keyAccessForward
	keyAccessBackward
	keyAccessConditional
	keyAccessForwardConditional
	keyAccessBackwardConditional
	keyVehicle
	keyVehicleForward
	keyVehicleBackward
	keyVehicleConditional
	keyVehicleForwardConditional
	keyVehicleBackwardConditional
	keyMotorVehicle
	keyMotorVehicleForward
	keyMotorVehicleBackward
	keyMotorVehicleConditional
	keyMotorVehicleForwardConditional
	keyMotorVehicleBackwardConditional
	keyMotorcar
	keyMotorcarForward
	keyMotorcarBackward
	keyMotorcarConditional
	keyMotorcarForwardConditional
	keyMotorcarBackwardConditional

	// one-way
	keyOneway
	keyOnewayVehicle
	keyOnewayMotorVehicle
	keyOnewayMotorcar
	keyOnewayConditional
	keyOnewayVehicleConditional
	keyOnewayMotorVehicleConditional
	keyOnewayMotorcarConditional

	// limits
	keyMaxspeed
	keyMaxspeedForward
	keyMaxspeedBackward
	keyMaxspeedConditional
	keyMaxspeedForwardConditional
	keyMaxspeedBackwardConditional
	keyMaxspeedVariable
	keyMaxspeedType
	keyMaxspeedTypeForward
	keyMaxspeedTypeBackward
	keyZoneMaxspeed
	keySourceMaxspeed
	keySourceMaxspeedForward
	keySourceMaxspeedBackward
	keyZoneTraffic

	// the carriageway
	keyLanes
	keyLanesForward
	keyLanesBackward
	keyWidth
	keyWidthCarriageway
	keyEstWidth
	keySurface
	keySmoothness
	keyIncline
	keyLit
	keyBridge
	keyTunnel
	keyFord
	keyLayer
	keySidewalk
	keySidewalkBoth
	keySidewalkLeft
	keySidewalkRight
	keyTrafficCalming

	// buses
	keyBusway
	keyBuswayLeft
	keyBuswayRight
	keyBuswayBoth
	keyLanesBus
	keyLanesPsv
	keyBusLanes
	keyBusLanesForward
	keyBusLanesBackward
	keyPsvLanes
	keyPsvLanesForward
	keyPsvLanesBackward

	// parking: left, right and both in the same order
	keyParkingLeft
	keyParkingLeftOrientation
	keyParkingLeftRestriction
	keyParkingLeftRestrictionConditional
	keyParkingLeftConditional
	keyParkingLaneLeft
	keyParkingLaneLeftParallel
	keyParkingLaneLeftDiagonal
	keyParkingLaneLeftPerpendicular
	keyParkingConditionLeft
	keyParkingConditionLeftTimeInterval
	keyParkingConditionLeftConditional
	keyParkingRight
	keyParkingRightOrientation
	keyParkingRightRestriction
	keyParkingRightRestrictionConditional
	keyParkingRightConditional
	keyParkingLaneRight
	keyParkingLaneRightParallel
	keyParkingLaneRightDiagonal
	keyParkingLaneRightPerpendicular
	keyParkingConditionRight
	keyParkingConditionRightTimeInterval
	keyParkingConditionRightConditional
	keyParkingBoth
	keyParkingBothOrientation
	keyParkingBothRestriction
	keyParkingBothRestrictionConditional
	keyParkingBothConditional
	keyParkingLaneBoth
	keyParkingLaneBothParallel
	keyParkingLaneBothDiagonal
	keyParkingLaneBothPerpendicular
	keyParkingConditionBoth
	keyParkingConditionBothTimeInterval
	keyParkingConditionBothConditional

	// nodes
	keyCrossing
	keyCrossingRef
	keyCrossingMarkings
	keyCrossingSignals
	keyCrossingIsland
	keyBarrier
	keyDirection
	keyTrafficSignalsDirection
	keyRailway
	keyPublicTransport
	keyBus
	keyAmenity

	// places
	keyPlace
	keyAddrPostcode
	keyAddrHousenumber
	keyAddrStreet
	keyAddrCity

	// beside the roads
	keyBuilding
	keyBuildingLevels
	keyBuildingFlats
	keyAddrFlats
	keyHeight
	keyShop
	keyReligion
	keyOffice
	keyCraft
	keyTourism
	keyLeisure
	keyLanduse
	keyParking
	keyCapacity
	keyFee
	keyMaxheight
	keyEntrance

	// relations
	keyType
	keyRoute
	keyRestriction
	keyRestrictionVehicle
	keyRestrictionMotorVehicle
	keyRestrictionMotorcar
	keyRestrictionConditional
	keyRestrictionVehicleConditional
	keyRestrictionMotorVehicleConditional
	keyRestrictionMotorcarConditional
	keyExcept
	keyDayOn
	keyDayOff
	keyHourOn
	keyHourOff
	keyCount
	keyNotLooked key = 255
)

var keyNames = [keyCount]string{
	keyHighway:                            "highway",
	keyJunction:                           "junction",
	keyArea:                               "area",
	keyName:                               "name",
	keyRef:                                "ref",
	keyService:                            "service",
	keyConstruction:                       "construction",
	keyLivingStreet:                       "living_street",
	keyDualCarriageway:                    "dual_carriageway",
	keyAccess:                             "access",
	keyAccessForward:                      "access:forward",
	keyAccessBackward:                     "access:backward",
	keyAccessConditional:                  "access:conditional",
	keyAccessForwardConditional:           "access:forward:conditional",
	keyAccessBackwardConditional:          "access:backward:conditional",
	keyVehicle:                            "vehicle",
	keyVehicleForward:                     "vehicle:forward",
	keyVehicleBackward:                    "vehicle:backward",
	keyVehicleConditional:                 "vehicle:conditional",
	keyVehicleForwardConditional:          "vehicle:forward:conditional",
	keyVehicleBackwardConditional:         "vehicle:backward:conditional",
	keyMotorVehicle:                       "motor_vehicle",
	keyMotorVehicleForward:                "motor_vehicle:forward",
	keyMotorVehicleBackward:               "motor_vehicle:backward",
	keyMotorVehicleConditional:            "motor_vehicle:conditional",
	keyMotorVehicleForwardConditional:     "motor_vehicle:forward:conditional",
	keyMotorVehicleBackwardConditional:    "motor_vehicle:backward:conditional",
	keyMotorcar:                           "motorcar",
	keyMotorcarForward:                    "motorcar:forward",
	keyMotorcarBackward:                   "motorcar:backward",
	keyMotorcarConditional:                "motorcar:conditional",
	keyMotorcarForwardConditional:         "motorcar:forward:conditional",
	keyMotorcarBackwardConditional:        "motorcar:backward:conditional",
	keyOneway:                             "oneway",
	keyOnewayVehicle:                      "oneway:vehicle",
	keyOnewayMotorVehicle:                 "oneway:motor_vehicle",
	keyOnewayMotorcar:                     "oneway:motorcar",
	keyOnewayConditional:                  "oneway:conditional",
	keyOnewayVehicleConditional:           "oneway:vehicle:conditional",
	keyOnewayMotorVehicleConditional:      "oneway:motor_vehicle:conditional",
	keyOnewayMotorcarConditional:          "oneway:motorcar:conditional",
	keyMaxspeed:                           "maxspeed",
	keyMaxspeedForward:                    "maxspeed:forward",
	keyMaxspeedBackward:                   "maxspeed:backward",
	keyMaxspeedConditional:                "maxspeed:conditional",
	keyMaxspeedForwardConditional:         "maxspeed:forward:conditional",
	keyMaxspeedBackwardConditional:        "maxspeed:backward:conditional",
	keyMaxspeedVariable:                   "maxspeed:variable",
	keyMaxspeedType:                       "maxspeed:type",
	keyMaxspeedTypeForward:                "maxspeed:type:forward",
	keyMaxspeedTypeBackward:               "maxspeed:type:backward",
	keyZoneMaxspeed:                       "zone:maxspeed",
	keySourceMaxspeed:                     "source:maxspeed",
	keySourceMaxspeedForward:              "source:maxspeed:forward",
	keySourceMaxspeedBackward:             "source:maxspeed:backward",
	keyZoneTraffic:                        "zone:traffic",
	keyLanes:                              "lanes",
	keyLanesForward:                       "lanes:forward",
	keyLanesBackward:                      "lanes:backward",
	keyWidth:                              "width",
	keyWidthCarriageway:                   "width:carriageway",
	keyEstWidth:                           "est_width",
	keySurface:                            "surface",
	keySmoothness:                         "smoothness",
	keyIncline:                            "incline",
	keyLit:                                "lit",
	keyBridge:                             "bridge",
	keyTunnel:                             "tunnel",
	keyFord:                               "ford",
	keyLayer:                              "layer",
	keySidewalk:                           "sidewalk",
	keySidewalkBoth:                       "sidewalk:both",
	keySidewalkLeft:                       "sidewalk:left",
	keySidewalkRight:                      "sidewalk:right",
	keyTrafficCalming:                     "traffic_calming",
	keyBusway:                             "busway",
	keyBuswayLeft:                         "busway:left",
	keyBuswayRight:                        "busway:right",
	keyBuswayBoth:                         "busway:both",
	keyLanesBus:                           "lanes:bus",
	keyLanesPsv:                           "lanes:psv",
	keyBusLanes:                           "bus:lanes",
	keyBusLanesForward:                    "bus:lanes:forward",
	keyBusLanesBackward:                   "bus:lanes:backward",
	keyPsvLanes:                           "psv:lanes",
	keyPsvLanesForward:                    "psv:lanes:forward",
	keyPsvLanesBackward:                   "psv:lanes:backward",
	keyParkingLeft:                        "parking:left",
	keyParkingLeftOrientation:             "parking:left:orientation",
	keyParkingLeftRestriction:             "parking:left:restriction",
	keyParkingLeftRestrictionConditional:  "parking:left:restriction:conditional",
	keyParkingLeftConditional:             "parking:left:conditional",
	keyParkingLaneLeft:                    "parking:lane:left",
	keyParkingLaneLeftParallel:            "parking:lane:left:parallel",
	keyParkingLaneLeftDiagonal:            "parking:lane:left:diagonal",
	keyParkingLaneLeftPerpendicular:       "parking:lane:left:perpendicular",
	keyParkingConditionLeft:               "parking:condition:left",
	keyParkingConditionLeftTimeInterval:   "parking:condition:left:time_interval",
	keyParkingConditionLeftConditional:    "parking:condition:left:conditional",
	keyParkingRight:                       "parking:right",
	keyParkingRightOrientation:            "parking:right:orientation",
	keyParkingRightRestriction:            "parking:right:restriction",
	keyParkingRightRestrictionConditional: "parking:right:restriction:conditional",
	keyParkingRightConditional:            "parking:right:conditional",
	keyParkingLaneRight:                   "parking:lane:right",
	keyParkingLaneRightParallel:           "parking:lane:right:parallel",
	keyParkingLaneRightDiagonal:           "parking:lane:right:diagonal",
	keyParkingLaneRightPerpendicular:      "parking:lane:right:perpendicular",
	keyParkingConditionRight:              "parking:condition:right",
	keyParkingConditionRightTimeInterval:  "parking:condition:right:time_interval",
	keyParkingConditionRightConditional:   "parking:condition:right:conditional",
	keyParkingBoth:                        "parking:both",
	keyParkingBothOrientation:             "parking:both:orientation",
	keyParkingBothRestriction:             "parking:both:restriction",
	keyParkingBothRestrictionConditional:  "parking:both:restriction:conditional",
	keyParkingBothConditional:             "parking:both:conditional",
	keyParkingLaneBoth:                    "parking:lane:both",
	keyParkingLaneBothParallel:            "parking:lane:both:parallel",
	keyParkingLaneBothDiagonal:            "parking:lane:both:diagonal",
	keyParkingLaneBothPerpendicular:       "parking:lane:both:perpendicular",
	keyParkingConditionBoth:               "parking:condition:both",
	keyParkingConditionBothTimeInterval:   "parking:condition:both:time_interval",
	keyParkingConditionBothConditional:    "parking:condition:both:conditional",
	keyCrossing:                           "crossing",
	keyCrossingRef:                        "crossing_ref",
	keyCrossingMarkings:                   "crossing:markings",
	keyCrossingSignals:                    "crossing:signals",
	keyCrossingIsland:                     "crossing:island",
	keyBarrier:                            "barrier",
	keyDirection:                          "direction",
	keyTrafficSignalsDirection:            "traffic_signals:direction",
	keyRailway:                            "railway",
	keyPublicTransport:                    "public_transport",
	keyBus:                                "bus",
	keyAmenity:                            "amenity",
	keyPlace:                              "place",
	keyAddrPostcode:                       "addr:postcode",
	keyAddrHousenumber:                    "addr:housenumber",
	keyAddrStreet:                         "addr:street",
	keyAddrCity:                           "addr:city",
	keyBuilding:                           "building",
	keyBuildingLevels:                     "building:levels",
	keyBuildingFlats:                      "building:flats",
	keyAddrFlats:                          "addr:flats",
	keyHeight:                             "height",
	keyShop:                               "shop",
	keyReligion:                           "religion",
	keyOffice:                             "office",
	keyCraft:                              "craft",
	keyTourism:                            "tourism",
	keyLeisure:                            "leisure",
	keyLanduse:                            "landuse",
	keyParking:                            "parking",
	keyCapacity:                           "capacity",
	keyFee:                                "fee",
	keyMaxheight:                          "maxheight",
	keyEntrance:                           "entrance",
	keyType:                               "type",
	keyRoute:                              "route",
	keyRestriction:                        "restriction",
	keyRestrictionVehicle:                 "restriction:vehicle",
	keyRestrictionMotorVehicle:            "restriction:motor_vehicle",
	keyRestrictionMotorcar:                "restriction:motorcar",
	keyRestrictionConditional:             "restriction:conditional",
	keyRestrictionVehicleConditional:      "restriction:vehicle:conditional",
	keyRestrictionMotorVehicleConditional: "restriction:motor_vehicle:conditional",
	keyRestrictionMotorcarConditional:     "restriction:motorcar:conditional",
	keyExcept:                             "except",
	keyDayOn:                              "day_on",
	keyDayOff:                             "day_off",
	keyHourOn:                             "hour_on",
	keyHourOff:                            "hour_off",
}

var keyByName = func() map[string]key {
	m := make(map[string]key, keyCount)
	for k := keyOther + 1; k < keyCount; k++ {
		m[keyNames[k]] = k
	}
	return m
}()

// String is the key as it stands in the file.
func (k key) String() string { return keyNames[k] }
