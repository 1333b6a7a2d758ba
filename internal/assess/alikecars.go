package assess

import (
	"math"

	"loopwright/internal/roadnet"
)

// Cars that were seen along a street tell of the streets that are alike: where the
// kerbs of a quarter are emptier at ten than their homes or tags let one expect,
// so are probably the others'. What was seen counts as much as its hour and
// weekday are like those asked about (notes.Here.Parked).

// leastSeen is the weight of notes from which cars tell of other streets: our
// choice, a note of another weekday two hours off.
const leastSeen = 0.25

// carsOff is how far the cars that were seen along a stretch are off what the map
// lets one expect, over both kerbs and in spreads.
func (a *Assessor) carsOff(s roadnet.StretchID) (off, variance float64, ok bool) {
	sp := &a.table.spreads
	seen, _ := a.noted.On(s).Parked(0, a.net.Length(s))
	weight := seen.None + seen.Few + seen.OneSide + seen.BothSides
	if weight < leastSeen {
		return 0, 0, false
	}
	a.load(s)
	mean, sd, ok := a.expectedCars(&a.site)
	if !ok {
		return 0, 0, false
	}
	full := (seen.Few*sp.SeenFew + seen.OneSide*sp.SeenRow/2 + seen.BothSides*sp.SeenRow) / weight
	look := sp.SeenSpread / sd
	return (full - mean) / sd, look * look / weight, true
}

// expectedCars is how full the kerbs of a stretch are likely to be, both together,
// by its tags or by its homes.
func (a *Assessor) expectedCars(st *site) (mean, sd float64, ok bool) {
	sp := &a.table.spreads
	switch parkedByTags(st, window{to: st.length}).word {
	case "one side", "other side":
		return sp.SeenRow / 2, sp.TaggedSpread / 2, true
	case "both sides":
		return sp.SeenRow, sp.TaggedSpread, true
	case "not mapped":
		f, known := a.fullness(st)
		return (f[0].expected() + f[1].expected()) / 2, (f[0].sd() + f[1].sd()) / 2, known
	}
	return 0, 0, false
}

// likely corrects how full a kerb is expected to be by the streets that are alike.
func (al *alike) likely(mean, sd float64) (float64, float64) {
	return min(max(mean+sd*al.off, 0), 1), sd * math.Sqrt(max(1-al.share, 0))
}

// rowThere is the chance that the row of cars that tags put along a stretch stands
// there at the hour, against what is usual: 1 where no street tells.
func (a *Assessor) rowThere(st *site) float64 {
	al := a.alikeTo(st, a.parked, &st.alikeCars)
	if al.roads == 0 {
		return 1
	}
	sp := &a.table.spreads
	mean, sd := al.likely(sp.SeenRow, sp.TaggedSpread)
	return min(above((fullKerb-mean)/sd)/above((fullKerb-sp.SeenRow)/sp.TaggedSpread), 1)
}
