package indexing_test

import (
	"io"
	"os"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"github.com/qedus/osmpbf"

	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
)

func delaware(b *testing.B) real {
	b.Helper()
	for _, r := range reals(b) {
		if r.name == "Delaware" {
			return r
		}
	}
	b.Skip("the extract of Delaware is not at hand")
	return real{}
}

// BenchmarkIndexDelaware reads, builds and writes a whole state. The floor, in
// the same loop, is github.com/qedus/osmpbf merely decoding the same file with
// the same number of workers.
func BenchmarkIndexDelaware(b *testing.B) {
	r := delaware(b)
	path := filepath.Join(b.TempDir(), "delaware.idx")
	var whole, build, floor time.Duration
	b.ReportAllocs()
	for b.Loop() {
		start := time.Now()
		x, p := r.read(b, 0)
		read := time.Now()
		n, err := buildFrom(x, p, 0)
		if err != nil {
			b.Fatal(err)
		}
		if err := roadnet.Write(path, n); err != nil {
			b.Fatal(err)
		}
		end := time.Now()
		decodeOnly(b, r.path)
		whole, build, floor = whole+end.Sub(start), build+end.Sub(read), floor+time.Since(end)
	}
	b.ReportMetric(float64(whole)/float64(floor), "ratio")
	b.ReportMetric(float64(whole.Milliseconds())/float64(b.N), "ms/index")
	b.ReportMetric(float64(build.Milliseconds())/float64(b.N), "ms/build+write")
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

// BenchmarkOpenDelaware opens an index that was found good before. The floor
// is reading the file's bytes.
func BenchmarkOpenDelaware(b *testing.B) {
	path := filepath.Join(b.TempDir(), "delaware.idx")
	if err := roadnet.Write(path, delaware(b).build(b, 0)); err != nil {
		b.Fatal(err)
	}
	b.Setenv("XDG_CACHE_HOME", b.TempDir()) // where opening remembers
	b.Setenv("HOME", b.TempDir())
	open := func() {
		n, err := roadnet.Open(path)
		if err != nil {
			b.Fatal(err)
		}
		n.Close()
	}
	start := time.Now()
	open() // verifies and remembers
	b.Logf("first opening: %v", time.Since(start))
	var ours, floor time.Duration
	for b.Loop() {
		start := time.Now()
		open()
		middle := time.Now()
		if _, err := os.ReadFile(path); err != nil {
			b.Fatal(err)
		}
		ours, floor = ours+middle.Sub(start), floor+time.Since(middle)
	}
	b.ReportMetric(float64(ours)/float64(floor), "ratio")
	b.ReportMetric(float64(ours.Microseconds())/float64(b.N)/1000, "ms/open")
}

// BenchmarkBesideDelaware asks for the schools, shops and stations within 400 m
// of every hundredth stretch, and for its homes, stops and buildings. The floor
// is asking for the stretch nearest to its middle.
func BenchmarkBesideDelaware(b *testing.B) {
	n := delaware(b).build(b, 0)
	var ours, floor time.Duration
	asked := 0
	for b.Loop() {
		for s := roadnet.StretchID(0); int(s) < n.NumStretches(); s += 100 {
			at, _ := n.At(roadnet.Position{Segment: s.Segment(true), Along: n.Length(s) / 2})
			start := time.Now()
			for _, kind := range [...]extract.SiteKind{extract.SiteSchool, extract.SiteShop, extract.SiteStation} {
				n.SitesWithin(kind, at, 400)
			}
			n.HomesOn(s, roadnet.Both)
			n.StopsOn(s)
			n.BuildingsNear(s, func(roadnet.Building) bool { return true })
			middle := time.Now()
			n.Nearest(at, 50, nil)
			ours, floor = ours+middle.Sub(start), floor+time.Since(middle)
			asked++
		}
	}
	b.ReportMetric(float64(ours)/float64(floor), "ratio")
	b.ReportMetric(float64(ours.Nanoseconds())/float64(asked)/1000, "µs/stretch")
}
