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
	homes   [2]float64 // on the left and right: those mapped, and those that the map is likely to lack
	offRoad [2]int     // of these, how many have a drive or garage on the map
	sites   sites
	built   built
	full    [2]fullness
	parked  [2]answer // seen from the left and right kerb; no word: not asked yet
}

// fullness is how much of a kerb parked cars are likely to take, with its spread.
type fullness struct {
	looked, known bool
	mean, sd      float64
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
	space  float64   // share of the homes that have room for a car off the road, by their buildings
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
		b.homes[i] = n.LikelyHomesOn(s, side)
		b.offRoad[i] = n.DrivesOn(s, side) + n.GaragesOn(s, side)
	}
	b.sites.looked, b.built.looked = false, false
	b.full, b.parked = [2]fullness{}, [2]answer{}
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
// stretch, and what kinds of homes they are, weighed by their size.
func (a *Assessor) built(st *site) *built {
	b, s := &st.beside.built, st.stretch
	if b.looked {
		return b
	}
	b.looked = true
	b.faces = [2][]face{b.faces[0][:0], b.faces[1][:0]}
	var line geo.Polyline
	plane := geo.PlaneAt(a.net.NodeAt(a.net.Tail(s.Segment(true))))
	weigh, space, all, work := 0.0, 0.0, 0.0, 0.0
	sp := &a.table.spreads
	a.net.BuildingsNear(s, func(x roadnet.Building) bool {
		if line == nil {
			line = plane.Line(a.net.Line(s.Segment(true)))
		}
		size := float64(b.addFaces(plane, line, x.LonE7, x.LatE7))
		all += size
		if x.Kind == extract.BuildingWork {
			work += size
		}
		share := -1.0
		switch x.Kind {
		case extract.BuildingHouse:
			share = sp.SpaceHouse
		case extract.BuildingSemi:
			share = sp.SpaceSemi
		case extract.BuildingTerrace:
			share = sp.SpaceTerrace
		case extract.BuildingFlats:
			share = sp.SpaceFlats
		}
		if share >= 0 {
			weigh, space = weigh+size, space+size*share
		}
		return true
	})
	b.space = sp.SpaceUnsaid
	b.works = work > all/2
	if weigh > 0 {
		b.space = space / weigh
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

// fullness is how much of a kerb parked cars are likely to take at the hour,
// with its spread: from the homes along it, and who can leave a car off the
// road. False where no homes are mapped along the stretch.
func (a *Assessor) fullness(st *site, side int) (mean, sd float64, ok bool) {
	f := &st.beside.full[side]
	if !f.looked {
		f.looked = true
		f.mean, f.sd, f.known = a.fill(st, side)
	}
	return f.mean, f.sd, f.known
}

func (a *Assessor) fill(st *site, side int) (mean, sd float64, ok bool) {
	b, sp := &st.beside, &a.table.spreads
	if b.homes[0]+b.homes[1] == 0 || st.length <= 0 {
		return 0, 0, false
	}
	homes := b.homes[side]
	without := max(homes*(1-a.built(st).space), 0)
	if known := float64(b.offRoad[side]); known > homes-without {
		without = max(homes-known, 0)
	}
	atHome, visiting := a.atHome()
	cars := sp.CarsPerHome * atHome * (without + sp.SpaceUnused*(homes-without))
	room := max(float64(st.length), 20)
	mean = min(cars*sp.CarKerb/room, 1)
	if st.sites().draws {
		mean = min(mean+sp.Visitors*visiting, 1)
	}
	sd = sp.FullnessLeast + sp.FullnessShare*mean
	if al := a.alikeTo(st, a.parked, &st.alikeCars); al.roads > 0 {
		mean, sd = al.likely(mean, sd)
	}
	return mean, sd, true
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
