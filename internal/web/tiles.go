package web

import (
	"cmp"
	"math"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/encoding/mvt"
	"github.com/paulmach/orb/geojson"
	"github.com/paulmach/orb/maptile"
	"github.com/paulmach/orb/planar"
	"github.com/paulmach/orb/simplify"

	"loopwright/internal/desk"
	"loopwright/internal/extract"
)

// Tiles are Mapbox Vector Tiles, version 2.1, of three layers:
//
//	roads        k its name on the map, c its class
//	names        n the name, c the class: stretches of one name joined, to write along
//	settlements  n the name, r the rank
//
// Geometry only: what a road is fit for comes apart, by view.
const (
	leastZoom, mostZoom = 8, 17
	namesFrom           = 12
	mostTileBytes       = 24 << 20
)

// beyond is how far a tile's lines go beyond its edges, so that no end of a thick
// line shows there: 64 of 4096 units.
var beyond = orb.Bound{Min: orb.Point{-64, -64}, Max: orb.Point{mvt.DefaultExtent + 64, mvt.DefaultExtent + 64}}

type tileID struct {
	z, x, y uint32
}

// leastClass is the zoom from which roads of a class are drawn; our choice.
var classFrom = map[extract.Class]uint32{
	extract.Motorway: 8, extract.Trunk: 8, extract.Primary: 9, extract.Secondary: 10, extract.Tertiary: 11,
}

const otherClassFrom = 12

func (s *Server) getTile(w http.ResponseWriter, r *http.Request) {
	id, ok := readTileID(r)
	if !ok {
		refuse(w, http.StatusNotFound, "there is no such tile")
		return
	}
	m := s.maps.now()
	if m == nil || m.root.Digest() != r.PathValue("digest") {
		refuse(w, http.StatusNotFound, "this map is not open any longer")
		return
	}
	tile, ok := m.tiles.get(id)
	if !ok {
		d, err := m.drawers.take(r.Context())
		if err == nil {
			tile, err = drawTile(d, maptile.New(id.x, id.y, maptile.Zoom(id.z)))
			m.drawers.giveBack(d)
		}
		if err != nil {
			fail(w, err)
			return
		}
		m.tiles.put(id, tile, len(tile)+64)
	}
	h := w.Header()
	h.Set("Content-Type", "application/vnd.mapbox-vector-tile")
	h.Set("Cache-Control", "private, max-age=31536000, immutable") // another index has another address
	h.Set("Content-Encoding", "gzip")
	_, _ = w.Write(tile)
}

func readTileID(r *http.Request) (tileID, bool) {
	number := func(s string, most uint32) (uint32, bool) {
		v, err := strconv.ParseUint(s, 10, 32)
		return uint32(v), err == nil && uint32(v) <= most
	}
	z, ok := number(r.PathValue("z"), mostZoom)
	if !ok || z < leastZoom {
		return tileID{}, false
	}
	x, okX := number(r.PathValue("x"), 1<<z-1)
	y, okY := number(strings.TrimSuffix(r.PathValue("y"), ".mvt"), 1<<z-1)
	return tileID{z, x, y}, okX && okY
}

// drawTile cuts one tile, gzipped.
func drawTile(d *desk.Desk, t maptile.Tile) ([]byte, error) {
	z := uint32(t.Z)
	want := func(c extract.Class) bool {
		from, ok := classFrom[c]
		return ok && z >= from || z >= otherClassFrom
	}
	roads, names := geojson.NewFeatureCollection(), geojson.NewFeatureCollection()
	var named []desk.MapRoad
	bound := t.Bound(0.02)
	err := d.MapRoads(bound, want, func(r desk.MapRoad) {
		f := geojson.NewFeature(r.Line)
		f.Properties = geojson.Properties{"k": r.OnMap, "c": r.Class.String()}
		roads.Append(f)
		if r.Name != "" && z >= namesFrom {
			r.Line = r.Line.Clone() // projecting changes a line in place
			named = append(named, r)
		}
	})
	if err != nil {
		return nil, err
	}
	for _, r := range joined(named) {
		f := geojson.NewFeature(r.Line)
		f.Properties = geojson.Properties{"n": r.Name, "c": r.Class.String()}
		names.Append(f)
	}
	settlements := geojson.NewFeatureCollection()
	for _, p := range d.Settlements() {
		if bound.Contains(p.At) {
			f := geojson.NewFeature(p.At)
			f.Properties = geojson.Properties{"n": p.Name, "r": int(p.Rank)}
			settlements.Append(f)
		}
	}
	layers := mvt.Layers{mvt.NewLayer("roads", roads), mvt.NewLayer("names", names), mvt.NewLayer("settlements", settlements)}
	for _, l := range layers {
		l.Version = 2
		l.ProjectToTile(t)
		l.Clip(beyond)
		l.Simplify(simplify.DouglasPeucker(1)) // of 4096 units
		l.RemoveEmpty(1, 1)
	}
	return mvt.MarshalGzipped(layers)
}

// joined joins stretches of one name and class end to end, so that the name has
// room along them.
func joined(roads []desk.MapRoad) []desk.MapRoad {
	type key struct {
		name  string
		class extract.Class
	}
	groups := map[key][]orb.LineString{}
	for _, r := range roads {
		k := key{r.Name, r.Class}
		groups[k] = append(groups[k], r.Line)
	}
	keys := make([]key, 0, len(groups))
	for k := range groups {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(a, b key) int { return cmp.Or(cmp.Compare(a.name, b.name), cmp.Compare(a.class, b.class)) })
	var out []desk.MapRoad
	for _, k := range keys {
		for _, line := range joinLines(groups[k]) {
			out = append(out, desk.MapRoad{Name: k.name, Class: k.class, Line: line})
		}
	}
	return out
}

func joinLines(lines []orb.LineString) []orb.LineString {
	slices.SortStableFunc(lines, func(a, b orb.LineString) int { return cmp.Compare(planar.Length(b), planar.Length(a)) })
	var out []orb.LineString
	used := make([]bool, len(lines))
	for i := range lines {
		if used[i] {
			continue
		}
		used[i] = true
		line := lines[i]
		for grown := true; grown; {
			grown = false
			for j := range lines {
				if used[j] {
					continue
				}
				if next, ok := join(line, lines[j]); ok {
					line, used[j], grown = next, true, true
				}
			}
		}
		out = append(out, line)
	}
	return out
}

// join puts b at the end or the start of a where they meet without a sharp
// bend, along which nothing could be written.
func join(a, b orb.LineString) (orb.LineString, bool) {
	for range 2 {
		for range 2 {
			if a[len(a)-1] == b[0] && straight(a, b) {
				return append(slices.Clone(a), b[1:]...), true
			}
			b = slices.Clone(b)
			slices.Reverse(b)
		}
		a = slices.Clone(a)
		slices.Reverse(a)
	}
	return nil, false
}

func straight(a, b orb.LineString) bool {
	p, q, r := a[len(a)-2], b[0], b[1]
	k := math.Cos(q.Lat() * math.Pi / 180)
	ux, uy := (q.Lon()-p.Lon())*k, q.Lat()-p.Lat()
	vx, vy := (r.Lon()-q.Lon())*k, r.Lat()-q.Lat()
	return ux*vx+uy*vy > 0.7*math.Hypot(ux, uy)*math.Hypot(vx, vy)
}
