package directions

import (
	"strings"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// writer makes the steps of one run.
type writer struct {
	*run
	words    *words
	passages []passage
	back     bool // the car leaves back the way it came to its stop
}

func (w *writer) write() []Step {
	var all []manoeuvre
	for _, p := range w.passages {
		if m, ok := w.manoeuvre(p); ok {
			all = append(all, m)
		}
	}
	if w.pullUp != roadnet.SideUnknown {
		all = append(all, manoeuvre{form: PullUp, kind: KindPullUp, side: w.pullUp, entry: w.end, exit: w.end, at: len(w.segments) - 1})
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
	form := MoveOff
	if w.back {
		form = MoveOffBack
	}
	start := w.words.say(form, blanks{})
	usual := geo.Metres(0)
	if len(groups) > 0 {
		usual, _ = theTable().lead(w.speed(groups[0][0].at), w.opts.Beginner)
	}
	if len(groups) > 0 && groups[0][0].entry-usual < settled {
		first := groups[0]
		s, cost := w.sentence(start, first, 0)
		steps := []Step{w.step(s, 0, first, cost, KindMoveOff)}
		return append(steps, w.later(groups[1:], first[len(first)-1].exit)...)
	}
	steps := []Step{w.step(start, 0, nil, 0, KindMoveOff)}
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
		s, cost := w.sentence(sentence{}, g, at)
		if t.close(m.entry-done, w.speed(m.at)) && done > 0 {
			cost += t.Costs.Late
		}
		steps = append(steps, w.step(s, at, g, cost, m.kind))
		done = g[len(g)-1].exit
	}
	return steps
}

// saidAt chooses where between two offsets a direction is said: where the
// fewest roads are counted, and of those places the first.
func (w *writer) saidAt(m manoeuvre, earliest, latest geo.Metres) geo.Metres {
	if !m.counted && m.form != PullUp {
		return earliest
	}
	before := w.openings(m.side, earliest-beside, m.entry, w.passages)
	best, most := earliest, int(^uint(0)>>1)
	try := func(at geo.Metres) {
		if at < earliest || at > latest {
			return
		}
		count := 0
		for _, o := range before {
			if o.counts && o.at > at {
				count += 2
			}
		}
		if !clearOf(before, at) {
			count++
		}
		if count < most {
			best, most = at, count
		}
	}
	try(earliest)
	for _, o := range before {
		if o.counts {
			try(o.at - beside)
			try(o.at + passed)
		}
	}
	return best
}

// sentence says a group after what is already said, and how awkward it is.
func (w *writer) sentence(s sentence, group []manoeuvre, at geo.Metres) (sentence, float64) {
	cost := 0.0
	from := at
	for i, m := range group {
		next, c := w.one(m, from, i > 0)
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
	return s, cost
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
	case m.counted || m.form == PullUp || m.form == LeaveBend || next.alert == "":
		direction += ", " + link + " " + next.direction
	default:
		direction += ", " + link + " " + strings.ToLower(next.alert[:1]) + next.alert[1:] + " " + next.direction
	}
	return sentence{s.alert, direction, next.where}
}

// one says one manoeuvre as from an offset; close is true where it follows
// another turn at once.
func (w *writer) one(m manoeuvre, from geo.Metres, close bool) (sentence, float64) {
	b := blanks{side: m.side, nth: m.nth}
	cost, form := m.cost, m.form
	costs := theTable().Costs
	if form == PullUp {
		count, _ := counted(w.openings(m.side, from, m.entry, w.passages))
		if count > 0 {
			f := AfterNth
			if count == 1 {
				f = AfterNext
			}
			b.where = append(b.where, w.words.phrase(f, blanks{side: m.side, nth: count}))
		}
		return w.words.say(form, b), cost + overThird(count)
	}
	var not []string
	if m.counted {
		before := w.openings(m.side, from, m.entry, w.passages)
		count, noEntry := counted(before)
		b.nth += count
		switch {
		case b.nth > 1:
			form = Nth
		case close && form == Next:
			form = ThenNext
		}
		cost += overThird(b.nth - 1)
		if noEntry || m.noEntry {
			not = append(not, w.words.phrase(CountingNoEntry, blanks{}))
			cost += costs.NoEntry
		}
		if l := w.landmark(from, m.entry); l != "" {
			b.where = append(b.where, w.words.phrase(Past, blanks{road: l}))
		}
		if name := w.confusable(before); name != "" {
			not = append(not, w.words.phrase(Not, blanks{road: name}))
			cost += costs.Confusable
		}
	}
	switch {
	case m.road != 0:
		b.where = append(b.where, w.words.phrase(Into, blanks{road: w.n.Name(m.road)}))
	case m.ref != "":
		b.where = append(b.where, w.words.phrase(Onto, blanks{road: m.ref}))
	}
	b.where = append(b.where, not...)
	return w.words.say(form, b), cost
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

// landmark is what stands just before a turn and nowhere else between it and
// where it is spoken of.
func (w *writer) landmark(from, to geo.Metres) string {
	type seenAt struct {
		count int
		at    geo.Metres
	}
	things := [...]struct {
		feature extract.Feature
		name    string
	}{{extract.PostBox, "post-box"}, {extract.CrossingZebra, "zebra"}, {extract.LevelCrossing, "level-crossing"}, {extract.BusStop, "bus-stop"}}
	var seen [len(things)]seenAt
	for i, s := range w.segments {
		length := w.n.Length(s.Stretch())
		if w.starts[i]+length <= from || w.starts[i] >= to {
			continue
		}
		for _, thing := range w.n.Things(s.Stretch()) {
			along := thing.Along
			if !s.Forward() {
				along = length - along
			}
			at := w.starts[i] + along
			for k, f := range things {
				if thing.Features&f.feature != 0 && at > from && at < to {
					seen[k].count++
					seen[k].at = max(seen[k].at, at)
				}
			}
		}
	}
	for k, s := range seen {
		if s.count == 1 && to-s.at < nearLandmark {
			return theTable().Things[things[k].name]
		}
	}
	return ""
}

// nearLandmark is how near a thing must stand for "just past" it. Our choice.
const nearLandmark = 30 * geo.Metres(1)

// confusable is the last opening that does not count and could be taken for
// the road meant, by what a driver would call it.
func (w *writer) confusable(before []opening) string {
	name := ""
	for _, o := range before {
		if !o.counts {
			if called := theTable().Openings[openingNames[o.kind]]; called != "" {
				name = called
			}
		}
	}
	return name
}

// openingNames are the keys of the table's openings.
var openingNames = map[roadnet.MouthKind]string{
	roadnet.MouthAisle: "aisle", roadnet.MouthService: "service", roadnet.MouthPrivate: "private", roadnet.MouthStub: "stub",
}

func (w *writer) step(s sentence, at geo.Metres, group []manoeuvre, cost float64, kind Kind) Step {
	step := Step{
		Said: w.spot(at), Done: w.spot(at), Kind: kind, Turns: len(group), Cost: cost,
		Alert: s.alert, Direction: s.direction, Where: s.where, Say: s.text(),
	}
	if len(group) > 0 {
		step.Done, step.Distance = w.spot(group[len(group)-1].exit), group[0].entry-at
	}
	return step
}
