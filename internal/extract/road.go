package extract

import (
	"iter"
	"strings"

	"loopwright/internal/country"
)

// draft is a road that still lacks what its nodes' positions decide.
type draft struct {
	Road
	borders [2]bool // forward, backward: the limit changes beyond a border
}

// list gives the parts of a value between semicolons; none of an empty one.
func list(value string) iter.Seq[string] {
	return func(yield func(string) bool) {
		if value == "" {
			return
		}
		for part := range strings.SplitSeq(value, ";") {
			if !yield(strings.TrimSpace(part)) {
				return
			}
		}
	}
}

// road reads the facts of a way whose highway is one that we want.
func (o *object) road(class Class, link bool, nodes []NodeID, p *country.Profile) *draft {
	r := &draft{Road: Road{
		ID: WayID(o.id), Nodes: nodes,
		Class: class, Link: link,
		Name: o.get(keyName), Ref: o.get(keyRef),
		Roundabout: o.is(keyJunction, "roundabout") || o.is(keyJunction, "circular"),
		Lanes:      o.count(keyLanes), LanesForward: o.count(keyLanesForward), LanesBackward: o.count(keyLanesBackward),
		Width:   o.width(),
		Surface: o.surface(), Smoothness: o.get(keySmoothness),
		Incline: o.incline(),
		Lit:     o.answer(keyLit, litWords),
		Bridge:  o.claim(keyBridge), Tunnel: o.claim(keyTunnel) && !o.is(keyTunnel, "culvert"), Ford: o.claim(keyFord),
		Layer:        o.layer(),
		Sidewalk:     o.sidewalk(),
		LivingStreet: class == LivingStreet || o.is(keyLivingStreet, "yes"),
		DualTag:      o.answer(keyDualCarriageway, yesNo),
		Parking:      o.parking(),
		Busway:       o.busLane(),
		Area:         o.is(keyArea, "yes"),
	}}
	if class == ServiceRoad {
		r.Service = o.get(keyService)
	}
	if o.claim(keyTrafficCalming) {
		r.Calming = o.get(keyTrafficCalming)
	}
	r.Use, r.UseForward, r.UseBackward, r.ConditionalAccess = o.uses(class, r.Roundabout)
	limits := limitReader{o: o, p: p, class: class, link: link, lit: r.Lit, dual: r.DualTag,
		oneWay: r.UseForward == Barred || r.UseBackward == Barred}
	r.LimitForward, r.borders[0] = limits.limit(forwardForm)
	r.LimitBackward, r.borders[1] = limits.limit(backwardForm)
	return r
}
