package directions_test

import (
	"regexp"
	"strings"
	"testing"

	"loopwright/internal/country"
	"loopwright/internal/directions"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
	"loopwright/internal/route"
)

// steady is a learner who drives at one speed.
type steady struct {
	n *roadnet.Network
	v geo.MetresPerSecond
}

func (s steady) SegmentMs(segment roadnet.SegmentID) uint32 {
	return uint32(float64(s.n.Length(segment.Stretch())) / float64(s.v) * 1000)
}

// pathOf is the drive through nodes of a drawing, from 5 m beyond the first to
// 5 m before the last.
func pathOf(t testing.TB, n *roadnet.Network, nodes string) route.Path {
	t.Helper()
	p := route.Path{Segments: roadnettest.Path(t, n, nodes)}
	last := p.Segments[len(p.Segments)-1]
	p.From = roadnet.Position{Segment: p.Segments[0], Along: 5}
	p.To = roadnet.Position{Segment: last, Along: n.Length(last.Stretch()) - 5}
	return p
}

func profile(t testing.TB, code string) *country.Profile {
	t.Helper()
	p, err := country.ByCode(code)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

var node = regexp.MustCompile(`^(\s*[A-Z0-9]+ )(-?)([0-9.]+,.*)$`)

// mirrored is the drawing with east and west changed over.
func mirrored(drawing string) string {
	lines := strings.Split(drawing, "\n")
	for i, l := range lines {
		if m := node.FindStringSubmatch(l); m != nil {
			sign := "-"
			if m[2] == "-" {
				sign = ""
			}
			lines[i] = m[1] + sign + m[3]
			continue
		}
		lines[i] = swapSides(l)
	}
	return strings.Join(lines, "\n")
}

var sides = strings.NewReplacer("left", "right", "right", "left")

func swapSides(s string) string { return sides.Replace(s) }

// said is what is said on a drive, without moving off and pulling up where
// they are sentences of their own.
func said(t testing.TB, drawing, nodes, code string) []string {
	t.Helper()
	n := roadnettest.Parse(t, drawing, roadnettest.Country(code))
	steps := directions.Write(n, profile(t, code), []directions.Drive{{Path: pathOf(t, n, nodes)}}, directions.Options{Pace: steady{n, 10}})
	var out []string
	for _, s := range steps {
		if s.Kind != directions.KindMoveOff || s.Turns > 0 {
			out = append(out, s.Say)
		}
	}
	return out
}
