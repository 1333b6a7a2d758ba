package traffic

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"gonum.org/v1/gonum/integrate"
	"gonum.org/v1/gonum/stat"

	"loopwright/internal/country"
	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/laying"
	"loopwright/internal/roadnet/roadnettest"
	"loopwright/internal/route"
)

// Real extracts: shared ones beside the repository, and two in the test data
// of github.com/paulmach/osm v0.8.0, found through the go command.
const (
	rutland  = "rutland-uk_2022-07-20.osm.pbf"
	delaware = "delaware-latest.osm.pbf"
)

var countryOf = map[string]string{
	rutland: "gb", "rutland-uk_2018-02-27.osm.pbf": "gb", delaware: "us",
	"monaco_2023-11-21.osm.pbf": "right", "andorra-latest.osm.bz2": "right",
}

var moduleTestdata = sync.OnceValue(func() string {
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/paulmach/osm").Output()
	if err != nil {
		return ""
	}
	return filepath.Join(strings.TrimSpace(string(out)), "testdata")
})

// network lays the network of a real extract, or skips.
func realNetwork(t testing.TB, name string) (*roadnet.Network, *country.Profile) {
	t.Helper()
	profile, err := country.ByCode(countryOf[name])
	if err != nil {
		t.Fatal(err)
	}
	for _, dir := range []string{filepath.Join("..", "..", "..", "shared", "extracts"), moduleTestdata()} {
		path := filepath.Join(dir, name)
		if _, err := os.Stat(path); err != nil {
			continue
		}
		x, err := extract.Read(context.Background(), path, extract.Options{Profile: profile})
		if err != nil {
			t.Fatal(err)
		}
		columns, err := laying.Lay(context.Background(), x, 0)
		if err != nil {
			t.Fatal(err)
		}
		columns.About.Country = profile.Code
		n, err := roadnet.New(columns)
		if err != nil {
			t.Fatal(err)
		}
		return n, profile
	}
	t.Skipf("the extract %s is not at hand (../shared/extracts, or the test data of github.com/paulmach/osm)", name)
	return nil, nil
}

// weights are those of a driver who is nearly through learning.
func weights(t testing.TB, n *roadnet.Network, p *country.Profile) *route.Weights {
	t.Helper()
	paces, err := route.Paces()
	if err != nil {
		t.Fatal(err)
	}
	return route.NewWeights(n, p, paces["near-test"])
}

// withheld surveys a network whose roads are all equal: one class, one speed
// of 10 m/s, and so as many homes to the metre on each. It gives the true
// classes beside.
func withheld(n *roadnet.Network) (*surveyed, []extract.Class) {
	ms := make([]uint32, n.NumSegments())
	for s := range ms {
		ms[s] = uint32(100 * n.Length(roadnet.SegmentID(s).Stretch()))
	}
	equal, classes := make([]extract.Class, n.NumStretches()), make([]extract.Class, n.NumStretches())
	for s := range classes {
		equal[s], classes[s] = extract.Residential, classOf(n, roadnet.StretchID(s))
	}
	return survey(n, ms, equal, Facts{}), classes
}

// scores are the scores of all stretches.
func scores(m *surveyed, d *demand, pivots []pivot) []float64 {
	flow := m.bySegment(flowsOf(m.graph, cellsOf(m.graph, m.classes), d, pivots, 0).all)
	out := make([]float64, m.n.NumStretches())
	for s := range out {
		out[s] = both(flow, roadnet.StretchID(s))
	}
	return out
}

// ranking is how well scores tell tertiary roads and better from residential
// ones in built-up areas: the area under the curve of true against false
// positives, by gonum.
func ranking(m *surveyed, classes []extract.Class, scores []float64, rim bool) (auc float64, mains, residential int) {
	type example struct {
		score float64
		main  bool
	}
	var all []example
	for i, c := range classes {
		s := roadnet.StretchID(i)
		if !m.public(s) || !m.built[i] || m.n.NearRim(s) && !rim {
			continue
		}
		switch {
		case mainRoad(c):
			mains++
		case c == extract.Residential:
			residential++
		default:
			continue
		}
		all = append(all, example{scores[i], mainRoad(c)})
	}
	slices.SortFunc(all, func(a, b example) int {
		switch {
		case a.score < b.score:
			return -1
		case a.score > b.score:
			return 1
		}
		return 0
	})
	values, mainOnes := make([]float64, len(all)), make([]bool, len(all))
	for i, e := range all {
		values[i], mainOnes[i] = e.score, e.main
	}
	if mains == 0 || residential == 0 {
		return 0, mains, residential
	}
	tpr, fpr, _ := stat.ROC(nil, values, mainOnes, nil)
	return integrate.Trapezoidal(fpr, tpr), mains, residential
}

// Range and fall were tuned on Delaware alone: see the long tests. Built-up is
// told by the density of roads alone. Andorra and Monaco are reported and not
// asked: Andorra's valleys have one road each, and all of Monaco lies within a
// few hundred metres of its rim.
func TestScoreTellsMainRoadsFromResidential(t *testing.T) {
	for _, c := range []struct {
		file  string
		rim   bool
		least float64
	}{
		{delaware, false, 0.85}, {rutland, false, 0.85}, {"rutland-uk_2018-02-27.osm.pbf", false, 0.85},
		{"andorra-latest.osm.bz2", false, 0}, {"monaco_2023-11-21.osm.pbf", true, 0},
	} {
		t.Run(c.file, func(t *testing.T) {
			if testing.Short() && c.least == 0 || testing.Short() && c.file == delaware {
				t.Skip("the searches take too long under the race detector: left out of short runs")
			}
			n, _ := realNetwork(t, c.file)
			m, classes := withheld(n)
			auc, mains, residential := ranking(m, classes, scores(m, m.demand(), pivotsOf(n, m.graph, m.ends, pivotsLeast)), c.rim)
			t.Logf("AUC %.3f (%d stretches tertiary and better, %d residential)", auc, mains, residential)
			if auc < c.least {
				t.Errorf("AUC %.3f, want %.2f or more", auc, c.least)
			}
		})
	}
}

// spearman is the correlation of ranks; equal values share their mean rank.
func spearman(a, b []float64) float64 { return stat.Correlation(ranks(a), ranks(b), nil) }

func ranks(v []float64) []float64 {
	order := make([]int, len(v))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(i, j int) int {
		switch {
		case v[i] < v[j]:
			return -1
		case v[i] > v[j]:
			return 1
		}
		return 0
	})
	out := make([]float64, len(v))
	for i := 0; i < len(order); {
		k := i
		for k < len(order) && v[order[k]] == v[order[i]] {
			k++
		}
		for _, o := range order[i:k] {
			out[o] = float64(i+k-1) / 2
		}
		i = k
	}
	return out
}

// The order of samples is that of all sources, over all public stretches, with
// the true driving times.
func TestSamplesRankAsAllSources(t *testing.T) {
	n, p := realNetwork(t, rutland)
	m := surveyOf(n, weights(t, n, p), FactsOf(n))
	var public []int
	for s := range n.NumStretches() {
		if m.public(roadnet.StretchID(s)) {
			public = append(public, s)
		}
	}
	sample := func(count int) ([]float64, int) {
		pivots := pivotsOf(n, m.graph, m.ends, count)
		all := scores(m, m.demand(), pivots)
		var out []float64
		for _, s := range public {
			out = append(out, all[s])
		}
		return out, len(pivots)
	}
	exact, sources := sample(0)
	for _, count := range []int{125, 250, 500, pivotsLeast} {
		got, pivots := sample(count)
		rho := spearman(got, exact)
		t.Logf("%d pivots of %d sources: Spearman %.4f over %d stretches", pivots, sources, rho, len(public))
		if count >= 500 && rho < 0.95 {
			t.Errorf("%d pivots: Spearman %.3f, want 0.95 or more", pivots, rho)
		}
	}
}

// The bytes of the section are the same with one and with eight workers.
func TestWorkersChangeNothing(t *testing.T) {
	same := func(t *testing.T, n *roadnet.Network, p *country.Profile) {
		w, facts := weights(t, n, p), FactsOf(n)
		one := Measure(n, w, facts, 1).Encode()
		for range 3 {
			if !slices.Equal(Measure(n, w, facts, 8).Encode(), one) {
				t.Fatal("eight workers give other bytes than one")
			}
		}
	}
	t.Run("ring", func(t *testing.T) { same(t, roadnettest.Parse(t, ring), gb(t)) })
	t.Run("Rutland", func(t *testing.T) {
		n, p := realNetwork(t, rutland)
		same(t, n, p)
	})
}
