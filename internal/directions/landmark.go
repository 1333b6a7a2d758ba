package directions

import (
	"github.com/paulmach/orb"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// landmarks are what a driver knows at a glance, best first: on the road, or
// beside it.
var landmarks = [...]struct {
	name    string // in the table
	feature extract.Feature
	site    extract.SiteKind
}{
	{"post-box", extract.PostBox, extract.SitePostBox},
	{"zebra", extract.CrossingZebra, extract.SiteUnknown},
	{"level-crossing", extract.LevelCrossing, extract.SiteUnknown},
	{"rail-bridge", 0, extract.SiteRailBridge},
	{"church", 0, extract.SiteChurch},
	{"pub", 0, extract.SitePub},
	{"fuel", 0, extract.SiteFuel},
	{"supermarket", 0, extract.SiteSupermarket},
	{"fire-station", 0, extract.SiteFireStation},
	{"post-office", 0, extract.SitePostOffice},
	{"chemist", 0, extract.SiteChemist},
	{"bakery", 0, extract.SiteBakery},
	{"butcher", 0, extract.SiteButcher},
	{"library", 0, extract.SiteLibrary},
	{"school", 0, extract.SiteSchool},
	{"bus-stop", extract.BusStop, extract.SiteUnknown},
}

// How near the turn a thing must stand for "just past" it, and how near another
// one is the same thing mapped twice. Our choice.
const (
	nearLandmark = 30 * geo.Metres(1)
	mappedTwice  = 8 * geo.Metres(1)
)

// landmark is what stands just before a turn and nowhere else between it and
// where it is spoken of.
func (w *writer) landmark(from, to geo.Metres) string {
	for _, l := range landmarks {
		var at []geo.Metres
		seen := func(offset geo.Metres) {
			for _, o := range at {
				if d := offset - o; d < mappedTwice && d > -mappedTwice {
					return
				}
			}
			at = append(at, offset)
		}
		if l.feature != 0 {
			w.things(from, to, func(offset geo.Metres, features extract.Feature) {
				if features&l.feature != 0 {
					seen(offset)
				}
			})
		}
		if l.site != extract.SiteUnknown {
			w.sites(l.site, from, to, seen)
		}
		if len(at) == 1 && to-at[0] < nearLandmark {
			return w.words.things[l.name]
		}
	}
	return ""
}

// sites visits what is of a kind beside the run between two offsets: where the
// car has all of it behind.
func (r *run) sites(kind extract.SiteKind, from, to geo.Metres, visit func(geo.Metres)) {
	for i, s := range r.segments {
		start, length := r.starts[i], r.n.Length(s.Stretch())
		if start+length <= from || start >= to {
			continue
		}
		middle, _ := r.n.At(roadnet.Position{Segment: s, Along: length / 2})
		plane := geo.PlaneAt(middle)
		road := plane.Line(r.n.Line(s))
		for _, site := range r.n.SitesWithin(kind, middle, length/2+besideRoad) {
			lon, lat := r.n.SiteShape(site.ID)
			near, last := besideRoad, geo.Metres(0)
			for k := range lon {
				along, away, _ := road.Nearest(plane.To(orb.Point{float64(lon[k]) / 1e7, float64(lat[k]) / 1e7}))
				near, last = min(near, away), max(last, along)
			}
			if at := start + last; near < besideRoad && at > from && at < to {
				visit(at)
			}
		}
	}
}

// besideRoad is how far from the middle of the road a landmark may stand: our
// choice, farther off a driver does not look.
const besideRoad = 30 * geo.Metres(1)

// things visits what stands along the run between two offsets.
func (r *run) things(from, to geo.Metres, visit func(geo.Metres, extract.Feature)) {
	for i, s := range r.segments {
		length := r.n.Length(s.Stretch())
		if r.starts[i]+length <= from || r.starts[i] >= to {
			continue
		}
		for _, thing := range r.n.Things(s.Stretch()) {
			at := r.starts[i] + thing.Along
			if !s.Forward() {
				at = r.starts[i] + length - thing.Along
			}
			if at > from && at < to {
				visit(at, thing.Features)
			}
		}
	}
}
