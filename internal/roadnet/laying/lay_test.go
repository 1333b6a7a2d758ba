package laying_test

import (
	"testing"

	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
)

// mayDrive follows the path through the turn table, from the plain state.
func mayDrive(n *roadnet.Network, path []roadnet.SegmentID) bool {
	state := roadnet.StateID(path[0])
	for _, to := range path[1:] {
		lo, hi := n.TurnRange(state)
		found := false
		for t := lo; t < hi; t++ {
			if next := n.TurnAt(t).To; n.StateSegment(next) == to {
				state, found = next, true
				break
			}
		}
		if !found {
			return false
		}
	}
	return true
}

func TestMovements(t *testing.T) {
	const cross = `
		W -100,0
		M 0,0
		E 100,0
		N 0,100
		S 0,-100
		W-M-E High Street secondary
		N-M North Road
		M-S South Road
	`
	for _, c := range []struct {
		name, drawing string
		may, mayNot   []string
	}{
		{"crossroads", cross, []string{"W>M>E", "W>M>N", "W>M>S", "N>M>S", "E>M>W"}, []string{"W>M>W", "N>M>N"}},
		{"from way through the node: both its arms are meant", cross + "ban W-M-N", []string{"W>M>E", "W>M>S", "N>M>W"}, []string{"W>M>N", "E>M>N"}},
		{"to way through the node: both its arms are meant", cross + "ban N-M-E", []string{"S>M>E", "S>M>W"}, []string{"N>M>E", "N>M>W"}},
		{"only straight on", cross + "only N-M-S", []string{"N>M>S", "S>M>N", "S>M>W"}, []string{"N>M>E", "N>M>W"}},
		{"turning head", cross + "turning N", []string{"M>N>M"}, []string{"M>S>M"}},
		{"turning head where going back is banned", cross + "turning N\nban M-N-M", nil, []string{"M>N>M"}},
		{"shut barrier", "A 0,0\nB 50,0\nC 100,0\nA-B-C Mill Lane\nshut B", nil, []string{"A>B>C", "C>B>A"}},
		{"open road", "A 0,0\nB 50,0\nC 100,0\nA-B-C Mill Lane", []string{"A>C"}, nil},
		{"one-way changes along the way", "A 0,0\nB 50,0\nC 100,0\nA-B Mill Lane\nB>C Mill Lane", []string{"A>B>C"}, []string{"C>B>A"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			n := roadnettest.Parse(t, c.drawing)
			for _, path := range c.may {
				if !mayDrive(n, roadnettest.Path(t, n, path)) {
					t.Errorf("%s can't be driven", path)
				}
			}
			for _, path := range c.mayNot {
				if mayDrive(n, roadnettest.Path(t, n, path)) {
					t.Errorf("%s can be driven", path)
				}
			}
		})
	}
}
