package demotown

import (
	"math"
	"math/rand/v2"

	"loopwright/internal/geo"
)

// Traffic is how busy a stretch is at eleven on a working day, by what can be
// seen from the kerb.
type Traffic int

// The classes, by vehicles an hour both ways (our choice: one in three
// minutes, one a minute, four a minute).
const (
	UnknownTraffic Traffic = iota
	Own                    // under 20
	Light                  // under 70
	Through                // under 250
	Busy
)

// String gives the name used in truth.csv.
func (f Traffic) String() string {
	switch f {
	case Own:
		return "own"
	case Light:
		return "light"
	case Through:
		return "through"
	case Busy:
		return "busy"
	}
	return "unknown"
}

func trafficOf(vehicles float64) Traffic {
	switch {
	case vehicles < 20:
		return Own
	case vehicles < 70:
		return Light
	case vehicles < 250:
		return Through
	}
	return Busy
}

// aim is where journeys go, and how many an hour.
type aim struct {
	at       geo.XY
	perHome  float64 // journeys an hour from each home, both ways together
	outsider float64 // vehicles an hour that come from the other edges
}

// aims follow from 5 car journeys a home and day, of which 8 % fall in the
// hour: 0.4 an hour (National Travel Survey, about 2.3 trips a person and day,
// six in ten by car; from memory), shared out by our choice.
var aims = []aim{
	{market, 0.09, 20}, {xy(330, -270), 0.015, 8}, {xy(1480, -480), 0.045, 30}, {xy(2050, 76), 0.05, 20}, {xy(520, 610), 0.02, 15},
	{xy(-3150, 330), 0.022, 260}, {xy(3150, -60), 0.022, 260}, {xy(-330, 3050), 0.016, 170}, {xy(2550, 3050), 0.016, 150},
	{xy(280, -3050), 0.014, 130}, {xy(-3050, 2200), 0.006, 40}, {xy(-3050, -2700), 0.003, 14}, {xy(3150, -1380), 0.003, 14}, {xy(-1150, 3050), 0.002, 6},
}

// setFlows sends everyone on their quickest way from each aim and back, and
// counts who passes. Journeys between homes are drawn to 60 of them.
func (t *town) setFlows() {
	d := t.newDriver()
	random := t.stream("flows")
	homes := map[int]float64{}
	for _, h := range t.homes {
		homes[t.publicNode(h.at)]++
	}
	count := map[[2]int]float64{}
	send := func(from geo.XY, perHome, outsider float64) {
		before, _, seconds := d.from(t.publicNode(from), math.Inf(1))
		load := make([]float64, len(t.nodes))
		for node, n := range homes {
			load[node] += n * perHome
		}
		for _, a := range aims {
			if a.outsider > 0 && distance(a.at, from) > 900 && distance(a.at, market) > 2400 {
				load[t.publicNode(a.at)] += outsider * a.outsider / 1200
			}
		}
		t.settle(load, before, seconds, count)
	}
	for _, a := range aims {
		send(a.at, a.perHome, a.outsider)
	}
	for range 60 {
		send(t.homes[random.IntN(len(t.homes))].at, 0.08/60, 0)
	}
	for _, s := range t.stretches {
		s.drawn = 0
		for i := 1; i < len(s.nodes); i++ {
			a, b := s.nodes[i-1], s.nodes[i]
			s.drawn = math.Max(s.drawn, count[[2]int{min(a, b), max(a, b)}])
		}
	}
	t.blurFlows(random)
}

// blurFlows lets the hour be busier or quieter than the journeys make it.
func (t *town) blurFlows(random *rand.Rand) {
	for _, s := range t.stretches {
		if s.lot != nil {
			s.flow = 12
			continue
		}
		s.flow = 2 * s.drawn * math.Exp(0.2*random.NormFloat64())
	}
}

// settle carries the loads of all nodes back along the tree of quickest ways,
// the farthest first.
func (t *town) settle(load []float64, before []int, seconds []float64, count map[[2]int]float64) {
	order := make([]int, 0, len(load))
	for i := range load {
		if before[i] >= 0 {
			order = append(order, i)
		}
	}
	sortBy(order, func(i int) float64 { return -seconds[i] })
	for _, i := range order {
		j := before[i]
		count[[2]int{min(i, j), max(i, j)}] += load[i]
		load[j] += load[i]
	}
}

// setMarks gives every feature to the stretch that it stands on.
func (t *town) setMarks() {
	for _, s := range t.stretches {
		lo, hi := s.line[0], s.line[0]
		for _, p := range s.line {
			lo = geo.XY{X: math.Min(lo.X, p.X-1), Y: math.Min(lo.Y, p.Y-1)}
			hi = geo.XY{X: math.Max(hi.X, p.X+1), Y: math.Max(hi.Y, p.Y+1)}
		}
		for _, f := range t.features {
			if f.at.X < lo.X || f.at.X > hi.X || f.at.Y < lo.Y || f.at.Y > hi.Y {
				continue
			}
			along, away, _ := s.line.Nearest(f.at)
			if away > 0.6 {
				continue
			}
			m := mark{feature: f, along: float64(along)}
			if f.kind == busStop {
				_, _, m.left = s.line.Nearest(t.beside(f, 4))
			}
			s.marks = append(s.marks, m)
		}
	}
}
