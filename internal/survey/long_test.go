//go:build long

package survey

import (
	"math/rand/v2"
	"testing"

	"loopwright/internal/extract"
	"loopwright/internal/indexing/indexingtest"
	"loopwright/internal/roadnet"
)

// Other areas: what is reached is held. In larger ones an hour passes too few of
// the roads in doubt to lower the score by three tenths, but lowers it by more than
// the most doubtful roads do, which lie far apart; in small ones any drive sees most.
func TestSurveyDrivesInOtherAreas(t *testing.T) {
	o := town(t)
	settles(t, o, held{"Merrack Avenue", 240, [3]float64{0.18, 0.12, 0.16}, 1.2, 1.3})
	settles(t, o, held{"Merrack Avenue", 300, [3]float64{0.14, 0.12, 0.12}, 1.2, 1.3})
	settles(t, o, held{"Harrowmere Road", 180, [3]float64{0.16, 0.24, 0.22}, 0.9, 0.8})
	settles(t, o, held{"Harrowmere Road", 300, [3]float64{0.15, 0.09, 0.1}, 1.1, 1.1})
	settles(t, o, held{"Eastlands Road", 180, [3]float64{0.08, 0.02, 0.03}, 0.25, 0})
	settles(t, o, held{"Eastlands Road", 300, [3]float64{0.05, 0.05, 0.05}, 0.8, 1})
}

func TestSurveyDrivesInRealPlaces(t *testing.T) {
	for _, c := range []struct {
		file, country string
		least         int // roads of a drive
	}{
		{indexingtest.Rutland2022, "gb", 15},
		{"monaco_2023-11-21.osm.pbf", "right", 3}, // narrow, one-way or plainly fit: little is in doubt
	} {
		t.Run(c.file, func(t *testing.T) {
			path := indexingtest.Shared(t, c.file)
			n, p := indexingtest.Lay(t, path, c.country)
			n, w := measured(t, n, p)
			const seed = 3
			random := rand.New(rand.NewPCG(seed, 1))
			var starts []roadnet.Position
			for len(starts) < 4 {
				s := roadnet.StretchID(random.IntN(n.NumStretches()))
				if n.PieceAt(s, 0).Attributes.Class == extract.Residential && n.InCore(s) && n.Length(s) > 60 && w.Open(s.Segment(true)) {
					starts = append(starts, roadnet.Position{Segment: s.Segment(true), Along: n.Length(s) / 2})
				}
			}
			t.Logf("seed %d", seed)
			walks(t, n, p, w, path, starts, c.least)
		})
	}
}
