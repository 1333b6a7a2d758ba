package assess

import (
	"math"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// bendReach is how far before and beyond the window a bend still matters: an
// approaching driver must see the car across the road. Our choice.
const bendReach geo.Metres = 30

func readBend(a *Assessor, st *site, w window) answer {
	degrees, _ := st.line().bend(max(w.from-bendReach, 0), min(w.to+bendReach, st.length))
	return answer{mean: degrees, sd: a.table.spreads.BendDeg, evidence: Inferred, source: "from the mapped line, over 30 m"}
}

// readSight is how far the road is seen both ways, as far as its own line
// decides: hedges, parked cars and crests are not on the map.
func readSight(a *Assessor, st *site, w window) answer {
	sp := &a.table.spreads
	d := st.line().sight(w.from, w.to, geo.Metres(sp.Corridor))
	x := answer{mean: float64(d), evidence: Inferred, source: "not blocked by the road's own line; hedges, parked cars and crests are not on the map"}
	if d < farSight {
		x.sd = sp.SightShare * float64(d)
	}
	return x
}

func readJunction(a *Assessor, st *site, w window) answer {
	d := min(w.from+st.beyond[0], st.length-w.to+st.beyond[1])
	if d > farJunction {
		return answer{mean: float64(farJunction), evidence: Inferred, source: "no junction near on this road"}
	}
	return answer{mean: float64(d), sd: a.table.spreads.Junction, evidence: Inferred, source: "from the mapped line to the nearer junction"}
}

// readMouths counts the openings from which cars come, but for house drives.
func readMouths(_ *Assessor, st *site, w window) answer {
	n := 0
	for _, m := range st.mouths {
		switch m.Kind {
		case roadnet.MouthAisle, roadnet.MouthService, roadnet.MouthTrack, roadnet.MouthPrivate, roadnet.MouthStub:
			if m.Along > w.from-5 && m.Along < w.to+5 {
				n++
			}
		}
	}
	if n == 0 {
		return answer{evidence: Inferred, source: "none mapped but house drives"}
	}
	return answer{mean: float64(n), evidence: Mapped, source: "service roads, yards or car parks open here"}
}

// near is how far beside the window a hump or island still counts. Our choice:
// two car lengths.
const near geo.Metres = 10

const crossings = extract.CrossingZebra | extract.CrossingSignals | extract.CrossingOther

func readCalming(a *Assessor, st *site, w window) answer {
	if d, ok := st.nearest(w, extract.Island); ok && d <= near {
		return answer{word: "island", evidence: Mapped, source: "an island is mapped"}
	}
	calmed := false
	st.in(w, func(p *roadnet.Piece) { calmed = calmed || p.Attributes.Calming != 0 })
	if d, ok := st.nearest(w, extract.Calming); calmed || ok && d <= near {
		return answer{word: "some", evidence: Mapped, source: "tag traffic_calming"}
	}
	return a.absent("none", a.table.spreads.HiddenCalming, roadnet.FactCalming, st)
}

func readCrossing(a *Assessor, st *site, w window) answer {
	if d, ok := st.nearest(w, crossings); ok && d < 100 {
		return answer{mean: float64(d), hidden: a.table.spreads.HiddenCrossing, evidence: Mapped, source: "a crossing is mapped"}
	}
	return a.absent("", a.table.spreads.HiddenCrossing, roadnet.FactCrossing, st)
}

func readBusStop(a *Assessor, st *site, w window) answer {
	nearest := geo.Metres(math.Inf(1))
	for _, s := range st.beside.stops {
		nearest = min(nearest, max(w.from-s.Along, s.Along-w.to, 0))
	}
	if nearest < 100 {
		return answer{mean: float64(nearest), hidden: a.table.spreads.HiddenBusStop, evidence: Mapped, source: "a bus stop is mapped"}
	}
	return a.absent("", a.table.spreads.HiddenBusStop, roadnet.FactStop, st)
}

// absent is the answer for what is not mapped: hidden is how often it is there
// all the same where nothing of the kind is mapped; the more completely the map
// has the kind round there, the more its absence counts.
func (a *Assessor) absent(word string, hidden float64, kind roadnet.FactKind, st *site) answer {
	coverage := a.net.Completeness(kind, st.start)
	x := answer{word: word, mean: float64(farJunction), fixed: 1 - hidden*(1-coverage), hasFixed: true, evidence: Assumed, source: "none mapped, and few or none are mapped round here"}
	if coverage >= 0.5 {
		x.evidence, x.source = Inferred, "none mapped, though others are mapped round here"
	}
	return x
}

func readStructure(_ *Assessor, st *site, w window) answer {
	x := answer{word: "none", evidence: Inferred, source: "none mapped"}
	if d, ok := st.nearest(w, extract.LevelCrossing); ok && d <= 50 {
		return answer{word: "level crossing", evidence: Mapped, source: "tag railway=level_crossing"}
	}
	st.in(w, func(p *roadnet.Piece) {
		switch f := p.Attributes.Flags; {
		case f&roadnet.Tunnel != 0:
			x = answer{word: "tunnel", evidence: Mapped, source: "tag tunnel"}
		case f&roadnet.Ford != 0:
			x = answer{word: "ford", evidence: Mapped, source: "tag ford"}
		case f&roadnet.Bridge != 0 && x.word == "none":
			x = answer{word: "bridge", evidence: Mapped, source: "tag bridge"}
		}
	})
	return x
}
