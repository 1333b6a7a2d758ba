package demotown

import (
	"math"

	"loopwright/internal/geo"
)

// World is one of the three truths: what the extract leaves open falls out
// narrow and full, as stated, or wide and empty.
type World int

// The worlds.
const (
	Narrow World = iota
	Stated
	Wide
	worlds = 3
)

// String gives the name used in the columns of truth.csv.
func (w World) String() string {
	switch w {
	case Narrow:
		return "narrow"
	case Stated:
		return "stated"
	case Wide:
		return "wide"
	}
	return "unknown"
}

// athome is the share of a street's own cars that stand there, by hour of a
// working day in term (our choice: most cars are home at night, half leave for
// work, school or errands).
var athome = [24]float64{0.97, 0.98, 0.98, 0.98, 0.97, 0.95, 0.9, 0.78, 0.62, 0.54, 0.5, 0.48, 0.49, 0.5, 0.5, 0.54, 0.62, 0.72, 0.82, 0.87, 0.9, 0.93, 0.95, 0.96}

// visiting is the share of visitors' cars at shops, the station, the infirmary
// and the works (our choice).
var visiting = [24]float64{0, 0, 0, 0, 0, 0, 0.1, 0.35, 0.7, 0.95, 1, 1, 1, 0.95, 0.95, 0.9, 0.75, 0.5, 0.3, 0.2, 0.15, 0.1, 0.05, 0}

const (
	carsPerHome = 1.16 // Census 2011, England and Wales, table KS404EW: 1.2 cars a household; from memory
	carLength   = 5.5  // metres of kerb for one parked car, our choice
	driveMouth  = 4.5  // metres of kerb that a drive takes, our choice
)

// fill is how the worlds differ in parked cars.
var fill = [worlds]float64{1.25, 1, 0.75}

// shift is how they differ in width, in spreads of the district.
var shift = [worlds]float64{-1, 0, 1}

// setWidths draws the carriageways: one draw for a road, a little more for each
// stretch, the same in all three worlds but for the shift of its mean. Where a
// mapper has measured the width, the worlds agree.
func (t *town) setWidths() {
	for _, s := range t.stretches {
		r := s.road
		of, own := t.unseen("width "+r.name, r.measured || r.told), t.unseen("stretch "+r.name, r.measured || r.told)
		for range s.id % 97 {
			own.Uint64()
		}
		z, extra := of.NormFloat64(), 0.12*own.NormFloat64()
		mean, spread := meanWidth(r)
		for w := range worlds {
			s.width[w] = math.Round(10*math.Max(2.8, mean+spread*(z+shift[w])+extra)) / 10
			if r.measured {
				s.width[w] = math.Round(10*math.Max(2.8, mean+spread*z)) / 10
			}
		}
	}
}

// meanWidth is the middle and the spread of the width of a road.
func meanWidth(r *road) (mean, spread float64) {
	switch {
	case r.name == "Merrack Avenue", r.name == "Butter Market", r.name == "Wharf Road", r.name == "Foundry Road":
		return 10.2, 0.5 // planted avenues, the market place, the quays
	case r.lane:
		return 3.1, 0.15
	case r.class == aisle:
		return 6, 0.3
	case r.ring:
		return 6.5, 0.4
	case r.class == trunk, r.class == primary:
		return 7.3, 0.3
	case r.class == secondary:
		return 7.1, 0.6
	case r.class == tertiary:
		return 6.7, 0.7
	case r.class == unclassified && r.district.name != countryside && r.district.name != works:
		return math.Max(6.2, r.district.width), 0.7
	case r.class == livingStreet:
		return 4.8, 0.4
	}
	return r.district.width, r.district.spread
}

// park fills the kerbs of every stretch hour by hour.
func (t *town) park() {
	shown, random := t.stream("parked"), t.unseen("parked", false)
	for _, s := range t.stretches {
		if s.lot != nil {
			t.parkBays(s, random.Float64())
			shown.Float64()
			continue
		}
		t.countHomes(s)
		long := s.length()
		pull := t.pull(s)
		for i := range s.pass {
			p := &s.pass[i]
			p.barred = t.barred(s)
			p.kerb = math.Max(0, long-20-driveMouth*float64(p.drives))
			room := math.Floor(p.kerb / carLength)
			if p.barred || s.road.dual || s.road.ring || s.road.class == trunk {
				room = 0
			}
			luck, other := random.Float64(), random.Float64()
			if l, o := shown.Float64(), shown.Float64(); s.road.told {
				luck, other = l, o
			}
			own := carsPerHome*float64(p.homes) - 1.25*float64(p.drives)
			for w := range worlds {
				for h := range 24 {
					n := math.Max(0, own)*athome[h]*(0.75+0.5*luck) + pull*room*visiting[h]*other
					p.parked[w][h] = int(math.Min(room, math.Round(n*fill[w])))
				}
			}
		}
	}
}

// parkBays fills a car park's aisle: shops and the station by day.
func (t *town) parkBays(s *stretch, luck float64) {
	for w := range worlds {
		for h := range 24 {
			share := math.Min(0.98, (0.04+0.75*visiting[h])*(0.55+0.7*luck)*fill[w])
			s.pass[0].parked[w][h] = int(math.Round(share * float64(s.bays)))
		}
	}
}

// countHomes gives each side of a stretch its frontage.
func (t *town) countHomes(s *stretch) {
	for _, u := range s.runs {
		lo, hi := t.along(u.road, min(u.from, u.to)), t.along(u.road, max(u.from, u.to))
		for _, h := range t.homesOn[u.road] {
			m := h.along
			if m < lo || m > hi {
				continue
			}
			left := h.left == (u.from < u.to)
			i := 1
			if left {
				i = 0
			}
			s.pass[i].homes++
			if h.drive {
				s.pass[i].drives++
			}
			if h.hedge {
				s.pass[i].hedges++
			}
		}
	}
}

// pull is the share of a kerb that visitors would fill at their hour, from the
// shops, the station and the infirmary near by.
func (t *town) pull(s *stretch) float64 {
	mid, _ := s.line.At(s.line.Length() / 2)
	for _, p := range [...]struct {
		at    geo.XY
		reach float64
		share float64
	}{{market, 340, 0.8}, {xy(330, -330), 260, 0.8}, {xy(520, 710), 280, 0.7}, {xy(1500, -500), 500, 0.45}} {
		if d := distance(mid, p.at); d < p.reach {
			return p.share * (1.1 - d/p.reach)
		}
	}
	return 0.03
}

// barred says whether yellow lines keep a kerb clear: the main roads of the
// centre, and main roads on a bus route for half their length.
func (t *town) barred(s *stretch) bool {
	switch {
	case s.road.district.name == centre && s.road.class.major():
		return s.id%4 != 0
	case s.road.class == secondary && s.road.bus:
		return s.id%3 == 0
	}
	return false
}
