package assess

import (
	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
	"loopwright/internal/traffic"
)

// TopicsAlong gives what driving along a segment teaches, apart from the
// junction at its end. None where a learner's car may not drive.
func (a *Assessor) TopicsAlong(seg roadnet.SegmentID) []Teaching {
	if !a.net.Drivable(seg) {
		return nil
	}
	a.load(seg.Stretch())
	st := &a.site
	w := window{to: st.length, side: roadnet.Right, forward: seg.Forward()}
	if a.profile.DrivesLeft == w.forward {
		w.side = roadnet.Left
	}
	var out []Teaching
	add := func(t Topic, chance float64, e Evidence, source string) {
		if chance >= 0.005 {
			out = append(out, Teaching{t, rounded(chance), e, source})
		}
	}
	if _, ok := st.nearest(w, extract.CrossingZebra|extract.CrossingSignals); ok {
		add(Crossings, 1, Mapped, "a crossing is mapped")
	}
	if x := readDual(a, st, w); x.word == "yes" {
		add(DualCarriageways, 1, x.evidence, x.source)
	}
	a.country(st, w, add)
	a.cars(st, w, add)
	return out
}

// country adds a country road: outside built-up areas, at a limit of 50 mph or
// 80 km/h and more.
func (a *Assessor) country(st *site, w window, add func(Topic, float64, Evidence, string)) {
	const fast = 79 // km/h
	limit := readLimit(a, st, w)
	class := st.class(w)
	if limit.missing || limit.mean+limit.sd < fast || readDual(a, st, w).word == "yes" || class == extract.Motorway || class > extract.Unclassified {
		return
	}
	if readSetting(a, st, w).word == "built-up" {
		return
	}
	chance := 1.0
	if limit.evidence == Assumed {
		chance = a.table.spreads.LimitDefault
	}
	add(CountryRoads, chance, limit.evidence, limit.source)
}

// cars adds parked cars to pass, and traffic to meet where they leave room for
// one: 3.0 m and more, for less lets nothing pass, up to 4.8 m, where a car and
// a lorry pass (Manual for Streets, figure 7.1, from memory).
func (a *Assessor) cars(st *site, w window, add func(Topic, float64, Evidence, string)) {
	passing := []point{{at: 0.1}, {at: 0.1, share: 1}, {at: 0.6, share: 1}, {at: 0.6}}
	meeting := []point{{at: 3}, {at: 3, share: 1}, {at: 4.8, share: 1}, {at: 4.8}}
	parked := readParked(a, st, w)
	some := 0.0
	switch {
	case parked.word == "both sides" || parked.word == "one side":
		some = 0.7 // our choice: where cars may stand, some mostly do
		add(PassingParkedCars, some, Mapped, "the map lets cars stand at the kerb")
	case parked.word == "other side":
		some = 0.7
	case parked.hasFull:
		some = 1 - (1-parked.full[0].share(passing[:2]))*(1-parked.full[1].share(passing[:2]))
		add(PassingParkedCars, parked.full[0].share(passing), Assumed, parked.source)
	}
	if some == 0 || readOneWay(a, st, w).word != "two-way" {
		return
	}
	if a.quiet != nil && a.quiet.At(st.stretch).Band == traffic.Own {
		return // nobody to meet
	}
	width := readWidth(a, st, w)
	add(MeetingTraffic, some*width.share(meeting), Assumed, "by the width and the cars that are likely to stand there")
}
