package directions

import (
	"slices"
	"strings"

	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// writer makes the steps of one run.
type writer struct {
	*run
	words    *words
	passages []passage
	back     bool // the car leaves back the way it came to its stop
	moving   bool // the run begins with the car on its way
}

func (w *writer) write() []Step {
	var all []manoeuvre
	for _, p := range w.passages {
		if m, ok := w.manoeuvre(p); ok {
			all = append(all, m)
		}
	}
	if w.pullUp != roadnet.SideUnknown {
		form := PullUp
		if w.carPark {
			form = IntoCarPark
		}
		all = append(all, manoeuvre{form: form, kind: KindPullUp, side: w.pullUp, entry: w.end, exit: w.end, at: len(w.segments) - 1, meant: roadnet.SegmentID(roadnet.None), missed: roadnet.SegmentID(roadnet.None)})
	}
	return w.steps(w.group(all))
}

// group joins manoeuvres that follow too closely to be said one by one.
func (w *writer) group(all []manoeuvre) [][]manoeuvre {
	t := theTable()
	var groups [][]manoeuvre
	for i, m := range all {
		last := len(groups) - 1
		if i > 0 && len(groups[last]) < t.Timing.MostJoined && t.close(m.entry-all[i-1].exit, w.speed(m.at)) {
			groups[last] = append(groups[last], m)
			continue
		}
		groups = append(groups, []manoeuvre{m})
	}
	return groups
}

// steps says each group, the first together with moving off where there is no
// time between.
func (w *writer) steps(groups [][]manoeuvre) []Step {
	if w.moving {
		return w.later(groups, 0)
	}
	form := MoveOff
	if w.back {
		form = MoveOffBack
	}
	start, off := w.words.say(form, blanks{}), move(form, blanks{}, "", "")
	usual := geo.Metres(0)
	if len(groups) > 0 {
		usual, _ = theTable().lead(w.speed(groups[0][0].at), w.opts.Beginner)
	}
	if len(groups) > 0 && groups[0][0].entry-usual < settled {
		first := groups[0]
		s, moves, cost := w.sentence(start, first, 0)
		steps := []Step{w.step(s, append([]circuit.Move{off}, moves...), 0, first, cost, KindMoveOff)}
		return append(steps, w.later(groups[1:], first[len(first)-1].exit)...)
	}
	steps := []Step{w.step(start, []circuit.Move{off}, 0, nil, 0, KindMoveOff)}
	return append(steps, w.later(groups, 0)...)
}

// settled is how far beyond a turn, or where it moved off, the car is straight
// and the learner can listen. Our choice.
const settled = 10 * geo.Metres(1)

// later says groups one by one; none before the one before it is done.
func (w *writer) later(groups [][]manoeuvre, done geo.Metres) []Step {
	t := theTable()
	var steps []Step
	for _, g := range groups {
		m := g[0]
		usual, least := t.lead(w.speed(m.at), w.opts.Beginner)
		latest := max(done, m.entry-least)
		earliest := min(max(done+settled, m.entry-usual), latest)
		at := w.saidAt(m, earliest, latest)
		s, moves, cost := w.sentence(sentence{}, g, at)
		if t.close(m.entry-done, w.speed(m.at)) && done > 0 {
			cost += t.Costs.Late
		}
		steps = append(steps, w.step(s, moves, at, g, cost, m.kind))
		done = g[len(g)-1].exit
	}
	return steps
}

// saidAt chooses where between two offsets a direction is said: where the
// fewest places could be taken for the one meant, and of those the first.
func (w *writer) saidAt(m manoeuvre, earliest, latest geo.Metres) geo.Metres {
	rivals := w.rivals(m, earliest-passed)
	best, least := earliest, int(^uint(0)>>1)
	try := func(at geo.Metres) {
		if at < earliest || at > latest {
			return
		}
		count := 0
		for _, o := range rivals {
			if o.at > at {
				count += 2
			}
		}
		if !clearOf(rivals, at) {
			count++
		}
		if count < least {
			best, least = at, count
		}
	}
	try(earliest)
	for _, o := range rivals {
		try(o.at - beside)
		try(o.at + passed)
	}
	return best
}

// sentence says a group after what is already said, and how awkward it is.
func (w *writer) sentence(s sentence, group []manoeuvre, at geo.Metres) (sentence, []circuit.Move, float64) {
	var moves []circuit.Move
	cost := 0.0
	from := at
	for i, m := range group {
		next, does, c := w.one(m, from, i > 0)
		moves = append(moves, does)
		cost += c
		if i > 0 {
			cost += theTable().Costs.Close
		}
		if s == (sentence{}) {
			s = next
		} else {
			s = w.joined(s, next, m)
		}
		from = m.exit
	}
	return s, moves, cost
}

// joined adds a sentence to another: "turn left, then at the roundabout, take
// the second exit". Where the turn is recognised by its place, the alert is
// that place and is kept.
func (w *writer) joined(s, next sentence, m manoeuvre) sentence {
	direction := s.direction
	if s.where != "" {
		direction += " " + s.where
	}
	link := w.words.phrase(Then, blanks{})
	switch {
	case strings.HasPrefix(next.direction, link+" "):
		direction += ", " + next.direction
	case m.counted || m.kind == KindPullUp || m.form == LeaveBend || next.alert == "" || next.alert == w.words.asks():
		direction += ", " + link + " " + next.direction
	default:
		alert := strings.ToLower(next.alert[:1]) + next.alert[1:]
		if again := w.words.next(1) + " "; m.kind == KindRoundabout && next.alert == s.alert {
			alert = strings.Replace(alert, "the ", "the "+again, 1)
		}
		direction += ", " + link + " " + alert + " " + next.direction
	}
	return sentence{s.alert, direction, next.where}
}

// one says one manoeuvre as from an offset; close is true where it follows
// another turn at once.
func (w *writer) one(m manoeuvre, from geo.Metres, close bool) (sentence, circuit.Move, float64) {
	costs := theTable().Costs
	rivals := w.rivals(m, from)
	if m.kind == KindPullUp {
		b := blanks{side: m.side, nth: len(rivals)}
		if len(rivals) > 0 {
			b.where = []string{w.words.phrase(After, b)}
		}
		return w.words.say(m.form, b), move(m.form, b, "", ""), overThird(len(rivals))
	}
	if w.opts.Signs && !close && m.signed != "" {
		form := Signs
		if m.kind == KindRoundabout {
			form = RoundaboutSigns
		}
		return w.words.say(form, blanks{road: m.signed}), move(form, blanks{side: m.side}, "", m.signed), 0
	}
	b := blanks{side: m.side, nth: m.nth + len(rivals)}
	cost, form := m.cost+overThird(len(rivals)), m.form
	if form == Next && close && b.nth == 1 {
		form = ThenNext
	}
	past, road := "", m.ref
	if m.counted {
		past = w.landmark(from, m.entry)
	}
	if past != "" {
		b.where = append(b.where, w.words.phrase(Past, blanks{road: past}))
	}
	switch {
	case m.road != 0:
		road = w.n.Name(m.road)
		b.where = append(b.where, w.words.phrase(Into, blanks{road: road}))
	case m.ref != "":
		b.where = append(b.where, w.words.phrase(Onto, blanks{road: road}))
	}
	named := len(b.where) > 0
	if m.noEntry || slices.ContainsFunc(rivals, func(o opening) bool { return o.noEntry }) {
		b.where = append(b.where, w.words.phrase(CountingNoEntry, blanks{}))
		cost += costs.NoEntry
	}
	if name := w.confusable(m, from); m.counted && name != "" {
		b.where = append(b.where, w.words.phrase(Not, blanks{road: name}))
		cost += costs.Confusable
	}
	s := w.words.say(form, b)
	if !named && s.where != "" && m.counted {
		s.direction = strings.TrimSuffix(s.direction, ",") + ","
	}
	return s, move(form, b, past, road), cost
}

// overThird is the cost of passing so many roads before the one meant.
func overThird(passed int) float64 {
	switch costs := theTable().Costs; {
	case passed < 2:
		return 0
	case passed == 2:
		return costs.Third
	default:
		return costs.BeyondThird
	}
}

// confusable is the last opening that does not count and could be taken for
// the road meant, by what a driver would call it.
func (w *writer) confusable(m manoeuvre, from geo.Metres) string {
	name := ""
	for _, o := range w.openings(m.side, from, m.entry, w.passages, m.meant) {
		if called := w.words.openings[openingNames[o.kind]]; !o.counts && called != "" {
			name = called
		}
	}
	return name
}

// openingNames are the keys of the table's openings.
var openingNames = map[roadnet.MouthKind]string{
	roadnet.MouthAisle: "aisle", roadnet.MouthService: "service", roadnet.MouthPrivate: "private", roadnet.MouthStub: "stub",
}

func (w *writer) step(s sentence, moves []circuit.Move, at geo.Metres, group []manoeuvre, cost float64, kind Kind) Step {
	step := Step{
		Said: w.spot(at), Done: w.spot(at), Kind: kind, Turns: len(group), Cost: cost,
		Alert: s.alert, Direction: s.direction, Where: s.where, Say: s.text(), Brief: w.words.brief(s), Moves: moves, Missed: roadnet.SegmentID(roadnet.None),
	}
	if len(group) > 0 {
		step.Missed = group[0].missed
		step.Done, step.Distance = w.spot(group[len(group)-1].exit), group[0].entry-at
	}
	return step
}

// Brief is what is said at a step of a circuit without the words that only ask
// for it, and without its full stop.
func Brief(p *country.Profile, s circuit.Step) string {
	if s.Direction == "" {
		return strings.TrimSuffix(s.Say, ".")
	}
	return wordsOf(p).brief(sentence{s.Alert, s.Direction, s.Where})
}

// asks is the alert that only asks: "I'd like you to".
func (w *words) asks() string { return w.say(Next, blanks{}).alert }

// brief is a sentence without the words that ask for it, but with those that
// name a place.
func (w *words) brief(s sentence) string {
	b := s.direction
	if s.where != "" {
		b += " " + s.where
	}
	if s.alert != "" && s.alert != w.asks() {
		b = strings.ToLower(s.alert[:1]) + s.alert[1:] + " " + b
	}
	return b
}
