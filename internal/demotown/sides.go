package demotown

import (
	"math"
	"math/rand/v2"
	"strconv"
)

// kerbs is what stands at the two kerbs of one way, left and right as drawn.
type kerbs struct {
	width  float64 // as stated
	full   [2]float64
	barred [2]bool
}

// kerbsOf looks at the stretch that covers most of a way, in the evening, when
// most mappers walk.
func (t *town) kerbsOf(r *road, from, to int) (kerbs, bool) {
	best, out := 0, kerbs{}
	for _, s := range t.stretchesOn[r] {
		for _, u := range s.runs {
			shared := min(to, max(u.from, u.to)) - max(from, min(u.from, u.to))
			if u.road != r || shared <= best {
				continue
			}
			best = shared
			out.width = s.width[Stated]
			for i := range 2 {
				side := s.pass[i]
				j := i
				if (u.from < u.to) == r.backward {
					j = 1 - i
				}
				out.barred[j] = side.barred
				out.full[j] = float64(side.parked[Stated][19]) * carLength / math.Max(20, s.length())
			}
		}
	}
	return out, best > 0
}

// widthTags writes the width of the few roads that a mapper has measured, in
// metres or in feet, and once in a while so that no program reads it.
func (t *town) widthTags(r *road, k tags, from, to int, random *rand.Rand) {
	side, ok := t.kerbsOf(r, from, to)
	if !ok || !r.measured {
		return
	}
	k["width"] = strconv.FormatFloat(side.width, 'f', 1, 64)
	switch u := random.Float64(); {
	case u < 0.12:
		k["width"] += " m"
	case u < 0.2:
		k["width"] = strconv.Itoa(int(side.width/0.3048)) + "'"
	case u < 0.23:
		k["width"] = "about " + strconv.Itoa(int(side.width))
	case u < 0.28:
		k["est_width"] = k["width"]
		delete(k, "width")
	}
}

// parkingTags writes who may park, or does, on a tenth of the ways: the newer
// tags on most, the older ones on some. The one-way pair has loading bays on
// the left.
func (t *town) parkingTags(r *road, k tags, from, to int, random *rand.Rand) {
	side, ok := t.kerbsOf(r, from, to)
	if r.name == "High Street" || r.name == "Fleece Street" {
		k["parking:left"], k["parking:left:restriction"] = "lane", "loading_only"
		k["parking:right"], k["parking:right:restriction"] = "no", "no_stopping"
		return
	}
	if share := random.Float64(); !ok || share > 0.1 || r.ring || r.dual {
		return
	}
	r.told = true
	old := random.Float64() < 0.25
	var values [2]string
	for i := range values {
		switch {
		case side.barred[i] || side.full[i] < 0.04:
			values[i] = "no"
		case r.class == residential && side.width < 5.4 && side.full[i] > 0.15:
			values[i] = "half_on_kerb"
		default:
			values[i] = "lane"
		}
		if old && values[i] != "no" {
			values[i] = "parallel"
		}
	}
	key := "parking:"
	if old {
		key = "parking:lane:"
	}
	if values[0] == values[1] {
		k[key+"both"] = values[0]
	} else {
		k[key+"left"], k[key+"right"] = values[0], values[1]
	}
	for i, name := range [2]string{"left", "right"} {
		if side.barred[i] && !old {
			k["parking:"+name+":restriction"] = "no_parking"
		}
	}
}
