package extract

// features reads what stands at a node of a road.
func (o *object) features() Node {
	n := Node{ID: NodeID(o.id)}
	add := func(f Feature) { n.Features |= f }
	switch o.get(keyHighway) {
	case "mini_roundabout":
		add(MiniRoundabout)
	case "turning_circle":
		add(TurningCircle)
	case "turning_loop":
		add(TurningLoop)
	case "traffic_signals":
		add(Signals)
	case "give_way":
		add(GiveWay)
	case "stop":
		add(Stop)
	case "passing_place":
		add(PassingPlace)
	case "motorway_junction":
		add(MotorwayJunction)
	case "bus_stop":
		add(BusStop)
	}
	if o.is(keyPublicTransport, "stop_position") && o.is(keyBus, "yes") {
		add(BusStop)
	}
	if o.is(keyAmenity, "post_box") {
		add(PostBox)
	}
	if o.is(keyRailway, "level_crossing") || o.is(keyRailway, "tram_level_crossing") {
		add(LevelCrossing)
	}
	n.Features |= o.calming()
	n.Features |= o.crossing() | o.barrier()
	for _, k := range [...]key{keyTrafficSignalsDirection, keyDirection} {
		switch o.get(k) {
		case "forward":
			n.Direction = 1
		case "backward":
			n.Direction = -1
		default:
			continue
		}
		break
	}
	return n
}

// calming reads traffic_calming at a node, a list allowed. An island divides
// the road as well.
func (o *object) calming() (f Feature) {
	for part := range list(o.get(keyTrafficCalming)) {
		switch part {
		case "no":
		case "island", "painted_island", "choked_island", "chicane;island":
			f |= Calming | Island
		case "bump", "hump", "table", "cushion", "choker", "chicane", "rumble_strip", "mini_bumps", "dip", "yes",
			"choked_table", "painted_table", "double_dip", "humps", "cushions", "dynamic_bump", "striped", "lateral_shift":
			f |= Calming
		default:
			o.unreadable(keyTrafficCalming)
			f |= Calming // some calming stands there
		}
	}
	return f
}

// signalCrossings are British names of crossings with lights (crossing_ref,
// OpenStreetMap wiki, from memory).
var signalCrossings = map[string]bool{"pelican": true, "puffin": true, "toucan": true, "pegasus": true, "sparrow": true}

// crossing reads a crossing for people on foot.
func (o *object) crossing() (f Feature) {
	kind := o.get(keyCrossing)
	marked := o.get(keyCrossingMarkings)
	if !o.is(keyHighway, "crossing") && (kind == "" || o.has(keyRailway)) || kind == "no" {
		return 0
	}
	ref := o.get(keyCrossingRef)
	switch {
	case kind == "traffic_signals" || o.is(keyCrossingSignals, "yes") || signalCrossings[ref] || signalCrossings[kind]:
		f = CrossingSignals
	case kind == "zebra" || ref == "zebra" || marked == "zebra":
		f = CrossingZebra
	default:
		f = CrossingOther
	}
	if kind == "island" || o.is(keyCrossingIsland, "yes") {
		f |= Island
	}
	return f
}

// barriers a car may pass unless access says no, and those that it may not
// unless access says yes: OpenStreetMap wiki, "Key:barrier", from memory. A
// gate is taken as shut where nothing says (our choice: a circuit that meets a
// shut gate is worse than one that goes round).
var openBarriers = map[string]bool{
	"cattle_grid": true, "toll_booth": true, "kerb": true, "border_control": true, "entrance": true, "height_restrictor": true,
	"checkpoint": true, "arch": true, "no": true, "rumble_strip": true, "traffic_island": true,
}

// barrier reads a barrier at a node: shut or open to a learner's car, 0 where
// there is none.
func (o *object) barrier() Feature {
	kind := o.get(keyBarrier)
	if kind == "" && o.is(keyHighway, "gate") {
		kind = "gate"
	}
	if kind == "" || kind == "no" {
		return 0
	}
	usual := Barred
	if openBarriers[kind] {
		usual = Through
	}
	if use, _ := o.access(plainForm, usual); use == Through {
		return BarrierOpen
	}
	return BarrierShut
}
