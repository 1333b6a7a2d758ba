package extract

import (
	"io"
	"os"
	"runtime"
	"testing"
	"time"

	"github.com/qedus/osmpbf"
)

// BenchmarkReadDelaware reads a whole state and reports the ratio of its time
// to that of a floor taken in the same loop: github.com/qedus/osmpbf merely
// decoding the same file with the same number of workers.
func BenchmarkReadDelaware(b *testing.B) {
	path := realFile(b, "delaware-latest.osm.pbf")
	var ours, floor time.Duration
	b.ReportAllocs()
	for b.Loop() {
		start := time.Now()
		mustRead(b, path, britain(), 0)
		middle := time.Now()
		if os.Getenv("NOQ") == "" {
			decodeOnly(b, path)
		}
		ours, floor = ours+middle.Sub(start), floor+time.Since(middle)
	}
	b.ReportMetric(float64(ours)/float64(floor), "ratio")
	b.ReportMetric(float64(ours.Milliseconds())/float64(b.N), "ms/read")
}

func decodeOnly(b *testing.B, path string) {
	file, err := os.Open(path)
	if err != nil {
		b.Fatal(err)
	}
	defer file.Close()
	d := osmpbf.NewDecoder(file)
	d.SetBufferSize(osmpbf.MaxBlobSize)
	if err := d.Start(runtime.GOMAXPROCS(0)); err != nil {
		b.Fatal(err)
	}
	for {
		if _, err := d.Decode(); err == io.EOF {
			return
		} else if err != nil {
			b.Fatal(err)
		}
	}
}
