package lesson

import (
	"slices"

	"loopwright/internal/assess"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// item is a part of a tour that is planned: a way through a junction or along a
// road that teaches something, a road to judge, or a place to practise.
type item struct {
	segments   []roadnet.SegmentID // driven, from begin on the first to end on the last
	begin, end geo.Metres
	shown      *judged
	place      *practice
	ex         *assess.Exercise // of the place, or of the road to judge
	parity     int              // of the goes at the place
}

func (it *item) from() roadnet.Position {
	return roadnet.Position{Segment: it.segments[0], Along: it.begin}
}

func (it *item) to() roadnet.Position {
	return roadnet.Position{Segment: it.segments[len(it.segments)-1], Along: it.end}
}

// roadItem is a road to judge for an exercise.
func roadItem(e *judged, ex *assess.Exercise) item {
	return item{segments: []roadnet.SegmentID{e.Segment}, begin: e.From, end: e.To, shown: e, ex: ex}
}

// placeItem is a place to practise an exercise at, with an even or odd number
// of goes.
func placeItem(p *practice, ex *assess.Exercise, parity int) item {
	at := p.Position
	return item{segments: []roadnet.SegmentID{at.Segment}, begin: at.Along, end: at.Along, place: p, ex: ex, parity: parity}
}

// onFrom is where the car goes on from after an item.
func (it *item) onFrom() roadnet.Position {
	if it.place != nil {
		return it.place.leaves(2 + it.parity)
	}
	return it.to()
}

// tour is a list of items that has been driven: real paths, times and stops.
type tour struct {
	items  []item
	drives []*drive // parted by the places
	at     []placed // of each item
	halts  []tourHalt
	rows   []rowed // the legs between the halts, with their clock
	events []event
	driveS float64
	rounds int     // how many legs after the first go the same way round several times
	longer float64 // minutes more at the pick-up than are needed
	spareS float64 // over, beside the minutes in hand
	score  float64
	change *changeOver // nil where the learner drives from door to door
}

// placed is where an item lies on the drives.
type placed struct {
	drive      int
	begin, end spot
}

// tourHalt is a stop of a tour; item is that of a place, -1 of a pull-up.
type tourHalt struct {
	halting
	drive, item int
	goes        int
	eachMin     float64
	backups     []backup
}

// manner is how a kind of lesson goes about its stops.
type manner struct {
	briefed  bool    // at a pull-up before the first item; else at the start
	between  string  // what a stop on the way is for
	betweenM float64 // minutes of it
	least    int     // goes
	most     int
	each     float64                     // minutes of one, at the most
	parked   func(roadnet.Position) bool // where the car may not stand; nil: nowhere in particular
}

// tour drives items in order. It goes the quickest way, but by a kerb to stand
// at where one is wanting; false where some must is missed.
func (pl *planner) tour(items []item, m *manner) (*tour, bool) {
	byKerb := make([]bool, len(items)+1)
	for {
		t, ok := pl.driven(items, byKerb)
		if !ok {
			return nil, false
		}
		lacking := pl.stopOn(t, m)
		if lacking < 0 {
			return t, true
		}
		if byKerb[lacking] {
			return nil, false
		}
		byKerb[lacking] = true
	}
}

// driven joins the ways from item to item.
func (pl *planner) driven(items []item, byKerb []bool) (*tour, bool) {
	t := &tour{items: items, at: make([]placed, len(items)), change: pl.change}
	at, after := pl.wish.From, pl.change.before()
	opts := pl.coming(after)
	var paths []route.Path
	var ends []int // of each item of this drive, the path that ends where it begins
	first := 0     // item of this drive
	cut := func(upTo int) bool {
		d, spots, ok := join(pl.w, opts, paths)
		if !ok {
			return false
		}
		for i := first; i < upTo; i++ {
			begin := spots[ends[i-first]]
			t.at[i] = placed{len(t.drives), begin, spot{begin.index + len(items[i].segments) - 1, items[i].end}}
		}
		t.drives = append(t.drives, d)
		paths, ends, first = nil, nil, upTo
		return true
	}
	for i := range len(items) + 1 {
		to, way := pl.wish.To, pl
		if i < len(items) {
			to = items[i].from()
		} else if pl.last != nil {
			way = pl.last
		}
		leg, ok := way.driveTo(at, after, to, uint32(pl.table.Search.ReachS*1000), byKerb[i])
		if !ok {
			return nil, false
		}
		paths = append(paths, leg...)
		ends = append(ends, len(paths)-1)
		if i == len(items) {
			return t, cut(i) && pl.change.goesHome(t.drives[len(t.drives)-1])
		}
		it := &items[i]
		at, after = to, &paths[len(paths)-1]
		switch {
		case it.place != nil:
			if !cut(i + 1) {
				return nil, false
			}
			at, after = it.onFrom(), it.place.comes(2+it.parity, &t.drives[len(t.drives)-1].Path)
			opts = pl.coming(after)
		case len(it.segments) > 1 || it.end > it.begin:
			through, ok := pl.w.Drive(it.from(), it.to(), it.segments, pl.coming(after))
			if !ok {
				return nil, false
			}
			paths = append(paths, through)
			at, after = it.to(), &paths[len(paths)-1]
		}
	}
	return t, true
}

// stopOn sets a tour's stops. Where a kerb is wanting it gives the number of the
// item before which there ought to be one, that of all items for the way home;
// -1 where none is.
func (pl *planner) stopOn(t *tour, m *manner) int {
	t.halts = nil
	for k, d := range t.drives {
		first, place := len(t.items), -1 // of this drive
		for i, at := range t.at {
			if at.drive == k {
				first = min(first, i)
				if t.items[i].place != nil {
					place = i
				}
			}
		}
		lacks := func(short float64) int {
			for i := first; i < len(t.items) && t.at[i].drive == k; i++ {
				if float64(d.at(t.at[i].begin))/1000 >= short {
					return i
				}
			}
			return len(t.items)
		}
		spots := pl.standable(t, k, m)
		from, to := 0.0, float64(d.at(d.end()))/1000
		if k == 0 && m.briefed {
			by := float64(d.at(t.at[0].begin)) / 1000
			if t.items[0].shown != nil {
				by -= beforeSeenS
			}
			brief, ok := pl.briefAt(d, spots, by)
			if !ok {
				return 0
			}
			from = brief.at
			t.halts = append(t.halts, tourHalt{halting: pl.briefing(brief), item: -1})
		}
		last := tourHalt{halting: halting{at: d.end(), what: practising}, drive: k, item: place}
		if place < 0 {
			talk, at := pl.debriefing(d, spots, false)
			last = tourHalt{halting: talk, drive: k, item: -1}
			to = at
		}
		rests, short, ok := pl.rests(spots, from, to)
		if !ok {
			return lacks(short)
		}
		for _, s := range rests {
			t.halts = append(t.halts, tourHalt{halting: halting{at: s.spot, what: m.between, minutes: m.betweenM}, drive: k, item: -1})
		}
		t.halts = append(t.halts, last)
	}
	return -1
}

// standable are the spots of a drive of a tour where the car may stand.
func (pl *planner) standable(t *tour, k int, m *manner) []stand {
	var seen []window
	for i, at := range t.at {
		if at.drive == k && t.items[i].shown != nil {
			seen = append(seen, window{at.begin, at.end})
		}
	}
	spots := pl.standsBut(t.drives[k], seen)
	if m.parked == nil {
		return spots
	}
	return slices.DeleteFunc(spots, func(s stand) bool { return m.parked(t.drives[k].position(s.spot)) })
}

// lastStand is where to debrief: the last good kerb, or else the drop-off.
func lastStand(d *drive, spots []stand) stand {
	end := float64(d.at(d.end())) / 1000
	last, found := stand{spot: d.end(), at: end}, false
	for _, s := range spots {
		across := d.Segments[s.index].Stretch() == d.To.Segment.Stretch() // from the drop-off itself
		if across || s.at < max(moveOffS, end-lateS) || s.at > end-moveOffS {
			continue
		}
		if !found || s.at-60*(1-s.quality) >= last.at-60*(1-last.quality) {
			last, found = s, true
		}
	}
	return last
}
