package indexing_test

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"loopwright/internal/country"
	"loopwright/internal/extract"
	"loopwright/internal/indexing"
	"loopwright/internal/roadnet"
)

// real is a real extract that the tests use where it is at hand.
type real struct{ name, path, country string }

// reals are the extracts beside the repository and those that the module cache
// holds. Tests skip the ones that are not there.
func reals(t testing.TB) []real {
	t.Helper()
	shared := filepath.Join("..", "..", "..", "shared", "extracts")
	list := []real{
		{"Rutland 2022", filepath.Join(shared, "rutland-uk_2022-07-20.osm.pbf"), "gb"},
		{"Rutland 2018", filepath.Join(shared, "rutland-uk_2018-02-27.osm.pbf"), "gb"},
		{"Monaco", filepath.Join(shared, "monaco_2023-11-21.osm.pbf"), "right"},
		{"Neukölln", filepath.Join(shared, "berlin-neukoelln_2024-03-28.osm"), "de"},
	}
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/paulmach/osm").Output()
	if dir := strings.TrimSpace(string(out)); err == nil && dir != "" {
		list = append(list,
			real{"Delaware", filepath.Join(dir, "testdata", "delaware-latest.osm.pbf"), "us"},
			real{"Andorra", filepath.Join(dir, "testdata", "andorra-latest.osm.bz2"), "right"})
	}
	return list
}

func (r real) read(t testing.TB, workers int) (*extract.Extract, *country.Profile) {
	t.Helper()
	if _, err := os.Stat(r.path); err != nil {
		t.Skipf("the extract of %s is not at hand: %v", r.name, err)
	}
	p, err := country.ByCode(r.country)
	if err != nil {
		t.Fatal(err)
	}
	x, err := extract.Read(context.Background(), r.path, extract.Options{Profile: p, Workers: workers})
	if err != nil {
		t.Fatal(err)
	}
	return x, p
}

func (r real) build(t testing.TB, workers int) *roadnet.Network {
	t.Helper()
	x, p := r.read(t, workers)
	n, err := buildFrom(x, p, workers)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

func buildFrom(x *extract.Extract, p *country.Profile, workers int) (*roadnet.Network, error) {
	return indexing.Build(context.Background(), x, p, indexing.Options{Workers: workers, ExtractPath: "extract.osm.pbf"})
}

// Every real extract is indexed, written and opened, and says the same after.
func TestRealExtracts(t *testing.T) {
	for _, r := range reals(t) {
		t.Run(r.name, func(t *testing.T) {
			n := r.build(t, 2)
			t.Setenv("XDG_CACHE_HOME", t.TempDir()) // where opening remembers
			t.Setenv("HOME", t.TempDir())
			path := filepath.Join(t.TempDir(), "real.idx")
			if err := roadnet.Write(path, n); err != nil {
				t.Fatal(err)
			}
			opened, err := roadnet.Open(path)
			if err != nil {
				t.Fatal(err)
			}
			defer opened.Close()
			core, rim, kinds := 0, 0, map[string]int{}
			for s := range roadnet.StretchID(opened.NumStretches()) {
				if opened.InCore(s) {
					core++
				}
				if opened.NearRim(s) {
					rim++
				}
			}
			for j := range roadnet.JunctionID(opened.NumJunctions()) {
				kinds[opened.Junction(j).Kind.String()]++
			}
			info, _ := os.Stat(path)
			t.Logf("%d stretches (%d in the core, %d near the rim), %d nodes, %d states, %d turns, %d addresses, %v, %+v, %d bytes",
				opened.NumStretches(), core, rim, opened.NumNodes(), opened.NumStates(), opened.NumTurns(), opened.NumAddresses(), kinds, opened.About().Made, info.Size())
			if core == 0 || core == opened.NumStretches() {
				t.Errorf("%d of %d stretches are in the core", core, opened.NumStretches())
			}
		})
	}
}
