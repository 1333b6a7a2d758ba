package assess

import (
	"math"

	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
	"loopwright/internal/traffic"
)

// readQuiet goes by what was measured of the traffic on the road, else by class
// and by whether the road leads anywhere.
func readQuiet(a *Assessor, st *site, w window) answer {
	if a.quiet != nil {
		if x, ok := a.quietByTraffic(st, a.quiet.At(st.stretch)); ok {
			return x
		}
	}
	class, bus := st.class(w), false
	st.in(w, func(p *roadnet.Piece) { bus = bus || p.Attributes.Flags&(roadnet.BusLane|roadnet.BusRoute) != 0 })
	x := answer{evidence: Assumed, source: "traffic not known: judged by the kind of road"}
	if a.quietFault != nil {
		x.source = a.quietFault.Error() + ": judged by the kind of road"
	}
	switch {
	case class <= extract.Secondary && class != extract.ClassUnknown:
		x.word, x.evidence, x.source = "main road", Inferred, "the class of the road"
	case class == extract.Tertiary:
		x.word, x.evidence, x.source = "tertiary", Inferred, "the class of the road"
	case bus:
		x.word, x.evidence, x.source = "bus road", Mapped, "a bus route or bus lane is mapped along it"
	case !st.inCore && !st.nearRim:
		x.word, x.evidence, x.source = "no way through", Inferred, "the mapped roads: it leads nowhere else"
	case class == extract.Unclassified:
		x.word = "unclassified"
	case class == extract.LivingStreet:
		x.word = "living street"
	case class == extract.ServiceRoad || class == extract.Track:
		x.word = "service road"
	case class == extract.Residential:
		x.word = "side road"
	default:
		x.word = "not surveyed"
	}
	if st.nearRim && x.evidence == Assumed {
		x.source = "traffic not known, and near the edge of the map file what lies beyond is not known either"
	}
	return x
}

// quietByTraffic takes a measured row; false where the row says nothing.
func (a *Assessor) quietByTraffic(st *site, r traffic.Row) (answer, bool) {
	x := answer{evidence: Inferred, source: "from how the roads hang together"}
	switch r.Band {
	case traffic.Own:
		x.word = "own traffic"
		if a.built(st).works || st.sites().draws {
			x = answer{word: "works traffic", evidence: Assumed, source: "one way in, but works, shops, a station or a hospital draw traffic: look on the day"}
		}
	case traffic.Light:
		x.word, x.evidence, x.source = "light traffic", Assumed, "estimated from how the roads hang together, not counted: look on the day"
	case traffic.Through:
		x.word = "through traffic"
	case traffic.Busy:
		x.word = "busy"
	default:
		return x, false
	}
	x.passing = a.passing(r)
	if r.Cause == traffic.MainRoad {
		x.word = "main road"
		if r.Class == extract.Tertiary {
			x.word = "tertiary"
		}
	}
	if r.Cause == traffic.OnBusRoute || r.Marks&traffic.BusRoute != 0 && r.Band < traffic.Busy {
		x.word, x.passing = "bus road", spread{}
	}
	if x.word == "works traffic" {
		x.passing = spread{}
	}
	if r.Marks&traffic.NearRim != 0 {
		x.evidence, x.source = Assumed, "from how the roads hang together; near the edge of the map file, so more may pass"
	}
	return x, true
}

// passing is how many vehicles pass in an hour of the day, as a logarithm with
// its spread: what the homes send that would make a road as busy, by the rate at
// which homes do; on a road that joins places besides, others pass too. Zero
// where the band rests on something else.
func (a *Assessor) passing(r traffic.Row) spread {
	sp := &a.table.spreads
	homes := float64(r.Score)
	switch r.Cause {
	case traffic.OneWayIn, traffic.WayToMany:
		homes = max(homes, float64(r.Homes))
	case traffic.LittlePasses, traffic.ManyPass, traffic.CutThrough:
	case traffic.MainRoad:
		if r.Class == extract.Tertiary {
			return spread{math.Log(max(sp.PassingTertiary, sp.PassingPerHome*homes)), sp.PassingSpread}
		}
		return spread{}
	default:
		return spread{}
	}
	vehicles := sp.PassingLeast + sp.PassingPerHome*homes
	if r.Class == extract.Unclassified {
		vehicles *= sp.PassingJoins
	}
	return spread{math.Log(vehicles), sp.PassingSpread}
}
