package notes

import (
	"math"
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
}

// placed unpacks a note that was laid. What the Store gave is whole; a note
// that is not has no kind, and says nothing.
func (v *View) placed(s *spot) Placed {
	n, err := s.note.note()
	if err != nil {
		n = Note{ID: s.note.id()}
	}
	return Placed{n, s.stretch, s.along, s.side}
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

// On is what is noted of one stretch.
func (v *View) On(s roadnet.StretchID) Here {
	if v == nil || len(v.spots) == 0 {
		return Here{}
	}
	h := Here{view: v}
	for i := sort.Search(len(v.spots), func(i int) bool { return v.spots[i].stretch >= s }); i < len(v.spots) && v.spots[i].stretch == s; i++ {
		h.placed = append(h.placed, v.placed(&v.spots[i]))
	}
	for _, i := range v.roads[s] {
		h.road = append(h.road, v.placed(&v.spots[i]))
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
			if p := v.placed(&v.spots[i]); (p.Kind != Restriction || p.Word == NoEntry) && v.during(&p, from, until) {
				out = append(out, p.Stretch)
			}
		}
	}
	return slices.Compact(out)
}

// during says whether what a note tells of a time holds for some of a span:
// from and until are whole days of the place. Hours that can't be read count as
// always, since somebody meant something by them.
func (v *View) during(p *Placed, from, until time.Time) bool {
	never := calendar.Date{}
	if p.From != never && calendar.DateOf(until).Before(p.From) || p.Until != never && p.Until.Before(calendar.DateOf(from)) {
		return false
	}
	if p.Hours == "" {
		return true
	}
	share := calendar.ParseHours(p.Hours).Over(calendar.Setting{Position: p.Place.At, Zone: from.Location()}, from, until)
	return share != calendar.Never
}

// Here is what is noted of one stretch. Distances are along the stretch.
type Here struct {
	view   *View
	placed []Placed
	road   []Placed // Complaint and Never elsewhere on the same road
}

// None says whether nothing is noted.
func (h Here) None() bool { return len(h.placed) == 0 && len(h.road) == 0 }

// Notes are those on the stretch itself, along it.
func (h Here) Notes() []Placed { return h.placed }

// off is how far a note lies from a window.
func (p *Placed) off(from, to geo.Metres) float64 {
	return math.Max(0, math.Max(float64(from-p.Along), float64(p.Along-to)))
}
