package notes

import (
	"slices"
	"sort"
	"time"

	"loopwright/internal/calendar"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// View is notes laid on one network: a pure value, safe for concurrent use. The
// nil View has no notes.
type View struct {
	net      *roadnet.Network
	table    *table
	spots    []spot
	kinds    [kindCount]bool               // of which there are notes on a stretch
	roads    map[roadnet.StretchID][]int32 // Complaint and Never elsewhere on the same road, into spots
	unplaced []packed
}

// Match lays notes on a network; deleted ones must not be among them.
func Match(n *roadnet.Network, all Packed) *View {
	v := &View{net: n, table: standard()}
	v.spots, v.unplaced = lay(n, all.notes)
	v.spread()
	return v
}

// spread notes which kinds there are, and complaints for the whole road: the
// stretches that share a name and touch.
func (v *View) spread() {
	v.roads = make(map[roadnet.StretchID][]int32)
	roads := map[roadnet.StretchID][]roadnet.StretchID{} // by each of their stretches
	for i := range v.spots {
		p := &v.spots[i]
		v.kinds[p.kind] = true
		if p.kind != Complaint && p.kind != Never {
			continue
		}
		road := roads[p.stretch]
		if road == nil {
			road = v.road(p.stretch)
			for _, s := range road {
				roads[s] = road
			}
		}
		for _, s := range road {
			if s != p.stretch {
				v.roads[s] = append(v.roads[s], int32(i))
			}
		}
	}
}

// road is the stretches of a stretch's road, itself the first.
func (v *View) road(s roadnet.StretchID) []roadnet.StretchID {
	all := []roadnet.StretchID{s}
	name := v.net.NameOf(s)
	if name == 0 {
		return all
	}
	seen := map[roadnet.StretchID]bool{s: true}
	for i := 0; i < len(all); i++ {
		seg := all[i].Segment(true)
		for _, node := range [2]roadnet.NodeID{v.net.Tail(seg), v.net.Head(seg)} {
			for _, out := range v.net.Out(node) {
				if t := out.Stretch(); !seen[t] && v.net.NameOf(t) == name {
					seen[t] = true
					all = append(all, t)
				}
			}
		}
	}
	return all
}

// Placed is a note on a stretch of a network.
type Placed struct {
	Note
	Stretch roadnet.StretchID
	Along   geo.Metres   // from the stretch's start
	Side    roadnet.Side // of the stretch, looking forward

	// What it comes to at the time asked about.
	rest   Rest
	weight float64 // of Parked and Traffic, 1 for the same hour and weekday, and new; of Suits, 1 for new; of Width, its variance in m²
	off    bool    // its days or hours do not hold
}

// place unpacks a note that was laid. What the Store gave is whole; a note that
// is not has no kind, and says nothing.
func (v *View) place(p *Placed, s *spot) {
	*p = Placed{Stretch: s.stretch, Along: s.along, Side: s.side}
	if err := s.note.read(&p.Note); err != nil {
		p.Note = Note{ID: s.note.id()}
	}
}

// All gives the notes of the whole network, by stretch and along it.
func (v *View) All() []Placed {
	if v == nil {
		return nil
	}
	out := make([]Placed, len(v.spots))
	for i := range v.spots {
		v.place(&out[i], &v.spots[i])
	}
	return out
}

// Unplaced gives the notes that no stretch can be found for, by name.
func (v *View) Unplaced() []Note {
	if v == nil {
		return nil
	}
	var out []Note
	for _, note := range v.unplaced {
		var p Placed
		v.place(&p, &spot{note: note})
		out = append(out, p.Note)
	}
	return out
}

// On is what is noted of one stretch, for a time.
func (v *View) On(s roadnet.StretchID, when When) Here {
	h := v.At(when).On(s)
	return *h
}

// At gives the notes as they stand at a time, for asking about many stretches
// one after the other; it keeps working space, so each worker needs its own.
func (v *View) At(when When) *Moment { return &Moment{view: v, when: when} }

// Moment is a View at a time.
type Moment struct {
	view *View
	when When
	here Here
	hold map[string]bool // hours, by their text: the same few stand in many notes
}

// Fork gives the same for another worker.
func (m *Moment) Fork() *Moment { return m.view.At(m.when) }

// Any says whether any stretch has a note of a kind.
func (m *Moment) Any(k Kind) bool { return m.view != nil && m.view.kinds[k] }

// AnyOn says whether a stretch has one.
func (m *Moment) AnyOn(s roadnet.StretchID, k Kind) bool {
	if !m.Any(k) {
		return false
	}
	for _, p := range m.view.of(s) {
		if p.kind == k {
			return true
		}
	}
	return false
}

// of are the notes of a stretch, along it.
func (v *View) of(s roadnet.StretchID) []spot {
	lo := sort.Search(len(v.spots), func(i int) bool { return v.spots[i].stretch >= s })
	hi := lo
	for hi < len(v.spots) && v.spots[hi].stretch == s {
		hi++
	}
	return v.spots[lo:hi]
}

// On is what is noted of one stretch, valid until the next call. Its notes are
// unpacked when they are asked for: of most stretches few are.
func (m *Moment) On(s roadnet.StretchID) *Here {
	h := &m.here
	*h = Here{moment: m, placed: h.placed[:0], road: h.road[:0]}
	if m.view == nil || len(m.view.spots) == 0 {
		return h
	}
	h.spots, h.elsewhere = m.view.of(s), m.view.roads[s]
	for i := range h.spots {
		h.from[h.spots[i].kind+1]++
	}
	for k := range kindCount {
		h.from[k+1] += h.from[k]
	}
	h.placed = slices.Grow(h.placed, len(h.spots))[:len(h.spots)]
	return h
}

// place unpacks a note and works out what it comes to at the time.
func (m *Moment) place(p *Placed, s *spot) {
	m.view.place(p, s)
	m.settle(p)
}

// Closed are the stretches that notes close, for a part of a span of time or
// all of it, in order. A "no entry" closes it too, in both directions: from
// which end it holds is not noted.
func (v *View) Closed(from, until time.Time) []roadnet.StretchID {
	if v == nil {
		return nil
	}
	var out []roadnet.StretchID
	for i := range v.spots {
		switch v.spots[i].kind {
		case Closure, Market, Restriction:
			var p Placed
			v.place(&p, &v.spots[i])
			if (p.Kind != Restriction || p.Word == NoEntry) && p.dates(calendar.DateOf(from), calendar.DateOf(until)) && v.hours(p.Hours, from, until) {
				out = append(out, p.Stretch)
			}
		}
	}
	return slices.Compact(out)
}

// dates says whether a note's days meet some days, both ends included.
func (n *Note) dates(from, until calendar.Date) bool {
	never := calendar.Date{}
	return !(n.From != never && until.Before(n.From) || n.Until != never && n.Until.Before(from))
}

// hours says whether hours hold for some of a span of time. Hours that can't be
// read count as always, since somebody meant something by them. The sun, where
// they name it, is that of the middle of the network.
func (v *View) hours(text string, from, until time.Time) bool {
	if text == "" {
		return true
	}
	setting := calendar.Setting{Position: v.net.About().Bounds.Center(), Zone: from.Location()}
	return calendar.ParseHours(text).Over(setting, from, until) != calendar.Never
}
