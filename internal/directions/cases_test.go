package directions_test

// town is a grid of side roads off one road, for counting.
//
//	     L1  L2      L3
//	A----+---+---X---+---B
//	             R1
const town = `
A -400,0
P 0,0
Q 80,0
X 200,0
S 300,0
B 500,0
L1 0,150
L2 80,150
L3 300,150
R1 200,-150
A-P-Q-X-S-B Mill Lane
P-L1 First Close
Q-L2 Second Close
S-L3 Third Close
X-R1 South Road
`

// tee is a road that ends at another.
const tee = `
A 0,-300
J 0,0
L -200,0
R 200,0
A-J Mill Lane
L-J-R High Street
`

// cross is a plain crossroads.
const cross = `
A 0,-300
J 0,0
L -200,0
R 200,0
B 0,200
A-J-B Mill Lane
L-J-R High Street
`

// ring4 is a roundabout of four roads with islands, driven clockwise.
const ring4 = `
A 0,-300
AF 0,-45
AI -8,-20
AO 8,-20
L -300,0
LF -45,0
LI -20,8
LO -20,-8
B 0,300
BF 0,45
BI 8,20
BO -8,20
R 300,0
RF 45,0
RI 20,-8
RO 20,8
AI>LO>LI>BO>BI>RO>RI>AO>AI roundabout
A-AF Mill Lane
AF>AI Mill Lane
AO>AF Mill Lane
L-LF West Road
LF>LI West Road
LO>LF West Road
B-BF North Road
BF>BI North Road
BO>BF North Road
R-RF East Road
RF>RI East Road
RO>RF East Road
`

// ring3 is a roundabout of three roads, each joining at one point.
const ring3 = `
A 0,-300
S 0,-18
W -18,0
N 0,18
E 18,0
L -300,0
B 0,300
S>W>N>E>S roundabout
A-S Mill Lane
L-W West Road
B-N North Road
`

// ring5 and ring6 are roundabouts of five and of six roads, each joining at one
// point, driven clockwise from Mill Lane in the south.
const (
	ring5 = `
A 0,-300
S 0,-24
L -285,-93
W -23,-7
B -176,243
N -14,19
R 176,243
E 14,19
C 285,-93
X 23,-7
S>W>N>E>X>S roundabout
A-S Mill Lane
L-W West Road
B-N North Road
R-E Church Road
C-X East Road
`
	ring6 = `
A 0,-300
S 0,-24
L -260,-150
W -21,-12
B -260,150
N -21,12
R 0,300
E 0,24
C 260,150
X 21,12
D 260,-150
Y 21,-12
S>W>N>E>X>Y>S roundabout
A-S Mill Lane
L-W West Road
B-N North Road
R-E Church Road
C-X East Road
D-Y South Road
`
)

type junctionCase struct {
	name, drawing, path string
	want                []string
}

var junctionCases = []junctionCase{
	{"first on the left", town, "A>P>L1", []string{"I'd like you to take the next road on the left into First Close."}},
	{"second, close to the first: still the next, said between them", town, "A>P>Q>L2", []string{"I'd like you to take the next road on the left into Second Close."}},
	{"other side not counted", town, "A>P>Q>X>R1", []string{"I'd like you to take the next road on the right into South Road."}},
	{"far third is the next when it is said", town, "A>P>Q>X>S>L3", []string{"I'd like you to take the next road on the left into Third Close."}},
	{"straight past all: nothing", town, "A>P>Q>X>S>B", nil},
	{"end of the road, left", tee, "A>J>L", []string{"At the end of the road, turn left into High Street."}},
	{"end of the road, right", tee, "A>J>R", []string{"At the end of the road, turn right into High Street."}},
	{"along the top of a tee: nothing", tee, "L>J>R", nil},
	{"into the stem of a tee", tee, "L>J>A", []string{"I'd like you to take the next road on the right into Mill Lane."}},
	{"crossroads ahead between equals: nothing", cross, "A>J>B", nil},
	{"crossroads left", cross, "A>J>L", []string{"I'd like you to take the next road on the left into High Street."}},
	{"crossroads right", cross, "A>J>R", []string{"I'd like you to take the next road on the right into High Street."}},
	{"second", `
A -300,0
P 0,0
Q 45,0
B 300,0
L1 0,150
L2 45,150
A-P-Q-B Mill Lane
P-L1
Q-L2
`, "A>P>Q>L2", []string{"I'd like you to take the second road on the left."}},
	{"third", `
A -300,0
P 0,0
Q 22,0
S 45,0
B 300,0
L1 0,150
L2 22,150
L3 45,150
A-P-Q-S-B Mill Lane
P-L1
Q-L2
S-L3
`, "A>P>Q>S>L3", []string{"I'd like you to take the third road on the left."}},
	{"a road with no entry counts", `
A -300,0
P 0,0
Q 45,0
B 300,0
L1 0,150
L2 45,150
A-P-Q-B Mill Lane
L1>P
Q-L2
`, "A>P>Q>L2", []string{"I'd like you to take the second road on the left, counting the road with no entry."}},
	{"a one-way road to drive into counts", `
A -300,0
P 0,0
Q 45,0
B 300,0
L1 0,150
L2 45,150
A-P-Q-B Mill Lane
P>L1
Q-L2
`, "A>P>Q>L2", []string{"I'd like you to take the second road on the left."}},
	{"drives are not counted and not named", `
A -300,0
Q 45,0
B 300,0
L2 45,150
A-Q-B Mill Lane
Q-L2
drive on A-Q at 310 left
drive on A-Q at 320 left
`, "A>Q>L2", []string{"I'd like you to take the next road on the left."}},
	{"car park on the same side", `
A -300,0
K 10,0
KE 10,60
Q 45,0
B 300,0
L2 45,150
A-K-Q-B Mill Lane
K-KE service parking_aisle
Q-L2
`, "A>Q>L2", []string{"I'd like you to take the next road on the left, not the car park entrance."}},
	{"car park on the other side", `
A -300,0
K 10,0
KE 10,-60
Q 45,0
B 300,0
L2 45,150
A-K-Q-B Mill Lane
K-KE service parking_aisle
Q-L2
`, "A>Q>L2", []string{"I'd like you to take the next road on the left."}},
	{"private road on the same side", `
A -300,0
K 10,0
KE 10,60
Q 45,0
B 300,0
L2 45,150
A-K-Q-B Mill Lane
K-KE private
Q-L2 Field Road
`, "A>Q>L2", []string{"I'd like you to take the next road on the left into Field Road, not the private road."}},
	{"zebra crossing before the turn", `
A -300,0
Z 30,0
Q 45,0
B 300,0
L2 45,150
A-Z-Q-B Mill Lane
Q-L2 Field Road
zebra Z
`, "A>Q>L2", []string{"I'd like you to take the next road on the left just past the zebra crossing, into Field Road."}},
	{"two zebra crossings: no landmark", `
A -300,0
Y 0,0
Z 30,0
Q 45,0
B 300,0
L2 45,150
A-Y-Z-Q-B Mill Lane
Q-L2 Field Road
zebra Y Z
`, "A>Q>L2", []string{"I'd like you to take the next road on the left into Field Road."}},
	{"staggered: left then right at once", `
A -300,0
P 0,0
Q 30,0
B 300,0
L 30,150
R 0,-150
A-P-Q-B Mill Lane tertiary
P-R South Road
Q-L North Road
`, "R>P>Q>L", []string{"At the end of the road, turn right into Mill Lane, then immediately turn left into North Road."}},
	{"staggered by a car's length, straight over", `
A -300,0
P 0,0
Q 8,0
B 300,0
L 8,150
R 0,-150
A-P-Q-B Mill Lane tertiary
P-R South Road
Q-L North Road
`, "R>P>Q>L", []string{"At the next crossroads, follow the road ahead into North Road."}},
	{"over a main road", `
A 0,-300
J 0,0
L -200,0
R 200,0
B 0,200
A-J-B Mill Lane
L-J-R High Street primary
`, "A>J>B", []string{"At the next crossroads, follow the road ahead."}},
	{"lights, left", cross + "signals J", "A>J>L", []string{"At the next traffic lights, turn left into High Street."}},
	{"lights, ahead", cross + "signals J", "A>J>B", nil},
	{"lights ahead over a main road", `
A 0,-300
J 0,0
L -200,0
R 200,0
B 0,200
A-J-B Mill Lane
L-J-R High Street primary
signals J
`, "A>J>B", []string{"At the next traffic lights, follow the road ahead."}},
	{"fork, left", `
A 0,-300
J 0,0
L -100,170
R 100,170
A-J Mill Lane
J-L West Road
J-R East Road
`, "A>J>L", []string{"At the next fork, keep left into West Road."}},
	{"main road bends, side road straight on: along", `
A 0,-300
J 0,0
L -200,100
B 0,200
A-J-L Mill Lane secondary
J-B Old Road
`, "A>J>L", []string{"At the next junction, follow the road round to the left."}},
	{"main road bends, side road straight on: leave it", `
A 0,-300
J 0,0
L -200,100
B 0,200
A-J-L Mill Lane secondary
J-B Old Road
`, "A>J>B", []string{"I'd like you to take the road ahead where the main road bends to the left, into Old Road."}},
	{"main road bends at a tee", `
A 0,-300
J 0,0
L -200,0
R 200,0
A-J-L Mill Lane secondary
J-R Old Road
`, "A>J>L", []string{"At the next junction, follow the road round to the left."}},
	{"off a main road that bends at a tee", `
A 0,-300
J 0,0
L -200,0
R 200,0
A-J-L Mill Lane secondary
J-R Old Road
`, "A>J>R", []string{"I'd like you to take the next road on the right into Old Road."}},
	{"name changes at a plain bend: nothing", `
A 0,-300
J 0,0
L -200,0
A-J Mill Lane
J-L High Street
`, "A>L", nil},
	{"side road leaves gently to the left", `
A 0,-300
J 0,0
B 0,300
L -80,170
A-J-B Mill Lane
J-L Old Road
`, "A>J>L", []string{"I'd like you to take the next road on the left into Old Road."}},
	{"two roads to the left, the nearer", `
A 0,-300
J 0,0
B 0,300
L -170,-100
M -140,140
A-J-B Mill Lane
J-L Back Road
J-M Forward Road
`, "A>J>L", []string{"At the next junction, turn sharp left into Back Road."}},
	{"two roads to the left, the further", `
A 0,-300
J 0,0
B 0,300
L -170,-100
M -140,140
A-J-B Mill Lane
J-L Back Road
J-M Forward Road
`, "A>J>M", []string{"At the next junction, bear left into Forward Road."}},
	{"roundabout, first exit", ring4, "A>AF>AI>LO>LF>L", []string{"At the roundabout, take the first exit, into West Road."}},
	{"roundabout, second exit", ring4, "A>AF>AI>LO>LI>BO>BF>B", []string{"At the roundabout, take the second exit, into North Road."}},
	{"roundabout, third exit", ring4, "A>AF>AI>LO>LI>BO>BI>RO>RF>R", []string{"At the roundabout, take the third exit, into East Road."}},
	{"roundabout, back", ring4, "A>AF>AI>LO>LI>BO>BI>RO>RI>AO>AF>A", []string{"At the roundabout, go all the way round and back the way you came."}},
	{"roundabout of three, left", ring3, "A>S>W>L", []string{"At the roundabout, turn left into West Road."}},
	{"roundabout of three, ahead", ring3, "A>S>W>N>B", []string{"At the roundabout, follow the road ahead into North Road."}},
	{"roundabout of three, from the side to the right", ring3, "L>W>N>S>A", []string{"At the roundabout, turn right into Mill Lane."}},
	{"roundabout of five, first exit", ring5, "A>S>W>L", []string{"At the roundabout, take the first exit, into West Road."}},
	{"roundabout of five, second exit", ring5, "A>S>W>N>B", []string{"At the roundabout, take the second exit, into North Road."}},
	{"roundabout of five, third exit", ring5, "A>S>W>N>E>R", []string{"At the roundabout, take the third exit, into Church Road."}},
	{"roundabout of five, fourth exit", ring5, "A>S>W>N>E>X>C", []string{"At the roundabout, take the fourth exit, into East Road."}},
	{"roundabout of five, back", ring5, "A>S>W>N>E>X>S>A", []string{"At the roundabout, go all the way round and back the way you came."}},
	{"roundabout of six, third exit", ring6, "A>S>W>N>E>R", []string{"At the roundabout, take the third exit, into Church Road."}},
	{"roundabout of six, fifth exit", ring6, "A>S>W>N>E>X>Y>D", []string{"At the roundabout, take the fifth exit, into South Road."}},
	{"roundabout of six, from another road", ring6, "R>E>X>Y>D", []string{"At the roundabout, take the second exit, into South Road."}},
	{"mini-roundabout, right", cross + "mini J", "A>J>R", []string{"At the mini-roundabout, turn right into High Street."}},
	{"mini-roundabout, ahead", cross + "mini J", "A>J>B", []string{"At the mini-roundabout, follow the road ahead."}},
	{"two mini-roundabouts in a row", `
A 0,-300
J 0,0
K 40,0
L -200,0
R 200,0
B 40,200
A-J Mill Lane
L-J-K-R High Street
K-B North Road
mini J K
`, "A>J>K>B", []string{"At the mini-roundabout, turn right into High Street, then at the next mini-roundabout, turn left into North Road."}},
	{"left, then right at once", `
A 0,-300
J 0,0
L -50,0
M -300,0
R 200,0
B -50,200
A-J Mill Lane
M-L-J-R High Street
L-B North Road
`, "A>J>L>B", []string{"At the end of the road, turn left into High Street, then immediately turn right into North Road."}},
	{"left, then the second on the other side", `
A 0,-300
J 0,0
K -25,0
L -50,0
M -300,0
R 200,0
B -50,200
C -25,200
A-J Mill Lane
M-L-K-J-R High Street
K-C Close
L-B North Road
`, "A>J>K>L>B", []string{"At the end of the road, turn left into High Street, then take the second road on the right into North Road."}},
	{"over a dual carriageway", `
A 0,-300
S 0,-8
N 0,8
B 0,300
WS -300,-8
ES 300,-8
WN -300,8
EN 300,8
A-S-N-B Mill Lane
ES>S>WS Great Road primary dual
WN>N>EN Great Road primary dual
`, "A>S>N>B", []string{"At the next crossroads, follow the road ahead."}},
	{"right onto a dual carriageway", `
A 0,-300
S 0,-8
N 0,8
B 0,300
WS -300,-8
ES 300,-8
WN -300,8
EN 300,8
A-S-N-B Mill Lane
ES>S>WS Great Road primary dual
WN>N>EN Great Road primary dual
`, "A>S>N>EN", []string{"I'd like you to take the next road on the right into Great Road."}},
	{"left onto a dual carriageway", `
A 0,-300
S 0,-8
N 0,8
B 0,300
WS -300,-8
ES 300,-8
WN -300,8
EN 300,8
A-S-N-B Mill Lane
ES>S>WS Great Road primary dual
WN>N>EN Great Road primary dual
`, "A>S>WS", []string{"I'd like you to take the next road on the left into Great Road."}},
	{"off a dual carriageway, past a crossing road", `
A 0,-300
S 0,-8
N 0,8
B 0,300
S2 45,-8
C 45,-200
WS -300,-8
ES 300,-8
WN -300,8
EN 300,8
A-S-N-B Mill Lane
ES>S2>S>WS Great Road primary dual
WN>N>EN Great Road primary dual
S2-C Close
`, "ES>S2>S>A", []string{"I'd like you to take the second road on the left into Mill Lane."}},
	{"island at a side road counts once", `
A -300,0
P -12,0
Q 12,0
F 0,40
L 0,150
S 45,0
M 45,150
B 300,0
A-P-Q-S-B Mill Lane
P>F Island Road
F>Q Island Road
F-L Island Road
S-M North Road
`, "A>P>Q>S>M", []string{"I'd like you to take the second road on the left into North Road."}},
	{"dead end with a turning head", `
A 0,-300
J 0,0
D 0,200
L -200,0
L-J-D Mill Lane
A-J High Street
turning D
`, "A>J>D>J>L", []string{"At the end of the road, turn round in the turning space.", "I'd like you to take the next road on the right."}},
	{"slip road", `
A 0,-600
J 0,0
B 0,600
L -60,250
A>J>B Great Road trunk dual
J>L trunk link
`, "A>J>L", []string{"I'd like you to take the next slip road on the left."}},
}
