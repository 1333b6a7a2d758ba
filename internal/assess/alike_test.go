package assess

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"

	"loopwright/internal/calendar"
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/notes"
	"loopwright/internal/roadnet"
)

func widthNote(n *roadnet.Network, s roadnet.StretchID, width float64, by notes.Method) notes.Note {
	pos := roadnet.Position{Segment: s.Segment(true), Along: n.Length(s) / 2}
	return notes.Note{Kind: notes.Width, Metres: geo.Metres(width), Method: by, Author: "JB", Minute: -1,
		Day: calendar.Date{Year: 2027, Month: 3, Day: 2}, Place: notes.PlaceAt(n, pos, roadnet.Left)}
}

// tally compares foretold widths with true ones.
type tally struct {
	n, held, held0 int
	off, off0      float64 // metres, with what was learnt and without
}

func (y *tally) add(bare, learnt answer, truth float64) {
	y.n++
	y.off0 += math.Abs(bare.mean - truth)
	y.off += math.Abs(learnt.mean - truth)
	if math.Abs(bare.mean-truth) <= bare.sd {
		y.held0++
	}
	if math.Abs(learnt.mean-truth) <= learnt.sd {
		y.held++
	}
}

// In the invented town every fifth road is paced; the others are foretold better
// where the town departs from the usual, no worse where it does not, and as well
// as is said.
func TestMeasuredRoadsTellOfTheirNeighboursInTown(t *testing.T) {
	n, byWay := town(t)
	bare := New(n, profile(t, "gb"))
	var off, off0 float64
	for _, world := range worlds {
		const seed = 5
		random := rand.New(rand.NewPCG(seed, 1))
		chosen := map[roadnet.NameID]bool{}
		var noted []notes.Note
		var rest []roadnet.StretchID
		truths := map[roadnet.StretchID]float64{}
		for s := range roadnet.StretchID(n.NumStretches()) {
			at := n.PieceAt(s, n.Length(s)/2).Attributes
			k := truth(n, byWay, roadnet.Position{Segment: s.Segment(true), Along: n.Length(s) / 2})
			if k == nil || at.WidthSource != extract.WidthUnknown || at.Class != extract.Residential || at.Lanes != [3]uint8{} {
				continue
			}
			name := n.NameOf(s)
			if _, seen := chosen[name]; !seen {
				chosen[name] = random.IntN(5) == 0
			}
			truths[s] = float64(k.Width[world])
			if !chosen[name] {
				rest = append(rest, s)
				continue
			}
			spread := math.Hypot(0.15, 0.08*truths[s])
			noted = append(noted, widthNote(n, s, truths[s]+spread*random.NormFloat64(), notes.Paces))
		}
		a := bare.WithNotes(notes.Match(n, notes.Pack(noted)), notes.When{})
		var y tally
		for _, s := range rest {
			at := *n.PieceAt(s, n.Length(s)/2).Attributes
			bare.load(s)
			a.load(s)
			y.add(bare.carriageway(&at, 0), a.carriageway(&at, 0), truths[s])
		}
		t.Logf("%v world, seed %d: %d paced, %d others: mean absolute error %.2f m bare, %.2f m learnt; in the interval %.2f and %.2f", world, seed, len(noted), y.n, y.off0/float64(y.n), y.off/float64(y.n), float64(y.held0)/float64(y.n), float64(y.held)/float64(y.n))
		off, off0 = off+y.off, off0+y.off0
		if y.off > 1.05*y.off0 {
			t.Errorf("%v world: the error rises by more than 5 in 100", world)
		}
		if share := float64(y.held) / float64(y.n); share < 0.6 {
			t.Errorf("%v world: %.2f of the widths lie in the stated interval, it says 0.68", world, share)
		}
	}
	if off > 0.93*off0 {
		t.Errorf("over the worlds the error falls from %.0f to %.0f m: less than 7 in 100", off0, off)
	}
}

// The solution is that of gonum.
func TestSolve(t *testing.T) {
	const seed, n = 3, 12
	random := rand.New(rand.NewPCG(seed, 1))
	half := mat.NewDense(n, n, nil)
	k := make([]float64, n)
	for i := range n {
		k[i] = random.NormFloat64()
		for j := range n {
			half.Set(i, j, random.NormFloat64())
		}
	}
	var m mat.Dense
	m.Mul(half, half.T())
	var want mat.VecDense
	if err := want.SolveVec(&m, mat.NewVecDense(n, k)); err != nil {
		t.Fatal(err)
	}
	for i, x := range solve(append([]float64(nil), m.RawMatrix().Data...), k) {
		if math.Abs(x-want.AtVec(i)) > 1e-6*(1+math.Abs(x)) {
			t.Errorf("seed %d: x[%d] = %v, want %v", seed, i, x, want.AtVec(i))
		}
	}
}
