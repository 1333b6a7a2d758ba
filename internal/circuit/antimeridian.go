package circuit

import (
	"math"

	"github.com/paulmach/orb"
)

// cut splits a line where it crosses the antimeridian, as RFC 7946, 3.1.9,
// asks. Every cut adds one point to either part, on longitude ±180, even where
// the line has a point there of its own: so join can take away just those.
func cut(line []position) [][]position {
	var parts [][]position
	part := line[:0:0]
	for i, p := range line {
		if i > 0 && crosses(line[i-1], p) {
			here, there := cutPoints(line[i-1], p)
			parts = append(parts, append(part, here))
			part = []position{there}
		}
		part = append(part, p)
	}
	return append(parts, part)
}

// join is the inverse of cut.
func join(parts [][]position) []position {
	var line []position
	for i, part := range parts {
		if i > 0 && len(part) > 0 {
			part = part[1:]
		}
		if i < len(parts)-1 && len(part) > 0 {
			part = part[:len(part)-1]
		}
		line = append(line, part...)
	}
	return line
}

// crosses says whether the short way from a to b crosses longitude 180.
func crosses(a, b position) bool {
	return math.Abs(orb.Point(a).Lon()-orb.Point(b).Lon()) > 180
}

// cutPoints are the crossing as a's side and b's side write it.
func cutPoints(a, b position) (here, there position) {
	p, q := orb.Point(a), orb.Point(b)
	edge := math.Copysign(180, p.Lon())
	across := q.Lon() + 2*edge // b's longitude, counted on from a's
	t := 0.0
	if across != p.Lon() {
		t = (edge - p.Lon()) / (across - p.Lon())
	}
	lat := p.Lat() + t*(q.Lat()-p.Lat())
	return position{edge, lat}, position{-edge, lat}
}

// box is west, south, east, north of the points; where they lie on both sides
// of the antimeridian, west is greater than east (RFC 7946, 5.2).
func box(points []position) []float64 {
	west, east := math.Inf(1), math.Inf(-1)
	south, north := math.Inf(1), math.Inf(-1)
	eastMost, westMost := math.Inf(-1), math.Inf(1) // of the western, of the eastern half
	for _, p := range points {
		lon, lat := orb.Point(p).Lon(), orb.Point(p).Lat()
		west, east = min(west, lon), max(east, lon)
		south, north = min(south, lat), max(north, lat)
		if lon < 0 {
			eastMost = max(eastMost, lon)
		} else {
			westMost = min(westMost, lon)
		}
	}
	if east-west > 180 {
		west, east = westMost, eastMost
	}
	return []float64{west, south, east, north}
}
