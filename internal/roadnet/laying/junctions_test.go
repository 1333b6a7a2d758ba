package laying_test

import (
	"testing"

	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
)

// Each drawing has one junction that matters: that of the named node. Together
// lists the nodes that are of it; apart the ones that are not.
func TestJunctions(t *testing.T) {
	for _, c := range []struct {
		name, drawing   string
		at              string
		kind            roadnet.JunctionKind
		arms            uint8
		together, apart []string
	}{
		{
			name:    "crossroads",
			drawing: "W -100,0\nM 0,0\nE 100,0\nN 0,100\nS 0,-100\nW-M-E High Street\nN-M-S Mill Lane",
			at:      "M", kind: roadnet.PlainJunction, arms: 4, apart: []string{"W", "N"},
		},
		{
			name:    "staggered by a few metres",
			drawing: "W -100,0\nM 0,0\nL 8,0\nE 100,0\nN 0,100\nS 8,-100\nW-M-L-E High Street\nN-M Mill Lane\nS-L Mill Lane",
			at:      "M", kind: roadnet.PlainJunction, arms: 4, together: []string{"L"},
		},
		{
			name:    "staggered by more",
			drawing: "W -100,0\nM 0,0\nL 30,0\nE 100,0\nN 0,100\nS 30,-100\nW-M-L-E High Street\nN-M Mill Lane\nS-L Mill Lane",
			at:      "M", kind: roadnet.PlainJunction, arms: 3, apart: []string{"L"},
		},
		{
			name: "a row of close side roads does not become one junction",
			drawing: "W -100,0\nA 0,0\nB 10,0\nC 20,0\nD 30,0\nF 40,0\nE 100,0\nW-A-B-C-D-F-E High Street\n" +
				"G 0,100\nH 10,100\nI 20,100\nJ 30,100\nK 40,100\nA-G A\nB-H B\nC-I C\nD-J D\nF-K F",
			at: "A", kind: roadnet.PlainJunction, arms: 6, together: []string{"B", "C", "D"}, apart: []string{"F"},
		},
		{
			name:    "mini-roundabout",
			drawing: "W -100,0\nM 0,0\nE 100,0\nN 0,100\nW-M-E High Street\nN-M Mill Lane\nmini M",
			at:      "M", kind: roadnet.MiniRoundaboutJunction, arms: 3,
		},
		{
			name: "roundabout with splitter islands",
			drawing: `
				A 15,0
				B 0,15
				C -15,0
				D 0,-15
				roundabout A>D>C>B>A
				E 60,0
				F 200,0
				E>A High Street
				B>E High Street
				E-F High Street
				N 0,100
				S 0,-100
				N-B Mill Lane
				S-D Mill Lane
			`,
			at: "A", kind: roadnet.RoundaboutJunction, arms: 3, together: []string{"B", "D", "E"}, apart: []string{"F", "N"},
		},
		{
			name: "dual carriageway crossed",
			drawing: `
				A -200,0
				B 0,0
				C 200,0
				D 200,20
				E 0,20
				F -200,20
				A>B>C Ring Road trunk
				D>E>F Ring Road trunk
				N 0,120
				S 0,-100
				N-E-B-S Mill Lane
			`,
			at: "B", kind: roadnet.PlainJunction, arms: 4, together: []string{"E"}, apart: []string{"A", "D"},
		},
		{
			name: "where a dual carriageway begins",
			drawing: `
				A -200,0
				B 0,0
				C 300,10
				D 300,-10
				A-B Ring Road trunk
				B>C Ring Road trunk
				D>B Ring Road trunk
			`,
			at: "B", kind: roadnet.NoJunction, arms: 2,
		},
		{
			name:    "signals at the node",
			drawing: "W -100,0\nM 0,0\nE 100,0\nN 0,100\nW-M-E High Street\nN-M Mill Lane\nsignals M",
			at:      "M", kind: roadnet.SignalsJunction, arms: 3,
		},
		{
			name:    "signals at the stop lines",
			drawing: "W -100,0\nP -10,0\nM 0,0\nQ 10,0\nE 100,0\nN 0,100\nW-P-M-Q-E High Street\nN-M Mill Lane\nsignals P forward\nsignals Q backward",
			at:      "M", kind: roadnet.SignalsJunction, arms: 3,
		},
		{
			name:    "signals for cars that leave are another's",
			drawing: "W -100,0\nP -10,0\nM 0,0\nQ 10,0\nE 100,0\nN 0,100\nW-P-M-Q-E High Street\nN-M Mill Lane\nsignals P backward\nsignals Q forward",
			at:      "M", kind: roadnet.PlainJunction, arms: 3,
		},
		{
			name:    "dead end",
			drawing: "A 0,0\nB 100,0\nA-B Mill Lane",
			at:      "B", kind: roadnet.NoJunction, arms: 1,
		},
		{
			name:    "a legal change along the way",
			drawing: "A 0,0\nB 100,0\nC 200,0\nA-B Mill Lane\nB-C Mill Lane destination",
			at:      "B", kind: roadnet.NoJunction, arms: 2,
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			n := roadnettest.Parse(t, c.drawing)
			junction := n.JunctionOf(roadnettest.Node(t, n, c.at))
			if got := n.Junction(junction); got.Kind != c.kind || got.Arms != c.arms {
				t.Errorf("%v with %d arms, want %v with %d", got.Kind, got.Arms, c.kind, c.arms)
			}
			for _, name := range c.together {
				if n.JunctionOf(roadnettest.Node(t, n, name)) != junction {
					t.Errorf("%s is of another junction", name)
				}
			}
			for _, name := range c.apart {
				if n.JunctionOf(roadnettest.Node(t, n, name)) == junction {
					t.Errorf("%s is of the same junction", name)
				}
			}
		})
	}
}

// What splits no stretch: drives, stubs, crossings, joints of ways, signals
// between junctions.
func TestStretches(t *testing.T) {
	for _, c := range []struct {
		name, drawing string
		stretches     int
	}{
		{"one way", "A 0,0\nB 100,0\nA-B", 1},
		{"two ways joined", "A 0,0\nB 100,0\nC 200,0\nA-B\nC-B Mill Lane", 1},
		{"a drive", "A 0,0\nB 100,0\nA-B\ndrive on A-B at 40 left", 1},
		{"a service road, a track, a private road", "A 0,0\nB 50,0\nC 100,0\nD 50,50\nE 50,-50\nF 0,50\nA-B-C\nB-D service\nB-E track\nB-F private", 1},
		{"a side road", "A 0,0\nB 50,0\nC 100,0\nD 50,50\nA-B-C\nB-D", 3},
		{"a stub", "A 0,0\nB 50,0\nC 100,0\nD 50,20\nA-B-C\nB-D", 1},
		{"a stub with a name", "A 0,0\nB 50,0\nC 100,0\nD 50,20\nA-B-C\nB-D Short Row", 3},
		{"a stub with a home", "A 0,0\nB 50,0\nC 100,0\nD 50,20\nA-B-C\nB-D\naddress 55,25 1 Mill Lane", 3},
		{"a stub with a turning head", "A 0,0\nB 50,0\nC 100,0\nD 50,20\nA-B-C\nB-D\nturning D", 3},
		{"a hammerhead", "A 0,0\nB 100,0\nC 100,10\nD 100,-10\nA-B Mill Lane\nC-B-D", 1},
		{"signals at a crossing", "A 0,0\nB 50,0\nC 100,0\nA-B-C\nsignals B", 1},
		{"a mini-roundabout", "A 0,0\nB 50,0\nC 100,0\nA-B-C\nmini B", 2},
		{"a shut barrier", "A 0,0\nB 50,0\nC 100,0\nA-B-C\nshut B", 2},
		{"a ring alone", "A 0,0\nB 50,0\nC 0,50\nA-B-C-A", 1},
		{"a ring on a stem", "A 0,0\nB 50,0\nC 100,20\nD 100,-20\nA-B\nB-C-D-B", 2},
		{"a way that crosses itself", "A 0,0\nB 100,0\nC 100,100\nD 50,-50\nX 50,0\nA-X-B-C-X-D", 3},
		{"two roads between the same junctions", "A 0,0\nB 100,0\nC 50,50\nW -50,0\nE 150,0\nW-A\nB-E\nA-B\nA-C-B", 4},
		{"a roundabout whose way begins within an arc", "A 10,0\nB 0,10\nC -10,0\nD 0,-10\nroundabout B>A>D>C>B\nE 60,0\nW -60,0\nA-E\nC-W", 4},
		{"a ban of going on", "A 0,0\nB 50,0\nC 100,0\nA-B\nB-C\nban A-B-C", 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			if n := roadnettest.Parse(t, c.drawing); n.NumStretches() != c.stretches {
				t.Errorf("%d stretches, want %d", n.NumStretches(), c.stretches)
			}
		})
	}
}

func TestMouths(t *testing.T) {
	n := roadnettest.Parse(t, `
		A 0,0
		B 50,0
		C 150,0
		D 50,50
		E 50,-50
		F 80,0
		G 80,-20
		T 150,40
		A-B-F-C
		D-B-E Works Road service
		F-G
		C-T track
		drive on A-B at 20 left
		drive on A-B at 30 right
	`)
	got := n.Mouths(0)
	want := []roadnet.Mouth{
		{Along: 20, Side: roadnet.Left, Kind: roadnet.MouthDrive, Way: 5},
		{Along: 30, Side: roadnet.Right, Kind: roadnet.MouthDrive, Way: 6},
		{Along: 50, Side: roadnet.Left, Kind: roadnet.MouthService, Counts: true, Way: 2},
		{Along: 50, Side: roadnet.Right, Kind: roadnet.MouthService, Counts: true, Way: 2},
		{Along: 80, Side: roadnet.Right, Kind: roadnet.MouthStub, Way: 3},
		{Along: 150, Side: roadnet.Left, Kind: roadnet.MouthTrack, Way: 4},
	}
	if len(got) != len(want) {
		t.Fatalf("%d mouths, want %d: %+v", len(got), len(want), got)
	}
	for i := range want {
		if d := got[i].Along - want[i].Along; d < -0.05 || d > 0.05 {
			t.Errorf("mouth %d at %v m, want %v", i, got[i].Along, want[i].Along)
		}
		got[i].Along = want[i].Along
		if got[i] != want[i] {
			t.Errorf("mouth %d = %+v, want %+v", i, got[i], want[i])
		}
	}
}

// Things and attributes turn with the stretch where a way runs against it.
func TestTurnedRound(t *testing.T) {
	n := roadnettest.Parse(t, `
		A 0,0
		B 100,0
		P 150,0
		C 200,0
		A-B Mill Lane
		C-P-B Mill Lane incline=5 parking-left=lane
		signals P forward
	`)
	things := n.Things(0)
	if len(things) != 1 || things[0].Features != extract.Signals || things[0].Direction != -1 {
		t.Errorf("things = %+v, want signals at 150 m that concern traffic back", things)
	}
	pieces := n.Pieces(0)
	if len(pieces) != 2 {
		t.Fatalf("%d pieces, want 2", len(pieces))
	}
	p := pieces[1]
	if !p.Reversed || p.FirstNode != 2 || p.FirstVertex != 1 || p.Way != 2 {
		t.Errorf("second piece = %+v, want way 2 reversed from its node 2, vertex 1", p)
	}
	a := p.Attributes
	if a.InclinePermil != -50 || a.Flags&roadnet.InclineDown == 0 || a.Flags&roadnet.InclineUp != 0 ||
		a.Parking != [2]extract.ParkingPosition{extract.ParkingUnknown, extract.ParkingLane} {
		t.Errorf("attributes = %+v, want 5 %% down and cars on the right", a)
	}
}

func TestZones(t *testing.T) {
	n := roadnettest.Parse(t, `
		A 0,0
		B 100,0
		C 200,0
		D 100,100
		E 100,200
		F 50,200
		G 100,-100
		A-B-C High Street
		B-D destination
		D-E destination
		D-F destination
		B-G destination
	`)
	zone := func(arrow string) uint32 { return n.Zone(roadnettest.Segment(t, n, arrow).Stretch()) }
	if zone("A>B") != 0 || zone("B>C") != 0 {
		t.Error("a public road is in a zone")
	}
	if z := zone("B>D"); z == 0 || zone("D>E") != z || zone("D>F") != z {
		t.Error("the roads north of High Street are not one zone")
	}
	if zone("B>G") == zone("B>D") || zone("B>G") == 0 {
		t.Error("the roads on both sides of High Street are not two zones")
	}
}

func TestDual(t *testing.T) {
	for _, c := range []struct {
		name, drawing string
		dual          bool
	}{
		{"two halves of one name", "A 0,0\nB 300,0\nC 300,15\nD 0,15\nA>B Ring Road\nC>D Ring Road", true},
		{"two halves of one number", "A 0,0\nB 300,0\nC 300,15\nD 0,15\nA>B ref=B1\nC>D ref=B1", true},
		{"tagged", "A 0,0\nB 300,0\nA>B Ring Road dual", true},
		{"other names", "A 0,0\nB 300,0\nC 300,15\nD 0,15\nA>B Ring Road\nC>D Mill Lane", false},
		{"far apart", "A 0,0\nB 300,0\nC 300,80\nD 0,80\nA>B Ring Road\nC>D Ring Road", false},
		{"the same way", "A 0,0\nB 300,0\nC 300,15\nD 0,15\nA>B Ring Road\nD>C Ring Road", false},
		{"both ways", "A 0,0\nB 300,0\nC 300,15\nD 0,15\nA-B Ring Road\nC-D Ring Road", false},
		{"a splitter island", "A 0,0\nB 30,0\nC 30,8\nD 0,8\nA>B Ring Road\nC>D Ring Road", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			n := roadnettest.Parse(t, c.drawing)
			flags := n.PieceAt(roadnettest.Segment(t, n, "A>B").Stretch(), 10).Attributes.Flags
			if got := flags&roadnet.DualCarriageway != 0; got != c.dual {
				t.Errorf("dual carriageway: %v, want %v", got, c.dual)
			}
		})
	}
}

func TestNearRim(t *testing.T) {
	n := roadnettest.Parse(t, "A 0,0\nB 1000,0\nC 2000,0\nD 3000,0\nN 1000,100\nS 2000,100\nA-B-C-D High Street\nB-N\nC-S",
		roadnettest.Bounds(-2000, -2000, 3100, 2000))
	for arrow, want := range map[string]bool{"A>B": false, "B>C": false, "C>D": true} {
		if got := n.NearRim(roadnettest.Segment(t, n, arrow).Stretch()); got != want {
			t.Errorf("NearRim(%s) = %v, want %v", arrow, got, want)
		}
	}
	n = roadnettest.Parse(t, "A 0,0\nB 1000,0\nC 2000,0\nN 1000,100\nA-B-C High Street primary\nB-N")
	if !n.NearRim(roadnettest.Segment(t, n, "A>B").Stretch()) || n.NearRim(roadnettest.Segment(t, n, "B>N").Stretch()) {
		t.Error("where a main road ends nowhere the extract ends, and not a kilometre away")
	}
}
