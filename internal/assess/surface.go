package assess

import (
	"loopwright/internal/calendar"
	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
)

// readParked says where the map lets cars stand; it knows of no car itself.
func readParked(a *Assessor, st *site, w window) answer {
	x := parkedByTags(st, w)
	switch x.word {
	case "one side", "other side", "both sides":
		if x.there = a.rowThere(st); x.there < 0.5 {
			x.evidence, x.source = Inferred, "parking tags; but fewer cars were seen in "+roads(st.alikeCars.roads)+" near by: look on the day"
		}
		return x
	case "not mapped":
		by := &st.beside.parked[0]
		if w.side == roadnet.Right {
			by = &st.beside.parked[1]
		}
		if by.word == "" {
			*by = a.parkedByHomes(st, w.side, x)
		}
		return *by
	}
	return x
}

// parkedByHomes adds to what tags say, nothing, how many cars are likely by the
// homes along a stretch, seen from a kerb.
func (a *Assessor) parkedByHomes(st *site, kerb roadnet.Side, x answer) answer {
	full, ok := a.fullness(st)
	if !ok {
		return x
	}
	if kerb == roadnet.Right {
		full[0], full[1] = full[1], full[0]
	}
	x.full, x.hasFull = full, true
	x.source = "parked cars not mapped; by the homes along it "
	if n := st.alikeCars.roads; n > 0 {
		x.source += "and the cars seen in " + roads(n) + " near by "
	}
	x.source += fullWords(max(full[0].expected(), full[1].expected())) + ": look on the day"
	return x
}

// fullWords says how full a kerb is likely to be.
func fullWords(share float64) string {
	switch {
	case share < 0.1:
		return "few are likely"
	case share < 0.3:
		return "some are likely"
	case share < 0.6:
		return "many are likely"
	}
	return "the kerb is likely to be full"
}

func parkedByTags(st *site, w window) answer {
	x := answer{word: "none", evidence: Mapped, source: "parking tags"}
	rank := 0
	set := func(r int, word string, e Evidence, source string) {
		if r > rank {
			rank = r
			x = answer{word: word, evidence: e, source: source}
		}
	}
	st.in(w, func(p *roadnet.Piece) {
		at, on, own, unknown, bays := p.Attributes, 0, false, 0, 0
		for i, pos := range at.Parking {
			if at.ParkingBarred[i]&(roadnet.NoParking|roadnet.NoStopping) != 0 && at.ParkingBarred[i]&roadnet.ConditionalParking == 0 {
				continue
			}
			switch pos {
			case extract.ParkingUnknown:
				unknown++
			case extract.ParkingNone:
			case extract.ParkingStreetSide, extract.ParkingSeparate, extract.ParkingKerb:
				bays++
			default:
				on++
				own = own || (i == 1) == (w.side == roadnet.Right)
			}
		}
		switch {
		case on == 2:
			set(5, "both sides", Mapped, "parking tags")
		case on == 1 && own:
			set(4, "one side", Mapped, "parking tags")
		case on == 1:
			set(3, "other side", Mapped, "parking tags")
		case unknown > 0:
			set(2, "not mapped", Assumed, "parked cars not mapped: look on the day")
		case bays > 0:
			set(1, "in bays", Mapped, "parking tags")
		}
	})
	return x
}

// readKerb says whether stopping at the window's own kerb is barred.
func readKerb(_ *Assessor, st *site, w window) answer {
	x := answer{word: "free", evidence: Mapped, source: "parking tags"}
	rank := 0
	set := func(r int, word string, e Evidence) {
		if r > rank {
			rank, x.word, x.evidence = r, word, e
		}
	}
	i := 0
	if w.side == roadnet.Right {
		i = 1
	}
	st.in(w, func(p *roadnet.Piece) {
		bars := p.Attributes.ParkingBarred[i]
		switch {
		case bars&roadnet.ConditionalParking != 0:
			set(2, "barred at times", Mapped)
		case bars&roadnet.NoStopping != 0:
			set(4, "no stopping", Mapped)
		case bars&roadnet.NoParking != 0:
			set(3, "no parking", Mapped)
		case p.Attributes.Parking[i] == extract.ParkingUnknown:
			set(1, "not mapped", Assumed)
		}
	})
	if x.evidence == Assumed {
		x.source = "kerb lines not mapped: look on the day"
	}
	return x
}

func readSurface(_ *Assessor, st *site, w window) answer {
	x := answer{missing: true, evidence: Assumed, source: "surface not mapped"}
	rank := 0
	set := func(r int, word string) {
		if r > rank {
			rank = r
			x = answer{word: word, evidence: Mapped, source: "tag surface"}
		}
	}
	st.in(w, func(p *roadnet.Piece) {
		switch p.Attributes.Surface {
		case extract.Smooth:
			set(1, "smooth")
		case extract.Setts:
			set(2, "setts")
		case extract.Loose:
			set(4, "loose")
		}
		if p.Attributes.Flags&roadnet.SmoothnessBad != 0 {
			set(3, "rough")
		}
	})
	return x
}

// readDaylight goes by the sun alone; nothing is asked where no hour is given.
func readDaylight(a *Assessor, _ *site, _ window) answer {
	if a.light == calendar.LightUnknown {
		return answer{skip: true}
	}
	return answer{word: a.light.String(), evidence: Inferred, source: "the sun at that hour"}
}

// readLighting asks for street lights once the sun is down.
func readLighting(a *Assessor, st *site, w window) answer {
	if a.light != calendar.Dark && a.light != calendar.Twilight {
		return answer{skip: true}
	}
	x := answer{word: "lit", evidence: Mapped, source: "tag lit"}
	st.in(w, func(p *roadnet.Piece) {
		switch lit := p.Attributes.Lit; {
		case lit == extract.No:
			x = answer{word: "unlit", evidence: Mapped, source: "tag lit"}
		case lit == extract.NotSaid && x.word == "lit":
			x = answer{word: "not mapped", evidence: Assumed, source: "street lights not mapped: look on the day"}
		}
	})
	return x
}
