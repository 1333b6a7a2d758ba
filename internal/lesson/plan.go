package lesson

import (
	"math"
	"slices"

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
	ways              ways
	looked            *looked

	budgetMs int64 // for driving, when only the fewest goes are done
	examples []judged
	places   []practice
	reached  []reach            // segments within reach, least round trip first
	stands   []roadnet.Position // kerbs to stand at along them
	found    int                // roads to judge seen in reach, before the best were kept
	problem  *problem
	// exhausted says that the last search drove every choice that may be worth more
	// than what it found.
	exhausted bool
	sought    *sought                    // nil where nothing is
	parts     []*planner                 // each looked for places for one exercise
	off       map[roadnet.StretchID]bool // of a test day: the road of the test centre
	last      *planner                   // with what may be driven last; nil: the same
	without   map[roadnet.StretchID]bool // neither judged nor practised in
	dark      bool                       // street lights are needed
	change    *changeOver                // nil where the learner drives from door to door
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
	by, f := pl.tried()
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

// tried is the best finalist of all, with the planner that made it; nil where
// none is found.
func (pl *planner) tried() (by *planner, f *finalist) {
	pl.gather()
	pl.pose()
	if by = pl; !pl.wish.DriveOut {
		f = pl.best()
	}
	if f == nil && pl.maySwap() {
		by, f = pl.changing()
	}
	return by, f
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
		kerbs: &kerbs{n: n, p: p, memo: map[roadnet.SegmentID][]span{}}, ways: ways{}, looked: newLooked(), without: map[roadnet.StretchID]bool{},
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
func (pl *planner) drivingMs(minutes float64) int64 { return pl.leftToDrive(pl.wish.split, minutes) }

// leftToDrive is drivingMs for a lesson that is split in some way.
func (pl *planner) leftToDrive(s Split, minutes float64) int64 {
	g := pl.table.Goes
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
	pr.between, pr.arrive = make([][]uint32, len(begins)), make([][]uint32, len(begins))
	roadnet.InParallel(len(begins), func(next func() (int, bool)) {
		finder := route.NewFinder(pl.forward.Weights())
		for i, ok := next(); ok; i, ok = next() {
			row := finder.Matrix(begins[i:i+1], targets, geo.Seconds(t.Search.BetweenS), pl.turning())[0]
			pr.between[i], pr.arrive[i] = row[:len(begins)], row[len(begins):]
		}
	})
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
