package lesson

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"loopwright/internal/assess"
	"loopwright/internal/calendar"
	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// planner is the work on one request.
type planner struct {
	n                 *roadnet.Network
	p                 *country.Profile
	ex                *assess.Exercise
	assessor          *assess.Assessor
	table             *Table
	wish              wish
	learner           *learner
	untaught          *untaught // nil where everything may come on the drive
	w                 *route.Weights
	forward, backward *route.Finder
	kerbs             *kerbs

	budgetMs int64 // for driving, when only the fewest goes are done
	examples []judged
	places   []practice
	reached  []reach            // segments within reach, least round trip first
	stands   []roadnet.Position // kerbs to stand at along them
	found    int                // roads to judge seen in reach, before the best were kept
	problem  *problem
	sought   *sought                    // nil where nothing is
	parts    []*planner                 // each looked for places for one exercise
	off      map[roadnet.StretchID]bool // of a test day: the road of the test centre
	last     *planner                   // with what may be driven last; nil: the same
	without  map[roadnet.StretchID]bool // neither judged nor practised in
	dark     bool                       // street lights are needed
	change   *changeOver                // nil where the learner drives from door to door
}

// Plan plans the circuit of a lesson. The error is an *Unmet where the wish
// can't be met, which is an answer; any other error says what is wrong with
// the request.
func Plan(n *roadnet.Network, p *country.Profile, a *assess.Assessor, r Request) (*circuit.Circuit, error) {
	pl, err := newPlanner(n, p, a, r)
	if err != nil {
		return nil, err
	}
	if r.Kind != circuit.RoadsToJudge || len(r.Seek) > 0 {
		return pl.planKind()
	}
	by, f, err := pl.bestLesson()
	if err != nil {
		return nil, err
	}
	return by.circuit(by.withSecondRoad(f))
}

// bestLesson is the best finalist, with the planner that made it.
func (pl *planner) bestLesson() (*planner, *finalist, error) {
	pl.gather(pl.budgetMs)
	pl.pose()
	by, f := pl, (*finalist)(nil)
	if !pl.wish.DriveOut {
		f = pl.best()
	}
	if f == nil && (pl.wish.DriveOut || pl.wish.NearSide || pl.untaught != nil) {
		by, f = pl.changing()
	}
	var err error
	if f == nil && !pl.stopped() {
		err = pl.unmet()
	}
	if pl.stopped() {
		return nil, nil, ErrStopped
	}
	if f == nil {
		return nil, nil, err
	}
	return by, f, nil
}

func newPlanner(n *roadnet.Network, p *country.Profile, a *assess.Assessor, r Request) (*planner, error) {
	table := standard()
	w, err := r.fill(table)
	if err != nil {
		return nil, err
	}
	ex, err := exerciseOf(r.Kind, r.Exercise)
	if err != nil {
		return nil, err
	}
	learner, err := learnerOf(r.Learner, r.Avoid)
	if err != nil {
		return nil, err
	}
	if r.Kind == circuit.MockTest && r.Learner == nil {
		if learner.pace, err = paceNamed(nearTest); err != nil {
			return nil, err
		}
	}
	if r.Ice { // nobody grits a lane
		learner.untaught[assess.CountryRoads] = true
	}
	pl := &planner{
		n: n, p: p, ex: ex, assessor: a, table: table, wish: w, learner: learner, untaught: untaughtOn(n, p, learner.untaught),
		kerbs: &kerbs{n: n, p: p, memo: map[roadnet.SegmentID][]span{}}, without: map[roadnet.StretchID]bool{},
	}
	if err := pl.dayRefuses(); err != nil {
		return nil, err
	}
	pl.dark = pl.light() == calendar.Dark || pl.light() == calendar.Twilight
	for _, s := range r.Without {
		leaveOut(n, s, pl.without)
	}
	pl.budgetMs = pl.drivingMs(w.Minutes)
	pl.open()
	return pl, nil
}

// open sets the weights to what may be driven in this lesson by this learner.
func (pl *planner) open() {
	w := route.NewWeights(pl.n, pl.p, pl.learner.pace)
	if len(pl.wish.Closed) > 0 {
		w = w.Bar(pl.wish.Closed...)
	}
	w = pl.forTheDay(w)
	if pl.untaught != nil {
		w = pl.withoutUntaught(w)
	}
	pl.w, pl.forward, pl.backward = w, route.NewFinder(w), route.NewFinder(w)
}

// drivingMs is what a lesson's length leaves for driving with the fewest goes.
func (pl *planner) drivingMs(minutes float64) int64 {
	s, g := pl.wish.split, pl.table.Goes
	left := minutes - s.Recap - s.Briefing - s.Debrief - pl.wish.inHand - float64(g.Least)*g.LeastMinutes
	return max(int64(left*60000), 0)
}

// pose lays the candidates out as a problem, with the times between them.
func (pl *planner) pose() {
	t := pl.table
	pr := &problem{
		unsuitable: pl.wish.unsuitable, suitable: pl.wish.suitable,
		apartMs: uint32(t.Examples.ApartS * 1000), budgetMs: pl.budgetMs + int64(float64(t.Goes.Least)*t.Goes.LeastMinutes*60000),
		restMs: int64(t.PullUps.Minutes * 60000), restEveryMs: int64(t.PullUps.AboutS * 1000 * evenS),
		goMs: int64(t.Goes.LeastMinutes * 60000), goesLeast: t.Goes.Least, goesMost: t.Goes.Most,
		weights: t.Weights, judgements: t.Search.Judgements, distinct: true, mixed: pl.wish.Mixed,
	}
	pl.problem = pr
	share := pl.shares()
	numbers := map[string]int{suits: 0}
	targets := make([]roadnet.Position, 0, len(pl.examples)+len(pl.places))
	begins := make([]roadnet.Position, len(pl.examples))
	for i := range pl.examples {
		e := &pl.examples[i]
		if _, ok := numbers[e.Reason]; !ok {
			numbers[e.Reason] = len(numbers)
		}
		stretch := e.Segment.Stretch()
		begins[i] = e.begin()
		pr.reach = append(pr.reach, e.out)
		pr.drive = append(pr.drive, pl.w.At(e.finish())-pl.w.At(e.begin()))
		pr.worth = append(pr.worth, e.Clarity*(1-(1-t.Weights.CommonReason)*share[e.Reason]))
		pr.reason = append(pr.reason, numbers[e.Reason])
		pr.suits = append(pr.suits, e.suits())
		pr.road = append(pr.road, int(pl.n.NameOf(stretch)))
		pr.stretch = append(pr.stretch, int(stretch))
	}
	targets = append(targets, begins...)
	for i := range pl.places {
		p := &pl.places[i]
		stretch := p.Position.Segment.Stretch()
		targets = append(targets, p.Position)
		home := p.home
		if only := pl.wish.PractiseIn; only != nil && stretch != *only {
			home = [2]uint32{never, never} // it may still be a backup
		}
		pr.home = append(pr.home, home)
		pr.round = append(pr.round, p.roundMs)
		pr.backup = append(pr.backup, len(p.backups) > 0)
		pr.place = append(pr.place, t.Weights.Place*placeWorth(&p.Place))
		pr.at = append(pr.at, int(stretch))
		pr.beside = append(pr.beside, int(pl.n.NameOf(stretch)))
	}
	pr.budgetMs -= pl.stopsMs()
	for _, row := range pl.forward.Matrix(begins, targets, geo.Seconds(t.Search.BetweenS), pl.turning()) {
		pr.between = append(pr.between, row[:len(begins)])
		pr.arrive = append(pr.arrive, row[len(begins):])
	}
}

// stopsMs is what stopping takes at the least: at some place to practise, and at
// the end.
func (pl *planner) stopsMs() int64 {
	if len(pl.places) == 0 {
		return 0
	}
	least := uint32(never)
	for i := range pl.places {
		least = min(least, pl.w.StopMs(pl.places[i].Position))
	}
	return int64(least) + int64(pl.w.StopMs(pl.wish.To))
}

// shares is how common each reason is among the candidates, in [0, 1], the
// commonest 1: a reason that every road here has teaches less than a rare one.
func (pl *planner) shares() map[string]float64 {
	share := map[string]float64{}
	most := 1.0
	for i := range pl.examples {
		if e := &pl.examples[i]; !e.suits() {
			share[e.Reason]++
			most = max(most, share[e.Reason])
		}
	}
	for r := range share {
		share[r] /= most
	}
	return share
}

// best searches and drives the finalists: the one with the highest score, nil
// where none keeps the musts. Only where no circuit has a reason of its own for
// each unsuitable road may reasons come again.
func (pl *planner) best() *finalist { return pl.atLeast(math.Inf(-1)) }

// atLeast is best where a finalist that scores less than enough is not wanted, so
// that there is more to look for.
func (pl *planner) atLeast(enough float64) *finalist {
	for _, distinct := range []bool{true, false} {
		pl.problem.distinct = distinct
		if f := pl.proven(pl.bestOf(pl.choices()), enough); f != nil {
			return f
		}
	}
	return nil
}

// choices are the feasible choices that the search finds, best first.
func (pl *planner) choices() []choice {
	s := pl.table.Search
	all := pl.problem.search(pl.wish.Seed, s.Restarts, s.Rounds, s.Finalists)
	return slices.DeleteFunc(all, func(c choice) bool { return c.short > 0 })
}

func (pl *planner) bestOf(choices []choice) *finalist {
	var best *finalist
	floor := math.Inf(-1)
	for _, c := range choices {
		// What is driven scores no higher than what was planned but for a little
		// of rounding: once that is under the best, so is all that follows.
		if c.score < floor-0.05 {
			break
		}
		if pl.stopped() {
			return nil
		}
		if f, ok := pl.finish(c, floor); ok && f.score > floor {
			best, floor = f, f.score
		}
	}
	return best
}

// unmet says what of the wish can't be had, what is the most that can, and
// what would have to give.
func (pl *planner) unmet() error {
	u := &Unmet{Wish: roads(pl.wish.unsuitable, pl.wish.suitable) + " in " + minutes(pl.wish.Minutes), Why: pl.why()}
	if pl.untaught != nil {
		pl.tooHard(u)
	}
	if len(pl.places) == 0 {
		u.Wish = "a place to practise " + strings.ToLower(pl.ex.Title)
		return u
	}
	// Many searches follow, and none of them is for a circuit to be driven: each
	// is a short one, and reasons may come again.
	pl.problem.judgements /= unmetShare
	pl.problem.distinct = false
	asked := pl.wish
	for _, fewer := range lesser(asked.unsuitable, asked.suitable) {
		pl.problem.unsuitable, pl.problem.suitable = fewer[0], fewer[1]
		if f := pl.bestOf(pl.choices()); f != nil {
			u.Best = &BestPossible{
				Unsuitable: fewer[0], Suitable: fewer[1], Minutes: asked.Minutes,
				DriveMinutes: float64(int(f.driveS/6+0.5)) / 10, Goes: f.goes,
			}
			lost := asked.unsuitable + asked.suitable - fewer[0] - fewer[1]
			u.Give = append(u.Give, fewerRoads(lost))
			break
		}
	}
	pl.problem.unsuitable, pl.problem.suitable = asked.unsuitable, asked.suitable
	for more := 5.0; more <= mostMore && asked.Minutes+more <= longest; more += 5 {
		pl.wish.Minutes = asked.Minutes + more
		pl.problem.budgetMs += 5 * 60000
		if pl.bestOf(pl.choices()) != nil {
			u.Give = append(u.Give, "a lesson of "+minutes(pl.wish.Minutes))
			break
		}
	}
	pl.wish = asked
	return u
}

// unmetShare is how much shorter the searches are that only say what can be had.
// Our choice.
const unmetShare = 5

// mostMore is how many minutes more are tried before one says that time is not
// what is wanting. Our choice: half an hour is the next longer lesson.
const mostMore = 30

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

// why is the first thing that is wanting.
func (pl *planner) why() string {
	yes, no, backed := 0, 0, 0
	for i := range pl.examples {
		if pl.examples[i].suits() {
			yes++
		} else {
			no++
		}
	}
	for i := range pl.places {
		if len(pl.places[i].backups) > 0 {
			backed++
		}
	}
	switch {
	case len(pl.reached) < cutOff && pl.wish.NearSide:
		return "hardly a road can be driven to from the start and home from by " + nearSide(pl.p) + " turns alone"
	case len(pl.reached) < cutOff && pl.untaught != nil:
		return "hardly a road can be driven to from the start and home from"
	case len(pl.reached) < cutOff:
		return "hardly a road can be driven to from the start and home from: by the map it is cut off from the rest"
	case len(pl.places) == 0:
		return "no road within reach, from which the way home is open, looks right for it"
	case backed == 0:
		return "no place to practise within reach has a second one within three minutes' drive"
	case yes < pl.wish.suitable:
		return count(yes, "road to judge", "roads to judge") + " that would do within reach"
	case no < pl.wish.unsuitable:
		return count(no, "road to judge", "roads to judge") + " within reach that plainly would not do"
	}
	return "the roads to judge lie too far apart, or too near, for two minutes between them and the way home in time"
}
