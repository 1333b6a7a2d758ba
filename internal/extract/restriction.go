package extract

import (
	"cmp"
	"slices"
	"strings"
)

// member is one member of a relation.
type member struct {
	kind ObjectKind
	id   int64
	role string
}

// maxMembers bounds the ways of one restriction: real ones have a handful.
const maxMembers = 64

// restrictionKinds are the movements that a sign bars or commands.
var restrictionKinds = map[string]bool{ // true: only
	"no_left_turn": false, "no_right_turn": false, "no_straight_on": false, "no_u_turn": false, "no_entry": false, "no_exit": false,
	"only_left_turn": true, "only_right_turn": true, "only_straight_on": true, "only_u_turn": true,
}

// carRestrictions are the keys that concern a motor car, most specific first,
// each with its conditional form.
var carRestrictions = [...][2]key{
	{keyRestrictionMotorcar, keyRestrictionMotorcarConditional},
	{keyRestrictionMotorVehicle, keyRestrictionMotorVehicleConditional},
	{keyRestrictionVehicle, keyRestrictionVehicleConditional},
	{keyRestriction, keyRestrictionConditional},
}

// restrictions reads the tags and members of a relation of type restriction:
// mostly one, more where other movements are barred at times, none where
// nothing binds a motor car or it can't be read, which is noted. The via ways
// come as the file has them.
func (o *object) restrictions(members []member) []Restriction {
	for part := range list(o.get(keyExcept)) {
		if part == "motorcar" || part == "motor_vehicle" || part == "vehicle" {
			return nil
		}
	}
	out := o.movements()
	for i := range out {
		out[i].ID = RelationID(o.id)
		if fault := out[i].takeMembers(members); fault != "" {
			o.problem("restriction", fault)
			return nil
		}
	}
	return out
}

// movements reads kinds and conditions from the most specific keys that are
// there. An exemption at times ("none @ Su") is passed over: the movement then
// stays barred at all times, which is never illegal.
func (o *object) movements() (out []Restriction) {
	add := func(k key, kind, condition string) {
		if kind == "none" || kind == "no" {
			return
		}
		only, known := restrictionKinds[kind]
		if !known {
			o.unreadable(k)
			return
		}
		out = append(out, Restriction{Kind: kind, Only: only, Conditional: condition})
	}
	for _, keys := range carRestrictions {
		plain, conditional := keys[0], keys[1]
		if o.has(plain) {
			for kind := range list(o.get(plain)) {
				add(plain, kind, o.oldHours())
			}
		}
		if raw := o.get(conditional); raw != "" {
			clauses, ok := parseConditional(raw)
			if !ok { // the movement is named even where its times can't be read
				kind, _, _ := strings.Cut(raw, "@")
				clauses = []clause{{strings.TrimSpace(kind), raw}}
			}
			for _, c := range clauses {
				if bindsCar(c.condition) {
					add(conditional, c.value, c.condition)
				}
			}
		}
		if o.has(plain) || o.has(conditional) {
			break
		}
	}
	return out
}

// oldHours gives the condition of the scheme before conditional values, in one
// raw string; "" for none.
func (o *object) oldHours() string {
	var parts []string
	for _, k := range [...]key{keyDayOn, keyDayOff, keyHourOn, keyHourOff} {
		if o.has(k) {
			parts = append(parts, k.String()+"="+o.get(k))
		}
	}
	return strings.Join(parts, " ")
}

// takeMembers sorts the members into their roles; it says what is wrong.
func (r *Restriction) takeMembers(members []member) string {
	viaNodes := 0
	for _, m := range members {
		switch {
		case m.role == "from" && m.kind == AWay:
			r.From = append(r.From, WayID(m.id))
		case m.role == "to" && m.kind == AWay:
			r.To = append(r.To, WayID(m.id))
		case m.role == "via" && m.kind == AWay:
			r.Via = append(r.Via, WayID(m.id))
		case m.role == "via" && m.kind == ANode:
			r.ViaNode = NodeID(m.id)
			viaNodes++
		}
	}
	switch {
	case len(r.From) == 0:
		return "(no from way)"
	case len(r.To) == 0:
		return "(no to way)"
	case len(r.Via) == 0 && viaNodes == 0:
		return "(no via)"
	case viaNodes > 1 || viaNodes > 0 && len(r.Via) > 0:
		return "(several via nodes)"
	case len(r.From)+len(r.Via)+len(r.To) > maxMembers:
		return "(too many members)"
	}
	return ""
}

// roadParts finds the parts of a way among roads sorted by id and part.
func roadParts(roads []*Road, id WayID) []*Road {
	i, _ := slices.BinarySearchFunc(roads, id, func(r *Road, id WayID) int { return cmp.Compare(r.ID, id) })
	j := i
	for j < len(roads) && roads[j].ID == id {
		j++
	}
	return roads[i:j]
}

// settle keeps the restrictions that can act on the roads and puts their via
// ways in order. One whose from way is not here acts on nobody; one that bars
// the way to a road that is not here bars nothing.
func settle(restrictions []Restriction, roads []*Road, report *problems) []Restriction {
	out := restrictions[:0]
	for _, r := range restrictions {
		here := func(id WayID) bool { return len(roadParts(roads, id)) > 0 }
		r.From = slices.DeleteFunc(r.From, func(id WayID) bool { return !here(id) })
		if !r.Only {
			r.To = slices.DeleteFunc(r.To, func(id WayID) bool { return !here(id) })
		}
		if len(r.From) == 0 || len(r.To) == 0 {
			continue
		}
		if !slices.ContainsFunc(r.Via, func(id WayID) bool { return !here(id) }) {
			if fault := r.connect(roads); fault != "" {
				report.add([]problem{{"restriction", fault, ARelation, int64(r.ID)}})
				continue
			}
		} else if !r.Only {
			continue
		}
		out = append(out, r)
	}
	return out
}

// tooMany: only an entry may be barred from several ways, and an exit to
// several. For a command (only) several are a contradiction; a ban is one for
// each pair.
func (r *Restriction) tooMany() string {
	switch {
	case len(r.From) > 1 && (r.Only || len(r.Via) > 0):
		return "(several from ways)"
	case len(r.To) > 1 && (r.Only || len(r.Via) > 0):
		return "(several to ways)"
	}
	return ""
}

// connect orders the via ways so that each touches the next, the first touches
// from and the last touches to. With a via node it drops the from and to ways
// that do not reach it: they are the far pieces of a way that was split. It
// says what is wrong.
func (r *Restriction) connect(roads []*Road) string {
	if r.ViaNode != 0 {
		away := func(id WayID) bool { parts := roadParts(roads, id); return len(parts) > 0 && !passes(parts, r.ViaNode) }
		r.From, r.To = slices.DeleteFunc(r.From, away), slices.DeleteFunc(r.To, away)
		switch {
		case len(r.From) == 0:
			return "(from does not reach the via node)"
		case len(r.To) == 0:
			return "(to does not leave the via node)"
		}
		return r.tooMany()
	}
	if fault := r.tooMany(); fault != "" {
		return fault
	}
	c := chain{roads: roads, all: r.Via, to: roadParts(roads, r.To[0])}
	from := roadParts(roads, r.From[0])
	for _, first := range r.Via {
		ends := wayEnds(roads, first)
		for i, end := range ends {
			if passes(from, end) && c.extend(first, ends[1-i]) {
				r.Via = c.ways
				return ""
			}
		}
	}
	return "(the via ways do not connect)"
}

// chain is a depth-first search for the order of via ways.
type chain struct {
	roads []*Road
	all   []WayID
	to    []*Road
	ways  []WayID // so far
	steps int
}

// maxSteps ends the search among ways that all touch each other, as no real
// restriction has them.
const maxSteps = 10000

// extend adds a way, after which the chain ends at a node, and goes on until
// all are in it and it touches to.
func (c *chain) extend(way WayID, at NodeID) bool {
	if c.steps++; c.steps > maxSteps {
		return false
	}
	c.ways = append(c.ways, way)
	if len(c.ways) == len(c.all) && (len(c.to) == 0 || passes(c.to, at)) {
		return true
	}
	for _, next := range c.all {
		if slices.Contains(c.ways, next) {
			continue
		}
		ends := wayEnds(c.roads, next)
		for i, end := range ends {
			if end == at && c.extend(next, ends[1-i]) {
				return true
			}
		}
	}
	c.ways = c.ways[:len(c.ways)-1]
	return false
}

// wayEnds are the first and last node of a way.
func wayEnds(roads []*Road, id WayID) [2]NodeID {
	parts := roadParts(roads, id)
	last := parts[len(parts)-1].Nodes
	return [2]NodeID{parts[0].Nodes[0], last[len(last)-1]}
}

func passes(parts []*Road, node NodeID) bool {
	for _, p := range parts {
		if slices.Contains(p.Nodes, node) {
			return true
		}
	}
	return false
}
