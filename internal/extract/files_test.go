package extract

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"loopwright/internal/country"
	"loopwright/internal/geo"
)

// Real extracts: shared ones beside the repository, and two in the test data
// of github.com/paulmach/osm, found through the go command.
var realFiles = []string{
	"rutland-uk_2018-02-27.osm.pbf", "rutland-uk_2022-07-20.osm.pbf", "monaco_2023-11-21.osm.pbf",
	"berlin-neukoelln_2024-03-28.osm", "andorra-latest.osm.bz2", "delaware-latest.osm.pbf",
}

var moduleTestdata = sync.OnceValue(func() string {
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/paulmach/osm").Output()
	if err != nil {
		return ""
	}
	return filepath.Join(strings.TrimSpace(string(out)), "testdata")
})

// realFile gives the path of a real extract, or skips.
func realFile(t testing.TB, name string) string {
	t.Helper()
	for _, dir := range []string{filepath.Join("..", "..", "..", "shared", "extracts"), moduleTestdata()} {
		if dir == "" {
			continue
		}
		path := filepath.Join(dir, name)
		if _, err := os.Stat(path); err == nil {
			return path
		}
	}
	t.Skipf("the extract %s is not at hand (../shared/extracts, or the test data of github.com/paulmach/osm)", name)
	return ""
}

// britain is a profile of the tests' own: limits of The Highway Code, rule
// 124, and the Welsh default of 20 mph since September 2023; the border box is
// a rough one round Wales and the Marches.
func britain() *country.Profile {
	return &country.Profile{
		Code: "gb", DrivesLeft: true, SignsInMph: true,
		LimitTags: map[string]geo.MetresPerSecond{"GB:nsl_single": 60 * geo.MilePerHour, "GB:nsl_dual": 70 * geo.MilePerHour},
		Defaults: country.Defaults{
			BuiltUp: 30 * geo.MilePerHour, RuralSingle: 60 * geo.MilePerHour, RuralDual: 70 * geo.MilePerHour, Motorway: 70 * geo.MilePerHour,
			StreetLightsDecide: true,
			Borders:            []country.Border{{Box: country.Box{West: -5.5, South: 51.3, East: -2.6, North: 53.5}, Name: "Wales", Other: 20 * geo.MilePerHour}},
		},
	}
}

// germany likewise: StVO § 3.
func germany() *country.Profile {
	return &country.Profile{
		Code: "de",
		Defaults: country.Defaults{
			BuiltUp: 50 * geo.KilometrePerHour, RuralSingle: 100 * geo.KilometrePerHour, RuralDual: 130 * geo.KilometrePerHour,
			Motorway: 130 * geo.KilometrePerHour, LivingStreet: 7 * geo.KilometrePerHour,
		},
	}
}

func mustRead(t testing.TB, path string, p *country.Profile, workers int) *Extract {
	t.Helper()
	e, err := Read(context.Background(), path, Options{Profile: p, Workers: workers})
	if err != nil {
		t.Fatal(err)
	}
	return e
}
