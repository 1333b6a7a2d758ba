package laying_test

import (
	"context"
	"testing"

	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/laying"
	"loopwright/internal/roadnet/roadnettest"
)

// What becomes of restrictions, of which the members are as they should be or
// not. Ways: 1 W-M, 2 M-E, 3 N-M, 4 M-S, 5 a service road at M, 6 one elsewhere.
func TestRestrictionsCounted(t *testing.T) {
	const drawing = `
		W -100,0
		M 0,0
		E 100,0
		N 0,100
		S 0,-100
		P 60,60
		Q 300,300
		R 300,400
		W-M High Street
		M-E High Street
		N-M North Road
		M>S South Road
		M-P service
		Q-R Far Road
	`
	ways := func(w ...extract.WayID) []extract.WayID { return w }
	for _, c := range []struct {
		name        string
		restriction extract.Restriction
		want        roadnet.Restrictions
		barred      []string
	}{
		{"obeyed", extract.Restriction{From: ways(1), To: ways(3)}, roadnet.Restrictions{Obeyed: 1}, []string{"W>M>N"}},
		{"at times", extract.Restriction{From: ways(1), To: ways(3), Conditional: "no_left_turn @ (Mo-Fr 07:00-09:00)"},
			roadnet.Restrictions{Obeyed: 1, Conditional: 1}, []string{"W>M>N"}},
		{"no entry from several", extract.Restriction{From: ways(1, 2), To: ways(3), Kind: "no_entry"},
			roadnet.Restrictions{Obeyed: 1}, []string{"W>M>N", "E>M>N"}},
		{"against a one-way road", extract.Restriction{From: ways(4), To: ways(3)}, roadnet.Restrictions{Needless: 1}, nil},
		{"into a service road", extract.Restriction{From: ways(1), To: ways(5)}, roadnet.Restrictions{Needless: 1}, nil},
		{"only into a service road", extract.Restriction{From: ways(1), To: ways(5), Only: true, Kind: "only_left_turn"},
			roadnet.Restrictions{Obeyed: 1}, []string{"W>M>E", "W>M>N", "W>M>S"}},
		{"turning round where nobody can", extract.Restriction{From: ways(1), To: ways(1), Kind: "no_u_turn"},
			roadnet.Restrictions{Needless: 1}, nil},
		{"a way that is not there", extract.Restriction{From: ways(1), To: ways(99)}, roadnet.Restrictions{Incomplete: 1}, nil},
		{"a via way that is not there", extract.Restriction{From: ways(1), Via: ways(99), To: ways(2)}, roadnet.Restrictions{Incomplete: 1}, nil},
		{"a way elsewhere", extract.Restriction{From: ways(1), To: ways(6)}, roadnet.Restrictions{Unconnected: 1}, nil},
		{"a via way elsewhere", extract.Restriction{From: ways(1), Via: ways(6), To: ways(2)}, roadnet.Restrictions{Unconnected: 1}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			x := roadnettest.Extract(t, drawing)
			r := c.restriction
			if r.Kind == "" {
				r.Kind = "no_left_turn"
			}
			if len(r.Via) == 0 {
				for _, node := range x.Roads[0].Nodes {
					r.ViaNode = node // M is the last of way 1
				}
			}
			x.Restrictions = []extract.Restriction{r}
			columns, err := laying.Lay(context.Background(), x, 1)
			if err != nil {
				t.Fatal(err)
			}
			n, err := roadnet.New(columns)
			if err != nil {
				t.Fatal(err)
			}
			if got := n.About().Made.Restrictions; got != c.want {
				t.Errorf("counted %+v, want %+v", got, c.want)
			}
			barred := map[string]bool{}
			for _, path := range c.barred {
				barred[path] = true
			}
			for _, path := range []string{"W>M>E", "W>M>N", "W>M>S", "E>M>W", "E>M>N", "E>M>S", "N>M>E", "N>M>W", "N>M>S"} {
				if got := !mayDrive(n, roadnettest.Path(t, n, path)); got != barred[path] {
					t.Errorf("%s barred: %v, want %v", path, got, barred[path])
				}
			}
		})
	}
}

// A restriction over several ways, of which one is split by a side road, and
// one leads round a ring.
func TestRestrictionOverSplitWay(t *testing.T) {
	n := roadnettest.Parse(t, `
		A -100,0
		B 0,0
		X 50,0
		C 100,0
		D 200,0
		Y 50,50
		F 0,-50
		G 100,-50
		A-B From Road
		B-X-C Via Road
		C-D To Road
		X-Y Side Road
		F-B Other Road
		C-G Other Way
		ban A-B-C-D
	`)
	for path, want := range map[string]bool{"A>B>X>C>D": false, "A>B>X>C>G": true, "F>B>X>C>D": true, "Y>X>C>D": true, "A>B>X>Y": true} {
		if got := mayDrive(n, roadnettest.Path(t, n, path)); got != want {
			t.Errorf("%s can be driven: %v, want %v", path, got, want)
		}
	}
}

func TestCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := laying.Lay(ctx, roadnettest.Extract(t, "A 0,0\nB 9,0\nA-B"), 1); err == nil {
		t.Error("Lay with a context that is done gave no error")
	}
}
