package demotown

import (
	"math"

	"loopwright/internal/geo"
)

// Side is a side of a way, as seen along it.
type Side int

// The sides.
const (
	UnknownSide Side = iota
	Left
	Right
)

// String gives the letter used in the names of kerbs.
func (s Side) String() string {
	switch s {
	case Left:
		return "l"
	case Right:
		return "r"
	}
	return "unknown"
}

// Record is one line of truth.csv: one side of the part of a stretch that lies
// on one way. What is true of the whole stretch stands in the record of each
// of its parts. Directions are those of a driver who keeps this side on the
// left: along the way on its left side, against it on its right.
type Record struct {
	Stretch          int   // numbered from 0; parts of one stretch share it
	Way              int64 // of the extract
	FromNode, ToNode int64 // of the way, in its direction
	From, To         geo.Metres
	Side             Side

	District, Class string
	Length          geo.Metres // of the stretch
	Straight        geo.Metres // longest part that turns under 8° in 30 m
	Width           [worlds]geo.Metres
	Gradient        float64     // percent, mean of the stretch, uphill positive
	Steepest        float64     // percent over 30 m, without sign
	Bend            geo.Radians // most in 30 m
	SightAlong      geo.Metres  // least on the stretch, at most 90
	Traffic         Traffic
	Vehicles        float64 // an hour at eleven, both ways
	LimitMPH        int
	Learner         bool // open to a learner's car
	Surface         string
	OneWay, Dual    bool
	Lit             bool
	BusRoute        bool
	School          geo.Metres // from the middle to the nearest school gate

	Homes, Drives, Hedges int
	Kerb                  geo.Metres // where a car can stand, drives and corners taken off
	Barred                bool       // yellow lines
	Parked                [worlds][24]int
	Bays                  int // of an aisle in a car park
	PublicBays            bool

	Ahead      string // kind of the junction ahead
	AheadArms  int
	SightLeft  geo.Metres // from 2.4 m back at the junction ahead; −1 where nothing is crossed
	SightRight geo.Metres
	Signed     bool       // a direction sign stands before the junction ahead
	LeftCorner geo.Metres // kerb radius of the side road on the left just passed at the start, 0 for none
	Marks      []Mark
	OtherSide  *Record
}

// Mark is a thing on the stretch, by metres from where its driver enters it.
type Mark struct {
	Kind   string
	Along  geo.Metres
	Mapped bool
}

// records lists the truth in the order of stretches and ways, left before right.
func (t *town) records() []*Record {
	var out []*Record
	for _, s := range t.stretches {
		for _, u := range s.runs {
			lo, hi := min(u.from, u.to), max(u.from, u.to)
			for _, w := range t.ways[u.road] {
				a, b := max(lo, w.from), min(hi, w.to)
				if a >= b {
					continue
				}
				left, right := t.part(u.road, w, a, b), t.part(u.road, w, a, b)
				left.Side, right.Side = Left, Right
				with := (u.from < u.to) != u.road.backward // the way runs as the stretch does
				t.fill(&left, s, with)
				t.fill(&right, s, !with)
				left.OtherSide, right.OtherSide = &right, &left
				out = append(out, &left, &right)
			}
		}
	}
	return out
}

// part names the places a to b of a road on the way that holds them.
func (t *town) part(r *road, w wayPart, a, b int) Record {
	start, end := t.along(r, w.from), t.along(r, w.to)
	from, to := t.along(r, a)-start, t.along(r, b)-start
	if r.backward {
		a, b, from, to = b, a, end-start-to, end-start-from
	}
	return Record{Way: w.id, FromNode: t.ids[r.nodes[a]], ToNode: t.ids[r.nodes[b]], From: geo.Metres(from), To: geo.Metres(to)}
}

// fill writes what is true of a stretch for the driver who goes along it, or
// against it.
func (t *town) fill(k *Record, s *stretch, forward bool) {
	r := s.road
	near, behind, ahead, sign := 0, 0, 1, 1.0
	if !forward {
		near, behind, ahead, sign = 1, 1, 0, -1
	}
	k.Stretch, k.District, k.Class = s.id, r.district.name.String(), r.class.String()
	k.Length, k.Straight = geo.Metres(s.length()), geo.Metres(s.straight())
	for w := range worlds {
		k.Width[w] = geo.Metres(s.width[w])
	}
	k.Gradient, k.Steepest, k.Bend = sign*s.mean, s.steep, geo.Radians(s.bends)*geo.Degree
	k.SightAlong = geo.Metres(s.sight[near])
	k.Traffic, k.Vehicles = trafficOf(s.flow), math.Round(s.flow)
	k.LimitMPH, k.Learner, k.OneWay, k.Dual, k.BusRoute = r.limit, !r.private && r.class != unbuilt, r.oneWay, r.dual, r.bus
	k.Lit = r.district.name != countryside && r.class != trunk
	k.Surface = "asphalt"
	switch {
	case r.setts:
		k.Surface = "sett"
	case r.rough:
		k.Surface = "gravel"
	}
	k.School = t.fromSchool(s)
	p := s.pass[near]
	k.Homes, k.Drives, k.Hedges, k.Kerb, k.Barred, k.Parked = p.homes, p.drives, p.hedges, geo.Metres(p.kerb), p.barred, p.parked
	k.Bays = s.bays
	k.PublicBays = s.lot != nil && s.lot.public
	k.SightLeft, k.SightRight, k.Ahead = -1, -1, unknownJunction.String()
	if s.lot == nil && (!r.oneWay || (k.Side == Left) != r.backward) {
		e := s.ends[ahead]
		k.Ahead, k.AheadArms, k.Signed = e.kind.String(), e.arms, e.signed
		k.SightLeft, k.SightRight = geo.Metres(e.sight[0]), geo.Metres(e.sight[1])
		k.LeftCorner = geo.Metres(s.ends[behind].corner[1])
	}
	for _, m := range s.marks {
		if m.kind == busStop && m.left != forward {
			continue
		}
		along := geo.Metres(m.along)
		if !forward {
			along = k.Length - along
		}
		k.Marks = append(k.Marks, Mark{m.kind.String(), along, m.mapped})
	}
}

// straight is the longest part of the stretch that turns less than 8° in 30 m.
func (s *stretch) straight() float64 {
	line := s.line.Resample(3)
	best, run := 0, 0
	for i := 1; i < len(line); i++ {
		run++
		if i >= 5 && i+5 < len(line) {
			a, b := angle(line[i].Sub(line[i-5])), angle(line[i+5].Sub(line[i]))
			if math.Abs(bend(a, b)) > 8*degree {
				run = 0
			}
		}
		best = max(best, run)
	}
	if len(line) < 2 {
		return 0
	}
	return float64(best) * s.length() / float64(len(line)-1)
}

func (t *town) fromSchool(s *stretch) geo.Metres {
	mid, _ := s.line.At(s.line.Length() / 2)
	best := math.Inf(1)
	for _, f := range t.features {
		if f.kind == schoolGate {
			best = math.Min(best, distance(mid, f.at))
		}
	}
	return geo.Metres(best)
}
