package assess

import (
	"math"

	"loopwright/internal/calendar"
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// answer is what a criterion reads at a window: a number with its spread, or a
// word, or nothing (missing).
type answer struct {
	mean, sd float64 // where word is "" and missing is false
	word     string
	missing  bool
	skip     bool // nothing to judge: not asked at that hour
	// fixed is a chance that overrides the one from mean or word: for what is
	// not mapped and so may yet be there. trust below 1 mixes in the need's
	// unmapped share: for a default that may not be what stands on the road.
	fixed    float64
	hasFixed bool
	trust    float64 // 0 is full trust
	evidence Evidence
	source   string
}

// reader reads one criterion at a window. The table names them.
type reader func(a *Assessor, st *site, w window) answer

// readers are the criteria that can be read from a map, by name.
var readers = map[string]reader{
	"clear-width": readWidth, "bend": readBend, "junction": readJunction, "mouths": readMouths,
	"one-way": readOneWay, "dual": readDual, "class": readClass, "access": readAccess,
	"setting": readSetting, "quiet": readQuiet, "limit": readLimit, "calming": readCalming,
	"crossing": readCrossing, "bus-stop": readBusStop, "structure": readStructure,
	"parked": readParked, "kerb": readKerb, "gradient": readGradient, "surface": readSurface, "daylight": readDaylight, "lighting": readLighting,
}

// varies are the criteria that differ from window to window on a stretch of
// one piece.
var varies = map[string]bool{
	"junction": true, "bend": true, "mouths": true, "calming": true,
	"crossing": true, "bus-stop": true, "structure": true, "setting": true,
}

// sided are the criteria that differ between the kerbs of a stretch.
var sided = map[string]bool{"kerb": true, "access": true}

// classNames are the highway values by class, and the words of the tables.
var classNames = [...]struct{ tag, word string }{
	extract.ClassUnknown: {"road", "not surveyed"}, extract.PlainRoad: {"road", "not surveyed"},
	extract.Motorway: {"trunk", "motorway"}, extract.Trunk: {"trunk", "trunk"},
	extract.Primary: {"primary", "primary"}, extract.Secondary: {"secondary", "secondary"},
	extract.Tertiary: {"tertiary", "tertiary"}, extract.Unclassified: {"unclassified", "unclassified"},
	extract.Residential: {"residential", "residential"}, extract.LivingStreet: {"living_street", "living street"},
	extract.ServiceRoad: {"service", "service"}, extract.Track: {"service", "track"},
	extract.Construction: {"road", "not surveyed"},
}

// readWidth is the clear width: the carriageway less the cars that the map
// says stand on it. The narrowest piece counts.
func readWidth(a *Assessor, st *site, w window) answer {
	worst := answer{mean: math.Inf(1)}
	st.in(w, func(p *roadnet.Piece) {
		if x := a.pieceWidth(p.Attributes); x.mean < worst.mean {
			worst = x
		}
	})
	return worst
}

// pieceWidth is the clear width of a piece: its carriageway less the cars that
// the parking tags put on it.
func (a *Assessor) pieceWidth(at *roadnet.Attributes) answer {
	taken := a.taken(at)
	x := a.carriageway(at, taken)
	if taken > 0 {
		x.mean = max(x.mean-taken, 0)
		x.source += ", less the cars that the parking tags put on the carriageway"
	}
	return x
}

// carriageway is the width between the kerbs: by the best tag, else the
// country's usual for the class, at the least so wide that the lanes that are
// counted and the cars that are mapped to stand there have room. A single lane
// for both directions is one lane wide, and no more.
func (a *Assessor) carriageway(at *roadnet.Attributes, taken float64) answer {
	sp := &a.table.spreads
	x := answer{mean: float64(at.WidthCm) / 100, evidence: Mapped}
	switch at.WidthSource {
	case extract.WidthCarriageway:
		x.sd, x.source = sp.WidthCarriageway, "tag width:carriageway"
		return x
	case extract.WidthTag:
		x.sd, x.source = sp.Width, "tag width"
		return x
	case extract.WidthEstimate:
		x.sd, x.source = sp.WidthEstimate, "tag est_width"
		return x
	}
	lanes := float64(at.Lanes[0])
	if lanes == 0 {
		lanes = float64(at.Lanes[1]) + float64(at.Lanes[2])
	}
	lane := a.profile.LaneWidth
	if lanes == 1 && !oneWay(at) {
		return answer{mean: float64(lane.Mean) + taken, sd: float64(lane.SD) + sp.SingleLane, evidence: Inferred,
			source: "width not mapped: one lane for both directions: check on the day"}
	}
	usual := a.profile.Carriageway[classNames[at.Class].tag]
	return answer{mean: max(float64(usual.Mean), max(lanes, 1)*float64(lane.Mean)+taken), sd: float64(usual.SD), evidence: Assumed,
		source: "width not mapped: usual for this kind of road: check on the day"}
}

// oneWay says whether a piece may be driven in one direction only.
func oneWay(at *roadnet.Attributes) bool {
	return roadnet.Drivable(at.Use[0]) != roadnet.Drivable(at.Use[1])
}

// taken is the width that mapped parking takes from the carriageway.
func (a *Assessor) taken(at *roadnet.Attributes) float64 {
	sp := &a.table.spreads
	sum := 0.0
	for i, pos := range at.Parking {
		deep := sp.ParkedParallel
		if at.ParkingBarred[i]&roadnet.PerpendicularParking != 0 {
			deep = sp.ParkedAcross
		}
		switch {
		case at.ParkingBarred[i]&(roadnet.NoParking|roadnet.NoStopping) != 0:
		case pos == extract.ParkingLane:
			sum += deep
		case pos == extract.ParkingHalfKerb:
			sum += deep * sp.ParkedHalfKerb / sp.ParkedParallel
		}
	}
	return sum
}

// bendReach is how far before and beyond the window a bend still matters: an
// approaching driver must see the car across the road. Our choice.
const bendReach geo.Metres = 30

func readBend(a *Assessor, st *site, w window) answer {
	degrees, _ := st.bend(w.from-bendReach, w.to+bendReach)
	return answer{mean: degrees, sd: a.table.spreads.BendDeg, evidence: Inferred, source: "from the mapped line, over 30 m"}
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

// readQuiet goes by class and by whether the road leads anywhere. What a
// residential road carries is assumed until traffic is known.
func readQuiet(_ *Assessor, st *site, w window) answer {
	class, bus := st.class(w), false
	st.in(w, func(p *roadnet.Piece) { bus = bus || p.Attributes.Flags&(roadnet.BusLane|roadnet.BusRoute) != 0 })
	x := answer{evidence: Assumed, source: "traffic not known: judged by the kind of road"}
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
	return absent("none", a.table.spreads.HiddenCalming, st.coverage.calming)
}

func readCrossing(a *Assessor, st *site, w window) answer {
	if d, ok := st.nearest(w, crossings); ok && d < 100 {
		return answer{mean: float64(d), evidence: Mapped, source: "a crossing is mapped"}
	}
	return absent("", a.table.spreads.HiddenCrossing, st.coverage.crossing)
}

func readBusStop(a *Assessor, st *site, w window) answer {
	if d, ok := st.nearest(w, extract.BusStop); ok && d < 100 {
		return answer{mean: float64(d), evidence: Mapped, source: "a bus stop is mapped on the road"}
	}
	return absent("", a.table.spreads.HiddenBusStop, 0)
}

// absent is the answer for what is not mapped: hidden is how often it is there
// all the same where nothing of the kind is mapped, coverage how far the map
// can be believed.
func absent(word string, hidden, coverage float64) answer {
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

// readParked says where the map lets cars stand; it knows of no car itself.
func readParked(_ *Assessor, st *site, w window) answer {
	x := answer{word: "none", evidence: Mapped, source: "parking tags"}
	rank := 0
	set := func(r int, word string, e Evidence, source string) {
		if r > rank {
			rank = r
			x = answer{word: word, evidence: e, source: source}
		}
	}
	st.in(w, func(p *roadnet.Piece) {
		at, on, unknown, bays := p.Attributes, 0, 0, 0
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
			}
		}
		switch {
		case on == 2:
			set(4, "both sides", Mapped, "parking tags")
		case on == 1:
			set(3, "one side", Mapped, "parking tags")
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

func readGradient(a *Assessor, st *site, w window) answer {
	sp := &a.table.spreads
	x := answer{missing: true, evidence: Assumed, source: "no heights and no sign mapped"}
	st.in(w, func(p *roadnet.Piece) {
		at := p.Attributes
		switch {
		case at.Flags&roadnet.InclineKnown != 0:
			if g := math.Abs(float64(at.InclinePermil)) / 10; x.missing || g > x.mean {
				x = answer{mean: g, sd: sp.Incline, evidence: Mapped, source: "tag incline"}
			}
		case at.Flags&(roadnet.InclineUp|roadnet.InclineDown) != 0 && x.missing:
			x = answer{mean: sp.Sloping, sd: sp.SlopingSpread, evidence: Inferred, source: "mapped as a slope, not how steep"}
		}
	})
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

// finding writes an answer down.
func (a *Assessor) finding(need *Need, st *site, w window, x answer) Finding {
	p, e := a.weigh(need, st, w, x)
	f := Finding{Criterion: need.Criterion, Unit: need.Unit, Limit: need.Limit, Chance: p, Evidence: e, Source: x.source}
	switch {
	case x.missing || e == EvidenceUnknown:
		f.Holds = HoldsUnknown
	case p >= a.table.SuitableFrom:
		f.Holds = HoldsYes
	case p < a.table.UnsuitableBelow:
		f.Holds = HoldsNo
	default:
		f.Holds = HoldsPerhaps
	}
	switch {
	case x.missing:
	case need.Words != nil:
		f.Text, f.Unit = x.word, ""
	case x.hasFixed:
		f.Text = "none mapped"
	case x.sd == 0:
		f.Value = tenths(x.mean)
	default:
		f.Low, f.High = tenths(max(x.mean-x.sd, 0)), tenths(x.mean+x.sd)
	}
	return f
}

func tenths(x float64) *float64 {
	v := math.Round(x*10) / 10
	return &v
}

// weigh gives an answer's chance of holding, to four decimals, and the
// evidence that it rests on: unknown where there is nothing to assume from.
func (a *Assessor) weigh(need *Need, st *site, w window, x answer) (float64, Evidence) {
	if x.skip {
		return 1, Inferred
	}
	if x.missing {
		share, ok := need.unmapped(st.class(w))
		if !ok {
			return 0, EvidenceUnknown
		}
		return rounded(share), Assumed
	}
	if x.hasFixed {
		return rounded(x.fixed), x.evidence
	}
	p := 0.0
	if need.Words != nil {
		share, ok := need.Words[x.word]
		if !ok {
			return 0, EvidenceUnknown
		}
		p = share
	} else {
		p = shareOf(need.accepts, x.mean, x.sd)
	}
	if x.trust > 0 {
		other, _ := need.unmapped(st.class(w))
		p = x.trust*p + (1-x.trust)*other
	}
	return rounded(p), x.evidence
}

func (need *Need) unmapped(c extract.Class) (float64, bool) {
	if share, ok := need.Unmapped[classNames[c].word]; ok {
		return share, true
	}
	share, ok := need.Unmapped["any"]
	return share, ok
}
