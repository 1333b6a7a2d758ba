package demotown

import (
	"math/rand/v2"
	"slices"
	"strconv"
)

// What is broken on purpose, as at the edge of any real extract.
const (
	missingWay  = 900001 // a member of a bus route
	missingNode = 900001 // three nodes of the road at the northern rim, from this one
	missing     = 3
)

// wayPart is one way of a road: from and to are places in road.nodes.
type wayPart struct {
	id       int64
	from, to int
}

// drawRoads draws every road as one way or several: where mappers have split
// them, at about one junction in eight.
func (t *town) drawRoads(m *mapped) {
	t.ways = map[*road][]wayPart{}
	random := t.stream("ways")
	broken, repeated := false, false
	for _, r := range t.roads {
		k := t.roadTags(r, random)
		from := 0
		for i := 1; i < len(r.nodes); i++ {
			last := i == len(r.nodes)-1
			if !last && (t.nodes[r.nodes[i]].arms < 3 || random.Float64() > 0.12 || r.ring) {
				continue
			}
			refs := make([]int64, 0, i-from+1)
			for _, id := range r.nodes[from : i+1] {
				refs = append(refs, t.ids[id])
			}
			if !broken && last && r.name == "Harrowmere Road" && t.nodes[r.nodes[i]].at.Y > 3000 {
				for k := range int64(missing) {
					refs = append(refs, missingNode+k)
				}
				broken = true
			}
			if !repeated && r.district.name == terraces && len(refs) > 4 {
				refs = append(refs[:3], append([]int64{refs[2]}, refs[3:]...)...)
				repeated = true
			}
			if r.backward {
				slices.Reverse(refs)
			}
			t.ways[r] = append(t.ways[r], wayPart{m.addWay(refs, t.partTags(r, k, from, i, random)), from, i})
			from = i
		}
	}
}

// roadTags are what mappers say of a whole road.
func (t *town) roadTags(r *road, random *rand.Rand) tags {
	k := tags{"highway": r.class.String()}
	for key, v := range r.tags {
		k[key] = v
	}
	if r.name != "" && !(r.class == residential && random.Float64() < 0.015) {
		k["name"] = r.name
	}
	if ref := roadRefs[r.name]; ref != "" && r.class.major() {
		k["ref"] = ref
	}
	if r.oneWay && !r.ring {
		k["oneway"] = "yes"
	}
	if r.backward {
		k["oneway"] = "-1"
	}
	if r.ring {
		k["junction"] = "roundabout"
	}
	if r.bridge {
		k["bridge"], k["layer"] = "yes", "1"
	}
	if r.dual {
		k["dual_carriageway"], k["lanes"] = "yes", "2"
	}
	if r.private {
		k["access"] = "private"
	}
	if r.lane {
		k["lanes"] = "1"
		if random.Float64() < 0.5 {
			k["width"] = "3"
		}
	}
	if r.class == aisle {
		k["service"] = "parking_aisle"
	}
	return k
}

// partTags adds what mappers say of one way: limits on half, surface on half,
// light on some.
func (t *town) partTags(r *road, whole tags, from, to int, random *rand.Rand) tags {
	k := tags{}
	for key, v := range whole {
		k[key] = v
	}
	if !r.class.public() {
		return k
	}
	t.limitTags(r, k, random)
	if random.Float64() < 0.5 {
		k["surface"] = "asphalt"
	}
	if r.setts && random.Float64() < 0.7 {
		k["surface"] = "sett"
	}
	if r.rough && random.Float64() < 0.8 {
		k["surface"] = "gravel"
	}
	if r.district.name != countryside && random.Float64() < 0.4 {
		k["lit"] = "yes"
	}
	t.widthTags(r, k, from, to, random)
	t.parkingTags(r, k, from, to, random)
	if r.class == residential && random.Float64() < 0.15 {
		k["sidewalk"] = "both"
	}
	if r.class == livingStreet {
		delete(k, "maxspeed")
	}
	if signed := signs[r.name]; signed != "" && (r.class == trunk || r.class == primary) {
		k["destination"] = signed
	}
	return k
}

// limitTags writes the limit in one of the ways that mappers do.
func (t *town) limitTags(r *road, k tags, random *rand.Rand) {
	share := 0.45
	if r.class.major() {
		share = 0.85
	}
	if random.Float64() > share {
		return
	}
	mph := strconv.Itoa(r.limit)
	switch u := random.Float64(); {
	case r.limit == 70:
		k["maxspeed"], k["maxspeed:type"] = "70 mph", "GB:nsl_dual"
	case r.limit == 60 && u < 0.5:
		k["maxspeed"], k["maxspeed:type"] = "60 mph", "GB:nsl_single"
	case r.limit == 60 && u < 0.7:
		k["maxspeed:type"] = "GB:nsl_single"
	case r.limit == 20 && u < 0.25:
		k["maxspeed"], k["maxspeed:type"] = "20 mph", "GB:zone20"
	case u > 0.94:
		k["maxspeed"] = mph + "mph"
	case u > 0.925:
		k["maxspeed"] = mph
	default:
		k["maxspeed"] = mph + " mph"
	}
}

// roadRefs and signs are what the direction signs show. The numbers belong to
// no road that we know of.
var roadRefs = map[string]string{
	"Western By-pass": "A9742", "Northern By-pass": "A9742", "Eastern By-pass": "A9742",
	"Harrowmere Road": "B9748", "Lunderstow Road": "B9749", "Beacon Hill": "B9746", "Pellow Road": "B9746", "Otten Bridge": "B9746", "Bridge Street": "B9746",
	"West Street": "B9747", "High Street": "B9747", "East Street": "B9747",
}

var signs = map[string]string{
	"Western By-pass": "Harrowmere;Lunderstow", "Northern By-pass": "Harrowmere;Wimmerleigh;Saxmoor", "Eastern By-pass": "Lunderstow;Saxmoor",
	"Wimmerleigh Road": "Wimmerleigh", "Saxmoor Road": "Saxmoor",
}
