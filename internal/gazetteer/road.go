package gazetteer

import (
	"cmp"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// reading is one way to understand the words: a road or two that meet, and a
// settlement or "". All folded.
type reading struct {
	roads      []string
	settlement string
}

var joins = regexp.MustCompile(`(?i)\s*&\s*|\s+and\s+`)

// readings are all ways to understand the words, plainest first: names may
// hold a comma or an "and" themselves.
func readings(words string) []reading {
	var out []reading
	add := func(text, settlement string) {
		out = append(out, reading{[]string{fold(text)}, fold(settlement)})
		for _, at := range joins.FindAllStringIndex(text, -1) {
			out = append(out, reading{[]string{fold(text[:at[0]]), fold(text[at[1]:])}, fold(settlement)})
		}
	}
	add(words, "")
	if comma := strings.LastIndexByte(words, ','); comma >= 0 {
		add(words[:comma], words[comma+1:])
	}
	return out
}

// road reads the words as a road or a meeting of two: as they stand, else with
// misspellings mended, if that can be done in one way only.
func (s *seeker) road() (Result, error) {
	s.readNames()
	places := make(map[string]bool)
	for _, place := range s.settlements {
		places[fold(place.Name)] = true
	}
	all := readings(s.words)
	for _, r := range all {
		if s.knows(r, places) {
			return s.answer(r)
		}
	}
	for _, r := range all {
		mended, several := s.mend(r, places)
		if len(several) > 0 {
			return Result{}, several.error(s)
		}
		if mended == nil {
			continue
		}
		result, err := s.answer(*mended)
		result.Said = "taken as " + s.spell(*mended)
		return result, err
	}
	for _, r := range all {
		if r.settlement != "" && s.knows(reading{roads: r.roads}, places) {
			return Result{}, &NotFound{s.words, "the map has the road but no settlement of that name; leave it out, or give another"}
		}
	}
	return Result{}, &NotFound{s.words, "no road, meeting of roads or postcode of this name is on the map; try a road near by, or a point such as 52.6701,-0.7290"}
}

// knows says whether all names of a reading are on the map.
func (s *seeker) knows(r reading, places map[string]bool) bool {
	for _, road := range r.roads {
		if len(s.roads[road]) == 0 {
			return false
		}
	}
	return r.settlement == "" || places[r.settlement]
}

// mend replaces the names of a reading that are not on the map. Where one may
// stand for several, these are given instead; where one stands for none, neither.
func (s *seeker) mend(r reading, places map[string]bool) (*reading, choices) {
	out := reading{slices.Clone(r.roads), r.settlement}
	for i, road := range r.roads {
		if len(s.roads[road]) > 0 {
			continue
		}
		close := near(s.roads, road)
		switch {
		case len(close) == 0:
			return nil, nil
		case len(close) > 1:
			return nil, close
		}
		out.roads[i] = close[0]
	}
	if r.settlement != "" && !places[r.settlement] {
		close := near(places, r.settlement)
		if len(close) != 1 {
			return nil, nil
		}
		out.settlement = close[0]
	}
	return &out, nil
}

// choices are folded names that a misspelling may stand for.
type choices []string

// error lists where they are.
func (c choices) error(s *seeker) error {
	var groups []group
	for _, name := range c {
		groups = append(groups, s.groups(s.runs(s.roads[name]))...)
	}
	return s.ambiguous(fmt.Sprintf("is not on the map, but comes near %d names that are", len(c)), s.matches(groups))
}

// spell is a reading with its names as the map spells them.
func (s *seeker) spell(r reading) string {
	var out []string
	for _, road := range r.roads {
		out = append(out, s.n.Name(s.roads[road][0]))
	}
	text := strings.Join(out, " & ")
	for _, place := range s.settlements {
		if r.settlement != "" && fold(place.Name) == r.settlement {
			return text + ", " + place.Name
		}
	}
	return text
}

// answer finds a reading whose names are all on the map.
func (s *seeker) answer(r reading) (Result, error) {
	first := s.runs(s.roads[r.roads[0]])
	var matches []Match
	if len(r.roads) == 2 {
		meetings := s.meetings(first, s.runs(s.roads[r.roads[1]]))
		if len(meetings) == 0 {
			return Result{}, &NotFound{s.words, "these roads are on the map but do not meet on it"}
		}
		for _, m := range meetings {
			if r.settlement == "" || s.in(m.at, r.settlement) {
				matches = append(matches, m.match(s))
			}
		}
	} else {
		if r.settlement != "" {
			first = slices.DeleteFunc(first, func(p run) bool { return !s.in(s.middle(p), r.settlement) })
		}
		matches = s.matches(s.groups(first))
	}
	switch len(matches) {
	case 0:
		return Result{}, s.elsewhere(r)
	case 1:
		return matches[0].Result, nil
	}
	return Result{}, s.ambiguous(fmt.Sprintf("fits %d places", len(matches)), matches)
}

// elsewhere says where there is such a road, since there is none in the
// settlement asked for.
func (s *seeker) elsewhere(r reading) error {
	r.settlement = ""
	found, err := s.answer(r)
	var several *Ambiguous
	if errors.As(err, &several) {
		several.Reason = "is not in that settlement, but elsewhere " + several.Reason
		return several
	}
	return &NotFound{s.words, fmt.Sprintf("there is none in that settlement, but one at %.5f,%.5f", found.At.Lat(), found.At.Lon())}
}

// ambiguous lists up to ten matches.
func (s *seeker) ambiguous(reason string, matches []Match) error {
	s.label(matches)
	a := &Ambiguous{Words: s.words, Reason: reason, Matches: matches}
	if len(matches) > mostMatches {
		a.Matches, a.More = matches[:mostMatches], len(matches)-mostMatches
	}
	return a
}

// group is one road: runs of one name that touch, or nearly so in one
// settlement.
type group struct {
	runs       []run
	best       run // the longest that is open to all, else the longest
	settlement string
}

// samePlace is how far apart two parts of one name in one settlement may lie
// and still be one road: our choice, across a large junction or a green.
const samePlace geo.Metres = 250

// groups sorts runs into roads, by settlement and then by place in the network.
func (s *seeker) groups(runs []run) []group {
	at := make(map[roadnet.JunctionID]int) // the group of each junction
	parent := make([]int, len(runs))
	var root func(int) int
	root = func(i int) int {
		if parent[i] != i {
			parent[i] = root(parent[i])
		}
		return parent[i]
	}
	for i, r := range runs {
		parent[i] = i
		for _, v := range s.ends(r) {
			j := s.n.JunctionOf(v)
			if other, ok := at[j]; ok {
				parent[root(i)] = root(other)
			}
			at[j] = root(i)
		}
	}
	byRoot := make(map[int]int)
	var out []group
	for i, r := range runs {
		k, ok := byRoot[root(i)]
		if !ok {
			k = len(out)
			byRoot[root(i)] = k
			out = append(out, group{best: r})
		}
		g := &out[k]
		g.runs = append(g.runs, r)
		if s.better(r, g.best) {
			g.best = r
		}
	}
	for i := range out {
		out[i].settlement = s.settlementAt(s.middle(out[i].best))
	}
	out = s.mergeNear(out)
	slices.SortStableFunc(out, func(a, b group) int { return cmp.Compare(a.settlement, b.settlement) })
	return out
}

// mergeNear makes one road of parts that lie near each other in a settlement.
func (s *seeker) mergeNear(groups []group) []group {
	var out []group
next:
	for _, g := range groups {
		for i := range out {
			if out[i].settlement == g.settlement && s.apart(out[i], g) <= samePlace {
				out[i].runs = append(out[i].runs, g.runs...)
				if s.better(g.best, out[i].best) {
					out[i].best = g.best
				}
				continue next
			}
		}
		out = append(out, g)
	}
	return out
}

// apart is the least distance between the ends of two roads' parts.
func (s *seeker) apart(a, b group) geo.Metres {
	least := 2 * samePlace
	for _, x := range a.runs {
		for _, y := range b.runs {
			for _, v := range s.ends(x) {
				for _, w := range s.ends(y) {
					least = min(least, geo.Distance(s.n.NodeAt(v), s.n.NodeAt(w)))
				}
			}
		}
	}
	return least
}

// ends are the nodes of a run's stretch.
func (s *seeker) ends(r run) [2]roadnet.NodeID {
	segment := r.stretch.Segment(true)
	return [2]roadnet.NodeID{s.n.Tail(segment), s.n.Head(segment)}
}

// better says whether a run stands for its road better than another: open to
// all before residents only, then the longer.
func (s *seeker) better(a, b run) bool {
	public := func(r run) bool {
		return s.n.Use(r.stretch.Segment(true)) == extract.Through || s.n.Use(r.stretch.Segment(false)) == extract.Through
	}
	if public(a) != public(b) {
		return public(a)
	}
	return a.length() > b.length()
}

// middle is where the middle of a run lies.
func (s *seeker) middle(r run) orb.Point {
	at, _ := s.n.At(roadnet.Position{Segment: r.stretch.Segment(true), Along: (r.from + r.to) / 2})
	return at
}

// matches gives the place that stands for each road: half-way along its best run.
func (s *seeker) matches(groups []group) []Match {
	out := make([]Match, len(groups))
	for i, g := range groups {
		result := s.standing(g.best.stretch, (g.best.from+g.best.to)/2, s.profile.DrivesLeft)
		for _, r := range g.runs {
			result.Whole = append(result.Whole, r.stretch)
		}
		slices.Sort(result.Whole)
		result.Whole = slices.Compact(result.Whole)
		out[i] = Match{result.Road, result}
	}
	return out
}
