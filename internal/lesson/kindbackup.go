package lesson

import (
	"loopwright/internal/assess"
	"loopwright/internal/geo"
	"loopwright/internal/route"
)

// backUp finds for each place of a tour up to the number aimed at of others,
// each with a legal way on in time; false where a place has none.
func (pl *planner) backUp(t *tour, m *manner) bool {
	for i := range t.halts {
		if h := &t.halts[i]; h.item >= 0 && !pl.backUpAt(t, m, h) {
			return false
		}
	}
	return true
}

func (pl *planner) backUpAt(t *tour, m *manner, h *tourHalt) bool {
	it := &t.items[h.item]
	own := pl.forExercise(it.ex)
	var on *route.Tree
	if h.item+1 < len(t.items) {
		on = pl.backward.Into(t.items[h.item+1].from(), geo.Seconds(pl.table.Search.ReachS), pl.turning())
	} else {
		on = pl.homeward()
	}
	after := func(p *practice, goes int) (float64, bool) {
		ms, ok := on.Ms(p.leaves(goes))
		return float64(ms) / 1000, ok
	}
	planned, ok := after(it.place, h.goes)
	if !ok {
		return false
	}
	came := pl.coming(&t.drives[h.drive].Path)
	there := pl.forward.From(it.place.Position, geo.Seconds(pl.table.backupWithin(it.ex)), came)
	h.backups = nil
	for _, b := range it.place.backups {
		if len(h.backups) == pl.table.Backup.Aim {
			break
		}
		other := &own.places[b.place]
		path, ok := there.Path(other.Position)
		if !ok {
			continue
		}
		d := &drive{path, pl.w, pl.w.Timeline(path)}
		s := float64(d.Ms+pl.w.StopMs(other.Position)) / 1000
		if s > pl.table.backupWithin(it.ex) {
			continue
		}
		for goes := h.goes; goes >= m.least; goes-- {
			onward, ok := after(other, goes)
			won := 60 * (h.minutes - other.takes(goes, pl.table.Goes.LeastMinutes))
			if ok && s+onward-planned <= t.spareS+won {
				h.backups = append(h.backups, backup{b.place, d, goes})
				break
			}
		}
	}
	return len(h.backups) > 0
}

// forExercise is the planner that looked for places for an exercise.
func (pl *planner) forExercise(ex *assess.Exercise) *planner {
	for _, q := range pl.parts {
		if q.ex == ex {
			return q
		}
	}
	return pl
}
