package extract

import (
	"math"
	"strconv"
	"strings"

	"loopwright/internal/geo"
)

// decimal reads a number as OpenStreetMap writes it: digits and at most one
// point. No sign, no exponent, no comma, nothing after it.
func decimal(s string) (float64, bool) {
	if s == "" || len(s) > 12 {
		return 0, false
	}
	digits := false
	points := 0
	for _, r := range s {
		switch {
		case r >= '0' && r <= '9':
			digits = true
		case r == '.':
			points++
		default:
			return 0, false
		}
	}
	if !digits || points > 1 {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil
}

// splitUnit parts a number from the unit after it, with or without a space.
func splitUnit(s string) (number, unit string) {
	i := strings.IndexFunc(s, func(r rune) bool { return (r < '0' || r > '9') && r != '.' })
	if i < 0 {
		return s, ""
	}
	return s[:i], strings.TrimSpace(s[i:])
}

// Widths outside these are mistakes: no car passes the one, and no carriageway
// is the other. Our choice.
const (
	leastWidth    geo.Metres = 1
	greatestWidth geo.Metres = 60
)

// parseLength reads a length: metres unless a unit follows, or feet and inches
// (OpenStreetMap wiki, "Map features/Units", from memory): "5.5", "5.5 m",
// "18'", "18'6\"", "18 ft", "550 cm".
func parseLength(s string) (geo.Metres, bool) {
	s = strings.TrimSpace(s)
	s = strings.NewReplacer("′", "'", "’", "'", "″", `"`, "”", `"`, "''", `"`).Replace(s)
	if feet, rest, found := strings.Cut(s, "'"); found {
		f, ok := decimal(strings.TrimSpace(feet))
		if !ok {
			return 0, false
		}
		inches := 0.0
		if rest = strings.TrimSpace(rest); rest != "" {
			inches, ok = decimal(strings.TrimSpace(strings.TrimSuffix(rest, `"`)))
			if !ok || inches >= 12 || !strings.HasSuffix(rest, `"`) {
				return 0, false
			}
		}
		return geo.Metres(f+inches/12) * geo.Foot, true
	}
	number, unit := splitUnit(s)
	v, ok := decimal(number)
	if !ok {
		return 0, false
	}
	switch strings.ToLower(unit) {
	case "", "m", "metre", "metres", "meter", "meters":
		return geo.Metres(v), true
	case "cm":
		return geo.Metres(v / 100), true
	case "ft", "feet", "foot":
		return geo.Metres(v) * geo.Foot, true
	}
	return 0, false
}

// width gives the best mapped width that can be read.
func (o *object) width() Width {
	for _, from := range [...]struct {
		k      key
		source WidthSource
	}{{keyWidthCarriageway, WidthCarriageway}, {keyWidth, WidthTag}, {keyEstWidth, WidthEstimate}} {
		if !o.has(from.k) {
			continue
		}
		if w, ok := parseLength(o.get(from.k)); ok && w >= leastWidth && w <= greatestWidth {
			return Width{w, from.source}
		}
		o.unreadable(from.k)
	}
	return Width{}
}

// count reads a whole number from 1 to 20: lanes.
func (o *object) count(k key) int {
	if !o.has(k) {
		return 0
	}
	n, err := strconv.Atoi(o.get(k))
	if err != nil || n < 1 || n > 20 {
		o.unreadable(k)
		return 0
	}
	return n
}

// steepest is a gradient that no public road exceeds, in percent: the steepest
// street known is about 35. Our choice.
const steepest = 45

// incline reads "7%", "-10 %", "1:10", "6°", "up", "down" and "0". A bare
// number could be percent, degrees or a ratio and is not guessed at.
func (o *object) incline() Incline {
	s := o.get(keyIncline)
	switch strings.ToLower(s) {
	case "":
		return Incline{}
	case "up":
		return Incline{Up: true}
	case "down":
		return Incline{Down: true}
	case "0":
		return Incline{Known: true}
	}
	body, sign := s, 1.0
	switch {
	case strings.HasPrefix(body, "-"), strings.HasPrefix(body, "−"):
		body, sign = strings.TrimPrefix(strings.TrimPrefix(body, "-"), "−"), -1
	case strings.HasPrefix(body, "+"):
		body = body[1:]
	}
	percent, ok := 0.0, false
	if rise, run, found := strings.Cut(body, ":"); found {
		a, okA := decimal(strings.TrimSpace(rise))
		b, okB := decimal(strings.TrimSpace(run))
		ok = okA && okB && b > 0
		if ok {
			percent = 100 * a / b
		}
	} else {
		number, unit := splitUnit(strings.TrimSpace(body))
		percent, ok = decimal(number)
		switch unit {
		case "%":
		case "°":
			percent = 100 * math.Tan(percent*math.Pi/180)
		default:
			ok = false
		}
	}
	if !ok || percent > steepest || percent < 0 {
		o.unreadable(keyIncline)
		return Incline{}
	}
	return Incline{Known: true, Percent: sign * percent}
}

// layer reads a whole number from −20 to 20.
func (o *object) layer() int8 {
	if !o.has(keyLayer) {
		return 0
	}
	n, err := strconv.Atoi(o.get(keyLayer))
	if err != nil || n < -20 || n > 20 {
		o.unreadable(keyLayer)
		return 0
	}
	return int8(n)
}
