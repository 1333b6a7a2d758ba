package indexing_test

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"loopwright/internal/roadnet"
)

// The index of one extract is the same to the byte with 1 and 8 workers.
func TestSameBytes(t *testing.T) {
	for _, r := range reals(t) {
		if r.name == "Andorra" && testing.Short() {
			continue // bzip2 takes seconds
		}
		t.Run(r.name, func(t *testing.T) {
			var files [2][]byte
			for i, workers := range [2]int{1, 8} {
				path := filepath.Join(t.TempDir(), "same.idx")
				if err := roadnet.Write(path, r.build(t, workers)); err != nil {
					t.Fatal(err)
				}
				b, err := os.ReadFile(path)
				if err != nil {
					t.Fatal(err)
				}
				files[i] = b
			}
			if !bytes.Equal(files[0], files[1]) {
				t.Error("8 workers make another index than 1")
			}
		})
	}
}
