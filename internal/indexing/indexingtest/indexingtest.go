// Package indexingtest lays extracts for the tests of whatever works on a
// network: real ones, which lie beside the repository or in the test data of a
// module and are not always there, and any other file.
package indexingtest

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

// Files of real extracts in ../shared/extracts.
const (
	Rutland2018 = "rutland-uk_2018-02-27.osm.pbf"
	Rutland2022 = "rutland-uk_2022-07-20.osm.pbf"
	Neukolln    = "berlin-neukoelln_2024-03-28.osm"
)

// Shared is the path of a file in ../shared/extracts. Where it is absent the
// test is skipped. The test runs in its package's folder, as go test has it.
func Shared(t testing.TB, name string) string {
	t.Helper()
	root, err := filepath.Abs(".")
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, err := os.Stat(filepath.Join(root, "go.mod")); err == nil {
			break
		}
		if filepath.Dir(root) == root {
			t.Fatal("no go.mod above the test's folder")
		}
		root = filepath.Dir(root)
	}
	return present(t, filepath.Join(root, "..", "shared", "extracts", name))
}

// InModule is the path of a file in the test data of github.com/paulmach/osm.
// Where it is absent the test is skipped.
func InModule(t testing.TB, name string) string {
	t.Helper()
	dir, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/paulmach/osm").Output()
	if err != nil {
		t.Skipf("the module cache can't be asked for %s: %v", name, err)
	}
	return present(t, filepath.Join(strings.TrimSpace(string(dir)), "testdata", name))
}

func present(t testing.TB, path string) string {
	t.Helper()
	if _, err := os.Stat(path); err != nil {
		t.Skipf("the extract is not at hand: %v", err)
	}
	return path
}

// Lay reads an extract and lays its network, for a country's code. It fails the
// test where that can't be done.
func Lay(t testing.TB, path, code string) (*roadnet.Network, *country.Profile) {
	t.Helper()
	p, err := country.ByCode(code)
	if err != nil {
		t.Fatal(err)
	}
	x, err := extract.Read(context.Background(), path, extract.Options{Profile: p})
	if err != nil {
		t.Fatal(err)
	}
	n, err := indexing.Build(context.Background(), x, p, indexing.Options{ExtractPath: path})
	if err != nil {
		t.Fatal(err)
	}
	return n, p
}
