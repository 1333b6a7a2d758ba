package notes

import (
	"math"
	"time"

	"loopwright/internal/calendar"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// When is the time that a question is about.
type When struct {
	Day  calendar.Date // zero: not known, so nothing rests
	Hour time.Time     // of that day, on the clock of the place; zero: not known
}

// combined gathers readings by the inverse of their variances.
type combined struct {
	weight, sum, squares float64
	n                    int
}

func (c *combined) add(mean, sd float64) {
	w := 1 / (sd * sd)
	c.weight += w
	c.sum += w * mean
	c.squares += w * mean * mean
	c.n++
}

// result is the weighted mean and its standard deviation. Readings that lie
// further apart than their own spreads allow widen it, by the ratio of Birge,
// "The Calculation of Errors by the Method of Least Squares", 1932.
func (c *combined) result() (mean, sd float64, ok bool) {
	if c.n == 0 {
		return 0, 0, false
	}
	mean, sd = c.sum/c.weight, math.Sqrt(1/c.weight)
	if c.n > 1 {
		chi2 := c.squares - c.sum*mean
		sd *= math.Sqrt(max(1, chi2/float64(c.n-1)))
	}
	return mean, sd, true
}

// Width is the width between the kerbs at a window, as measured near by. A
// measurement counts less the further off it was made.
func (h Here) Width(from, to geo.Metres) (mean, sd float64, ok bool) {
	var c combined
	for i := range h.placed {
		p := &h.placed[i]
		if p.Kind != Width {
			continue
		}
		t := h.view.table
		off := p.off(from, to)
		if off > t.WidthReach {
			continue
		}
		c.add(float64(p.Metres), math.Hypot(t.spread(p.Method, p.Metres), t.WidthDrift*off/100))
	}
	return c.result()
}

// Gradient is the slope in per cent, as felt near by.
func (h Here) Gradient(from, to geo.Metres) (mean, sd float64, ok bool) {
	var c combined
	for i := range h.placed {
		p := &h.placed[i]
		if p.Kind != Gradient || !h.felt(p, from, to) {
			continue
		}
		switch t := h.view.table; p.Word {
		case Level:
			c.add(t.Level, t.LevelSpread)
		case Gentle:
			c.add(t.Gentle, t.GentleSpread)
		case Steep:
			c.add(t.Steep, t.SteepSpread)
		}
	}
	return c.result()
}

// Sight is how far one sees in metres, the least that was noted near by.
func (h Here) Sight(from, to geo.Metres) (mean, sd float64, ok bool) {
	mean = math.Inf(1)
	for i := range h.placed {
		p := &h.placed[i]
		if p.Kind != Sight || !h.felt(p, from, to) {
			continue
		}
		t := h.view.table
		m, spread := t.Blocked, t.BlockedSpread
		if p.Metres > 0 {
			m, spread = float64(p.Metres), t.SightShare*float64(p.Metres)
		}
		if m < mean {
			mean, sd, ok = m, spread, true
		}
	}
	return mean, sd, ok
}

// Surface is the word of the latest note near by.
func (h Here) Surface(from, to geo.Metres) (Word, bool) {
	var last *Placed
	for i := range h.placed {
		p := &h.placed[i]
		if p.Kind == Surface && p.Word != WordUnknown && h.felt(p, from, to) && (last == nil || p.later(last)) {
			last = p
		}
	}
	if last == nil {
		return WordUnknown, false
	}
	return last.Word, true
}

// Barred says whether a restriction was seen at a window's kerb.
func (h Here) Barred(w Word, side roadnet.Side, from, to geo.Metres, when When) bool {
	for i := range h.placed {
		p := &h.placed[i]
		if p.Kind == Restriction && p.Word == w && (side == roadnet.Both || p.Side == side) && h.felt(p, from, to) && h.then(p, when) {
			return true
		}
	}
	return false
}

// felt says whether what is seen or felt at a note still holds at a window.
func (h Here) felt(p *Placed, from, to geo.Metres) bool {
	return p.off(from, to) <= h.view.table.FeltReach
}

// then says whether a note's days and hours hold; where the hour is not known
// its days decide.
func (h Here) then(p *Placed, when When) bool {
	var never calendar.Date
	if when.Day != never && (p.From != never && when.Day.Before(p.From) || p.Until != never && p.Until.Before(when.Day)) {
		return false
	}
	return p.Hours == "" || when.Hour.IsZero() || h.view.during(p, when.Hour, when.Hour.Add(time.Hour))
}

// later says whether p was noted on a later day or, on the same, is the greater
// revision.
func (p *Placed) later(q *Placed) bool {
	if p.Day != q.Day {
		return q.Day.Before(p.Day)
	}
	return p.After(&q.Note)
}

// Cars is what notes say of parked cars: how much each word weighs, and what
// the map weighs beside them. A note of the same hour and weekday and of today
// weighs 1.
type Cars struct {
	None, Few, OneSide, BothSides, Map float64
}

// Parked weighs the notes of parked cars near a window by how like their hour
// and weekday are to the one asked about, and by their age.
func (h Here) Parked(from, to geo.Metres, when When) (c Cars, ok bool) {
	for i := range h.placed {
		p := &h.placed[i]
		if p.Kind != Parked || p.off(from, to) > h.view.table.ParkedReach {
			continue
		}
		w := h.view.table.likeness(&p.Note, when)
		switch p.Word {
		case ParkedNone:
			c.None += w
		case ParkedFew:
			c.Few += w
		case ParkedOneSide:
			c.OneSide += w
		case ParkedBothSides:
			c.BothSides += w
		default:
			continue
		}
		c.Map, ok = h.view.table.ParkedMap, true
	}
	return c, ok
}

// likeness is how much a note tells of a time, 0 to 1.
func (t *table) likeness(n *Note, when When) float64 {
	age := t.fading(n, when, t.ParkedHalfLife)
	if n.Minute < 0 || when.Hour.IsZero() {
		return t.ParkedNoTime * age
	}
	apart := math.Abs(float64(n.Minute)/60 - float64(when.Hour.Hour()) - float64(when.Hour.Minute())/60)
	apart = min(apart, 24-apart)
	hours := math.Exp(-apart * apart / (2 * t.ParkedHours * t.ParkedHours))
	a, b := n.Day.Weekday(), when.Hour.Weekday()
	day := t.ParkedOther
	switch {
	case a == b:
		day = 1
	case weekend(a) && weekend(b):
		day = t.ParkedWeekend
	case !weekend(a) && !weekend(b):
		day = t.ParkedWeekday
	}
	return hours * day * age
}

func weekend(d time.Weekday) bool { return d == time.Saturday || d == time.Sunday }

// fading halves with the age of a note.
func (t *table) fading(n *Note, when When, halfLife float64) float64 {
	if when.Day == (calendar.Date{}) {
		return 1
	}
	return math.Exp2(-max(0, daysBetween(n.Day, when.Day)) / halfLife)
}

// daysBetween is how many days b is after a.
func daysBetween(a, b calendar.Date) float64 {
	day := func(d calendar.Date) time.Time { return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC) }
	return math.Round(day(b).Sub(day(a)).Hours() / 24)
}

// BySight is what instructors say of a window for an exercise: the share of
// their notes that say it suits, newer ones weighing more.
func (h Here) BySight(exercise string, from, to geo.Metres, when When) (share float64, ok bool) {
	var yes, all float64
	for i := range h.placed {
		p := &h.placed[i]
		if p.Kind != Suits || p.Exercise != exercise || !h.felt(p, from, to) {
			continue
		}
		w := h.view.table.fading(&p.Note, when, h.view.table.SuitsHalfLife)
		all += w
		if p.Word == Yes {
			yes += w
		}
	}
	if all == 0 {
		return 0, false
	}
	return yes / all, true
}
