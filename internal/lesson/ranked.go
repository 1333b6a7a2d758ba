package lesson

import (
	"container/heap"
	"math"
	"slices"
)

// ranked gives the choices of a problem from the best down, none left out: the
// next is never worth more than the one before. Scores are those of judge with
// no rest taken, since the real drive may get by with fewer than are reckoned
// with.
//
// It is the A* search of Hart, Nilsson and Raphael, "A Formal Basis for the
// Heuristic Determination of Minimum Cost Paths" (1968), over the ways to begin
// a circuit; relaxed says what each may come to.
type ranked struct {
	*relaxed
	open   beginnings
	opened []beginning
	steps  int // that may still be taken
}

// beginning is a way to begin: roads to judge and, with the last of all, a
// place.
type beginning struct {
	before  int  // among those opened; -1 for none
	at      int  // road to judge
	place   int  // -1 while roads to judge are still to come
	no, yes int  // still to come
	mixed   bool // a yes came before a no
	reasons uint64
	ms      int64
	worth   float64 // so far, with the minutes taken off
	most    float64 // what it may come to
	number  int     // in order of discovery
}

// rank begins; only choices worth more than a floor are looked for, in at most
// so many steps.
func rank(p *problem, floor float64, steps int) *ranked {
	k := &ranked{relaxed: relax(p), steps: steps}
	for e, ms := range p.reach {
		if ms != never {
			k.extend(beginning{before: -1, no: p.unsuitable, yes: p.suitable}, e, int64(ms), floor)
		}
	}
	return k
}

// limit is what none of the choices still to come exceeds.
func (k *ranked) limit() float64 {
	if len(k.open) == 0 {
		return math.Inf(-1)
	}
	return k.open[0].most
}

// next is the best choice still to come, false where none is above the floor or
// the steps are used up.
func (k *ranked) next(floor float64) (choice, bool) {
	for ; len(k.open) > 0 && k.open[0].most > floor && k.steps > 0; k.steps-- {
		b := heap.Pop(&k.open).(beginning)
		if b.place >= 0 {
			return choice{order: k.order(b), place: b.place, score: b.most}, true
		}
		k.opened = append(k.opened, b)
		if b.no+b.yes == 0 {
			k.end(b, floor)
			continue
		}
		b.before = len(k.opened) - 1
		at := b.at
		for f := range k.p.worth {
			if ms, ok := k.toNext(at, f); ok {
				k.extend(b, f, ms, floor)
			}
		}
	}
	return choice{}, false
}

// extend goes on from a beginning to a road to judge, where that may come to
// more than the floor.
func (k *ranked) extend(b beginning, e int, ms int64, floor float64) {
	p := k.p
	var ok bool
	if b.no, b.yes, ok = k.take(b.no, b.yes, e); !ok {
		return
	}
	worth := p.worth[e]
	if p.suits[e] {
		b.mixed = b.mixed || b.no > 0
	} else if bit := reasonBit(p, e); b.reasons&bit == 0 {
		b.reasons |= bit
	} else if p.distinct {
		return
	} else {
		worth *= p.weights.ReasonAgain
	}
	for i := b.before; i >= 0; i = k.opened[i].before {
		if f := k.opened[i].at; p.stretch[e] == p.stretch[f] {
			return
		} else if p.road[e] == p.road[f] && p.road[e] != 0 {
			worth -= p.weights.SameRoad
		}
	}
	b.at, b.place = e, -1
	b.ms += ms
	b.worth += worth - k.minutes(ms)
	i := k.left(b.no, b.yes)
	goes, ok := k.goes(b.ms + k.least[i][e])
	if !ok {
		return
	}
	byReason, ok := k.byReason(b.reasons, b.no, b.yes, k.least[i][e])
	if !ok {
		return
	}
	b.most = b.worth + min(k.most[i][e], byReason) + goes
	if p.mixed || !b.mixed {
		b.most += p.weights.UnsuitableFirst
	}
	k.push(b, floor)
}

// end adds every place to a beginning with all its roads to judge.
func (k *ranked) end(b beginning, floor float64) {
	order := k.order(b)
	b.before = len(k.opened) - 1
	for place := range k.p.place {
		if _, ok := k.toPlace(b.at, place); !ok {
			continue
		}
		if c := k.p.judge(order, place); c.short == 0 {
			b.place, b.most = place, c.score
			k.push(b, floor)
		}
	}
}

func (k *ranked) push(b beginning, floor float64) {
	if b.most > floor {
		b.number = len(k.opened)*(len(k.p.worth)+len(k.p.place)) + len(k.open)
		heap.Push(&k.open, b)
	}
}

// order reads the roads to judge of a beginning back.
func (k *ranked) order(b beginning) []int {
	var order []int
	if b.place < 0 {
		order = append(order, b.at)
	}
	for i := b.before; i >= 0; i = k.opened[i].before {
		order = append(order, k.opened[i].at)
	}
	slices.Reverse(order)
	return order
}

// beginnings are such, that which may come to the most on top; of equal ones
// that which was found first.
type beginnings []beginning

func (b beginnings) Len() int { return len(b) }
func (b beginnings) Less(i, j int) bool {
	if b[i].most != b[j].most {
		return b[i].most > b[j].most
	}
	return b[i].number < b[j].number
}
func (b beginnings) Swap(i, j int) { b[i], b[j] = b[j], b[i] }
func (b *beginnings) Push(l any)   { *b = append(*b, l.(beginning)) }
func (b *beginnings) Pop() any {
	last := len(*b) - 1
	l := (*b)[last]
	*b = (*b)[:last]
	return l
}
