package web_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb/maptile"

	"loopwright/internal/browsertest"
	"loopwright/internal/desk"
	"loopwright/internal/web"
)

// BenchmarkTiles cuts tiles of Delaware (test data of github.com/paulmach/osm)
// that nobody has asked for yet, zooms 13 to 17, around its towns. p95 is the
// 95th percentile; the floor is an answer without a tile in it.
func BenchmarkTiles(b *testing.B) {
	dir, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/paulmach/osm").Output()
	if err != nil {
		b.Skip("the module cache can't be asked")
	}
	extract := filepath.Join(strings.TrimSpace(string(dir)), "testdata", "delaware-latest.osm.pbf")
	if _, err := os.Stat(extract); err != nil {
		b.Skipf("extract not at hand: %v", err)
	}
	index := filepath.Join(b.TempDir(), "delaware.idx")
	if _, err := desk.Index(context.Background(), desk.IndexRequest{Extract: extract, Out: index, NoQuiet: true}); err != nil {
		b.Fatal(err)
	}
	d, err := desk.Open(index)
	if err != nil {
		b.Fatal(err)
	}
	settlements := d.Settlements()
	opened := make(chan struct{})
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	h := web.New(ctx, web.Config{Kept: desk.KeepIn(b.TempDir()), Page: page, Now: time.Now, Open: func(context.Context, desk.Progress) (*desk.Desk, error) {
		close(opened)
		return d, nil
	}}).Handler(&net.TCPAddr{IP: net.IPv4(127, 0, 0, 1), Port: 8080})
	<-opened
	for !strings.Contains(send(h, "GET", "/api/map", "", nil).Body.String(), `"state":"open"`) {
		time.Sleep(time.Millisecond)
	}
	digest, _ := mapOf(b, h)
	rng := rand.New(rand.NewPCG(1, 17))
	var took []time.Duration
	for b.Loop() {
		z := maptile.Zoom(13 + rng.IntN(5))
		at := settlements[rng.IntN(len(settlements))].At
		t := maptile.At(at, z)
		path := fmt.Sprintf("/tiles/%s/%d/%d/%d.mvt", digest, z, t.X+uint32(rng.IntN(3)), t.Y+uint32(rng.IntN(3)))
		begin := time.Now()
		if w := send(h, "GET", path, "", nil); w.Code != http.StatusOK {
			b.Fatalf("%s: %d", path, w.Code)
		}
		took = append(took, time.Since(begin))
	}
	var floor []time.Duration
	for range 100 {
		begin := time.Now()
		send(h, "GET", "/tiles/none/13/0/0.mvt", "", nil)
		floor = append(floor, time.Since(begin))
	}
	b.ReportMetric(float64(at95(took).Microseconds())/1000, "p95-ms")
	b.ReportMetric(float64(at95(took))/float64(at95(floor)), "p95/floor")
}

// BenchmarkFirstPaint opens the page on the invented town, from a server that
// has shown it before, in a browser that keeps nothing: from the start of the
// navigation to the first paint of anything but the background (first-contentful-paint
// of the W3C's Paint Timing), and to when the map stands there whole. The floor
// is the first paint of an answer in plain text of the same server. Medians.
func BenchmarkFirstPaint(b *testing.B) {
	index, err := town()
	if err != nil {
		b.Fatal(err)
	}
	at := serve(b, index)
	p := browsertest.Start(b).Open(b, "about:blank")
	p.Forget()
	p.Resize(1280, 800)
	paint := func(path, until string) float64 {
		p.Go(at + path)
		p.Until("performance.getEntriesByName('first-contentful-paint').length && " + until)
		return browsertest.Eval[float64](p, "performance.getEntriesByName('first-contentful-paint')[0].startTime")
	}
	const drawn = "performance.getEntriesByName('map-drawn').length"
	paint("/", drawn)
	var first, whole, floor []float64
	for b.Loop() {
		first = append(first, paint("/", drawn))
		whole = append(whole, browsertest.Eval[float64](p, "performance.getEntriesByName('map-drawn')[0].startTime"))
		floor = append(floor, paint("/api/names", "true"))
	}
	median := func(all []float64) float64 { slices.Sort(all); return all[len(all)/2] }
	b.ReportMetric(median(first), "paint-ms")
	b.ReportMetric(median(whole), "map-ms")
	b.ReportMetric(median(floor), "floor-ms")
}

func at95(d []time.Duration) time.Duration {
	slices.Sort(d)
	return d[len(d)*95/100]
}
