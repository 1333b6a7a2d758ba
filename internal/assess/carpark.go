package assess

import (
	"math"

	"loopwright/internal/calendar"
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// besideWay is how far before and beyond the way into a car park its place
// reaches along the road. Our choice: a car length, so that it can be drawn.
const besideWay geo.Metres = 5

// parks are the car parks by the stretch that they are driven into from.
func (a *Assessor) parks() map[roadnet.StretchID][]roadnet.CarPark {
	if a.carParks == nil {
		a.carParks = make(map[roadnet.StretchID][]roadnet.CarPark)
		for i := range a.net.NumCarParks() {
			if p := a.net.CarPark(i); p.HasEntrance {
				s := p.Entrance.Segment.Stretch()
				a.carParks[s] = append(a.carParks[s], p)
			}
		}
	}
	return a.carParks
}

// inCarParks gives the car parks that are driven into from a stretch, each once,
// on the segment from which its entrance is on the driving side where that may
// be driven.
func (a *Assessor) inCarParks(ex *Exercise, s roadnet.StretchID, explain bool) []Place {
	var out []Place
	for i := range a.parks()[s] {
		p := &a.carParks[s][i]
		a.load(s)
		along, side := p.Entrance.Along, p.Side
		if !p.Entrance.Segment.Forward() {
			along, side = a.site.length-along, side.Opposite()
		}
		forward := side == a.kerb(ex, true).side
		if !a.net.Drivable(s.Segment(forward)) {
			forward = !forward
		}
		if !a.net.Drivable(s.Segment(forward)) {
			continue
		}
		w := window{from: max(along-besideWay, 0), to: min(along+besideWay, a.site.length), side: side, forward: forward, park: p}
		out = append(out, a.place(ex, s.Segment(forward), w, explain))
	}
	return out
}

// carParkAt assesses the car park whose way in is nearest to a position on its
// stretch. Where none is, there is nothing to practise in: a place that is
// unsuitable.
func (a *Assessor) carParkAt(ex *Exercise, pos roadnet.Position) Place {
	best, least := Place{}, math.Inf(1)
	for _, p := range a.inCarParks(ex, pos.Segment.Stretch(), true) {
		along := p.Position.Along
		if p.Position.Segment != pos.Segment {
			along = a.site.length - along
		}
		if d := math.Abs(float64(along - pos.Along)); d < least {
			best, least = p, d
		}
	}
	if math.IsInf(least, 1) {
		a.load(pos.Segment.Stretch())
		return a.place(ex, pos.Segment, a.centred(ex, window{forward: pos.Segment.Forward()}, a.site.length/2), true)
	}
	return best
}

// pastWay is how far beyond the way into a car park a road to judge for it goes.
// Our choice: two car lengths, so that one has looked in.
const pastWay geo.Metres = 10

// carParksAlong are the car parks whose ways in a segment goes by, each with its
// one clear reason: a part of the segment that is driven along up to the way in.
func (a *Assessor) carParksAlong(ex *Exercise, seg roadnet.SegmentID, length geo.Metres) []Example {
	var out []Example
	for _, p := range a.inCarParks(ex, seg.Stretch(), true) {
		along := p.Position.Along
		if p.Position.Segment != seg {
			along = a.site.length - along
		}
		to := min(max(along+pastWay, length), a.site.length)
		e := Example{
			Segment: seg, From: to - length, To: to, Verdict: p.Verdict, Chance: p.Chance, MapFit: p.MapFit, Findings: p.Findings, Park: p.Park,
		}
		if e.Reason, e.Card, e.Clarity = a.carParkReason(ex, &p); e.Clarity > 0 {
			out = append(out, e)
		}
	}
	return clearestFirst(out)
}

// carParkReason is the one reason for which a car park would not do, or that it
// would; with no clearness where there is none, or more than one.
func (a *Assessor) carParkReason(ex *Exercise, p *Place) (reason, card string, clarity float64) {
	if p.Verdict >= Likely {
		return Suits, "would do", rounded(p.MapFit * (0.6 + 0.4*p.Chance))
	}
	rest := 1.0
	for i := range p.Findings {
		f := &p.Findings[i]
		switch {
		case !f.Evidence.Known():
		case f.Chance < a.table.UnsuitableBelow && reason == "":
			need := ex.need(f.Criterion)
			reason, card, clarity = f.Criterion, need.Card, need.showsIn(f)
		case f.Chance < a.table.examples.Rest:
			return "", "", 0
		default:
			rest *= f.Chance
		}
	}
	return reason, card, rounded(rest * clarity)
}

// showsIn is how plainly a failure shows that a finding tells of.
func (n *Need) showsIn(f *Finding) float64 {
	switch {
	case !n.Seen():
		return 0
	case n.Words != nil:
		return n.Shows[f.Text]
	}
	return n.plainly(f.middle())
}

func readCarPark(_ *Assessor, _ *site, w window) answer {
	x := answer{word: "none", evidence: Mapped, source: "no car park is driven into from here"}
	if w.park == nil {
		return x
	}
	x.source = "a car park is mapped"
	if name := w.park.Site.Name; name != "" {
		x.source = name
	}
	switch w.park.Form {
	case extract.CarParkUnknown, extract.CarParkSurface:
		x.word = "open ground"
	case extract.CarParkMultiStorey, extract.CarParkUnderground, extract.CarParkRooftop:
		x.word = "in a building"
	default:
		x.word = "along a road"
	}
	return x
}

func readCarParkAccess(_ *Assessor, _ *site, w window) answer {
	if w.park == nil {
		return answer{skip: true}
	}
	switch w.park.Use {
	case extract.Through:
		return answer{word: "public", evidence: Mapped, source: "tag access"}
	case extract.Destination:
		return answer{word: "callers only", evidence: Mapped, source: "tag access"}
	case extract.Private, extract.Barred:
		return answer{word: "private", evidence: Mapped, source: "tag access"}
	}
	return answer{word: "not mapped", evidence: Assumed, source: "access not mapped: read the signs"}
}

// readBays counts the bays: the greater of those mapped one by one and of the
// capacity, else by the aisles, a bay of 2.4 m on either side (Manual for Streets,
// from memory).
func readBays(_ *Assessor, _ *site, w window) answer {
	switch {
	case w.park == nil:
		return answer{skip: true}
	case w.park.Bays > 0 || w.park.Capacity > 0:
		return answer{mean: float64(max(w.park.Bays, w.park.Capacity)), evidence: Mapped, source: "bays or capacity mapped"}
	case w.park.Aisles > 0:
		n := 2 * float64(w.park.Aisles) / 2.4
		return answer{mean: n, sd: n / 3, evidence: Inferred, source: "by the length of its aisles"}
	}
	return answer{missing: true, evidence: Assumed, source: "number of bays not mapped"}
}

func readFee(_ *Assessor, _ *site, w window) answer {
	switch {
	case w.park == nil:
		return answer{skip: true}
	case w.park.FeeWhen != "":
		return answer{word: "at times", evidence: Mapped, source: "tag fee"}
	case w.park.Fee == extract.Yes:
		return answer{word: "yes", evidence: Mapped, source: "tag fee"}
	case w.park.Fee == extract.No:
		return answer{word: "none", evidence: Mapped, source: "tag fee"}
	}
	return answer{word: "not mapped", evidence: Assumed, source: "charge not mapped: look on the day"}
}

// readHeightBar compares a bar with the height of a car and its roof sign.
func readHeightBar(_ *Assessor, _ *site, w window) answer {
	const roofSign geo.Metres = 1.9 // a small hatch of 1.5 m and a sign of 0.3 m, and a hand's breadth: our choice
	switch {
	case w.park == nil:
		return answer{skip: true}
	case w.park.MaxHeight > 0 && w.park.MaxHeight < roofSign:
		return answer{word: "too low", evidence: Mapped, source: "tag maxheight"}
	case w.park.HeightBar || w.park.MaxHeight > 0:
		return answer{word: "high enough", evidence: Mapped, source: "a bar is mapped"}
	}
	return answer{word: "none", evidence: Inferred, source: "none mapped"}
}

// readEmptyBays asks for the hours when car parks are seldom full: nobody maps
// who parks there.
func readEmptyBays(a *Assessor, _ *site, w window) answer {
	if w.park == nil {
		return answer{skip: true}
	}
	x := answer{word: "by day", evidence: Assumed, source: "how full it is nobody maps: look on the day"}
	if a.light != calendar.LightUnknown && (a.when.Hour() < 9 || a.when.Hour() >= 18) {
		x.word = "off peak"
	}
	return x
}
