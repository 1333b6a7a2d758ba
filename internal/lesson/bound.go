package lesson

import (
	"cmp"
	"math"
	"slices"
)

// relaxed says what the rest of a circuit may come to at the most, and takes at
// the least, from where some road to judge begins. For that it gives up musts:
// roads and reasons may come again but for neighbours, places and the goes may
// be chosen apart, and no rest is taken. So it is never below the truth, as long
// as whatever judge comes to count is counted here too, or not below it.
type relaxed struct {
	p     *problem    // with no rests
	most  [][]float64 // by roads to judge still to come, see left, and the one where the car is: points, without the goes
	least [][]int64   // likewise: milliseconds of driving

	reasons []reasonWorth // the clearest road of each first
	yes     float64       // worth of the clearest that suits
	place   float64       // worth of the best
}

// reasonWorth is the worth of the clearest road to judge of a reason.
type reasonWorth struct {
	bit   uint64
	worth float64
}

// impossible is the time for what can't be had.
const impossible = math.MaxInt64 / 4

func relax(p *problem) *relaxed {
	free := *p
	free.restMs = 0
	size := (p.unsuitable + 1) * (p.suitable + 1)
	r := &relaxed{p: &free, most: make([][]float64, size), least: make([][]int64, size)}
	for no := range p.unsuitable + 1 {
		for yes := range p.suitable + 1 {
			i := r.left(no, yes)
			r.most[i], r.least[i] = r.rest(no, yes)
		}
	}
	for place, has := range p.backup {
		if has {
			r.place = max(r.place, p.place[place])
		}
	}
	for e, worth := range p.worth {
		if p.suits[e] {
			r.yes = max(r.yes, worth)
			continue
		}
		i := slices.IndexFunc(r.reasons, func(c reasonWorth) bool { return c.bit == reasonBit(p, e) })
		if i < 0 {
			i = len(r.reasons)
			r.reasons = append(r.reasons, reasonWorth{bit: reasonBit(p, e)})
		}
		r.reasons[i].worth = max(r.reasons[i].worth, worth)
	}
	slices.SortFunc(r.reasons, func(a, b reasonWorth) int { return cmp.Or(cmp.Compare(b.worth, a.worth), cmp.Compare(a.bit, b.bit)) })
	return r
}

// reasonBit stands for the reason of a road to judge in a set.
func reasonBit(p *problem, e int) uint64 { return 1 << (p.reason[e] & 63) }

// byReason is what the rest may come to at the most by the reasons that were
// not shown yet, wherever their roads lie; false where too few are left.
func (r *relaxed) byReason(shown uint64, no, yes int, ms int64) (float64, bool) {
	again := 0.0 // a road whose reason was shown
	if !r.p.distinct && len(r.reasons) > 0 {
		again = r.p.weights.ReasonAgain * r.reasons[0].worth
	}
	sum := r.place + float64(yes)*r.yes - r.minutes(ms)
	for _, c := range r.reasons {
		if no > 0 && shown&c.bit == 0 {
			sum += max(c.worth, again)
			no--
		}
	}
	return sum + float64(no)*again, no == 0 || !r.p.distinct
}

// left numbers how many roads to judge of each kind are still to come.
func (r *relaxed) left(no, yes int) int { return no*(r.p.suitable+1) + yes }

// rest is what can follow each road to judge when so many are still to come.
func (r *relaxed) rest(no, yes int) ([]float64, []int64) {
	p := r.p
	most, least := make([]float64, len(p.worth)), make([]int64, len(p.worth))
	for e := range p.worth {
		most[e], least[e] = math.Inf(-1), impossible
		if no+yes == 0 {
			for place := range p.place {
				home := min(p.home[place][0], p.home[place][1])
				if ms, ok := r.toPlace(e, place); ok && home != never {
					ms += int64(home)
					most[e] = max(most[e], r.atPlace(e, place)-r.minutes(ms))
					least[e] = min(least[e], ms)
				}
			}
			continue
		}
		for f := range p.worth {
			n, y, ok := r.take(no, yes, f)
			if !ok {
				continue
			}
			if ms, ok := r.toNext(e, f); ok {
				i := r.left(n, y)
				most[e] = max(most[e], r.neighbours(e, f)+p.worth[f]-r.minutes(ms)+r.most[i][f])
				least[e] = min(least[e], ms+r.least[i][f])
			}
		}
	}
	return most, least
}

// take is what is still to come after a road to judge; false where none of its
// kind is.
func (r *relaxed) take(no, yes, e int) (int, int, bool) {
	if r.p.suits[e] {
		return no, yes - 1, yes > 0
	}
	return no - 1, yes, no > 0
}

// toNext is the time from one road to judge to the next, false where that may
// not follow.
func (r *relaxed) toNext(e, f int) (int64, bool) {
	p := r.p
	ms := p.between[e][f]
	if ms == never || p.stretch[e] == p.stretch[f] || int64(ms)-int64(p.drive[e]) < int64(p.apartMs) {
		return 0, false
	}
	return int64(ms), true
}

// neighbours is what two roads to judge lose by following one another.
func (r *relaxed) neighbours(e, f int) float64 {
	if r.p.road[e] == r.p.road[f] && r.p.road[e] != 0 {
		return -r.p.weights.SameRoad
	}
	return 0
}

// toPlace is the time from the last road to judge to a place, false where one
// may not practise there after it.
func (r *relaxed) toPlace(e, place int) (int64, bool) {
	p := r.p
	ms := p.arrive[e][place]
	if ms == never || !p.backup[place] || p.stretch[e] == p.at[place] {
		return 0, false
	}
	return int64(ms), true
}

// atPlace is what a place is worth after the last road to judge.
func (r *relaxed) atPlace(e, place int) float64 {
	p := r.p
	if p.road[e] == p.beside[place] && p.road[e] != 0 && !p.suits[e] {
		return p.place[place] - p.weights.SameRoad
	}
	return p.place[place]
}

// minutes is what a drive costs.
func (r *relaxed) minutes(ms int64) float64 { return r.p.weights.DriveMinute * float64(ms) / 60000 }

// goes is the most that practice is worth after so much driving; false where
// not even the fewest goes fit.
func (r *relaxed) goes(ms int64) (float64, bool) {
	p := r.p
	n := min(int((p.budgetMs-ms)/p.goMs), p.goesMost)
	if ms > p.budgetMs || n < p.goesLeast {
		return 0, false
	}
	return p.weights.goes(n - p.goesLeast), true
}
