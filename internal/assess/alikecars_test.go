package assess

import (
	"math/rand/v2"
	"testing"
	"time"

	"loopwright/internal/calendar"
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/notes"
	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
)

// In the invented town, with the cars of every fifth street noted at eleven, how
// full the kerbs of the others are is foretold better than by homes and tags alone,
// in the sum of squares over the worlds, and in the narrow and wide ones by whatever
// they differ from the stated.
func TestSeenCarsTellOfTheirNeighboursInTown(t *testing.T) {
	n, byWay := town(t)
	when := time.Date(2027, 5, 11, 11, 0, 0, 0, time.UTC)
	bare := New(n, profile(t, "gb")).AtHour(when)
	var off0, off float64
	for _, w := range worlds {
		const seed = 5
		random := rand.New(rand.NewPCG(seed, 1))
		chosen := map[roadnet.NameID]bool{}
		var noted []notes.Note
		var rest []roadnet.StretchID
		full := map[roadnet.StretchID]float64{}
		for s := range roadnet.StretchID(n.NumStretches()) {
			at := roadnet.Position{Segment: s.Segment(true), Along: n.Length(s) / 2}
			k := truth(n, byWay, at)
			bare.load(s)
			if _, _, ok := bare.expectedCars(&bare.site); k == nil || !ok {
				continue
			}
			name := n.NameOf(s)
			if _, seen := chosen[name]; !seen {
				chosen[name] = random.IntN(5) == 0
			}
			near, far := k.Full(w, 11), k.OtherSide.Full(w, 11)
			full[s] = (near + far) / 2
			if !chosen[name] {
				rest = append(rest, s)
				continue
			}
			word := notes.ParkedNone
			switch {
			case near >= fullKerb && far >= fullKerb:
				word = notes.ParkedBothSides
			case near >= fullKerb || far >= fullKerb:
				word = notes.ParkedOneSide
			case near+far > 0:
				word = notes.ParkedFew
			}
			noted = append(noted, notes.Note{Kind: notes.Parked, Word: word, Author: "JB", Minute: 11 * 60, Day: calendar.DateOf(when), Place: notes.PlaceAt(n, at, roadnet.Left)})
		}
		a := bare.WithNotes(notes.Match(n, notes.Pack(noted)), notes.When{Day: calendar.DateOf(when), Hour: when})
		var sum0, sum float64
		for _, s := range rest {
			bare.load(s)
			a.load(s)
			mean0, sd, _ := bare.expectedCars(&bare.site)
			mean, _ := mean0, sd
			if al := a.alikeTo(&a.site, a.parked, &a.site.alikeCars); al.roads > 0 {
				mean, _ = al.likely(mean0, sd)
			}
			sum0 += (mean0 - full[s]) * (mean0 - full[s])
			sum += (mean - full[s]) * (mean - full[s])
		}
		t.Logf("%v world, seed %d: %d noted, %d others: mean square error %.4f by the map, %.4f learnt", w, seed, len(noted), len(rest), sum0/float64(len(rest)), sum/float64(len(rest)))
		off0, off = off0+sum0, off+sum
	}
	if off > 0.9*off0 {
		t.Errorf("over the worlds the square error falls from %.3f to %.3f, want a tenth less", off0, off)
	}
}

// Empty kerbs near by make a street that is tagged with a row of cars likely to be
// clear at that hour, and say nothing of another day's evening.
func TestSeenCarsFadeWithTheHour(t *testing.T) {
	n := roadnettest.Parse(t, block)
	ex, err := Named("turn-in-the-road")
	if err != nil {
		t.Fatal(err)
	}
	mill := roadnettest.Segment(t, n, "A>B").Stretch()
	var all []notes.Note
	day := calendar.Date{Year: 2027, Month: 3, Day: 2}
	for s := range roadnet.StretchID(n.NumStretches()) {
		for _, piece := range n.Pieces(s) {
			piece.Attributes.Parking[0] = extract.ParkingLane
		}
		if s != mill {
			at := roadnet.Position{Segment: s.Segment(true), Along: n.Length(s) / 2}
			all = append(all, notes.Note{Kind: notes.Parked, Word: notes.ParkedNone, Author: "JB", Minute: 600, Day: day, Place: notes.PlaceAt(n, at, roadnet.Left)})
		}
	}
	parked := func(when time.Time, all []notes.Note) *Finding {
		a := New(n, profile(t, "gb")).WithNotes(notes.Match(n, notes.Pack(all)), notes.When{Day: calendar.DateOf(when), Hour: when})
		p := a.At(ex, roadnet.Position{Segment: mill.Segment(true), Along: geo.Metres(200)}, roadnet.Left)
		return named(p.Findings, "parked")
	}
	at := time.Date(2027, 3, 2, 10, 0, 0, 0, time.UTC)
	sunday := time.Date(2027, 3, 7, 20, 0, 0, 0, time.UTC)
	bare, learnt, later := parked(at, nil), parked(at, all), parked(sunday, all)
	if learnt.Chance <= bare.Chance {
		t.Errorf("by tags a chance of %v, with empty streets near by %v", bare.Chance, learnt.Chance)
	}
	if later.Chance != bare.Chance {
		t.Errorf("on a Sunday evening the chance is %v, by tags alone %v", later.Chance, bare.Chance)
	}
}
