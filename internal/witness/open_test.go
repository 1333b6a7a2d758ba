package witness

import (
	"os/exec"
	"path/filepath"
	"testing"
)

// Open reads every extract that is at hand; it is what the planner's tests
// stand on, so it must not be empty.
func TestOpenReadsRealExtracts(t *testing.T) {
	if _, err := exec.LookPath("osmium"); err != nil {
		t.Skip("osmium-tool is not installed: the real extracts can't be read from outside")
	}
	files, _ := filepath.Glob("../../../shared/extracts/*.osm*")
	if len(files) == 0 {
		t.Skip("no extracts in ../shared/extracts")
	}
	for _, f := range files {
		w, err := Open(f)
		if err != nil {
			t.Error(err)
			continue
		}
		t.Logf("%s: %d ways, %d nodes, %d restrictions", filepath.Base(f), len(w.ways), len(w.nodes), len(w.restrictions))
		if len(w.ways) < 200 || len(w.nodes) < len(w.ways) {
			t.Errorf("%s: too little read", f)
		}
	}
}
