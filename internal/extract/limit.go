package extract

import (
	"strings"

	"github.com/paulmach/orb"

	"loopwright/internal/country"
	"loopwright/internal/geo"
)

// Limits that a tag may stand for; outside it is a mistake. Our choice: a
// walking pace, and more than any sign shows.
const (
	leastLimit    = 3 * geo.KilometrePerHour
	greatestLimit = 150 * geo.KilometrePerHour
)

// walkingPace stands for maxspeed=walk where the profile names no limit for a
// living street: German courts read "Schrittgeschwindigkeit" as 4 to 7 km/h
// and more; 7 is our choice.
const walkingPace = 7 * geo.KilometrePerHour

// limitReader reads the limits of one road.
type limitReader struct {
	o       *object
	p       *country.Profile
	class   Class
	link    bool
	oneWay  bool
	lit     Answer
	dual    Answer
	borders bool // out: a built-up default decided a bound
}

// parseSpeed reads a number: km/h unless a unit follows (OpenStreetMap wiki,
// "Key:maxspeed"): "50", "30 mph", "30mph", "50 km/h".
func parseSpeed(s string) (geo.MetresPerSecond, bool) {
	number, unit := splitUnit(strings.TrimSpace(s))
	v, ok := decimal(number)
	if !ok {
		return 0, false
	}
	speed := geo.MetresPerSecond(v)
	switch strings.ToLower(unit) {
	case "", "km/h", "kmh", "kph", "kmph":
		speed *= geo.KilometrePerHour
	case "mph":
		speed *= geo.MilePerHour
	default:
		return 0, false
	}
	return speed, speed >= leastLimit && speed <= greatestLimit
}

func known(v geo.MetresPerSecond, source LimitSource) Limit {
	if v == 0 {
		return Limit{}
	}
	return Limit{v, v, source}
}

// named is a limit with whether the profile's table has it.
func named(l Limit) (Limit, bool) { return l, l.Source != LimitUnknown }

// between is an interval of two defaults; nothing where one is not in the table.
func between(a, b geo.MetresPerSecond, source LimitSource) Limit {
	if a == 0 || b == 0 {
		return Limit{}
	}
	return Limit{min(a, b), max(a, b), source}
}

// word reads a value that names a limit rather than giving it: none, walk,
// signals, or a zone or type of the country. ok is false where it means
// nothing here.
func (r *limitReader) word(value string) (l Limit, ok bool) {
	d := &r.p.Defaults
	switch value {
	case "none":
		return Limit{d.Motorway, d.Motorway, LimitNone}, true
	case "walk":
		v := d.LivingStreet
		if v == 0 {
			v = walkingPace
		}
		return Limit{v, v, LimitWalk}, true
	case "signals", "variable":
		return Limit{Source: LimitVariable}, true
	case "national", "nsl":
		return named(r.rural(LimitZone))
	}
	code, kind, found := strings.Cut(value, ":")
	if !found {
		return Limit{}, false
	}
	_, kindIsSpeed := parseSpeed(kind)
	own := strings.EqualFold(code, r.p.Code)
	if v, listed := r.p.LimitTags[value]; listed {
		if kind == "nsl_restricted" || kind == "urban" {
			r.borders = true
		}
		return named(known(v, LimitZone))
	}
	switch kind {
	case "nsl_restricted", "urban":
		if own {
			r.borders = true
			return named(known(d.BuiltUp, LimitZone))
		}
	case "nsl_single", "rural":
		if own {
			return named(known(d.RuralSingle, LimitZone))
		}
	case "nsl_dual":
		if own {
			return named(known(d.RuralDual, LimitZone))
		}
	case "motorway":
		if own {
			return named(known(d.Motorway, LimitZone))
		}
	case "living_street":
		if own {
			return named(known(d.LivingStreet, LimitZone))
		}
	}
	// GB:zone20, DE:zone:30, DE:zone30, DE:30.
	number := strings.TrimPrefix(strings.TrimPrefix(kind, "zone"), ":")
	if v, isNumber := decimal(number); isNumber && (kindIsSpeed || number != kind) {
		unit := geo.KilometrePerHour
		if code == "GB" || code == "US" || own && r.p.SignsInMph {
			unit = geo.MilePerHour
		}
		if speed := geo.MetresPerSecond(v) * unit; speed >= leastLimit && speed <= greatestLimit {
			return named(known(speed, LimitZone))
		}
	}
	return Limit{}, false
}

// limit reads one direction's limit: signs first, then types and zones, then
// the country's default for the kind of road.
func (r *limitReader) limit(form key) (l Limit, borders bool) {
	r.borders = false
	o := r.o
	l = r.tagged(form)
	if l.Source == LimitUnknown {
		l = r.typed(form)
	}
	if l.Source == LimitUnknown && !o.has(keyMaxspeed) && !o.has(keyMaxspeed+form) {
		l = r.usual()
	}
	return r.atTimes(l, form), r.borders
}

// unreadable notes a value once per way: what holds both ways is read twice.
func (r *limitReader) unreadable(k, form key) {
	plain := k == keyMaxspeed || k == keyMaxspeedConditional || k == keyMaxspeedType || k == keySourceMaxspeed || k == keyZoneMaxspeed || k == keyZoneTraffic
	if !plain || form == forwardForm {
		r.o.unreadable(k)
	}
}

// tagged reads maxspeed:<direction>, else maxspeed.
func (r *limitReader) tagged(form key) Limit {
	for _, k := range [...]key{keyMaxspeed + form, keyMaxspeed} {
		value := r.o.get(k)
		if value == "" {
			continue
		}
		if v, ok := parseSpeed(value); ok {
			return known(v, LimitMapped)
		}
		if l, ok := r.word(value); ok {
			return l
		}
		r.unreadable(k, form)
		return Limit{}
	}
	return Limit{}
}

// typed reads the tags that say why a limit holds. They hold much that is no
// limit ("sign", "survey"): only what looks like one is reported unread.
func (r *limitReader) typed(form key) Limit {
	for _, k := range [...]key{keyMaxspeedType + form, keyMaxspeedType, keyZoneMaxspeed, keySourceMaxspeed + form, keySourceMaxspeed, keyZoneTraffic} {
		value := r.o.get(k)
		if value == "" {
			continue
		}
		if l, ok := r.word(value); ok {
			return l
		}
		if v, ok := parseSpeed(value); ok && k == keyZoneMaxspeed {
			return known(v, LimitZone)
		}
		if looksTyped(value) {
			r.unreadable(k, form)
		}
	}
	return Limit{}
}

// looksTyped: two capitals and a colon, as in "GB:nsl_single".
func looksTyped(s string) bool {
	return len(s) > 3 && s[2] == ':' && s[0] >= 'A' && s[0] <= 'Z' && s[1] >= 'A' && s[1] <= 'Z'
}

// rural is the limit outside built-up areas: the higher of two where the map
// does not say whether the road is one half of a dual carriageway.
func (r *limitReader) rural(source LimitSource) Limit {
	d := &r.p.Defaults
	switch {
	case r.class == Motorway && !r.link:
		return known(d.Motorway, source)
	case r.dual == Yes:
		return known(d.RuralDual, source)
	case r.dual == No || !r.oneWay:
		return known(d.RuralSingle, source)
	}
	return between(d.RuralSingle, d.RuralDual, source)
}

// usual is the country's default: what the law says of a road with no sign.
// Where the map does not show whether the road is built-up, it is an interval
// from the one default to the other, never a guess.
func (r *limitReader) usual() Limit {
	d := &r.p.Defaults
	builtUp := known(d.BuiltUp, LimitDefault)
	rural := r.rural(LimitDefault)
	either := Limit{}
	if builtUp.Source != LimitUnknown && rural.Source != LimitUnknown {
		either = Limit{min(builtUp.Low, rural.Low), max(builtUp.High, rural.High), LimitDefault}
	}
	switch r.class {
	case Motorway:
		if r.link {
			return between(d.RuralSingle, d.Motorway, LimitDefault)
		}
		return rural
	case LivingStreet:
		if d.LivingStreet != 0 {
			return known(d.LivingStreet, LimitDefault)
		}
		r.borders = true
		return builtUp
	case Residential:
		r.borders = true
		if r.lit == No && d.StreetLightsDecide {
			return either // homes say the one, the law the other
		}
		return builtUp
	case Trunk, Primary, Secondary, Tertiary, Unclassified, PlainRoad:
		switch {
		case r.lit == Yes:
			r.borders = true
			return builtUp
		case r.lit == No && d.StreetLightsDecide:
			return rural
		}
		r.borders = true
		return either
	}
	return Limit{} // private land and tracks: no law says
}

// atTimes widens a limit by those that hold at times only.
func (r *limitReader) atTimes(l Limit, form key) Limit {
	k := keyMaxspeedConditional + form
	if !r.o.has(k) {
		k = keyMaxspeedConditional
	}
	if !r.o.has(k) || l.Low == 0 {
		return l
	}
	unreadable := func() Limit {
		r.unreadable(k, form)
		return l
	}
	clauses, ok := parseConditional(r.o.get(k))
	if !ok {
		return unreadable()
	}
	for _, c := range clauses {
		if !bindsCar(c.condition) {
			continue
		}
		v, ok := parseSpeed(c.value)
		if !ok {
			if w, isWord := r.word(c.value); isWord && w.Low != 0 {
				v, ok = w.Low, true
			}
		}
		if !ok {
			return unreadable()
		}
		l.Low, l.High = min(l.Low, v), max(l.High, v)
	}
	return l
}

// acrossBorder widens a limit that a built-up default decided by the default
// beyond a border that may run there.
func acrossBorder(l Limit, at orb.Point, p *country.Profile) Limit {
	for _, b := range p.Defaults.Borders {
		if l.Low != 0 && at.Lon() >= b.West && at.Lon() <= b.East && at.Lat() >= b.South && at.Lat() <= b.North {
			l.Low, l.High = min(l.Low, b.Other), max(l.High, b.Other)
		}
	}
	return l
}
