package assess

import (
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

func readOneWay(_ *Assessor, st *site, w window) answer {
	x := answer{word: "two-way", evidence: Mapped, source: "no one-way tag"}
	st.in(w, func(p *roadnet.Piece) {
		at := p.Attributes
		switch {
		case at.Flags&roadnet.Roundabout != 0:
			x.word, x.source = "roundabout", "tag junction"
		case oneWay(at) && x.word == "two-way":
			x.word, x.source = "one-way", "only one direction may be driven"
		}
	})
	return x
}

func readDual(_ *Assessor, st *site, w window) answer {
	x := answer{word: "no", evidence: Inferred, source: "no other half beside it"}
	st.in(w, func(p *roadnet.Piece) {
		switch f := p.Attributes.Flags; {
		case f&roadnet.DualTagged != 0 && f&roadnet.DualCarriageway != 0:
			x = answer{word: "yes", evidence: Mapped, source: "tag dual_carriageway"}
		case f&roadnet.DualCarriageway != 0 && x.word == "no":
			x = answer{word: "yes", evidence: Inferred, source: "the other half runs beside it"}
		}
	})
	return x
}

func readClass(_ *Assessor, st *site, w window) answer {
	c := classNames[st.class(w)]
	return answer{word: c.word, evidence: Mapped, source: "tag highway"}
}

func readAccess(_ *Assessor, st *site, w window) answer {
	x := answer{word: "public", evidence: Mapped, source: "access tags"}
	worst := 0
	set := func(rank int, word string) {
		if rank > worst {
			worst, x.word = rank, word
		}
	}
	st.in(w, func(p *roadnet.Piece) {
		at := p.Attributes
		use := at.Use[0]
		if !w.forward {
			use = at.Use[1]
		}
		switch use {
		case extract.UseUnknown:
			set(2, "unclear")
		case extract.Destination:
			set(3, "callers only")
		case extract.Private, extract.Barred:
			set(4, "private")
		}
		if at.Flags&roadnet.ConditionalUse != 0 {
			set(1, "at times")
		}
	})
	return x
}

// readSetting tells a street among homes from a country road. An unclassified
// road of which nothing is mapped is neither: not known.
func readSetting(_ *Assessor, st *site, w window) answer {
	x := answer{word: "not known", evidence: EvidenceUnknown, source: "no limit, lights or homes mapped"}
	const townKmh, countryKmh = 50, 64 // 30 mph and a little; 40 mph
	st.in(w, func(p *roadnet.Piece) {
		at := p.Attributes
		high := float64(max(at.LimitHighDkmh[0], at.LimitHighDkmh[1])) / 10
		mapped := at.LimitSource[0] == extract.LimitMapped || at.LimitSource[0] == extract.LimitZone
		switch {
		case mapped && high >= countryKmh:
			x = answer{word: "country road", evidence: Mapped, source: "the mapped limit"}
		case x.word == "country road":
		case mapped && high > 0 && high <= townKmh:
			x = answer{word: "built-up", evidence: Mapped, source: "the mapped limit"}
		case at.Class == extract.Residential || at.Class == extract.LivingStreet:
			x = answer{word: "built-up", evidence: Inferred, source: "the map calls it residential"}
		case at.Lit == extract.Yes || at.Flags&roadnet.Sidewalk != 0:
			x = answer{word: "built-up", evidence: Inferred, source: "street lights or footways mapped"}
		case x.word == "not known" && (st.homes[0] && w.from < amongHomes || st.homes[1] && st.length-w.to < amongHomes):
			x = answer{word: "built-up", evidence: Inferred, source: "a residential road meets it"}
		}
	})
	return x
}

// amongHomes is how far from a residential road a road that meets it is still
// taken to run among homes. Our choice: a few houses' length.
const amongHomes geo.Metres = 120

// readLimit takes the greater of both directions' limits. A default of the law
// is assumed: another sign may stand there.
func readLimit(a *Assessor, st *site, w window) answer {
	x := answer{missing: true, evidence: Assumed, source: "no limit mapped, and the law has no one limit here"}
	low := 0.0
	st.in(w, func(p *roadnet.Piece) {
		for i, source := range p.Attributes.LimitSource {
			high := float64(p.Attributes.LimitHighDkmh[i]) / 10
			if high == 0 || (high <= x.mean+x.sd && !x.missing) {
				continue
			}
			low = float64(p.Attributes.LimitLowDkmh[i]) / 10
			x.missing, x.mean, x.sd = false, (low+high)/2, (high-low)/2
			switch source {
			case extract.LimitDefault:
				x.trust, x.evidence, x.source = a.table.spreads.LimitDefault, Assumed, "limit not mapped: the law's default for this kind of road"
			default:
				x.trust, x.evidence, x.source = 0, Mapped, "tag maxspeed"
			}
		}
	})
	return x
}
