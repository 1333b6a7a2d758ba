package demotown

import (
	"math"

	"loopwright/internal/geo"
)

// The plan is drawn by hand: the roads that were there before the streets
// between them, the river, the railway and the grounds. Metres east and north
// of the market place. Where two lines share a point they meet.

// course is one hand-drawn road.
type course struct {
	name    string
	class   class
	points  []geo.XY
	spacing float64 // least distance between side roads; 0 for none at all
	bridge  bool
	oneWay  bool
	dual    bool
	tags    tags
}

func xy(x, y float64) geo.XY { return geo.XY{X: x, Y: y} }

// The places where the main roads meet.
var (
	market     = xy(0, 0)
	marketWest = xy(-255, 14)
	marketEast = xy(262, 38)
	northGate  = xy(18, 112)

	westRoundabout  = xy(-2080, 170)
	northWest       = xy(-1690, 1060)
	northRoundabout = xy(-70, 1640)
	northEast       = xy(1470, 1460)
	eastRoundabout  = xy(2390, 110)

	innerWest      = xy(-1230, 58)
	innerNorthWest = xy(-745, 530)
	innerNorth     = xy(28, 735)
	innerNorthEast = xy(770, 560)
	innerEast      = xy(1330, 30)

	outerWest      = xy(-1660, 100)
	outerNorthWest = xy(-1180, 820)
	outerNorth     = xy(-25, 1240)
	outerNorthEast = xy(1080, 960)
	outerEast      = xy(1890, 92)

	bridgeNorth = xy(88, -545)
	bridgeSouth = xy(96, -655)
	southCross  = xy(84, -880)
	hillTop     = xy(150, -1780)
	crossingJn  = xy(885, -4)
)

// courses are the hand-drawn roads, in order of age and weight.
var courses = []course{
	// The old main road through the town.
	{name: "Wimmerleigh Road", class: primary, points: []geo.XY{xy(-3150, 330), xy(-2600, 240), westRoundabout}},
	{name: "Wimmerleigh Road", class: secondary, points: []geo.XY{westRoundabout, xy(-1880, 130), outerWest, xy(-1440, 50), innerWest, xy(-980, 96), xy(-640, 84)}, spacing: 70},
	{name: "West Street", class: secondary, points: []geo.XY{xy(-640, 84), xy(-430, 40), marketWest}, spacing: 45},
	{name: "High Street", class: secondary, points: []geo.XY{marketWest, xy(-120, -6), market, xy(120, 12), marketEast}, spacing: 60, oneWay: true},
	{name: "East Street", class: secondary, points: []geo.XY{marketEast, xy(430, 40), xy(640, 0)}, spacing: 45},
	{name: "Saxmoor Road", class: secondary, points: []geo.XY{xy(640, 0), crossingJn, xy(1110, 12), innerEast, xy(1560, 70), outerEast, xy(2160, 72), eastRoundabout}, spacing: 75},
	{name: "Saxmoor Road", class: primary, points: []geo.XY{eastRoundabout, xy(2760, 60), xy(3150, -60)}},
	// The one-way pair's other half.
	{name: "Fleece Street", class: secondary, points: []geo.XY{marketEast, xy(246, 118), xy(140, 126), northGate, xy(-110, 96), xy(-225, 84), marketWest}, spacing: 60, oneWay: true},
	{name: "Butter Market", class: unclassified, points: []geo.XY{market, northGate}},
	// The roads out of the centre.
	{name: "North Street", class: secondary, points: []geo.XY{northGate, xy(42, 300), xy(66, 520), innerNorth}, spacing: 55},
	{name: "Harrowmere Road", class: secondary, points: []geo.XY{innerNorth, xy(-30, 960), outerNorth, xy(-20, 1420), northRoundabout}, spacing: 75},
	{name: "Harrowmere Road", class: secondary, points: []geo.XY{northRoundabout, xy(-190, 2000), xy(-120, 2500), xy(-330, 3050)}},
	{name: "Tinker's Hill", class: tertiary, points: []geo.XY{xy(-225, 84), xy(-420, 290), innerNorthWest}, spacing: 60},
	{name: "Cuckmarsh Road", class: tertiary, points: []geo.XY{innerNorthWest, xy(-940, 700), outerNorthWest, xy(-1450, 930), northWest}, spacing: 80},
	{name: "Cuckmarsh Road", class: tertiary, points: []geo.XY{northWest, xy(-2050, 1330), xy(-2350, 1800), xy(-3050, 2200)}},
	{name: "Chantry Road", class: secondary, points: []geo.XY{xy(246, 118), xy(400, 300), innerNorthEast}, spacing: 60},
	{name: "Lunderstow Road", class: secondary, points: []geo.XY{innerNorthEast, xy(930, 740), outerNorthEast, xy(1240, 1230), northEast}, spacing: 80},
	{name: "Lunderstow Road", class: secondary, points: []geo.XY{northEast, xy(1700, 1800), xy(2200, 2150), xy(2550, 3050)}},
	{name: "Bridge Street", class: secondary, points: []geo.XY{market, xy(30, -170), xy(62, -370)}, spacing: 50},
	{name: "Bridge Street", class: secondary, points: []geo.XY{xy(62, -370), xy(74, -460)}, bridge: true},
	{name: "Bridge Street", class: secondary, points: []geo.XY{xy(74, -460), bridgeNorth}},
	{name: "Otten Bridge", class: secondary, points: []geo.XY{bridgeNorth, bridgeSouth}, bridge: true, tags: tags{"maxweight": "18"}},
	{name: "Beacon Hill", class: secondary, points: []geo.XY{bridgeSouth, southCross, xy(150, -1130), xy(90, -1430), hillTop}, spacing: 75},
	{name: "Pellow Road", class: secondary, points: []geo.XY{hillTop, xy(140, -2100), xy(330, -2450), xy(280, -3050)}},
	// Roads that grew together from lanes.
	{name: "Westlands Avenue", class: tertiary, points: []geo.XY{innerWest, xy(-1190, 280), xy(-1010, 430), innerNorthWest}, spacing: 80},
	{name: "Park Road", class: tertiary, points: []geo.XY{innerNorthWest, xy(-420, 710), xy(-180, 690), innerNorth}, spacing: 75},
	{name: "Infirmary Road", class: tertiary, points: []geo.XY{innerNorth, xy(280, 650), xy(530, 600), innerNorthEast}, spacing: 80},
	{name: "Eastlands Road", class: tertiary, points: []geo.XY{innerNorthEast, xy(1010, 420), xy(1150, 200), innerEast}, spacing: 75},
	{name: "Brindlemoor Avenue", class: unclassified, points: []geo.XY{outerWest, xy(-1600, 380), xy(-1390, 600), outerNorthWest}, spacing: 85},
	{name: "Merrack Avenue", class: unclassified, points: []geo.XY{xy(-940, 700), xy(-760, 960), xy(-400, 1030), xy(-30, 960)}, spacing: 85},
	{name: "Ellinmoor Avenue", class: unclassified, points: []geo.XY{outerNorthWest, xy(-980, 1150), xy(-620, 1280), xy(-300, 1260), outerNorth}, spacing: 85},
	{name: "Thesselwood Way", class: tertiary, points: []geo.XY{outerNorth, xy(330, 1230), xy(700, 1040), outerNorthEast}, spacing: 75},
	{name: "Orchard Way", class: tertiary, points: []geo.XY{outerNorthEast, xy(1430, 850), xy(1690, 560), xy(1730, 300), outerEast}, spacing: 70},
	// Cut-throughs that drivers know.
	{name: "Quennet Lane", class: unclassified, points: []geo.XY{xy(-1600, 380), xy(-1760, 560), xy(-1950, 600)}, spacing: 90},
	{name: "Tollgate Lane", class: unclassified, points: []geo.XY{xy(-620, 1280), xy(-690, 1420), xy(-640, 1540)}, spacing: 90},
	{name: "Hasker Lane", class: unclassified, points: []geo.XY{xy(700, 1040), xy(770, 1290), xy(690, 1620)}, spacing: 90},
	{name: "Withy Lane", class: unclassified, points: []geo.XY{xy(1690, 560), xy(1950, 640), xy(2160, 790)}, spacing: 90},
	{name: "Saffron Way", class: residential, points: []geo.XY{northEast, xy(1460, 1260), xy(1560, 1040), xy(1430, 850)}, spacing: 60},
	// Over the river.
	{name: "Ferry Road", class: tertiary, points: []geo.XY{southCross, xy(-250, -850), xy(-640, -950), xy(-980, -1180), xy(-1180, -1340)}, spacing: 75},
	{name: "Ferry Road", class: unclassified, points: []geo.XY{xy(-1180, -1340), xy(-1520, -1480), xy(-1850, -1820), xy(-2300, -2100), xy(-2750, -2600), xy(-3050, -2700)}},
	{name: "Skelcombe Road", class: tertiary, points: []geo.XY{southCross, xy(420, -930), xy(830, -880), xy(1180, -960), xy(1500, -1130)}, spacing: 75},
	{name: "Skelcombe Road", class: unclassified, points: []geo.XY{xy(1500, -1130), xy(1900, -1260), xy(2350, -1180), xy(2700, -1400), xy(3150, -1380)}},
	{name: "Upper Road", class: tertiary, points: []geo.XY{xy(-980, -1180), xy(-900, -1440), xy(-560, -1590), xy(-180, -1570), hillTop}, spacing: 75},
	{name: "Sheepwash Road", class: tertiary, points: []geo.XY{xy(1180, -960), xy(1220, -1220), xy(960, -1440), xy(620, -1530), hillTop}, spacing: 75},
	{name: "Middle Way", class: unclassified, points: []geo.XY{xy(-640, -950), xy(-560, -1180), xy(-250, -1290), xy(90, -1430), xy(380, -1260), xy(780, -1190), xy(830, -880)}, spacing: 75},
	// Over the level crossing.
	{name: "Crossing Road", class: tertiary, points: []geo.XY{crossingJn, xy(905, -180), xy(930, -345), xy(950, -470)}, spacing: 55},
	{name: "Wharf Road", class: unclassified, points: []geo.XY{xy(950, -470), xy(620, -490), xy(300, -505)}, spacing: 55},
	{name: "Foundry Road", class: unclassified, points: []geo.XY{xy(950, -470), xy(1350, -470), xy(1800, -560), xy(2150, -590)}, spacing: 100},
	// South of the main road.
	{name: "Meadow Road", class: unclassified, points: []geo.XY{xy(-1440, 50), xy(-1480, -180), xy(-1330, -330), xy(-1000, -350), xy(-640, -300), xy(-430, -180), xy(-430, 40)}, spacing: 70},
	{name: "Station Road", class: tertiary, points: []geo.XY{xy(640, 0), xy(560, -180), xy(380, -290), xy(180, -270), xy(44, -260)}, spacing: 55},
	{name: "Millfield Road", class: unclassified, points: []geo.XY{xy(1560, 70), xy(1680, -120), xy(1470, -230), xy(1120, -210), xy(905, -180)}, spacing: 65},
	{name: "Saltern Road", class: unclassified, points: []geo.XY{xy(2160, 72), xy(2120, -110), xy(1900, -200), xy(1680, -120)}, spacing: 65},
	// The by-pass.
	{name: "Western By-pass", class: trunk, points: []geo.XY{westRoundabout, xy(-2050, 400), xy(-1950, 600), xy(-1830, 850), northWest}},
	{name: "Northern By-pass", class: trunk, dual: true, points: []geo.XY{northWest, xy(-1380, 1300), xy(-1000, 1450), xy(-640, 1540), northRoundabout}},
	{name: "Northern By-pass", class: trunk, dual: true, points: []geo.XY{northRoundabout, xy(300, 1650), xy(690, 1620), xy(1080, 1530), northEast}},
	{name: "Eastern By-pass", class: trunk, points: []geo.XY{northEast, xy(1830, 1210), xy(2160, 790), xy(2340, 420), eastRoundabout}},
	// Lanes beyond the by-pass and the hill.
	{name: "Cold Lane", class: unclassified, points: []geo.XY{xy(-2050, 1330), xy(-1700, 1700), xy(-1350, 1850), xy(-1180, 2250), xy(-1300, 2700), xy(-1150, 3050)}},
	{name: "Sandfield Lane", class: unclassified, points: []geo.XY{xy(-1350, 1850), xy(-850, 1880), xy(-500, 2080), xy(-190, 2000)}},
	{name: "Sallow Lane", class: unclassified, points: []geo.XY{xy(-120, 2500), xy(350, 2350), xy(750, 2420), xy(1150, 2100), xy(1700, 1800)}},
	{name: "Gibbet Lane", class: unclassified, points: []geo.XY{xy(-2600, 240), xy(-2560, 620), xy(-2680, 1000), xy(-2480, 1420), xy(-2350, 1800)}},
	{name: "Heron Lane", class: unclassified, points: []geo.XY{xy(2760, 60), xy(2720, 450), xy(2880, 850), xy(2600, 1250), xy(2650, 1700), xy(2200, 2150)}},
	{name: "Down Lane", class: unclassified, points: []geo.XY{xy(140, -2100), xy(-300, -2040), xy(-700, -2230), xy(-1150, -2100), xy(-1480, -2260), xy(-1850, -1820)}},
	{name: "Ridge Lane", class: unclassified, points: []geo.XY{xy(330, -2450), xy(800, -2320), xy(1250, -2420), xy(1500, -2050), xy(1850, -1750), xy(1900, -1260)}},
	{name: "Coldharrow Lane", class: unclassified, points: []geo.XY{xy(960, -1440), xy(1150, -1720), xy(1500, -2050)}},
}

// river is the middle line of the Otten, 30 m wide.
var river = spline([]geo.XY{xy(-3300, -560), xy(-2500, -760), xy(-1750, -590), xy(-1050, -740), xy(-380, -650), xy(92, -600), xy(600, -700), xy(1200, -640), xy(1900, -780), xy(2500, -700), xy(3300, -960)}, 30)

const riverWidth = 30.0

// railway runs in from the east, past the station, and over the river.
var railway = spline([]geo.XY{xy(3300, -250), xy(2300, -330), xy(1600, -345), xy(930, -345), xy(480, -385), xy(68, -415), xy(-330, -445), xy(-700, -560), xy(-1050, -740), xy(-1500, -1020), xy(-2200, -1500), xy(-3200, -2050)}, 30)

// ground is land that streets keep out of.
type ground struct {
	name string
	kind groundKind
	ring []geo.XY
}

type groundKind int

const (
	unknownGround groundKind = iota
	school
	hospital
	park
	pitches
	allotments
	cemetery
	carPark
	privateCarPark
)

// grounds are drawn by hand too.
var grounds = []ground{
	{"Ottenbridge High School", school, box(xy(-1500, 790), toward(0.6), 230, 140)},
	{"Thesselwood Primary School", school, box(xy(390, 1120), toward(-0.4), 150, 110)},
	{"Beacon Hill Primary School", school, box(xy(-330, -965), toward(0.2), 140, 105)},
	{"Ottenbridge Infirmary", hospital, box(xy(520, 710), toward(-0.15), 200, 140)},
	{"Chantry Park", park, box(xy(-180, 560), toward(0.1), 260, 190)},
	{"Long Meadow", pitches, []geo.XY{xy(-2050, -330), xy(-1620, -360), xy(-1570, -160), xy(-1600, 10), xy(-2000, 60)}},
	{"Merrack Playing Fields", pitches, box(xy(-430, 1390), toward(0.1), 200, 120)},
	{"Eastlands Recreation Ground", pitches, box(xy(1235, 560), toward(-0.9), 190, 120)},
	{"Willow Allotments", allotments, []geo.XY{xy(-620, -600), xy(-320, -600), xy(-300, -500), xy(-480, -500)}},
	{"Orchard Allotments", allotments, box(xy(1860, 860), toward(2.1), 170, 100)},
	{"Hill Cemetery", cemetery, box(xy(420, -1760), toward(0.3), 190, 120)},
	{"Fleece Street Car Park", carPark, box(xy(140, 190), toward(0.05), 86, 62)},
	{"Station Car Park", carPark, box(xy(240, -340), toward(-0.14), 110, 56)},
	{"Riverside Car Park", carPark, box(xy(250, -565), toward(-0.03), 76, 56)},
	{"Leisure Centre Car Park", carPark, box(xy(-330, 770), toward(0.05), 90, 62)},
	{"Beacon Hill Car Park", carPark, box(xy(210, -1700), toward(0.3), 80, 56)},
	{"Infirmary Car Park", privateCarPark, box(xy(690, 690), toward(-0.2), 90, 60)},
	{"Foundry Retail Car Park", privateCarPark, box(xy(1480, -535), toward(-0.2), 110, 66)},
	{"Saxmoor Superstore Car Park", privateCarPark, box(xy(2050, 145), toward(0), 110, 74)},
}

// woods stand in the country round the town.
var woods = [][]geo.XY{
	blob(xy(-2250, 900), 190, 0.3), blob(xy(-1640, 2180), 210, 1.2), blob(xy(460, 2010), 190, 2.2), blob(xy(1380, 1800), 120, 0.8),
	blob(xy(2500, 1000), 150, 3.1), blob(xy(-1180, -1760), 190, 4.4), blob(xy(-2480, -1250), 190, 5.2), blob(xy(1640, -1480), 120, 1.9), blob(xy(700, -2020), 170, 2.7), blob(xy(2450, -1750), 240, 0.1), blob(xy(-2500, -300), 110, 1.1),
}

// blob is a rounded, irregular outline.
func blob(middle geo.XY, radius, turn float64) []geo.XY {
	var ring []geo.XY
	for i := range 24 {
		a := float64(i) * 15 * degree
		ring = append(ring, middle.Add(toward(a).Scale(radius*(1+0.22*math.Sin(2*a+turn)+0.13*math.Sin(3*a+2*turn)+0.06*math.Sin(7*a)))))
	}
	return ring
}
