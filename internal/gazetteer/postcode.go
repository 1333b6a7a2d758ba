package gazetteer

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// onePlace is how far the addresses of a postcode may lie apart and still be
// one place to start from: our choice. A British postcode covers some fifteen
// houses; those of other countries a whole town.
const onePlace geo.Metres = 400

// compact is a postcode without spaces and hyphens, in capitals.
func compact(code string) string {
	return strings.ToUpper(strings.NewReplacer(" ", "", "-", "").Replace(code))
}

// postcode reads a postcode that the map has.
func (s *seeker) postcode() (Result, bool, error) {
	code := compact(s.words)
	if !strings.ContainsAny(code, "0123456789") {
		return Result{}, false, nil
	}
	var all []orb.Point
	byStreet := make(map[string][]orb.Point)
	for a := range s.n.Addresses() {
		if a.Postcode != "" && compact(a.Postcode) == code {
			all = append(all, a.At)
			byStreet[a.Street] = append(byStreet[a.Street], a.At)
		}
	}
	if len(all) == 0 {
		return Result{}, false, nil
	}
	middle, spread := heart(all)
	if spread <= onePlace || len(byStreet) == 1 {
		street := ""
		if len(byStreet) == 1 {
			for name := range byStreet {
				street = name
			}
		}
		if r, ok := s.beside(middle, street); ok {
			return r, true, nil
		}
		return Result{}, false, &NotFound{s.words, "the postcode is on the map, but no road that a learner's car may drive lies within 200 m of it; give a road"}
	}
	return s.postcodeStreets(byStreet)
}

// postcodeStreets asks for the street where a postcode covers many.
func (s *seeker) postcodeStreets(byStreet map[string][]orb.Point) (Result, bool, error) {
	var streets []string
	for street := range byStreet {
		if street != "" {
			streets = append(streets, street)
		}
	}
	slices.SortFunc(streets, func(a, b string) int {
		return cmp.Or(cmp.Compare(len(byStreet[b]), len(byStreet[a])), cmp.Compare(a, b))
	})
	var matches []Match
	for _, street := range streets {
		middle, _ := heart(byStreet[street])
		if r, ok := s.beside(middle, street); ok {
			matches = append(matches, Match{street, r})
		}
	}
	if len(matches) == 0 {
		return Result{}, false, &NotFound{s.words, "the postcode covers a whole district; give a road in it"}
	}
	return Result{}, false, s.ambiguous(fmt.Sprintf("covers %d streets", len(matches)), matches)
}

// heart finds the address nearest to the mean of some, and the length of the
// diagonal of their box.
func heart(addresses []orb.Point) (middle orb.Point, spread geo.Metres) {
	box := orb.MultiPoint(addresses).Bound()
	var mean orb.Point
	for _, a := range addresses {
		mean = orb.Point{mean.Lon() + a.Lon()/float64(len(addresses)), mean.Lat() + a.Lat()/float64(len(addresses))}
	}
	middle = slices.MinFunc(addresses, func(a, b orb.Point) int {
		return cmp.Or(cmp.Compare(geo.Distance(a, mean), geo.Distance(b, mean)), cmp.Compare(a.Lon(), b.Lon()), cmp.Compare(a.Lat(), b.Lat()))
	})
	return middle, geo.Distance(box.Min, box.Max)
}

// beside finds the kerb of the nearest road to an address: of its own street,
// if that is named on the map.
func (s *seeker) beside(address orb.Point, street string) (Result, bool) {
	folded := fold(street)
	own := func(stretch roadnet.StretchID) bool {
		return folded != "" && s.drivable(stretch) && fold(s.n.Name(s.n.NameOf(stretch))) == folded
	}
	for _, accept := range []func(roadnet.StretchID) bool{own, s.drivable} {
		if stretch, along, _, left, ok := s.n.Nearest(address, nearRoad, accept); ok {
			return s.standing(stretch, along, left), true
		}
	}
	return Result{}, false
}
