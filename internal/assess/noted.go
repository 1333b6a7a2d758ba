package assess

import (
	"math"
	"strings"

	"loopwright/internal/notes"
	"loopwright/internal/roadnet"
)

// A note outranks the map for what it says. Where nothing is noted of a
// stretch, everything here stands aside.

// heeded are the criteria that notes may answer, and the kinds that do.
var heeded = map[string][]notes.Kind{
	"clear-width": {notes.Width}, "parked": {notes.Parked, notes.Width}, "gradient": {notes.Gradient}, "sight": {notes.Sight}, "surface": {notes.Surface}, "quiet": {notes.Traffic},
	"kerb": {notes.Restriction}, "access": {notes.Restriction}, "noted": {notes.Bins, notes.Use},
}

// differs says whether a criterion may differ from window to window here, on a
// stretch of one piece.
func (st *site) differs(need *Need) bool {
	if need.varies || st.noted.None() {
		return need.varies
	}
	for _, k := range need.heeds {
		if st.noted.Has(k) {
			return true
		}
	}
	return st.noted.Has(notes.Suits)
}

// read reads a criterion: as noted, else as the map has it.
func (a *Assessor) read(need *Need, w window) answer {
	if a.site.noted.None() {
		return need.read(a, &a.site, w)
	}
	x, ok := a.heed(need, w)
	if !ok {
		x = need.read(a, &a.site, w)
	}
	if !x.skip && x.evidence != Mapped && !ofTheHour[need.Criterion] {
		if chance, ok := a.site.noted.BySight(need.exercise, w.from, w.to); ok && chance > 0.5 {
			x.bySight = chance
		}
	}
	return x
}

// heed gives what notes say of a criterion, false where they say nothing.
func (a *Assessor) heed(need *Need, w window) (answer, bool) {
	if len(need.heeds) == 0 {
		return answer{}, false
	}
	noted := a.site.noted
	number := func(kind notes.Kind, mean, sd float64, ok bool) (answer, bool) {
		return answer{mean: mean, sd: sd, evidence: Measured, noted: kind}, ok
	}
	switch need.Criterion {
	case "clear-width":
		mean, sd, ok := noted.Width(w.from, w.to)
		if !ok {
			return answer{}, false
		}
		taken := a.takenIn(w)
		width, _ := number(notes.Width, max(mean-taken, 0), sd, true)
		if taken > 0 {
			width.source = taggedCars
		}
		a.addCarsNotSeen(&a.site, w, taken, &width)
		return width, true
	case "gradient":
		mean, sd, ok := noted.Gradient(w.from, w.to)
		return number(notes.Gradient, mean, sd, ok)
	case "sight":
		mean, sd, ok := noted.Sight(w.from, w.to)
		return number(notes.Sight, mean, sd, ok)
	case "surface":
		if word, ok := noted.Surface(w.from, w.to); ok {
			return answer{word: word.String(), evidence: Measured, noted: notes.Surface}, true
		}
	case "quiet":
		if word, ok := noted.Traffic(); ok {
			return answer{word: trafficSeen[word], evidence: Measured, noted: notes.Traffic}, true
		}
	case "kerb":
		for _, word := range [...]notes.Word{notes.NoStopping, notes.NoParking} {
			if noted.Barred(word, w.side, w.from, w.to) {
				return answer{word: word.String(), evidence: Measured, noted: notes.Restriction}, true
			}
		}
	case "access":
		if noted.Barred(notes.Private, roadnet.Both, w.from, w.to) {
			return answer{word: "private", evidence: Measured, noted: notes.Restriction}, true
		}
	case "parked":
		return a.heedParked(need, w)
	case "noted":
		if rest, by := noted.Rests(w.from, w.to); rest > notes.Free {
			return answer{word: rest.String(), evidence: Measured, by: by}, true
		}
		if chance, ok := noted.BySight(need.exercise, w.from, w.to); ok && chance < 0.5 {
			return answer{word: "does not suit", evidence: Measured, noted: notes.Suits}, true
		}
	}
	return answer{}, false
}

// trafficSeen are the words of the table for the traffic that was noted.
var trafficSeen = map[notes.Word]string{notes.Quiet: "own traffic", notes.Some: "through traffic", notes.Busy: "busy"}

// addCarsNotSeen gives a width back what cars that the tags put there take of it,
// as far as notes say that they did not stand there at such an hour, or in streets
// that are alike.
func (a *Assessor) addCarsNotSeen(st *site, w window, taken float64, x *answer) {
	if taken == 0 {
		return
	}
	there := a.rowThere(st)
	if cars, ok := st.noted.Parked(w.from, w.to); ok {
		rows := cars.OneSide + cars.BothSides + cars.Map*there
		there = rows / (rows + cars.None + cars.Few + cars.Map*(1-there))
	}
	if there == 1 {
		return
	}
	x.mean += taken * (1 - there)
	x.sd = math.Hypot(x.sd, taken*math.Sqrt(there*(1-there)))
	if there < 0.5 {
		x.source = strings.Replace(x.source, taggedCars, "", 1)
	}
}

// takenIn is the most that mapped parking takes from the carriageway in a window.
func (a *Assessor) takenIn(w window) float64 {
	most := 0.0
	a.site.in(w, func(p *roadnet.Piece) { most = max(most, a.taken(p.Attributes)) })
	return most
}

// heedParked mixes what was seen of parked cars, each by how like its hour and
// weekday are, with what the map lets one expect.
func (a *Assessor) heedParked(need *Need, w window) (answer, bool) {
	cars, ok := a.site.noted.Parked(w.from, w.to)
	if !ok {
		return answer{}, false
	}
	x := need.read(a, &a.site, w)
	byMap, _ := a.weigh(need, &a.site, w, x)
	free, one, both := need.Words["none"], need.Words["one side"], need.Words["both sides"]
	sum, all := byMap*cars.Map, cars.Map
	best, word := 0.0, ""
	for _, seen := range [...]struct {
		weight, share float64
		word          string
	}{{cars.None, free, "none"}, {cars.Few, (free + one) / 2, "few"}, {cars.OneSide, one, "one side"}, {cars.BothSides, both, "both sides"}} {
		sum += seen.weight * seen.share
		all += seen.weight
		if seen.weight > best {
			best, word = seen.weight, seen.word
		}
	}
	if all < 2*cars.Map {
		// Of another time of the week: the map weighs more, so it says what is
		// likely, and the notes shift only the chance.
		x.fixed, x.hasFixed, x.hasFull, x.missing = sum/all, true, false, false
		return x, true
	}
	return answer{fixed: sum / all, hasFixed: true, word: word, evidence: Measured, noted: notes.Parked}, true
}

// readNoted judges nothing: the map holds nothing against a place that an
// instructor would note. What is noted comes by heed.
func readNoted(*Assessor, *site, window) answer { return answer{skip: true} }

// ofTheHour are criteria that an instructor who was there at another hour could
// not see, and what notes say against a place.
var ofTheHour = map[string]bool{"daylight": true, "noted": true}

// trusting weighs an answer where an instructor says that the place suits. What
// was seen outranks what is assumed or inferred, and settles what other notes
// leave open, as few parked cars; never a tag, nor a note that is plainly against
// it.
func (a *Assessor) trusting(need *Need, st *site, w window, x answer) (float64, Evidence) {
	sure := x.bySight
	x.bySight = 0
	p, e := a.weigh(need, st, w, x)
	if p >= sure || e == Measured && p < a.table.UnsuitableBelow {
		return p, e
	}
	return sure, Measured
}

// credit says in a finding whose notes it rests on.
func (a *Assessor) credit(f *Finding, st *site, w window, x answer) {
	switch {
	case x.by != nil:
		f.Source = x.by.Said()
	case x.noted != notes.KindUnknown:
		f.Source = st.noted.Said(w.from, w.to, x.noted) + x.source
	case x.bySight > 0 && f.Evidence == Measured:
		f.Source, f.Text = st.noted.Said(w.from, w.to, notes.Suits), "suits, by eye"
	}
}
