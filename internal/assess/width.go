package assess

import (
	"math"
	"strings"

	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
)

// readWidth is the clear width: the carriageway less the cars that the map
// says stand on it. The narrowest piece counts.
func readWidth(a *Assessor, st *site, w window) answer {
	worst := answer{mean: math.Inf(1)}
	st.in(w, func(p *roadnet.Piece) {
		if x := a.pieceWidth(p.Attributes); x.mean < worst.mean {
			worst = x
		}
	})
	a.addCarsNotSeen(st, w, a.takenIn(w), &worst)
	if !worst.usual {
		return worst
	}
	sp := &a.table.spreads
	if d, ok := a.built(st).between(w); ok {
		if most := float64(d) - sp.FacesLess; most < worst.mean+worst.sd {
			low := min(worst.mean-worst.sd, most)
			worst.mean, worst.sd = max((low+most)/2, 0), max((most-low)/2, sp.WidthCarriageway)
			worst.source = "width not mapped: usual for this kind of road, and no wider than the buildings leave: check on the day"
		}
	}
	if likely := a.lessLikelyCars(st, w, &worst); likely > 0.2 {
		worst.source = strings.Replace(worst.source, ": check", likelyCars+": check", 1)
	}
	return worst
}

// lessLikelyCars takes off the cars that are likely to stand in a window where
// no tag tells, and gives the chance of a row of them at the fuller kerb. A note
// that nobody, or few, parked there leaves the whole width.
func (a *Assessor) lessLikelyCars(st *site, w window, x *answer) (likely float64) {
	if parkedByTags(st, w).word != "not mapped" {
		return 0
	}
	seen, noted := st.noted.Parked(w.from, w.to)
	rows := [2]float64{seen.OneSide + seen.BothSides, seen.BothSides}
	sum := seen.None + seen.Few + seen.OneSide + seen.BothSides + seen.Map
	deep := a.table.spreads.ParkedParallel
	for i := range 2 {
		p := 0.0
		if mean, sd, ok := a.fullness(st, i); ok {
			p = above((fullKerb - mean) / sd)
		}
		if noted {
			p = (rows[i] + seen.Map*p) / sum
		}
		likely = max(likely, p)
		x.mean -= deep * p
		x.sd = math.Hypot(x.sd, deep*math.Sqrt(p*(1-p)))
	}
	x.mean = max(x.mean, 0)
	return likely
}

// What is told of the cars that are taken off a width.
const (
	likelyCars = ", less the cars that are likely to stand there"
	taggedCars = ", less the cars that the parking tags put on the carriageway"
)

// fullKerb is the share of a kerb from which its parked cars count as one row
// that narrows the road. Our choice: a car to every four lengths leaves gaps,
// but none in which a car can turn.
const fullKerb = 0.25

// pieceWidth is the clear width of a piece: its carriageway less the cars that
// the parking tags put on it.
func (a *Assessor) pieceWidth(at *roadnet.Attributes) answer {
	taken := a.taken(at)
	x := a.carriageway(at, taken)
	if taken > 0 {
		x.mean = max(x.mean-taken, 0)
		x.source += taggedCars
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
	x = a.learnt(a.profile.Carriageway[classNames[at.Class].tag])
	x.mean, x.usual = max(x.mean, max(lanes, 1)*float64(lane.Mean)+taken), true
	return x
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
