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
	if d, ok := a.built(st).between(w); ok {
		sp := &a.table.spreads
		if most := float64(d) - sp.FacesLess; most < worst.mean+worst.sd {
			low := min(worst.mean-worst.sd, most)
			worst.mean, worst.sd = max((low+most)/2, 0), max((most-low)/2, sp.WidthCarriageway)
			worst.source = "width not mapped: usual for this kind of road, and no wider than the buildings leave: check on the day"
		}
	}
	a.lessLikelyCars(st, w, &worst)
	return worst
}

// spread is a mean and one standard deviation: of a width in metres, of the share
// of a kerb that cars take, or of the logarithm of vehicles an hour.
type spread struct{ mean, sd float64 }

// lessLikelyCars takes off a usual width the cars that are likely to stand in a
// window where no tag tells. A note that nobody, or few, parked there leaves the
// whole width.
func (a *Assessor) lessLikelyCars(st *site, w window, x *answer) {
	if parkedByTags(st, w).word != "not mapped" {
		return
	}
	seen, noted := st.noted.Parked(w.from, w.to)
	full, ok := a.fullness(st)
	if !ok && !noted {
		return
	}
	var p [2]float64 // of a row at either kerb
	if ok {
		p = [2]float64{full[0].row(), full[1].row()}
	}
	if noted {
		rows := [2]float64{seen.OneSide + seen.BothSides, seen.BothSides}
		for i := range p {
			p[i] = (rows[i] + seen.Map*p[i]) / (seen.None + seen.Few + seen.OneSide + seen.BothSides + seen.Map)
		}
	}
	x.beside(p, a.table.spreads.ParkedParallel)
	mean := x.rows[1] + 2*x.rows[2]
	x.mean = max(x.mean-x.deep*mean, 0)
	x.sd = math.Hypot(x.sd, x.deep*math.Sqrt(x.rows[1]+4*x.rows[2]-mean*mean))
	if max(p[0], p[1]) > 0.2 { // our choice: of less nobody need be told
		x.source = strings.Replace(x.source, ": check", likelyCars+": check", 1)
	}
}

// beside puts rows of cars beside a width, with the chance of one at either kerb.
func (x *answer) beside(p [2]float64, deep float64) {
	x.bare, x.deep = spread{x.mean, x.sd}, deep
	x.rows = [3]float64{(1 - p[0]) * (1 - p[1]), p[0] + p[1] - 2*p[0]*p[1], p[0] * p[1]}
}

// left is the share of those who would take a known width that would take it
// still, less the cars that are likely to stand in a window: they are assumed,
// the width is not. 1 where no width is known.
func (a *Assessor) left(st *site, w window, full [2]fill, points []point) float64 {
	var x answer
	ok := false
	if x.mean, x.sd, ok = st.noted.Width(w.from, w.to); !ok {
		x.mean = math.Inf(1)
		st.in(w, func(p *roadnet.Piece) {
			if y := a.pieceWidth(p.Attributes); y.mean < x.mean {
				x = y
			}
		})
		ok = x.evidence == Mapped
	}
	whole := shareOf(points, x.mean, x.sd)
	if !ok || whole == 0 {
		return 1
	}
	x.beside([2]float64{full[0].row(), full[1].row()}, a.table.spreads.ParkedParallel)
	return x.share(points) / whole
}

// share is the share of instructors who would take a width less its rows of cars.
func (x *answer) share(points []point) float64 {
	if x.deep == 0 {
		return shareOf(points, x.mean, x.sd)
	}
	sum := 0.0
	for r, p := range x.rows {
		if p > 0 {
			sum += p * shareOf(points, x.bare.mean-float64(r)*x.deep, x.bare.sd)
		}
	}
	return sum
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
	x = a.learnt(a.usualWidth(a.site.stretch, at.Class))
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
