package lesson

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// mostMore is how many minutes more are looked at before one says that time is not
// what is wanting. Our choice: half an hour is the next longer lesson.
const mostMore = 30

// unmet says what of the wish can't be had and by how much, what is the most that
// can, and what would have to give. What no drive could do is proven by the
// surroundings; what was merely not found is said to be no more than that.
func (pl *planner) unmet() error {
	s := pl.surroundings()
	u := s.refusal()
	if pl.untaught != nil {
		pl.tooHard(u)
	}
	pl.sayMost(s, u)
	pl.sayLonger(s, u)
	return u
}

// refusal is what is wanting first, and how that is known.
func (s *surroundings) refusal() *Unmet {
	w := s.wish
	u := &Unmet{Wish: roads(w.unsuitable, w.suitable) + " in " + minutes(w.Minutes), Proof: ByBound}
	practise := s.toPractise()
	past, counted := s.least(w.unsuitable, w.suitable, false)
	short, away := s.short(past.ms), s.short(practise)
	no, yes := s.counts(w.unsuitable, w.suitable)
	switch {
	case practise == impossible:
		u.Wish, u.Why = s.somewhere(), s.whyNoPlace()
	case away > 0:
		u.Wish, u.Short, u.Why = s.somewhere(), away, "the nearest that looks right, with the way home, takes "+s.further(away)
		return u
	case no < w.unsuitable || yes < w.suitable:
		u.Why = s.tooFew(no, yes)
	case counted && past.ms == impossible && short > 0:
		u.Why = "the roads to judge lie so far apart that half an hour more would not be enough"
		return u
	case counted && short > 0:
		u.Short, u.Why = short, "the shortest drive past so many, to a place to practise and home takes "+s.further(short)
		return u
	case s.exhausted && !s.maySwap():
		u.Proof, u.Why = AllTried, "every order of the roads to judge and places that were kept was tried, and none leaves two minutes between them, a kerb for each stop and the way home in time"
		return u
	default:
		u.Proof, u.Why = NoneFound, "all that were tried lack two minutes between the roads to judge, a kerb for a stop or the time to be home, which does not prove that there is none"
		return u
	}
	if s.unknownMs <= s.budgetMs {
		u.Proof, u.Why = NoneFound, fmt.Sprintf("%s, as far as the nearest %d of them were looked at", u.Why, s.table.Search.LookedAt)
	}
	return u
}

func (s *surroundings) somewhere() string {
	return "a place to practise " + strings.ToLower(s.ex.Title)
}

// further is how much longer than it may be a drive is.
func (s *surroundings) further(short float64) string {
	return fmt.Sprintf("%s more than the %.0f that the lesson leaves for driving", minutes(short), float64(s.budgetMs)/60000)
}

// tooFew is which roads to judge are too few within reach.
func (s *surroundings) tooFew(no, yes int) string {
	switch {
	case len(s.reached) < cutOff:
		return s.whyNoPlace()
	case yes < s.wish.suitable:
		return count(yes, "road to judge", "roads to judge") + " within reach that would do"
	}
	return count(no, "road to judge", "roads to judge") + " within reach that plainly would not do"
}

// whyNoPlace is why there is nowhere to practise.
func (pl *planner) whyNoPlace() string {
	switch {
	case len(pl.reached) < cutOff && pl.wish.NearSide:
		return "hardly a road can be driven to from the start and home from by " + nearSide(pl.p) + " turns alone"
	case len(pl.reached) < cutOff && pl.untaught != nil:
		return "hardly a road can be driven to from the start and home from"
	case len(pl.reached) < cutOff:
		return "hardly a road can be driven to from the start and home from: by the map it is cut off from the rest"
	case len(pl.places) == 0:
		if pl.ex.CarPark {
			return "no car park within reach, from which the way home is open, looks right for it"
		}
		return "no road within reach, from which the way home is open, looks right for it"
	}
	return fmt.Sprintf("no place to practise within reach has a second one within %s' drive", minutes(pl.table.backupWithin(pl.ex)/60))
}

// whyAgain is why a lesson shows a reason again: by the bound, or because no other
// was found.
func (pl *planner) whyAgain() string {
	if pl.change != nil {
		return noneFound // elsewhere they might change seats for more
	}
	s := pl.surroundings()
	for no := 1; no <= pl.wish.unsuitable; no++ {
		l, ok := s.least(no, pl.wish.suitable, true)
		short := s.short(l.ms)
		switch {
		case !ok:
			return noneFound
		case short == 0:
			continue
		}
		can := "one"
		if no > 2 {
			can = fmt.Sprint(no - 1)
		}
		why := fmt.Sprintf("within the %.0f minutes that the lesson leaves for driving, no drive shows more than %s", float64(pl.budgetMs)/60000, can)
		if other := s.farthest(l.reasons, pl.wish.suitable); other != "" {
			why += fmt.Sprintf("; the nearest other (%s) is %s further", s.card(other), minutes(short))
		}
		return why + "."
	}
	return noneFound
}

// sayMost says what is the most of the wish that can be had.
func (pl *planner) sayMost(s *surroundings, u *Unmet) {
	asked := pl.wish
	sure := true // that there is no more
	swaps := 0
	for _, fewer := range lesser(asked.unsuitable, asked.suitable) {
		if s.cant(fewer[0], fewer[1]) {
			continue
		}
		pl.wish.unsuitable, pl.wish.suitable = fewer[0], fewer[1]
		f := pl.withRoads()
		if f == nil && pl.maySwap() && swaps < mostSwaps {
			swaps++
			_, f = pl.changing()
		}
		pl.wish = asked
		if f == nil {
			sure = false
			continue
		}
		u.Best = &BestPossible{
			Unsuitable: fewer[0], Suitable: fewer[1], Minutes: asked.Minutes,
			DriveMinutes: float64(int(f.driveS/6+0.5)) / 10, Goes: f.goes, Proven: sure && u.Proof == ByBound,
		}
		u.Give = append(u.Give, fewerRoads(asked.unsuitable+asked.suitable-fewer[0]-fewer[1]))
		return
	}
}

// mostSwaps is for how many smaller wishes it is tried whether changing seats helps.
// Our choice: each is as long as a plan.
const mostSwaps = 2

// cant says whether no drive in time comes by so many roads to judge.
func (s *surroundings) cant(no, yes int) bool {
	if n, y := s.counts(no, yes); n < no || y < yes {
		return s.unknownMs > s.budgetMs
	}
	l, ok := s.least(no, yes, false)
	return ok && s.short(l.ms) > 0
}

// withRoads is a lesson with as many roads to judge as are now wished for, driven
// by the learner from door to door; for unsuitable ones reasons may come again.
func (pl *planner) withRoads() *finalist {
	if len(pl.places) == 0 || pl.wish.DriveOut {
		return nil
	}
	pl.problem.unsuitable, pl.problem.suitable, pl.problem.distinct = pl.wish.unsuitable, pl.wish.suitable, false
	return pl.proven(pl.bestOf(pl.choices()), math.Inf(-1))
}

// sayLonger says which longer lesson would do.
func (pl *planner) sayLonger(s *surroundings, u *Unmet) {
	past, counted := s.least(pl.wish.unsuitable, pl.wish.suitable, false)
	tries := 0
	for more := 5.0; more <= mostMore && pl.wish.Minutes+more <= longest && tries < longerTries; more += 5 {
		r := pl.wish.Request
		r.Minutes += more
		r.Unsuitable, r.Suitable, r.InHand = &pl.wish.unsuitable, &pl.wish.suitable, &pl.wish.inHand
		split, _ := pl.table.SplitFor(r.Minutes)
		if counted && min(past.ms, s.unknownMs) > pl.leftToDrive(split, r.Minutes) {
			continue
		}
		tries++
		if pl.canHave(r) {
			u.Give = append(u.Give, "a lesson of "+minutes(r.Minutes))
			return
		}
	}
}

// canHave says whether another request is met.
func (pl *planner) canHave(r Request) bool {
	if len(r.Seek) > 0 {
		return pl.fits(r)
	}
	other, err := newPlanner(pl.n, pl.p, pl.assessor, r)
	if err != nil {
		return false
	}
	other.table, other.looked = pl.table, pl.looked
	_, f := other.tried()
	return f != nil
}

// longerTries is how many longer lessons are planned at the most. Our choice:
// what the shortest drive has time for is nearly always found at once.
const longerTries = 3

// lesser lists smaller wishes, the largest first, at least one that suits in
// each; of equally many the one with more unsuitable roads.
func lesser(unsuitable, suitable int) [][2]int {
	var out [][2]int
	for u := unsuitable; u >= 0; u-- {
		for s := suitable; s >= 1; s-- {
			if u < unsuitable || s < suitable {
				out = append(out, [2]int{u, s})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b [2]int) int {
		return cmp.Or(cmp.Compare(b[0]+b[1], a[0]+a[1]), cmp.Compare(b[0], a[0]))
	})
	return out
}

// cutOff is how few segments are no neighbourhood. Our choice: a village has
// more.
const cutOff = 100
