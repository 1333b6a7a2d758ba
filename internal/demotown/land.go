package demotown

import (
	"math"

	"loopwright/internal/geo"
)

// districtAt tells which part of the town a position belongs to.
func districtAt(p geo.XY) *district {
	r := math.Hypot(p.X, p.Y)
	switch {
	case p.Y < riverAt(p.X):
		if toRing(p, southRing) < 110 {
			return districts[hillside]
		}
		return districts[countryside]
	case p.Y < railwayAt(p.X):
		switch {
		case p.X < 200 || p.X > 2250:
			return districts[countryside]
		case p.X < 900:
			return districts[riverside]
		}
		return districts[works]
	case !inside(p, bypassRing):
		return districts[countryside]
	case r < 330 && p.Y > -300:
		return districts[centre]
	case inside(p, innerRing):
		if p.X < -480 && p.Y > 250 {
			return districts[interwar]
		}
		return districts[terraces]
	case p.Y < 60:
		if p.X < -1530 {
			return districts[postwar]
		}
		return districts[terraces]
	}
	switch a := angle(p); {
	case a < 0.72:
		return districts[newEstate]
	case a < 1.56:
		return districts[postwar]
	default:
		return districts[interwar]
	}
}

// The rings that bound the districts, from the hand-drawn roads.
var (
	innerRing = []geo.XY{innerWest, xy(-1190, 280), xy(-1010, 430), innerNorthWest, xy(-420, 710), xy(-180, 690), innerNorth, xy(280, 650), xy(530, 600), innerNorthEast, xy(1010, 420), xy(1150, 200), innerEast,
		xy(1120, -210), xy(905, -330), xy(480, -370), xy(68, -400), xy(-330, -430), xy(-1000, -350)}
	bypassRing = []geo.XY{westRoundabout, xy(-2050, 400), xy(-1950, 600), xy(-1830, 850), northWest, xy(-1380, 1300), xy(-1000, 1450), xy(-640, 1540), northRoundabout, xy(300, 1650), xy(690, 1620), xy(1080, 1530), northEast,
		xy(1830, 1210), xy(2160, 790), xy(2340, 420), eastRoundabout, xy(2280, -260), xy(1600, -330), xy(480, -370), xy(-330, -430), xy(-1600, -480), xy(-2100, -350)}
	southRing = []geo.XY{xy(60, -760), xy(-250, -780), xy(-640, -860), xy(-980, -1130), xy(-1180, -1340), xy(-900, -1440), xy(-560, -1590), xy(-180, -1570), hillTop, xy(620, -1530), xy(960, -1440), xy(1220, -1220), xy(1500, -1130), xy(1180, -900), xy(830, -780), xy(420, -800)}
)

// riverAt and railwayAt give how far north the lines lie at an easting.
func riverAt(x float64) float64   { return northing(river, x, -1e9) }
func railwayAt(x float64) float64 { return northing(railway, x, -1e9) }

func northing(line []geo.XY, x, outside float64) float64 {
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		if (a.X <= x) != (b.X <= x) {
			return a.Y + (b.Y-a.Y)*(x-a.X)/(b.X-a.X)
		}
	}
	return outside
}

// height is the truth of the land in metres above the sea: a valley floor that
// rises a little to the north, and a steep hill over the river whose flank
// reaches 15 %.
func height(p geo.XY) float64 {
	valley := 9 - p.X/900
	away := p.Y - riverAt(math.Max(-3200, math.Min(3200, p.X)))
	rolling := 1.6*math.Sin(p.X/260+0.7)*math.Cos(p.Y/310+0.2) + 0.7*math.Sin(p.X/120-1)*math.Sin(p.Y/140)
	if away > 0 {
		north := ramp(away, 60, 2600) * (34 + 9*math.Sin(p.X/700+1.1))
		return valley + north + rolling*ramp(away, 40, 240) + 12*ramp(away, 1500, 2900)
	}
	hill := ramp(-away, 130, 1150) * (88 + 20*math.Sin(p.X/480+0.9))
	return valley + hill + rolling*ramp(-away, 40, 240)
}

// ramp rises smoothly from 0 at a to 1 at b.
func ramp(x, a, b float64) float64 {
	t := math.Max(0, math.Min(1, (x-a)/(b-a)))
	return t * t * (3 - 2*t)
}

// closed says whether a street may not run at p: water, rails, grounds.
func closedLand(p geo.XY) bool {
	if math.Abs(p.Y-riverAt(p.X)) < 300 && toLine(p, river) < riverWidth/2+14 {
		return true
	}
	if math.Abs(p.Y-railwayAt(p.X)) < 300 && toLine(p, railway) < 20 {
		return true
	}
	for i := range grounds {
		if distance(p, grounds[i].ring[0]) < 600 && toRing(p, grounds[i].ring) < 9 {
			return true
		}
	}
	return false
}

// noise is a smooth field in about [−1, 1] with features of 150 to 300 m.
func noise(p geo.XY) float64 {
	return 0.5*math.Sin(p.X/71+1.3*math.Sin(p.Y/93+0.5)) + 0.5*math.Cos(p.Y/63+1.1*math.Sin(p.X/101+2.1))
}
