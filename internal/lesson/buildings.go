package lesson

import (
	"cmp"
	"slices"

	"github.com/paulmach/orb"

	"loopwright/internal/circuit"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// Buildings on a circuit's map. Our choice: those that one sees from where one
// practises, and what stands at a turn with a landmark; some 20 kB of a file.
const (
	besidePlace    geo.Metres = 60
	atPlace        int        = 15
	besideLandmark geo.Metres = 30
	atLandmark     int        = 5
	mostBuildings  int        = 150
	mostCorners    int        = 40 // a building of more is left out
)

// buildings are the nearest ones of each place to practise and of each turn that
// is known by a landmark; each once.
func buildings(n *roadnet.Network, c *circuit.Circuit) []circuit.Building {
	type outline struct{ lon, lat int32 } // of its first corner, which no other has
	var out []circuit.Building
	taken := map[outline]bool{}
	near := func(at orb.Point, within geo.Metres, most int) {
		type seen struct {
			roadnet.Building
			away geo.Metres
		}
		var all []seen
		found := map[outline]bool{}
		n.Within(grown(at.Bound(), within), func(s roadnet.StretchID) bool {
			n.BuildingsNear(s, func(b roadnet.Building) bool {
				if key := (outline{b.LonE7[0], b.LatE7[0]}); !found[key] && len(b.LonE7) >= 4 && len(b.LonE7) <= mostCorners {
					found[key] = true
					if away := awayFrom(b, at); away <= within {
						all = append(all, seen{b, away})
					}
				}
				return true
			})
			return true
		})
		slices.SortFunc(all, func(a, b seen) int {
			return cmp.Or(cmp.Compare(a.away, b.away), cmp.Compare(a.LonE7[0], b.LonE7[0]), cmp.Compare(a.LatE7[0], b.LatE7[0]))
		})
		for _, b := range all[:min(most, len(all))] {
			if key := (outline{b.LonE7[0], b.LatE7[0]}); !taken[key] && len(out) < mostBuildings {
				taken[key] = true
				out = append(out, circuit.Building{Outline: outlineOf(b.Building)})
			}
		}
	}
	for _, p := range c.Practices() {
		near(p.At, besidePlace, atPlace)
		for _, b := range p.Backups {
			near(b.At, besidePlace, atPlace)
		}
	}
	for _, s := range c.Steps {
		if len(s.Moves) > 0 && slices.ContainsFunc(s.Moves, func(m circuit.Move) bool { return m.Past != "" }) {
			near(c.TurnAt(s), besideLandmark, atLandmark)
		}
	}
	return out
}

// awayFrom is how far the nearest corner of a building is.
func awayFrom(b roadnet.Building, at orb.Point) geo.Metres {
	least := geo.Distance(at, corner(b, 0))
	for i := range b.LonE7 {
		least = min(least, geo.Distance(at, corner(b, i)))
	}
	return least
}

func corner(b roadnet.Building, i int) orb.Point {
	return orb.Point{float64(b.LonE7[i]) / 1e7, float64(b.LatE7[i]) / 1e7}
}

func outlineOf(b roadnet.Building) orb.Ring {
	ring := make(orb.Ring, len(b.LonE7))
	for i := range ring {
		ring[i] = corner(b, i)
	}
	if !ring.Closed() {
		ring = append(ring, ring[0])
	}
	if ring.Orientation() == orb.CW {
		ring.Reverse()
	}
	return ring
}
