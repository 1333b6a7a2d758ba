package web_test

import (
	"compress/gzip"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/encoding/mvt"
	"github.com/paulmach/orb/maptile"

	"net/http"
	"net/http/httptest"
)

// mapOf is what the page is told of the open map.
func mapOf(t testing.TB, h http.Handler) (digest string, bounds orb.Bound) {
	t.Helper()
	var about struct {
		Map struct {
			Digest string     `json:"digest"`
			Bounds [4]float64 `json:"bounds"`
		} `json:"map"`
	}
	if err := json.Unmarshal(send(h, "GET", "/api/map", "", nil).Body.Bytes(), &about); err != nil {
		t.Fatal(err)
	}
	b := about.Map.Bounds
	return about.Map.Digest, orb.Bound{Min: orb.Point{b[0], b[1]}, Max: orb.Point{b[2], b[3]}}
}

func tile(t testing.TB, w *httptest.ResponseRecorder) mvt.Layers {
	t.Helper()
	if w.Code != http.StatusOK || w.Header().Get("Content-Encoding") != "gzip" {
		t.Fatalf("tile: %d %v", w.Code, w.Header())
	}
	z, err := gzip.NewReader(w.Body)
	if err != nil {
		t.Fatal(err)
	}
	raw, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	layers, err := mvt.Unmarshal(raw)
	if err != nil {
		t.Fatal(err)
	}
	return layers
}

// The tiles over a town, taken together, hold the geometry that the network has:
// every road's length within what whole units of a tile round away.
func TestTilesHoldTheRoads(t *testing.T) {
	h := handler(t, true)
	digest, bounds := mapOf(t, h)
	const z = 15
	low, high := maptile.At(bounds.Min, z), maptile.At(bounds.Max, z)
	roads, names, settlements := map[string]bool{}, 0, 0
	for x := low.X; x <= high.X; x++ {
		for y := high.Y; y <= low.Y; y++ {
			for _, l := range tile(t, send(h, "GET", fmt.Sprintf("/tiles/%s/%d/%d/%d.mvt", digest, z, x, y), "", nil)) {
				if l.Version != 2 || l.Extent != 4096 {
					t.Fatalf("layer %s has version %d and extent %d", l.Name, l.Version, l.Extent)
				}
				for _, f := range l.Features {
					switch l.Name {
					case "roads":
						roads[f.Properties["k"].(string)] = true
					case "names":
						names++
					case "settlements":
						settlements++
					}
					for _, p := range points(f.Geometry) {
						if p[0] < -64 || p[1] < -64 || p[0] > 4160 || p[1] > 4160 || p[0] != math.Trunc(p[0]) {
							t.Fatalf("%s: %v lies off the tile", l.Name, p)
						}
					}
				}
			}
		}
	}
	w := send(h, "POST", "/api/look", fmt.Sprintf(`{"exercise":"turn-in-the-road","west":%g,"south":%g,"east":%g,"north":%g}`, bounds.Min.Lon(), bounds.Min.Lat(), bounds.Max.Lon(), bounds.Max.Lat()), nil)
	var looked struct {
		Roads map[string]string `json:"roads"`
	}
	if err := json.Unmarshal(w.Body.Bytes(), &looked); err != nil || len(looked.Roads) < 1000 {
		t.Fatalf("%d roads were looked at: %v", len(looked.Roads), err)
	}
	for k := range looked.Roads {
		if !roads[k] {
			t.Errorf("%s has a verdict and is in no tile", k)
		}
	}
	if names == 0 || settlements == 0 {
		t.Errorf("%d names, %d settlements", names, settlements)
	}
}

func points(g orb.Geometry) []orb.Point {
	switch g := g.(type) {
	case orb.Point:
		return []orb.Point{g}
	case orb.LineString:
		return g
	case orb.MultiLineString:
		var out []orb.Point
		for _, l := range g {
			out = append(out, l...)
		}
		return out
	}
	return nil
}

func TestTilesThatAreNot(t *testing.T) {
	h := handler(t, true)
	digest, _ := mapOf(t, h)
	for _, at := range []string{"0000/14/0/0.mvt", digest + "/7/0/0.mvt", digest + "/18/0/0.mvt", digest + "/9/512/0.mvt", digest + "/9/0/-1.mvt", digest + "/9/x/0.mvt", digest + "/9/99999999999999999999/0.mvt"} {
		if w := send(h, "GET", "/tiles/"+at, "", nil); w.Code != http.StatusNotFound {
			t.Errorf("%s = %d, want 404", at, w.Code)
		}
	}
}
