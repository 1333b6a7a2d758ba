package assess

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sync"

	"github.com/paulmach/orb"

	"loopwright/internal/country"
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/notes"
	"loopwright/internal/roadnet"
)

// Roads of one class that were built together are alike: what was noted of one
// tells something of its neighbours. The departure of a road's width from the
// country's usual one, and of the cars at its kerbs from what the map lets one
// expect, is taken as normal, with the spread σ of what is not noted, and two
// stretches i and j of one class as correlated by
//
//	ρ = class + near · exp(−d/range) + road
//
// with d the distance between their middles, and road only where they share a
// name. What noted departures z tell of a stretch is then its mean kᵀ(K+N)⁻¹z and
// variance σ² − kᵀ(K+N)⁻¹k, with N how well each was seen: simple kriging
// (Matheron, "Principles of geostatistics", 1963), or the posterior of an
// empirical Bayes model whose prior is the class. Ours differs in that only the
// nearest few noted stretches are asked. The shares and the range stand in
// data/exercises.yaml.

const (
	alikeReach = geo.Metres(1000) // beyond it a road tells nothing of another: our choice, a quarter of a town
	alikeMost  = 16               // noted stretches asked: our choice, the next ones add little
	inferring  = 0.36             // of the variance explained, from which a value is inferred and not assumed: our choice, the spread falls by a fifth
)

// Likeness is what one stretch has in common with others.
type Likeness struct {
	Usual  geo.Metres // its width, where nothing is measured
	Spread geo.Metres // of that
	class  extract.Class
	name   roadnet.NameID
	at     geo.XY
	rules  *spreads
}

// With is the correlation of two stretches' departures, 0 to 1.
func (l Likeness) With(m Likeness) float64 {
	if l.class != m.class {
		return 0
	}
	d := l.at.Sub(m.at).Norm()
	rho := l.rules.AlikeClass + l.rules.AlikeNear*math.Exp(-float64(d)/l.rules.AlikeRange)
	if l.name != 0 && l.name == m.name {
		rho += l.rules.AlikeRoad
	}
	return rho
}

// Likeness gives what a stretch has in common with others.
func (a *Assessor) Likeness(s roadnet.StretchID) Likeness {
	return a.likeness(geo.PlaneAt(a.net.About().Bounds.Center()), s)
}

func (a *Assessor) likeness(plane geo.Plane, s roadnet.StretchID) Likeness {
	n := a.net
	middle := n.Length(s) / 2
	at, _ := n.At(roadnet.Position{Segment: s.Segment(true), Along: middle})
	class := n.PieceAt(s, middle).Attributes.Class
	usual := a.usualWidth(s, class)
	return Likeness{usual.Mean, usual.SD, class, n.NameOf(s), plane.To(at), &a.table.spreads}
}

// likeRoads are the stretches with a note of a kind, by cells of the map. A cell
// is gathered when a stretch in it or beside it is first asked about; all forks of
// one hour share it.
type likeRoads struct {
	kind  notes.Kind
	mu    sync.Mutex
	scout *Assessor // that goes and sees: it does not learn
	plane geo.Plane
	cells map[[2]int][]*likeRoad
}

type likeRoad struct {
	Likeness
	stretch roadnet.StretchID
	looked  bool // the rest is known, which takes longer: not all are asked about
	seen
}

// seen is how far a road is off what is usual, in spreads, and how well that was
// seen; not ok where its notes don't tell.
type seen struct {
	off, variance float64
	ok            bool
}

// likeRoads are those of the assessor's notes at its hour.
func (a *Assessor) likeRoads(kind notes.Kind) *likeRoads {
	scout := a.Fork()
	scout.widths, scout.parked = nil, nil
	return &likeRoads{kind: kind, scout: scout, plane: geo.PlaneAt(a.net.About().Bounds.Center()), cells: make(map[[2]int][]*likeRoad)}
}

// in gives the noted stretches of which the middle lies in a cell.
func (m *likeRoads) in(a *Assessor, cell [2]int) []*likeRoad {
	m.mu.Lock()
	defer m.mu.Unlock()
	roads, ok := m.cells[cell]
	if ok {
		return roads
	}
	var met []roadnet.StretchID
	a.net.Within(m.bound(cell), func(s roadnet.StretchID) bool {
		if m.scout.noted.AnyOn(s, m.kind) {
			met = append(met, s)
		}
		return true
	})
	slices.Sort(met)
	for _, s := range slices.Compact(met) {
		l := a.likeness(m.plane, s)
		if cellOf(l.at) == cell {
			roads = append(roads, &likeRoad{Likeness: l, stretch: s})
		}
	}
	m.cells[cell] = roads
	return roads
}

// look is what was seen of one of the roads.
func (m *likeRoads) look(road *likeRoad) seen {
	m.mu.Lock()
	defer m.mu.Unlock()
	if !road.looked {
		road.looked = true
		if m.kind == notes.Width {
			road.off, road.variance, road.ok = m.scout.widthOff(road.stretch, road.Likeness)
		} else {
			road.off, road.variance, road.ok = m.scout.carsOff(road.stretch)
		}
	}
	return road.seen
}

// widthOff is how far the measured width of a stretch is off the usual one.
func (a *Assessor) widthOff(s roadnet.StretchID, l Likeness) (off, variance float64, ok bool) {
	mean, sd, ok := a.noted.On(s).Width(0, a.net.Length(s))
	spread := float64(l.Spread)
	return (mean - float64(l.Usual)) / spread, sd * sd / (spread * spread), ok
}

// bound is the box about a cell, and a little more for what rounding does to
// the middle of a stretch.
func (m *likeRoads) bound(cell [2]int) orb.Bound {
	const more geo.Metres = 10
	corner := func(dx, dy int, out geo.Metres) orb.Point {
		return m.plane.From(geo.XY{X: float64(geo.Metres(cell[0]+dx)*alikeReach + out), Y: float64(geo.Metres(cell[1]+dy)*alikeReach + out)})
	}
	return orb.Bound{Min: corner(0, 0, -more), Max: corner(1, 1, more)}
}

func cellOf(p geo.XY) [2]int {
	return [2]int{int(math.Floor(p.X / float64(alikeReach))), int(math.Floor(p.Y / float64(alikeReach)))}
}

// alike is what noted roads tell of a stretch: how far it is likely to be off what
// is usual, in spreads, the share of the variance that this explains, and of how
// many roads it was learnt.
type alike struct {
	known      bool
	off, share float64
	roads      int
}

// alikeTo asks the nearest stretches with a note of a kind, and remembers in al.
func (a *Assessor) alikeTo(st *site, m *likeRoads, al *alike) *alike {
	if al.known {
		return al
	}
	*al = alike{known: true}
	if m == nil || !a.noted.Any(m.kind) {
		return al
	}
	l := a.likeness(m.plane, st.stretch)
	type candidate struct {
		road *likeRoad
		rho  float64
	}
	var all []candidate
	cell := cellOf(l.at)
	for dx := -1; dx <= 1; dx++ {
		for dy := -1; dy <= 1; dy++ {
			in := m.in(a, [2]int{cell[0] + dx, cell[1] + dy})
			for _, road := range in {
				if rho := l.With(road.Likeness); rho > 0 && l.at.Sub(road.at).Norm() <= alikeReach {
					all = append(all, candidate{road, rho})
				}
			}
		}
	}
	slices.SortFunc(all, func(a, b candidate) int {
		return cmp.Or(cmp.Compare(b.rho, a.rho), cmp.Compare(a.road.stretch, b.road.stretch))
	})
	type told struct {
		Likeness
		seen
		rho float64
	}
	var near []told
	for i := 0; i < len(all) && len(near) < alikeMost; i++ {
		if saw := m.look(all[i].road); saw.ok {
			near = append(near, told{all[i].road.Likeness, saw, all[i].rho})
		}
	}
	if len(near) == 0 {
		return al
	}
	n := len(near)
	k, z := make([]float64, n), make([]float64, n)
	g := make([]float64, n*n)
	names := make(map[roadnet.NameID]bool)
	for i, x := range near {
		k[i], z[i] = x.rho, x.off
		for j, y := range near {
			g[i*n+j] = x.With(y.Likeness)
		}
		g[i*n+i] = 1 + x.variance
		if x.name == 0 || !names[x.name] {
			al.roads++
		}
		names[x.name] = true
	}
	for i, w := range solve(g, k) {
		al.off += w * z[i]
		al.share += w * k[i]
	}
	return al
}

// solve gives x with m x = k, for a symmetric positive definite m, which is
// spent: by Cholesky's factor.
func solve(m, k []float64) []float64 {
	n := len(k)
	x := slices.Clone(k)
	for i := range n {
		for j := range i + 1 {
			sum := m[i*n+j]
			for h := range j {
				sum -= m[i*n+h] * m[j*n+h]
			}
			if i == j {
				m[i*n+i] = math.Sqrt(sum)
			} else {
				m[i*n+j] = sum / m[j*n+j]
			}
		}
		for h := range i {
			x[i] -= m[i*n+h] * x[h]
		}
		x[i] /= m[i*n+i]
	}
	for i := n - 1; i >= 0; i-- {
		for h := i + 1; h < n; h++ {
			x[i] -= m[h*n+i] * x[h]
		}
		x[i] /= m[i*n+i]
	}
	return x
}

// learnt is the usual width of a class as measured roads near the stretch shift
// it. It is inferred where they tell much, and still assumed where little.
func (a *Assessor) learnt(usual country.Spread) answer {
	x := answer{mean: float64(usual.Mean), sd: float64(usual.SD), evidence: Assumed, source: "width not mapped: usual for this kind of road: check on the day"}
	if al := a.alikeTo(&a.site, a.widths, &a.site.alikeWidth); al.roads > 0 {
		x.mean += al.off * x.sd
		x.sd *= math.Sqrt(1 - al.share)
		if al.share >= inferring {
			x.evidence, x.source = Inferred, fmt.Sprintf("width not mapped: as in %s measured near by: check on the day", roads(al.roads))
		}
	}
	return x
}

func roads(n int) string {
	if n == 1 {
		return "one road"
	}
	return fmt.Sprintf("%d roads", n)
}
