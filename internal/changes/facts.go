package changes

import (
	"loopwright/internal/country"
	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
)

// facts tells what the newer map says otherwise of a part that both have.
func (c *comparison) facts(now *roadnet.Attributes, old partner, tell func(kind Kind, was, is string)) {
	before := old.piece.Attributes
	forward, back := old.directions()
	was, is := limits(c.p, before, forward, back), limits(c.p, now, 0, 1)
	if was != is {
		tell(Limit, was, is)
	}
	wasWays, isWays := ways(before, forward, back), ways(now, 0, 1)
	if wasWays != isWays && wasWays != none && isWays != none {
		tell(OneWay, wasWays.words(wasWays), isWays.words(wasWays))
	}
	if was, is := kindest(before), kindest(now); was != is {
		tell(Access, useWords[was], useWords[is])
	}
	if before.Calming != now.Calming {
		calmed := [2]string{"", "along the road"}
		tell(Calming, calmed[before.Calming], calmed[now.Calming])
	}
}

// limits are the limits that the map gives, both ways, in words; "" where it
// gives none.
func limits(p *country.Profile, a *roadnet.Attributes, forward, back int) string {
	one, other := limit(p, a, forward), limit(p, a, back)
	switch {
	case !roadnet.Drivable(a.Use[back]) || one == other:
		return one
	case !roadnet.Drivable(a.Use[forward]):
		return other
	}
	said := func(s string) string {
		if s == "" {
			return "not mapped"
		}
		return s
	}
	return said(one) + " one way, " + said(other) + " the other"
}

func limit(p *country.Profile, a *roadnet.Attributes, dir int) string {
	switch a.LimitSource[dir] {
	case extract.LimitUnknown, extract.LimitDefault:
		return ""
	case extract.LimitNone:
		return "no limit"
	case extract.LimitWalk:
		return "walking pace"
	case extract.LimitVariable:
		return "variable, by signs"
	}
	low, high := p.OnSigns(float64(a.LimitLowDkmh[dir])/10), p.OnSigns(float64(a.LimitHighDkmh[dir])/10)
	if low != high {
		return low + " to " + high
	}
	return low
}

// direction is which ways a car may go along a road.
type direction uint8

const (
	none direction = iota
	both
	onward // as the newer road is drawn
	backward
)

// ways are the directions that are driven.
func ways(a *roadnet.Attributes, forward, back int) direction {
	switch f, b := roadnet.Drivable(a.Use[forward]), roadnet.Drivable(a.Use[back]); {
	case f && b:
		return both
	case f:
		return onward
	case b:
		return backward
	}
	return none
}

// words says a direction beside what it was.
func (d direction) words(was direction) string {
	switch {
	case d == none:
		return "no way"
	case d == both:
		return "both ways"
	case was != both && was != d:
		return "one way, the other way round"
	}
	return "one way"
}

// kindest is the better use of both directions: what a car may do there at all.
func kindest(a *roadnet.Attributes) extract.Use {
	if strictness(a.Use[0]) <= strictness(a.Use[1]) {
		return a.Use[0]
	}
	return a.Use[1]
}

// useWords is what a car may do, as one would say it.
var useWords = map[extract.Use]string{
	extract.UseUnknown: "not clear", extract.Through: "everyone", extract.Destination: "only who calls there",
	extract.Private: "private", extract.Barred: "no cars",
}

// strictness orders uses from the freest.
func strictness(u extract.Use) int {
	if u == extract.UseUnknown {
		return int(extract.Destination)*2 + 1 // worse than calling there, better than private
	}
	return int(u) * 2
}
