package assess

import (
	"math"
	"time"

	"loopwright/internal/calendar"
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// beside is what stands beside a stretch.
type beside struct {
	stops   []roadnet.Stop
	offRoad [2]int // on the left and right, how many homes have a drive or garage on the map
	homes   homes
	sites   sites
	built   built
	full    fullness
	parked  [2]answer // seen from the left and right kerb; no word: not asked yet
}

// fullness is how full the kerbs on the left and right are likely to be.
type fullness struct {
	looked, known bool
	of            [2]fill
}

// sites are what draws people near a stretch.
type sites struct {
	looked  bool               // the rest is this stretch's
	schools []roadnet.SiteNear // by distance from the stretch's middle
	draws   bool               // a station, a hospital or shops near by
}

// built is what is built along a stretch.
type built struct {
	looked bool      // the rest is this stretch's
	flats  float64   // share of the buildings to live in, by their size, that are flats
	works  bool      // most of the buildings are for work, not for living
	faces  [2][]face // left and right, by the distance along
}

// face is a point of a building or a wall beside the road.
type face struct{ along, away geo.Metres }

// Distances within which things matter. Our choice: children come from both
// ends of a street; a shop's or a station's visitors park within a short walk.
const (
	schoolReach geo.Metres = 200
	shopReach   geo.Metres = 100
	drawReach   geo.Metres = 250
	fewestShops            = 3
	facesWithin geo.Metres = 12
)

func (a *Assessor) loadBeside(st *site, s roadnet.StretchID) {
	n, b := a.net, &st.beside
	b.stops = n.StopsOn(s)
	for i, side := range [2]roadnet.Side{roadnet.Left, roadnet.Right} {
		b.offRoad[i] = n.DrivesOn(s, side) + n.GaragesOn(s, side)
	}
	b.homes.looked, b.sites.looked, b.built.looked = false, false, false
	b.full, b.parked = fullness{}, [2]answer{}
}

// sites are looked for when first asked for.
func (st *site) sites() *sites {
	n, b := st.net, &st.beside.sites
	if b.looked {
		return b
	}
	*b = sites{looked: true}
	if n.NumSites() > 0 {
		middle, _ := n.At(roadnet.Position{Segment: st.stretch.Segment(true), Along: st.length / 2})
		b.schools = n.SitesWithin(extract.SiteSchool, middle, schoolReach+st.length/2)
		b.draws = len(n.SitesWithin(extract.SiteStation, middle, drawReach)) > 0 ||
			len(n.SitesWithin(extract.SiteHospital, middle, drawReach)) > 0 ||
			len(n.SitesWithin(extract.SiteShop, middle, shopReach)) >= fewestShops
	}
	return b
}

// built takes, when first asked, the faces of buildings and walls along the
// stretch, and what they are for, weighed by their size.
func (a *Assessor) built(st *site) *built {
	b, s := &st.beside.built, st.stretch
	if b.looked {
		return b
	}
	b.looked = true
	b.faces = [2][]face{b.faces[0][:0], b.faces[1][:0]}
	var line geo.Polyline
	plane := geo.PlaneAt(a.net.NodeAt(a.net.Tail(s.Segment(true))))
	homes, flats, all, work := 0.0, 0.0, 0.0, 0.0
	a.net.BuildingsNear(s, func(x roadnet.Building) bool {
		if line == nil {
			line = plane.Line(a.net.Line(s.Segment(true)))
		}
		size := float64(b.addFaces(plane, line, x.LonE7, x.LatE7))
		all += size
		switch x.Kind {
		case extract.BuildingWork:
			work += size
		case extract.BuildingFlats:
			flats += size
			homes += size
		case extract.BuildingHouse, extract.BuildingSemi, extract.BuildingTerrace:
			homes += size
		}
		return true
	})
	b.works = work > all/2
	b.flats = 0
	if flats > 0 {
		b.flats = flats / homes
	}
	a.net.WallsNear(s, func(x roadnet.Wall) bool {
		if x.Kind != extract.WallSolid {
			return true
		}
		if line == nil {
			line = plane.Line(a.net.Line(s.Segment(true)))
		}
		b.addFaces(plane, line, x.LonE7, x.LatE7)
		return true
	})
	return b
}

// addFaces adds the points of an outline that lie near the road, at most 4 m
// apart, and gives the outline's greatest extent.
func (b *built) addFaces(plane geo.Plane, line geo.Polyline, lon, lat []int32) geo.Metres {
	var last, low, high geo.XY
	off := geo.Metres(0) // at least as far the next point lies from being near enough
	for i := range lon {
		p := plane.To(pointE7(lon[i], lat[i]))
		if i == 0 {
			low, high = p, p
		}
		low = geo.XY{X: min(low.X, p.X), Y: min(low.Y, p.Y)}
		high = geo.XY{X: max(high.X, p.X), Y: max(high.Y, p.Y)}
		steps, step := 1, geo.Metres(0)
		if i > 0 {
			step = p.Sub(last).Norm()
			steps = max(1, int(math.Ceil(float64(step)/4)))
			step /= geo.Metres(steps)
		}
		for k := 1; k <= steps; k++ {
			q := p
			if i > 0 {
				q = last.Add(p.Sub(last).Scale(float64(k) / float64(steps)))
			}
			if off -= step; off > 0 {
				continue
			}
			along, away, left := line.Nearest(q)
			if away > facesWithin {
				off = away - facesWithin
				continue
			}
			side := 1
			if left {
				side = 0
			}
			b.faces[side] = append(b.faces[side], face{along, away})
		}
		last = p
	}
	return high.Sub(low).Norm()
}

// between is how far apart the nearest buildings or walls on both sides stand
// in a window; false where a side has none.
func (b *built) between(w window) (geo.Metres, bool) {
	sum := geo.Metres(0)
	for _, faces := range b.faces {
		nearest := geo.Metres(math.Inf(1))
		for _, f := range faces {
			if f.along >= w.from && f.along <= w.to {
				nearest = min(nearest, f.away)
			}
		}
		sum += nearest
	}
	return sum, !math.IsInf(float64(sum), 1)
}

// fill is how much of a kerb parked cars are likely to take: some with their
// spread, or with the chance fewer only few.
type fill struct {
	some, few spread
	fewer     float64
}

// share is the share of instructors who would take a kerb so full.
func (f fill) share(points []point) float64 {
	if f.fewer == 1 {
		return shareOf(points, f.few.mean, f.few.sd)
	}
	return (1-f.fewer)*shareOf(points, f.some.mean, f.some.sd) + f.fewer*shareOf(points, f.few.mean, f.few.sd)
}

// row is the chance that its cars make one row.
func (f fill) row() float64 {
	return (1-f.fewer)*above((fullKerb-f.some.mean)/f.some.sd) + f.fewer*above((fullKerb-f.few.mean)/f.few.sd)
}

// expected is the mean over both, and sd the standard deviation.
func (f fill) expected() float64 { return (1-f.fewer)*f.some.mean + f.fewer*f.few.mean }

func (f fill) sd() float64 {
	apart := f.some.mean - f.few.mean
	return math.Sqrt((1-f.fewer)*f.some.sd*f.some.sd + f.fewer*f.few.sd*f.few.sd + f.fewer*(1-f.fewer)*apart*apart)
}

// fullness is how full both kerbs are likely to be at the hour: from the homes
// along them, and who can leave a car off the road. False where no homes are to
// be expected along the stretch.
func (a *Assessor) fullness(st *site) (of [2]fill, ok bool) {
	f := &st.beside.full
	if f.looked {
		return f.of, f.known
	}
	h := a.homes(st)
	f.looked, f.known = true, h.lived[0]+h.lived[1] > 0 && st.length > 0
	if f.known {
		for i := range f.of {
			f.of[i] = fill{some: a.full(st, h.lived[i], i), few: a.full(st, h.mapped[i], i), fewer: h.all[i]}
		}
	}
	return f.of, f.known
}

// full is how full a kerb is with so many homes along it.
func (a *Assessor) full(st *site, homes float64, side int) spread {
	sp := &a.table.spreads
	atHome, visiting := a.atHome()
	room, flats := st.beside.homes.room, a.built(st).flats
	without := homes * (1 - room - flats*(sp.SpaceFlats-room))
	if known := float64(st.beside.offRoad[side]); known > homes-without {
		without = max(homes-known, 0)
	}
	cars := atHome * (sp.CarsWithoutRoom*without + sp.CarsPerHome*sp.SpaceUnused*(homes-without))
	mean := cars * sp.CarKerb / max(float64(st.length), 20) // metres; our choice: a shorter stretch is no fuller for one home
	if st.sites().draws {
		mean += sp.Visitors * visiting
	}
	mean = min(mean, 1)
	sd := sp.FullnessLeast + sp.FullnessShare*mean
	if al := a.alikeTo(st, a.parked, &st.alikeCars); al.roads > 0 {
		mean, sd = al.likely(mean, sd)
	}
	return spread{mean, sd}
}

// atHome is the share of the residents' cars that are at home at the hour, and
// of visitors' cars that are there; with no hour given, of a working day.
func (a *Assessor) atHome() (residents, visitors float64) {
	sp := &a.table.spreads
	if a.when.IsZero() {
		return sp.AtHomeDay, 1
	}
	weekend := a.when.Weekday() == time.Saturday || a.when.Weekday() == time.Sunday
	switch hour := a.when.Hour(); {
	case hour < 7 || hour >= 19:
		return sp.AtHomeNight, sp.VisitorsNight
	case weekend:
		return (sp.AtHomeDay + sp.AtHomeNight) / 2, 1
	case hour < 9 || hour >= 17:
		return (sp.AtHomeDay + sp.AtHomeNight) / 2, (1 + sp.VisitorsNight) / 2
	}
	return sp.AtHomeDay, 1
}

// readSchool says whether a school is near, and whether children come or go at
// the hour. A gate counts where one is mapped, else the edge of the grounds.
func readSchool(a *Assessor, st *site, w window) answer {
	nearest := math.Inf(1)
	off := math.Abs(float64((w.from+w.to)/2 - st.length/2)) // of the window from where schools were looked for
	name := ""
	for _, s := range st.sites().schools {
		d := s.Away
		if s.HasGate {
			d = s.Gate
		}
		if float64(d)-off < nearest {
			nearest, name = float64(d)-off, s.Name
		}
	}
	x := answer{word: "none near", evidence: Inferred, source: "none mapped within 200 m"}
	if nearest > float64(schoolReach) {
		return x
	}
	x = answer{word: "near", evidence: Mapped, source: "a school is mapped near by"}
	if name != "" {
		x.source = name + " is near by"
	}
	switch {
	case a.school == calendar.Yes:
		x.word = "at its hours"
	case nearest < 40:
		x.word = "beside"
	}
	return x
}
