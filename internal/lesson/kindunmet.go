package lesson

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"loopwright/internal/circuit"
	"loopwright/internal/geo"
	"loopwright/internal/route"
)

// unmetKind says which wish can't be had, what is the best possible, and what
// would have to give; places is how many there are for each wish.
func (pl *planner) unmetKind(best *tour, places []int) error {
	for w, s := range pl.wish.Seek {
		if w < len(places) && places[w] == 0 && len(pl.reached) >= cutOff {
			return &Unmet{Wish: wordsOf(s), Why: "there is none within reach of a lesson of " + minutes(pl.wish.Minutes)}
		}
	}
	u := &Unmet{Wish: pl.kindWords(), Why: pl.whyNot()}
	if best != nil {
		pl.fellShort(u, best, places)
	}
	for _, more := range []float64{15, 30} {
		r := pl.wish.Request
		if r.Minutes += more; r.Minutes <= longest && pl.fits(r) {
			u.Give = append(u.Give, "a lesson of "+minutes(r.Minutes))
			break
		}
	}
	return u
}

// whyNot is why there is no tour at all.
func (pl *planner) whyNot() string {
	const hour geo.Seconds = 3600
	way := route.NewFinder(pl.w).From(pl.wish.From, hour, pl.turning())
	ms, ok := way.Ms(pl.wish.To)
	noPlace := func(q *planner) bool { return len(backedUp(q)) == 0 }
	switch {
	case !ok:
		return "no way from the start to the finish within an hour's drive may be driven"
	case int64(ms) > pl.budgetMs:
		return fmt.Sprintf("the way from the start to the finish alone takes %.0f minutes, and the lesson leaves %.0f for driving", math.Ceil(float64(ms)/60000), float64(pl.budgetMs)/60000)
	case len(pl.reached) < cutOff:
		return "hardly a road can be driven to from the start and home from"
	case pl.wish.Kind == circuit.TwoExercises && slices.ContainsFunc(pl.parts, noPlace):
		q := pl.parts[slices.IndexFunc(pl.parts, noPlace)]
		return strings.ToLower(q.ex.Title) + ": " + q.whyNoPlace()
	case pl.wish.Kind == circuit.TwoExercises:
		return "no two places lie so that both can be practised at in the time, with the way home"
	case len(pl.parts) > 0 && !slices.ContainsFunc(pl.parts, func(q *planner) bool { return !noPlace(q) }):
		return "no road within reach, from which the way home is open and near which there is a second one, looks right for the exercise"
	}
	return "no drive within the time has what such a lesson must have: things to come by, places to pull up, and the way home"
}

// fellShort says how the best tour there is falls short.
func (pl *planner) fellShort(u *Unmet, best *tour, places []int) {
	if lacks := pl.lacks(best); lacks != "" {
		u.Why = lacks
	}
	got := pl.counted(best)
	if len(pl.wish.Seek) == 0 {
		return
	}
	u.Best = &BestPossible{Minutes: pl.wish.Minutes, DriveMinutes: math.Round(best.driveS/6) / 10}
	fewer := false
	for w, s := range pl.wish.Seek {
		u.Best.Found = append(u.Best.Found, circuit.Sought{Topic: s.Topic, AtLeast: got[s.Topic]})
		if got[s.Topic] >= s.AtLeast || fewer {
			continue
		}
		u.Wish = wordsOf(s) + " in " + minutes(pl.wish.Minutes)
		u.Why = "no drive was found that comes by more of them and is home in time"
		if w < len(places) && places[w] > 1 {
			u.Why = fmt.Sprintf("no drive was found that comes by more of them and is home in time; %d places for it are within reach", places[w])
		}
		u.Give = append(u.Give, Counted(got[s.Topic], s.Topic))
		fewer = got[s.Topic] > 0
	}
	if !fewer {
		u.Give = nil
	}
}

// fits says whether a request of this kind can be met.
func (pl *planner) fits(r Request) bool {
	longer, err := newPlanner(pl.n, pl.p, pl.assessor, r)
	if err != nil {
		return false
	}
	longer.looked = pl.looked
	best, _, err := longer.bestOfKind()
	return err == nil && best != nil && longer.meets(best)
}
