package desk

import (
	"sync"
	"time"

	"loopwright/internal/assess"
	"loopwright/internal/calendar"
	"loopwright/internal/roadnet"
)

// seen remembers what scanning found, for views that overlap. Desks of one
// network share it.
type seen struct {
	mu     sync.Mutex
	places map[seenKey][]assess.Place
}

type seenKey struct {
	exercise string
	stretch  roadnet.StretchID
	heeds    int // the notes that it was found with
	day      calendar.Date
}

// mostSeen bounds what is remembered: some 20 MB.
const mostSeen = 60_000

// judge scans stretches for a map as notes stand on a day.
type judge struct {
	d        *Desk
	assessor *assess.Assessor
	day      calendar.Date
}

// judge takes the zero time for no day in particular.
func (d *Desk) judge(now time.Time) judge {
	j := judge{d: d, assessor: d.on(now)}
	if !now.IsZero() {
		j.day = calendar.DateOf(now)
	}
	return j
}

func (j judge) scan(ex *assess.Exercise, s roadnet.StretchID) []assess.Place {
	key, seen := seenKey{ex.Name, s, j.d.heeds, j.day}, j.d.seen
	seen.mu.Lock()
	places, ok := seen.places[key]
	seen.mu.Unlock()
	if ok {
		return places
	}
	places = j.assessor.Scan(ex, s)
	seen.mu.Lock()
	if len(seen.places) >= mostSeen {
		clear(seen.places)
	}
	seen.places[key] = places
	seen.mu.Unlock()
	return places
}
