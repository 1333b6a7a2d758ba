// Package changes compares the road networks of two extracts of one area: what
// the newer map says that the older did not. It tells roads new and gone, speed
// limits, one-way rules, who may drive there, traffic calming, barriers and
// movements that are barred or allowed anew.
//
// Ways are split, joined, redrawn and renumbered between extracts, so what is
// compared is the ground, in parts of some 20 m: each part of one network has a
// partner in the other, the same way where it still lies there, else the road
// within 10 m that runs alike. Parts that differ in the same way are told as one
// change.
//
// What is told is a change of the map. The road itself may have been so before,
// or may not be so yet.
package changes

import (
	"cmp"
	"slices"

	"github.com/paulmach/orb"

	"loopwright/internal/country"
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// Kind is what a change is of.
type Kind uint8

const (
	KindUnknown Kind = iota
	RoadNew
	RoadGone
	Limit
	OneWay
	Access
	Calming
	MoveBarred
	MoveAllowed
	Barrier
	kindCount
)

var kindWords = [kindCount]string{"unknown", "new road", "road gone", "speed limit", "one-way rule", "who may drive there", "traffic calming", "turn barred", "turn allowed", "barrier"}

// String is the word a user reads.
func (k Kind) String() string { return kindWords[k] }

// MarshalText writes the word.
func (k Kind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// Change is one thing that the newer map says otherwise.
type Change struct {
	Kind      Kind                `json:"kind"`
	Road      string              `json:"road"` // its name or number, "" where it has none
	Way       extract.WayID       `json:"way"`  // in the newer extract; of a road gone, in the older
	Was       string              `json:"was"`  // in words; "" where there was nothing
	Is        string              `json:"is"`   // "" where there is nothing any longer
	Where     orb.MultiLineString `json:"where"`
	Length    geo.Metres          `json:"length_m"` // 0 of what is at a point
	NearRim   bool                `json:"near_rim"` // of an extract: it may only have been cut otherwise
	Stretches []roadnet.StretchID `json:"-"`        // in the newer network, that it touches; rising
}

// Compare lists the changes from an older network to a newer one, by road, kind
// and way. Both are of the same country.
func Compare(old, now *roadnet.Network, p *country.Profile) []Change {
	c := &comparison{old: old, now: now, p: p, byKey: map[key]int{}}
	c.newer()
	c.gone()
	c.marks(Calming, extract.Calming)
	c.marks(Barrier, extract.BarrierShut)
	c.countMarks()
	c.moves()
	slices.SortFunc(c.all, func(a, b Change) int {
		return cmp.Or(cmp.Compare(a.Road, b.Road), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Way, b.Way), cmp.Compare(a.Was, b.Was), cmp.Compare(a.Is, b.Is))
	})
	return c.all
}

type comparison struct {
	old, now *roadnet.Network
	p        *country.Profile
	all      []Change
	byKey    map[key]int // of all
}

// key is what parts of one change have in common.
type key struct {
	kind    Kind
	way     extract.WayID
	was, is string
}

// tell adds a part of a road to the change that it belongs to. Parts come along
// their stretch, so that neighbours join to one line.
func (c *comparison) tell(k key, road string, line orb.LineString, length geo.Metres, nearRim bool, touched ...roadnet.StretchID) {
	i, ok := c.byKey[k]
	if !ok {
		i = len(c.all)
		c.byKey[k] = i
		c.all = append(c.all, Change{Kind: k.kind, Road: road, Way: k.way, Was: k.was, Is: k.is})
	}
	ch := &c.all[i]
	ch.Length += length
	ch.NearRim = ch.NearRim || nearRim
	if last := len(ch.Where) - 1; last >= 0 && len(line) > 0 && ch.Where[last][len(ch.Where[last])-1] == line[0] {
		ch.Where[last] = append(ch.Where[last], line[1:]...)
	} else if len(line) > 0 {
		ch.Where = append(ch.Where, line)
	}
	for _, s := range touched {
		if at, ok := slices.BinarySearch(ch.Stretches, s); !ok {
			ch.Stretches = slices.Insert(ch.Stretches, at, s)
		}
	}
}

// newer goes along the newer roads.
func (c *comparison) newer() {
	f := finder{n: c.old}
	for s := range roadnet.StretchID(c.now.NumStretches()) {
		for _, part := range parts(c.now, s) {
			if !inside(c.old, part.middle) {
				continue
			}
			road := nameOf(c.now, part.piece)
			tell := func(kind Kind, was, is string) {
				c.tell(key{kind, part.piece.Way, was, is}, road, part.line, part.length, c.now.NearRim(s), s)
			}
			partner, ok := f.partner(part)
			switch {
			case ok:
				c.facts(part.piece.Attributes, partner, tell)
			case drivable(c.now, s) && !f.there(part.middle):
				tell(RoadNew, "", className(part.piece))
			}
		}
	}
	c.drop(RoadNew)
}

// gone goes along the older roads that have no partner.
func (c *comparison) gone() {
	f := finder{n: c.now}
	for s := range roadnet.StretchID(c.old.NumStretches()) {
		if !drivable(c.old, s) {
			continue
		}
		for _, part := range parts(c.old, s) {
			if !inside(c.now, part.middle) {
				continue
			}
			if _, ok := f.partner(part); !ok && !f.there(part.middle) {
				c.tell(key{RoadGone, part.piece.Way, className(part.piece), ""}, nameOf(c.old, part.piece), part.line, part.length, c.old.NearRim(s))
			}
		}
	}
	c.drop(RoadGone)
}

// least is the shortest road that is told as new or gone: our choice, below it
// the end of a road was only drawn otherwise.
const least geo.Metres = 15

// drop takes back what is too short to be told.
func (c *comparison) drop(kind Kind) {
	c.all = slices.DeleteFunc(c.all, func(ch Change) bool { return ch.Kind == kind && ch.Length < least })
	clear(c.byKey)
	for i, ch := range c.all {
		c.byKey[key{ch.Kind, ch.Way, ch.Was, ch.Is}] = i
	}
}

// drivable says whether a learner's car may be on a stretch in some direction.
func drivable(n *roadnet.Network, s roadnet.StretchID) bool {
	return n.Drivable(s.Segment(true)) || n.Drivable(s.Segment(false))
}

// inside says whether an extract covers a position. Where it does not say what
// it covers, it is taken to.
func inside(n *roadnet.Network, at orb.Point) bool {
	b := n.About().Bounds
	return b.IsZero() || b.Contains(at)
}

func nameOf(n *roadnet.Network, p *roadnet.Piece) string {
	if name := n.Name(p.Name); name != "" {
		return name
	}
	return n.Name(p.Ref)
}

func className(p *roadnet.Piece) string { return p.Attributes.Class.String() }
