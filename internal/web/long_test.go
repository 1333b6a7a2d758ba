//go:build long

package web_test

import (
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/maptile"
)

// Fifty people for a minute, each moving the map every two seconds and planning
// every twenty: no error, and no memory that grows. How long plans took is
// reported, and is no reason to fail.
func TestFiftyPeople(t *testing.T) {
	index, err := town()
	if err != nil {
		t.Fatal(err)
	}
	at := serve(t, index)
	resp, err := http.Get(at + "/api/map")
	if err != nil {
		t.Fatal(err)
	}
	resp.Body.Close()
	h := handler(t, true)
	digest, bounds := mapOf(t, h)
	digest = strings.TrimSpace(digest)
	client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: 60}}
	var mu sync.Mutex
	var slowest time.Duration
	ask := func(method, path, body string) {
		r, err := http.NewRequest(method, at+path, strings.NewReader(body))
		if err != nil {
			t.Error(err)
			return
		}
		if body != "" {
			r.Header.Set("Content-Type", "application/json")
		}
		w, err := client.Do(r)
		if err != nil {
			t.Error(err)
			return
		}
		defer w.Body.Close()
		answer, err := io.ReadAll(w.Body)
		// That a wish can't be met from some place is an answer.
		if err != nil || w.StatusCode != http.StatusOK && w.StatusCode != http.StatusUnprocessableEntity {
			t.Errorf("%s %s %s = %s, %v: %s", method, path, body, w.Status, err, answer)
		}
	}
	live := func() uint64 {
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return m.HeapAlloc
	}
	stop := make(chan struct{})
	var all sync.WaitGroup
	for i := range 50 {
		all.Add(1)
		go func() {
			defer all.Done()
			rng := rand.New(rand.NewPCG(7, uint64(i)))
			for n := rng.IntN(10); ; n++ {
				p := orb.Point{bounds.Min.Lon() + rng.Float64()*(bounds.Max.Lon()-bounds.Min.Lon()), bounds.Min.Lat() + rng.Float64()*(bounds.Max.Lat()-bounds.Min.Lat())}
				tile := maptile.At(p, 15)
				for k := range uint32(6) {
					ask("GET", fmt.Sprintf("/tiles/%s/15/%d/%d.mvt", digest, tile.X+k%3, tile.Y+k/3), "")
				}
				ask("POST", "/api/look", fmt.Sprintf(`{"exercise":"turn-in-the-road","west":%g,"south":%g,"east":%g,"north":%g}`, p.Lon()-.01, p.Lat()-.005, p.Lon()+.01, p.Lat()+.005))
				if n%10 == 0 {
					begin := time.Now()
					ask("POST", "/api/plan", fmt.Sprintf(`{"from":"Eastlands Road & Saxmoor Road","exercise":"turn-in-the-road","minutes":%d,"when":"2027-03-%02d 10:00","seed":%d}`, 60+30*rng.IntN(2), 1+rng.IntN(28), 1+rng.IntN(50)))
					mu.Lock()
					slowest = max(slowest, time.Since(begin))
					mu.Unlock()
				}
				select {
				case <-stop:
					return
				case <-time.After(2 * time.Second):
				}
			}
		}()
	}
	time.Sleep(10 * time.Second)
	early := live()
	time.Sleep(50 * time.Second)
	late := live()
	close(stop)
	all.Wait()
	t.Logf("slowest plan %v; live heap %.1f MB after ten seconds, %.1f MB after a minute", slowest, float64(early)/1e6, float64(late)/1e6)
	if float64(late) > 1.2*float64(early) {
		t.Errorf("live heap grew from %d to %d bytes", early, late)
	}
}
