package extract

// classWords are the values of highway that make a road or an opening onto
// one. A value under "_link" is the same class, and a link.
var classWords = map[string]Class{
	"motorway": Motorway, "trunk": Trunk, "primary": Primary, "secondary": Secondary, "tertiary": Tertiary,
	"unclassified": Unclassified, "residential": Residential, "living_street": LivingStreet,
	"road": PlainRoad, "service": ServiceRoad, "track": Track, "construction": Construction,
}

var linkWords = map[string]Class{
	"motorway_link": Motorway, "trunk_link": Trunk, "primary_link": Primary, "secondary_link": Secondary, "tertiary_link": Tertiary,
}

func classOf(highway string) (class Class, link, ok bool) {
	if class, ok = classWords[highway]; ok {
		return class, false, true
	}
	class, ok = linkWords[highway]
	return class, ok, ok
}

// surfaceWords groups the values of surface (OpenStreetMap wiki, "Key:surface",
// from memory) by what a tyre and a reversing learner feel.
var surfaceWords = map[string]Surface{
	"asphalt": Smooth, "paved": Smooth, "concrete": Smooth, "concrete:plates": Smooth, "chipseal": Smooth, "tarmac": Smooth, "metal": Smooth, "tiles": Smooth, "rubber": Smooth, "acrylic": Smooth,

	"paving_stones": Setts, "paving_stones:lanes": Setts, "sett": Setts, "cobblestone": Setts, "unhewn_cobblestone": Setts, "cobblestone:flattened": Setts, "bricks": Setts, "brick": Setts, "grass_paver": Setts, "wood": Setts, "metal_grid": Setts, "concrete:lanes": Setts, "stepping_stones": Setts,

	"unpaved": Loose, "compacted": Loose, "fine_gravel": Loose, "gravel": Loose, "pebblestone": Loose, "ground": Loose, "dirt": Loose, "earth": Loose, "grass": Loose, "sand": Loose, "mud": Loose, "clay": Loose, "rock": Loose, "rocks": Loose, "stone": Loose, "shells": Loose, "woodchips": Loose, "snow": Loose, "ice": Loose, "salt": Loose, "dirt/sand": Loose,
}

// surface reads surface; of a list the worst counts.
func (o *object) surface() Surface {
	worst := SurfaceUnknown
	for part := range list(o.get(keySurface)) {
		s, ok := surfaceWords[part]
		if !ok {
			o.unreadable(keySurface)
			return SurfaceUnknown
		}
		worst = max(worst, s)
	}
	return worst
}

var litWords = map[string]Answer{
	"yes": Yes, "24/7": Yes, "automatic": Yes, "limited": Yes, "sunset-sunrise": Yes, "dusk-dawn": Yes, "operating_times": Yes, "interval": Yes,
	"no": No, "disused": No,
	"unknown": NotSaid,
}

// answer reads a key through a table of words.
func (o *object) answer(k key, words map[string]Answer) Answer {
	if !o.has(k) {
		return NotSaid
	}
	a, ok := words[o.get(k)]
	if !ok {
		o.unreadable(k)
	}
	return a
}

var yesNo = map[string]Answer{"yes": Yes, "no": No}

// claim is true for any value but no: bridge=viaduct is a bridge.
func (o *object) claim(k key) bool { return o.has(k) && !o.is(k, "no") }

// sidewalk gives the raw value of sidewalk or sidewalk:both, or puts one
// together from the two sides.
func (o *object) sidewalk() string {
	for _, k := range [...]key{keySidewalk, keySidewalkBoth} {
		if o.has(k) {
			return o.get(k)
		}
	}
	left, right := o.get(keySidewalkLeft), o.get(keySidewalkRight)
	hasLeft, hasRight := left != "" && left != "no", right != "" && right != "no"
	switch {
	case hasLeft && hasRight:
		return "both"
	case hasLeft:
		return "left"
	case hasRight:
		return "right"
	case left == "no" && right == "no":
		return "no"
	}
	return ""
}

// busKeys are the tags that show a lane for buses on the way.
var busKeys = [...]key{keyBusway, keyBuswayLeft, keyBuswayRight, keyBuswayBoth, keyLanesBus, keyLanesPsv,
	keyBusLanes, keyBusLanesForward, keyBusLanesBackward, keyPsvLanes, keyPsvLanesForward, keyPsvLanesBackward}

func (o *object) busLane() bool {
	for _, k := range busKeys {
		if o.claim(k) && !o.is(k, "0") {
			return true
		}
	}
	return false
}
