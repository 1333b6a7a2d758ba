package traffic

import (
	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
)

// Homes to a metre of road where they are not mapped, on both sides together.
// Our choice: plots of some 20 m with a gap in every third, and far fewer on
// roads that are not there to live on. For Rutland it makes 16 thousand, where
// the census of 2021 found some 17 thousand households (from memory).
const (
	homesResidential = 1 / 15.0
	homesBuiltUp     = 1 / 30.0
	homesCountry     = 1 / 75.0
)

// homesMapped is the share of the homes to be expected in the nine squares
// around a road from which on they count as mapped there, so that none on a
// road means none. Our choice.
const homesMapped = 0.5

// What draws traffic beside homes, in homes' worth: our choice, by the drop-off
// of a primary school and the custom of a corner shop.
const (
	schoolDraws = 100.0
	shopDraws   = 10.0
)

// homes says how many homes stand along each stretch and how many of them are
// an estimate; whether it lies in a built-up area; and on what share of the
// residential roads homes are mapped.
func homes(n *roadnet.Network, classes []extract.Class, mapped []uint32) (loads []load, built []bool, complete Share) {
	built, in := builtUp(n)
	expected := make([]float64, n.NumStretches())
	want, have := map[squareAt]float64{}, map[squareAt]float64{}
	for i := range expected {
		s := roadnet.StretchID(i)
		expected[i] = float64(n.Length(s)) * homesPerMetre(classes[i], built[i])
		want[in[i]] += expected[i]
		if mapped != nil {
			have[in[i]] += float64(mapped[i])
		}
	}
	loads = make([]load, n.NumStretches())
	var roads, known float64
	for i := range loads {
		here := mapped != nil && around(have, in[i]) >= homesMapped*around(want, in[i])
		if classes[i] == extract.Residential || classes[i] == extract.LivingStreet {
			roads += float64(n.Length(roadnet.StretchID(i)))
			if here {
				known += float64(n.Length(roadnet.StretchID(i)))
			}
		}
		switch {
		case here:
			loads[i].homes = float64(mapped[i])
		case mapped != nil && float64(mapped[i]) >= expected[i]:
			loads[i].homes = float64(mapped[i])
		default:
			loads[i].homes, loads[i].guessed = expected[i], expected[i]
		}
	}
	return loads, built, shareOf(known, roads, mapped != nil)
}

// homesPerMetre goes by what a road is for.
func homesPerMetre(c extract.Class, built bool) float64 {
	switch {
	case c == extract.Motorway || c == extract.Trunk:
		return 0
	case c == extract.Residential || c == extract.LivingStreet:
		return homesResidential
	case built:
		return homesBuiltUp
	}
	return homesCountry
}
