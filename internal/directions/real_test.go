package directions_test

import (
	"math/rand/v2"
	"os"
	"testing"

	"loopwright/internal/country"
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/indexing/indexingtest"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// reals are extracts that stand beside the project, where they are at hand.
// atMost is how many sentences in a thousand may be taken otherwise by the
// driver of the test, whose eyes are not the program's; our choice. Monaco's
// streets lie above one another and meet at every angle.
var reals = []struct {
	name, path, code string
	atMost           float64
}{
	{"rutland", "../../../shared/extracts/rutland-uk_2022-07-20.osm.pbf", "gb", 3},
	{"monaco", "../../../shared/extracts/monaco_2023-11-21.osm.pbf", "right", 20},
	{"neukölln", "../../../shared/extracts/berlin-neukoelln_2024-03-28.osm", "de", 3},
}

// openReal indexes a real extract, or skips.
func openReal(t testing.TB, path, code string) (*roadnet.Network, *country.Profile) {
	t.Helper()
	if _, err := os.Stat(path); err != nil {
		t.Skipf("the extract %s is not at hand", path)
	}
	return indexingtest.Lay(t, path, code)
}

// randomDrives are quickest drives of five minutes or so between seeded
// positions on public roads of the through core.
func randomDrives(t testing.TB, n *roadnet.Network, p *country.Profile, seed uint64, count int) (*route.Weights, []route.Path) {
	t.Helper()
	paces, err := route.Paces()
	if err != nil {
		t.Fatal(err)
	}
	w := route.NewWeights(n, p, paces["middle"])
	f := route.NewFinder(w)
	r := rand.New(rand.NewPCG(seed, 7))
	position := func() roadnet.Position {
		for {
			s := roadnet.StretchID(r.IntN(n.NumStretches()))
			segment := s.Segment(r.IntN(2) == 0)
			if n.InCore(s) && w.Open(segment) && n.Zone(s) == 0 && n.Length(s) > 40 && n.PieceAt(s, 0).Attributes.Class >= extract.Tertiary {
				return roadnet.Position{Segment: segment, Along: n.Length(s) * geo.Metres(0.2+0.6*r.Float64())}
			}
		}
	}
	var out []route.Path
	for len(out) < count {
		tree := f.From(position(), 600, route.Options{})
		for range 200 {
			if path, ok := tree.Path(position()); ok && path.Ms > 120_000 {
				out = append(out, path)
				break
			}
		}
	}
	return w, out
}
