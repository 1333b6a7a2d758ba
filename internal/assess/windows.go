package assess

import (
	"math"
	"slices"

	"loopwright/internal/geo"
)

// row is one window of a kerb, with what the needs come to there as far as they
// have been read.
type row struct {
	w        window
	read     uint64 // which needs have been, a bit each
	chance   []float64
	evidence []Evidence
}

// asked is what an exercise asks, with the profile's distances filled in.
type asked struct {
	needs      []Need
	cheapFirst []int  // into needs
	sided      uint64 // the needs that differ between the kerbs of a stretch, a bit each
}

// dear are the criteria that take longest to read: they are asked last of those
// of which one may settle the matter.
var dear = map[string]int{"noted": 1, "quiet": 1, "parked": 2, "bus-stop": 1, "school": 3, "clear-width": 3, "bend": 4, "sight": 5}

func ask(needs []Need) *asked {
	q := &asked{needs: needs}
	for k := range needs {
		q.cheapFirst = append(q.cheapFirst, k)
		if needs[k].sided {
			q.sided |= 1 << k
		}
	}
	cost := func(k int) int {
		if c := dear[needs[k].Criterion]; c > 0 || !needs[k].varies {
			return 2 * c
		}
		return 1
	}
	slices.SortStableFunc(q.cheapFirst, func(i, j int) int { return cost(i) - cost(j) })
	return q
}

// slideStep is how far apart windows begin; on long stretches it grows so that
// no more than mostWindows are tried. Our choice: a car length, and a hundred
// windows tell a kilometre well enough.
const (
	slideStep   geo.Metres = 5
	mostWindows int        = 100
)

// windows lays all windows of a kerb into a.rows, in order along the stretch.
// Nothing is read yet but what was read for the other kerb and has no side.
func (a *Assessor) windows(ex *Exercise, kerb window) []row {
	length := a.site.length
	size := min(ex.Window, length)
	count := min(int(math.Ceil(float64((length-size)/slideStep)))+1, mostWindows)
	for len(a.rows) < count {
		a.rows = append(a.rows, row{})
	}
	again := a.rowsFor == ex
	if again && a.rowsAt == kerb {
		return a.rows[:count]
	}
	a.rowsFor, a.rowsAt, a.asked = ex, kerb, a.needs[ex]
	needs := len(a.asked.needs)
	if !again {
		a.same = a.alikeAllAlong()
	}
	for i := range count {
		r := &a.rows[i]
		r.w = kerb
		if count > 1 {
			r.w.from = (length - size) * geo.Metres(i) / geo.Metres(count-1)
		} else {
			r.w.from = 0
		}
		r.w.to = r.w.from + size
		if again {
			r.read &^= a.asked.sided
			continue
		}
		r.read = 0
		if cap(r.chance) < needs {
			r.chance, r.evidence = make([]float64, needs), make([]Evidence, needs)
		}
		r.chance, r.evidence = r.chance[:needs], r.evidence[:needs]
	}
	return a.rows[:count]
}

// alikeAllAlong are the needs that don't vary along the loaded stretch, a bit
// each.
func (a *Assessor) alikeAllAlong() (same uint64) {
	if len(a.site.pieces) > 1 {
		return 0
	}
	for k := range a.asked.needs {
		if !a.site.differs(&a.asked.needs[k]) {
			same |= 1 << k
		}
	}
	return same
}

// weighed is what need k comes to at the i-th window, read once. What does not
// vary is read at the first window for all.
func (a *Assessor) weighed(i, k int) (float64, Evidence) {
	r, bit := &a.rows[i], uint64(1)<<k
	if r.read&bit == 0 {
		r.read |= bit
		switch need := &a.asked.needs[k]; {
		case need.corner:
			r.chance[k], r.evidence[k] = 1, Inferred
		case i > 0 && a.same&bit != 0:
			r.chance[k], r.evidence[k] = a.weighed(0, k)
		default:
			r.chance[k], r.evidence[k] = a.weigh(need, &a.site, r.w, a.read(need, r.w))
		}
	}
	return r.chance[k], r.evidence[k]
}

// products are those of all chances at the i-th window, which rises and falls
// with the chance of all, and of the chances that are not assumed.
func (a *Assessor) products(i int) (all, fit float64) {
	all, fit = 1, 1
	for k := range a.asked.needs {
		chance, evidence := a.weighed(i, k)
		all *= chance
		if evidence.Known() {
			fit *= chance
		}
	}
	return all, fit
}

// slide finds the best window of a kerb: the greatest product of all chances,
// then of the known ones; of equals the one nearest to the middle, then the
// first that the car comes to.
func (a *Assessor) slide(ex *Exercise, kerb window) window {
	if ex.Corner {
		return a.pastCorner(ex, kerb)
	}
	rows := a.windows(ex, kerb)
	if a.hopeless() {
		return a.centred(ex, kerb, a.site.length/2)
	}
	off := func(r *row) float64 { return math.Abs(float64(r.w.from + r.w.to - a.site.length)) }
	best := &rows[0]
	bestProduct, bestFit := a.products(0)
	for i := 1; i < len(rows); i++ {
		r := &rows[i]
		product, fit := a.products(i)
		switch {
		case product != bestProduct:
			if product < bestProduct {
				continue
			}
		case fit != bestFit:
			if fit < bestFit {
				continue
			}
		case off(r) < off(best)-1e-6 || off(r) < off(best)+1e-6 && !kerb.forward:
		default:
			continue
		}
		best, bestProduct, bestFit = r, product, fit
	}
	return best.w
}

// hopeless says whether something that is the same all along the stretch rules
// it out, so that no window is better than another: most roads are settled so.
func (a *Assessor) hopeless() bool {
	for _, k := range a.asked.cheapFirst {
		if a.same&(1<<k) == 0 {
			continue
		}
		if p, e := a.weighed(0, k); p == 0 && e != EvidenceUnknown {
			return true
		}
	}
	return false
}

// unlikely says whether no place at a kerb can be likely: at each window some need
// is not known at all, or known and too far from holding. A place's map_fit is no
// more than the least of the chances it is drawn from, but for what the quadrature
// is off: much less than a tenth.
func (a *Assessor) unlikely(ex *Exercise, kerb window) bool {
	const inexact = 0.1
	rows := a.windows(ex, kerb)
	if ex.Corner {
		return false
	}
	out := func(i, k int) bool {
		chance, evidence := a.weighed(i, k)
		return evidence == EvidenceUnknown || evidence != Assumed && chance < a.table.promisingFrom()-inexact
	}
	for i := range rows {
		if !slices.ContainsFunc(a.asked.cheapFirst, func(k int) bool { return out(i, k) }) {
			return false
		}
	}
	return true
}
