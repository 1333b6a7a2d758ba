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

// spread notes complaints for the whole road: the stretches that share a name
// and touch.
func (v *View) spread() {
	v.roads = make(map[roadnet.StretchID][]int32)
	roads := map[roadnet.StretchID][]roadnet.StretchID{} // by each of their stretches
	for i := range v.spots {
		p := &v.spots[i]
		if kind := p.note.kind(); kind != Complaint && kind != Never {
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
	weight float64 // of Parked and Suits: 1 for the same hour and weekday, and new
	off    bool    // its days or hours do not hold
}

// placed unpacks a note that was laid. What the Store gave is whole; a note
// that is not has no kind, and says nothing.
func (v *View) placed(s *spot) Placed {
	n, err := s.note.note()
	if err != nil {
		n = Note{ID: s.note.id()}
	}
	return Placed{Note: n, Stretch: s.stretch, Along: s.along, Side: s.side}
}

// All gives the notes of the whole network, by stretch and along it.
func (v *View) All() []Placed {
	if v == nil {
		return nil
	}
	out := make([]Placed, len(v.spots))
	for i := range v.spots {
		out[i] = v.placed(&v.spots[i])
	}
	return out
}

// Unplaced gives the notes that no stretch can be found for, by name.
func (v *View) Unplaced() []Note {
	if v == nil {
		return nil
	}
	var out []Note
	for i := range v.unplaced {
		out = append(out, v.placed(&spot{note: v.unplaced[i]}).Note)
	}
	return out
}

// On is what is noted of one stretch, for a time.
func (v *View) On(s roadnet.StretchID, when When) Here {
	if v == nil || len(v.spots) == 0 {
		return Here{}
	}
	h := Here{view: v}
	lo := sort.Search(len(v.spots), func(i int) bool { return v.spots[i].stretch >= s })
	hi := lo
	for hi < len(v.spots) && v.spots[hi].stretch == s {
		h.from[v.spots[hi].note.kind()+1]++
		hi++
	}
	if hi == lo && len(v.roads[s]) == 0 {
		return Here{}
	}
	for k := range kindCount {
		h.from[k+1] += h.from[k]
	}
	next := h.from
	h.placed = make([]Placed, hi-lo)
	for i := lo; i < hi; i++ {
		k := v.spots[i].note.kind()
		h.placed[next[k]] = v.placed(&v.spots[i])
		v.table.settle(&h.placed[next[k]], when)
		next[k]++
	}
	for _, i := range v.roads[s] {
		p := v.placed(&v.spots[i])
		v.table.settle(&p, when)
		h.road = append(h.road, p)
	}
	return h
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
		switch v.spots[i].note.kind() {
		case Closure, Market, Restriction:
			if p := v.placed(&v.spots[i]); (p.Kind != Restriction || p.Word == NoEntry) && p.during(from, until) {
				out = append(out, p.Stretch)
			}
		}
	}
	return slices.Compact(out)
}

// during says whether what a note tells holds for some of a span of time:
// its days are whole days of the place. Hours that can't be read count as
// always, since somebody meant something by them.
func (n *Note) during(from, until time.Time) bool {
	never := calendar.Date{}
	if n.From != never && calendar.DateOf(until).Before(n.From) || n.Until != never && n.Until.Before(calendar.DateOf(from)) {
		return false
	}
	if n.Hours == "" {
		return true
	}
	return calendar.ParseHours(n.Hours).Over(calendar.Setting{Position: n.Place.At, Zone: from.Location()}, from, until) != calendar.Never
}
