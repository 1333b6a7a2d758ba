package extract

import "strings"

// Access tags, most general first, each with its forms: OpenStreetMap wiki,
// "Key:access", land-based transportation, from memory. The most specific mode
// that is tagged decides; within a mode a direction beats the plain key.
var accessModes = [...]key{keyAccess, keyVehicle, keyMotorVehicle, keyMotorcar}

// The forms of a mode, as offsets from its key.
const (
	plainForm key = iota
	forwardForm
	backwardForm
	conditionalForm
	forwardConditionalForm
	backwardConditionalForm
)

// useWords is what a value means for a learner's car with an instructor: a
// stranger in a motor car with no errand there. From memory of the same page.
var useWords = map[string]Use{
	"yes": Through, "permissive": Through, "designated": Through, "official": Through, "public": Through, "allowed": Through,

	"destination": Destination, "customers": Destination, "discouraged": Destination,

	"private": Private, "permit": Private, "residents": Private, "employees": Private, "staff": Private,
	"members": Private, "military": Private, "restricted": Private, "limited": Private,

	"no": Barred, "delivery": Barred, "agricultural": Barred, "forestry": Barred, "farm": Barred, "service": Barred,
	"emergency": Barred, "bus": Barred, "psv": Barred, "taxi": Barred, "tourist_bus": Barred, "hgv": Barred,
	"bicycle": Barred, "foot": Barred, "dismount": Barred, "use_sidepath": Barred,

	"unknown": UseUnknown, "variable": UseUnknown,
}

// useOf reads one value. A list is what any of its parts allows, so the most
// liberal part counts; a list with a plain yes or no in it contradicts itself.
func useOf(value string) (use Use, ok bool) {
	if u, ok := useWords[value]; ok {
		return u, true
	}
	if !strings.Contains(value, ";") {
		return UseUnknown, false
	}
	best := Barred
	for part := range strings.SplitSeq(value, ";") {
		part = strings.TrimSpace(part)
		u, ok := useWords[part]
		if !ok || u == UseUnknown || part == "yes" || part == "no" {
			return UseUnknown, false
		}
		best = min(best, u) // Through < Destination < Private < Barred
	}
	return best, true
}

// access gives what the tags say of one direction (forwardForm, backwardForm)
// or of the whole (plainForm): the usual use where nothing is tagged, and the
// raw condition where it depends on one that may bind a car.
func (o *object) access(form key, usual Use) (use Use, conditional string) {
	use = usual
	tagged := -1
	for i := len(accessModes) - 1; i >= 0 && tagged < 0; i-- {
		for _, k := range [...]key{accessModes[i] + form, accessModes[i]} {
			if !o.has(k) {
				continue
			}
			u, ok := useOf(o.get(k))
			if !ok && k == accessModes[i]+form {
				o.unreadable(k)
			}
			use, tagged = u, i
			break
		}
	}
	// A condition on a mode more general than the one tagged does not reach us.
	for i := len(accessModes) - 1; i >= max(tagged, 0); i-- {
		for _, k := range conditionKeys(accessModes[i], form) {
			if o.has(k) {
				return o.underCondition(k, use), o.boundBy(k)
			}
		}
	}
	return use, ""
}

func conditionKeys(mode, form key) []key {
	switch form {
	case forwardForm:
		return []key{mode + forwardConditionalForm, mode + conditionalForm}
	case backwardForm:
		return []key{mode + backwardConditionalForm, mode + conditionalForm}
	}
	return []key{mode + conditionalForm}
}

// underCondition is the use where some of a conditional value may hold for a
// car: unknown if that would be stricter than the use without it.
func (o *object) underCondition(k key, use Use) Use {
	clauses, ok := parseConditional(o.get(k))
	if !ok {
		return UseUnknown
	}
	for _, c := range clauses {
		if !bindsCar(c.condition) {
			continue
		}
		if u, ok := useOf(c.value); !ok || u > use || u == UseUnknown {
			return UseUnknown
		}
	}
	return use
}

// boundBy is the raw condition, or "" where no clause may concern a car.
func (o *object) boundBy(k key) string {
	clauses, ok := parseConditional(o.get(k))
	if !ok {
		return o.get(k)
	}
	for _, c := range clauses {
		if bindsCar(c.condition) {
			return o.get(k)
		}
	}
	return ""
}

// usualUse is what a car may do where no access tag says: the legal usage of
// the class, and for openings who is meant by them (our choice: an untagged
// drive is somebody's, an untagged aisle is for those who park).
func usualUse(class Class, service string) Use {
	switch class {
	case Construction:
		return Barred
	case Track:
		return Private
	case PlainRoad, ClassUnknown:
		return UseUnknown
	case ServiceRoad:
		switch service {
		case "driveway":
			return Private
		case "parking_aisle", "drive-through", "parking":
			return Destination
		case "emergency_access", "bus", "busway":
			return Barred
		}
	}
	return Through
}

// flow is which way traffic may run.
type flow uint8

const (
	bothWays flow = iota
	forwardOnly
	backwardOnly
	changing // reversible: now one way, now the other
)

var flowWords = map[string]flow{
	"yes": forwardOnly, "true": forwardOnly, "1": forwardOnly,
	"-1": backwardOnly, "reverse": backwardOnly,
	"no": bothWays, "false": bothWays, "0": bothWays,
	// A narrow part with signals for each way in turn: a car waits and goes.
	"alternating": bothWays,
	"reversible":  changing,
}

// flow reads the one-way tags, most specific mode first; known is false for
// an unreadable value. Roundabouts and motorways are one-way untold
// (OpenStreetMap wiki, "Key:oneway", from memory); a motorway's slip road is
// taken as one too, since the wrong way would be worse than a way round.
func (o *object) flow(class Class, roundabout bool) (f flow, known bool) {
	for _, k := range [...]key{keyOnewayMotorcar, keyOnewayMotorVehicle, keyOnewayVehicle, keyOneway} {
		if !o.has(k) {
			continue
		}
		if f, ok := flowWords[o.get(k)]; ok {
			return f, true
		}
		o.unreadable(k)
		return changing, false
	}
	if roundabout || class == Motorway {
		return forwardOnly, true
	}
	return bothWays, true
}

// uses gives what a learner's car may do: in all, forward and backward, with
// the condition where one may bind it.
func (o *object) uses(class Class, roundabout bool) (all, forward, backward Use, conditional string) {
	usual := usualUse(class, o.get(keyService))
	all, conditional = o.access(plainForm, usual)
	var cf, cb string
	forward, cf = o.access(forwardForm, usual)
	backward, cb = o.access(backwardForm, usual)
	for _, c := range [...]string{cf, cb} {
		if conditional == "" {
			conditional = c
		}
	}
	f, _ := o.flow(class, roundabout)
	for _, k := range [...]key{keyOnewayMotorcarConditional, keyOnewayMotorVehicleConditional, keyOnewayVehicleConditional, keyOnewayConditional} {
		if !o.has(k) {
			continue
		}
		raw := o.boundBy(k)
		if raw == "" {
			break
		}
		if conditional == "" {
			conditional = raw
		}
		f2, ok := o.flowAtTimes(k)
		switch {
		case !ok || f2 == changing || f2 == backwardOnly && f != backwardOnly || f2 == forwardOnly && f == backwardOnly:
			f = changing
		case f == bothWays: // one-way at times
			backward = unlessBarred(backward)
		}
		break
	}
	switch f {
	case forwardOnly:
		backward = Barred
	case backwardOnly:
		forward = Barred
	case changing:
		forward, backward = unlessBarred(forward), unlessBarred(backward)
	}
	return all, forward, backward, conditional
}

// flowAtTimes is the one flow that a conditional one-way tag names, where all
// its clauses agree.
func (o *object) flowAtTimes(k key) (flow, bool) {
	clauses, ok := parseConditional(o.get(k))
	if !ok {
		return changing, false
	}
	var f flow
	for i, c := range clauses {
		g, ok := flowWords[c.value]
		if !ok || i > 0 && g != f {
			return changing, false
		}
		f = g
	}
	return f, true
}

// unlessBarred is unknown, or barred where it was.
func unlessBarred(u Use) Use {
	if u == Barred {
		return Barred
	}
	return UseUnknown
}
