package notes

import (
	"math"
	"slices"
	"time"

	"loopwright/internal/calendar"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// When is the time that a question is about.
type When struct {
	Day  calendar.Date // zero: not known, so that only what holds for good rests
	Hour time.Time     // of that day, on the clock of the place; zero: not known
}

// Here is what is noted of one stretch, at the time asked about. Distances are
// along the stretch; a window goes from one to another.
type Here struct {
	moment    *Moment
	spots     []spot
	elsewhere []int32             // Complaint and Never elsewhere on the same road, into the view's spots
	from      [kindCount + 1]int  // where each kind begins in placed
	unpacked  [kindCount + 1]bool // by kind; the last of all is elsewhere
	placed    []Placed            // by kind, then along the stretch
	road      []Placed            // of elsewhere
}

// None says whether nothing is noted.
func (h *Here) None() bool { return len(h.spots) == 0 && len(h.elsewhere) == 0 }

// Has says whether a note of a kind lies on the stretch.
func (h *Here) Has(k Kind) bool { return h.from[k] < h.from[k+1] }

// Notes are those on the stretch itself, by kind and along it.
func (h *Here) Notes() []Placed {
	for k := range kindCount {
		h.Of(k)
	}
	return h.placed
}

// Road are the complaints, and the places never to use again, elsewhere on the
// same road.
func (h *Here) Road() []Placed {
	if !h.unpacked[kindCount] {
		h.unpacked[kindCount] = true
		h.road = slices.Grow(h.road, len(h.elsewhere))[:len(h.elsewhere)]
		for to, i := range h.elsewhere {
			h.moment.place(&h.road[to], &h.moment.view.spots[i])
		}
	}
	return h.road
}

// Of are the notes of one kind on the stretch, along it.
func (h *Here) Of(k Kind) []Placed {
	of := h.placed[h.from[k]:h.from[k+1]]
	if !h.unpacked[k] {
		h.unpacked[k] = true
		to := 0
		for i := range h.spots {
			if h.spots[i].kind == k {
				h.moment.place(&of[to], &h.spots[i])
				to++
			}
		}
	}
	return of
}

// table is what the notes are worth.
func (h *Here) table() *table { return h.moment.view.table }

// away is how far a note lies from a window, in metres.
func (p *Placed) away(from, to geo.Metres) float64 {
	return float64(max(0, from-p.Along, p.Along-to))
}

// Width is the width between the kerbs at a window, as measured near by. A
// measurement counts less the further off it was made.
func (h *Here) Width(from, to geo.Metres) (mean, sd float64, ok bool) {
	var c combined
	all := h.Of(Width)
	for i := range all {
		p, t := &all[i], h.table()
		if away := p.away(from, to); away <= t.WidthReach {
			drift := t.WidthDrift * away / 100
			c.add(float64(p.Metres), p.weight+drift*drift)
		}
	}
	return c.result()
}

// Gradient is the slope in per cent, as felt near by: up or down is not said.
func (h *Here) Gradient(from, to geo.Metres) (mean, sd float64, ok bool) {
	var c combined
	all := h.Of(Gradient)
	for i := range all {
		p, t := &all[i], h.table()
		if p.away(from, to) > t.FeltReach {
			continue
		}
		switch p.Word {
		case Level:
			c.add(t.Level, t.LevelSpread*t.LevelSpread)
		case Gentle:
			c.add(t.Gentle, t.GentleSpread*t.GentleSpread)
		case Steep:
			c.add(t.Steep, t.SteepSpread*t.SteepSpread)
		}
	}
	return c.result()
}

// Sight is how far one sees in metres, the least that was noted near by.
func (h *Here) Sight(from, to geo.Metres) (mean, sd float64, ok bool) {
	mean = math.Inf(1)
	all := h.Of(Sight)
	for i := range all {
		p, t := &all[i], h.table()
		if p.away(from, to) > t.FeltReach {
			continue
		}
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
func (h *Here) Surface(from, to geo.Metres) (Word, bool) {
	var last *Placed
	all := h.Of(Surface)
	for i := range all {
		p := &all[i]
		if p.Word != WordUnknown && p.away(from, to) <= h.table().FeltReach && (last == nil || p.later(last)) {
			last = p
		}
	}
	if last == nil {
		return WordUnknown, false
	}
	return last.Word, true
}

// Traffic is the word of the note, anywhere on the stretch, whose hour and
// weekday are most like those asked about; none where none is like them.
func (h *Here) Traffic() (Word, bool) {
	var best *Placed
	all := h.Of(Traffic)
	for i := range all {
		p := &all[i]
		if p.Word != WordUnknown && p.weight >= h.table().ParkedNoTime/2 && (best == nil || p.weight > best.weight || p.weight == best.weight && p.later(best)) {
			best = p
		}
	}
	if best == nil {
		return WordUnknown, false
	}
	return best.Word, true
}

// Barred says whether a restriction was seen near a window, at its kerb; Both
// takes either kerb.
func (h *Here) Barred(w Word, side roadnet.Side, from, to geo.Metres) bool {
	all := h.Of(Restriction)
	for i := range all {
		p := &all[i]
		if p.Word == w && !p.off && (side == roadnet.Both || p.Side == side) && p.away(from, to) <= h.table().FeltReach {
			return true
		}
	}
	return false
}

// Cars is what notes say of parked cars: how much each word weighs, and what
// the map weighs beside them. A note of the same hour and weekday and of today
// weighs 1.
type Cars struct {
	None, Few, OneSide, BothSides, Map float64
}

// Parked weighs the notes of parked cars near a window by how like their hour
// and weekday are to the one asked about, and by their age.
func (h *Here) Parked(from, to geo.Metres) (c Cars, ok bool) {
	all := h.Of(Parked)
	for i := range all {
		p := &all[i]
		if p.away(from, to) > h.table().ParkedReach {
			continue
		}
		switch p.Word {
		case ParkedNone:
			c.None += p.weight
		case ParkedFew:
			c.Few += p.weight
		case ParkedOneSide:
			c.OneSide += p.weight
		case ParkedBothSides:
			c.BothSides += p.weight
		default:
			continue
		}
		c.Map, ok = h.table().ParkedMap, true
	}
	return c, ok
}

// BySight is the chance that a single thing about a window is as an exercise
// asks, as far as instructors say who were there: the share of their notes that
// say it suits, newer ones weighing more, and they may be wrong.
func (h *Here) BySight(exercise string, from, to geo.Metres) (chance float64, ok bool) {
	var yes, sum float64
	all := h.Of(Suits)
	for i := range all {
		p := &all[i]
		if p.Exercise != exercise || p.away(from, to) > h.table().FeltReach {
			continue
		}
		sum += p.weight
		if p.Word == Yes {
			yes += p.weight
		}
	}
	if sum == 0 {
		return 0, false
	}
	return h.table().SuitsSure * yes / sum, true
}

// combined gathers readings by the inverse of their variances.
type combined struct {
	weight, sum, squares float64
	n                    int
}

func (c *combined) add(mean, variance float64) {
	w := 1 / variance
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
