package assess

import (
	"math"

	"loopwright/internal/extract"
	"loopwright/internal/notes"
)

// answer is what a criterion reads at a window: a number with its spread, or a
// word, or nothing (missing).
type answer struct {
	mean, sd float64 // where word is "" and missing is false
	word     string
	missing  bool
	skip     bool // nothing to judge: not asked at that hour
	signed   bool // below 0 is a value of its own
	// fixed is a chance that overrides the one from mean or word: for what is
	// not mapped and so may yet be there. trust below 1 mixes in the need's
	// unmapped share: for a default that may not be what stands on the road.
	fixed    float64
	hasFixed bool
	trust    float64 // 0 is full trust
	usual    bool    // a width that nobody mapped: the usual one, or as measured near by
	// hidden is how often another one is nearer that is not mapped; it lowers what
	// the chance may come to.
	hidden   float64
	evidence Evidence
	source   string
	// full is how much of the window's own kerb and of the other one parked cars
	// are likely to take, for what is not mapped.
	hasFull bool
	full    [2]fill
	// rows are the chances that none, one or two rows of parked cars take deep
	// metres each off a width, and bare is that width without them; mean and sd are
	// over all of these.
	rows [3]float64
	deep float64
	bare spread
	// passing is the logarithm of the vehicles an hour that are likely to pass, with
	// its spread; zero where nothing tells.
	passing spread
	// bySight is the chance that an instructor who was there gives the whole
	// place, for what is only assumed; 0 where none did.
	bySight float64
	there   float64       // the chance that the row of cars stands there that tags tell of; 0: for sure
	noted   notes.Kind    // of the notes that it rests on, unknown none
	by      *notes.Placed // the one note that it rests on, nil none or several
}

// reader reads one criterion at a window. The table names them.
type reader func(a *Assessor, st *site, w window) answer

// readers are the criteria that can be read from a map, by name.
var readers = map[string]reader{
	"clear-width": readWidth, "bend": readBend, "sight": readSight, "junction": readJunction, "mouths": readMouths,
	"one-way": readOneWay, "dual": readDual, "class": readClass, "access": readAccess,
	"setting": readSetting, "quiet": readQuiet, "limit": readLimit, "calming": readCalming,
	"crossing": readCrossing, "bus-stop": readBusStop, "structure": readStructure,
	"parked": readParked, "kerb": readKerb, "gradient": readGradient, "car-park": readCarPark, "car-park-access": readCarParkAccess, "bays": readBays, "fee": readFee, "height-bar": readHeightBar, "empty-bays": readEmptyBays, "school": readSchool, "corner": readCorner, "corner-length": readCornerLength, "ahead": readAhead, "climb": readClimb, "surface": readSurface, "daylight": readDaylight, "lighting": readLighting, "noted": readNoted,
}

// varies are the criteria that differ from window to window on a stretch of
// one piece.
var varies = map[string]bool{
	"junction": true, "bend": true, "sight": true, "mouths": true, "calming": true,
	"crossing": true, "bus-stop": true, "structure": true, "setting": true,
	"gradient": true, "climb": true, "school": true, "clear-width": true, "ahead": true,
}

// sided are the criteria that differ between the kerbs of a stretch.
var sided = map[string]bool{"kerb": true, "access": true, "climb": true, "ahead": true, "parked": true}

// atCorner are the criteria of the corner at which an exercise begins.
var atCorner = map[string]bool{"corner": true, "corner-length": true}

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

// finding writes an answer down.
func (a *Assessor) finding(need *Need, st *site, w window, x answer) Finding {
	p, e := a.weigh(need, st, w, x)
	f := Finding{Criterion: need.Criterion, Unit: need.Unit, Limit: need.Limit, Chance: p, Evidence: e, Source: x.source}
	a.credit(&f, st, w, x)
	switch {
	case x.missing || e == EvidenceUnknown:
		f.Holds = HoldsUnknown
	case p >= a.table.SuitableFrom:
		f.Holds = HoldsYes
	case p < a.table.UnsuitableBelow && e != Assumed: // an assumption never says no
		f.Holds = HoldsNo
	default:
		f.Holds = HoldsPerhaps
	}
	switch {
	case f.Text != "":
	case x.missing:
	case need.Words != nil:
		f.Text, f.Unit = x.word, ""
	case x.hasFixed:
		f.Text = "none mapped"
	case x.sd == 0:
		f.Value = tenths(x.mean)
	default:
		low := x.mean - x.sd
		if !x.signed {
			low = max(low, 0)
		}
		f.Low, f.High = tenths(low), tenths(x.mean+x.sd)
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
	if x.bySight > 0 {
		return a.trusting(need, st, w, x)
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
	if x.deep > 0 {
		return rounded(x.share(need.accepts)), x.evidence
	}
	p := 0.0
	if x.hasFull && len(need.cars) > 0 {
		p = x.full[0].share(need.cars)
		if need.bothKerbs {
			p = min(p, x.full[1].share(need.cars))
		}
		p *= a.left(st, w, x.full, need.width)
		return rounded(p), x.evidence
	}
	if x.passing.sd > 0 && len(need.passing) > 0 {
		return rounded(shareOf(need.passing, x.passing.mean, x.passing.sd)), x.evidence
	}
	if need.Words != nil {
		share, ok := need.Words[x.word]
		if !ok {
			return 0, EvidenceUnknown
		}
		p = share
		if x.there > 0 {
			p = x.there*share + (1-x.there)*need.Words["none"]
		}
	} else {
		p = shareOf(need.accepts, x.mean, x.sd)
	}
	p = min(p, 1-x.hidden)
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
