package roadnet_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
)

// scattered draws n roads of two nodes each.
func scattered(random *rand.Rand, n int) string {
	var b strings.Builder
	for i := range n {
		x, y := random.Float64()*2000, random.Float64()*2000
		fmt.Fprintf(&b, "A%d %.2f,%.2f\nB%d %.2f,%.2f\nA%d-B%d\n", i, x, y, i, x+random.Float64()*200, y+random.Float64()*200-100, i, i)
	}
	return b.String()
}

// The tree finds what a look at every stretch finds, for every size at which
// its shape changes.
func TestTreeAgainstAll(t *testing.T) {
	const seed = 2
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 0))
	for _, size := range []int{1, 2, 15, 16, 17, 255, 256, 257} {
		n := roadnettest.Parse(t, scattered(random, size))
		plane := geo.PlaneAt(orb.Point{-1, 52})
		for range 50 {
			p := plane.From(geo.XY{X: random.Float64()*2400 - 200, Y: random.Float64()*2400 - 200})
			odd := func(s roadnet.StretchID) bool { return s%2 == 1 }
			for name, accept := range map[string]func(roadnet.StretchID) bool{"all": nil, "odd": odd} {
				within := geo.Metres(random.Float64() * 600)
				s, along, away, left, ok := n.Nearest(p, within, accept)
				bs, balong, baway, bleft, bok := nearestOfAll(n, p, within, accept)
				if s != bs || ok != bok || left != bleft || math.Abs(float64(along-balong)) > 1e-6 || math.Abs(float64(away-baway)) > 1e-6 {
					t.Fatalf("size %d, %s, %v within %v: Nearest = %v %v %v %v %v, want %v %v %v %v %v",
						size, name, p, within, s, along, away, left, ok, bs, balong, baway, bleft, bok)
				}
			}
			b := orb.Bound{Min: p, Max: orb.Point{p.Lon() + random.Float64()*0.01, p.Lat() + random.Float64()*0.01}}
			var got, want []roadnet.StretchID
			n.Within(b, func(s roadnet.StretchID) bool { got = append(got, s); return true })
			for s := range roadnet.StretchID(n.NumStretches()) {
				if n.Line(s.Segment(true)).Bound().Intersects(b) {
					want = append(want, s)
				}
			}
			slices.Sort(got)
			if !slices.Equal(got, want) {
				t.Fatalf("size %d: Within(%v) = %v, want %v", size, b, got, want)
			}
		}
	}
}

func nearestOfAll(n *roadnet.Network, p orb.Point, within geo.Metres, accept func(roadnet.StretchID) bool) (best roadnet.StretchID, along, away geo.Metres, left, ok bool) {
	away = within
	plane := geo.PlaneAt(p)
	for s := range roadnet.StretchID(n.NumStretches()) {
		if accept != nil && !accept(s) {
			continue
		}
		line := plane.Line(n.Line(s.Segment(true)))
		if at, a, l := line.Nearest(geo.XY{}); a <= away && (!ok || a < away) {
			best, along, away, left, ok = s, at*n.Length(s)/line.Length(), a, l, true
		}
	}
	if !ok {
		away = 0
	}
	return best, min(along, n.Length(best)), away, left, ok
}

func TestAt(t *testing.T) {
	n := roadnettest.Parse(t, twoWays)
	plane := geo.PlaneAt(orb.Point{-1, 52})
	for _, c := range []struct {
		path    string
		along   geo.Metres
		at      geo.XY
		heading float64 // degrees
	}{
		{"A>C", 0, geo.XY{X: 0, Y: 0}, 90},
		{"A>C", 150, geo.XY{X: 100, Y: 50}, 0},
		{"C>A", 150, geo.XY{X: 100, Y: 50}, 180},
		{"C>A", 250, geo.XY{X: 50, Y: 0}, 270},
	} {
		p, heading := n.At(roadnet.Position{Segment: roadnettest.Segment(t, n, c.path), Along: c.along})
		if plane.To(p).Sub(c.at).Norm() > 0.05 || math.Abs(geo.Turned(geo.Radians(c.heading)*geo.Degree, heading).Degrees()) > 0.1 {
			t.Errorf("At(%s, %v) = %v heading %.1f, want %v heading %v", c.path, c.along, plane.To(p), heading.Degrees(), c.at, c.heading)
		}
	}
}
