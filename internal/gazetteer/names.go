package gazetteer

import (
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/agnivade/levenshtein"

	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// names are the folded names and numbers of the roads that can be driven, with
// the texts that fold so.
type names map[string][]roadnet.NameID

// run is a part of a stretch, measured forward, that bears a name.
type run struct {
	stretch  roadnet.StretchID
	from, to geo.Metres
}

func (r run) length() geo.Metres { return r.to - r.from }

// readNames goes through all roads that can be driven.
func (s *seeker) readNames() {
	used := make([]bool, s.n.NumNames())
	for i := range s.n.NumStretches() {
		if stretch := roadnet.StretchID(i); s.drivable(stretch) {
			for _, piece := range s.n.Pieces(stretch) {
				used[piece.Name], used[piece.Ref] = true, true
			}
		}
	}
	s.roads = make(names)
	for id, in := range used {
		if !in {
			continue
		}
		id := roadnet.NameID(id)
		for _, part := range strings.Split(s.n.Name(id), ";") { // two numbers of one road
			if folded := fold(part); folded != "" {
				s.roads[folded] = append(s.roads[folded], id)
			}
		}
	}
}

// runs are the parts of drivable stretches that bear one of some names, by
// stretch.
func (s *seeker) runs(ids []roadnet.NameID) []run {
	var out []run
	for i := range s.n.NumStretches() {
		stretch := roadnet.StretchID(i)
		if !s.drivable(stretch) {
			continue
		}
		open := false // the last run goes on
		for _, piece := range s.n.Pieces(stretch) {
			bears := slices.Contains(ids, piece.Name) || slices.Contains(ids, piece.Ref)
			switch {
			case bears && open:
				out[len(out)-1].to = piece.To
			case bears:
				out = append(out, run{stretch, piece.From, piece.To})
			}
			open = bears
		}
	}
	return out
}

// slips is how many letters may be wrong, missing or too many in a name of
// some length for it to be taken for a misspelling: our choice. One in four
// letters at the most, so that "Mill Road" is never taken for "Mill Lane".
func slips(folded string) int {
	switch n := utf8.RuneCountInString(folded); {
	case n < 4:
		return 0
	case n < 8:
		return 1
	case n < 14:
		return 2
	}
	return 3
}

// near are the known names that a folded one may be a misspelling of, sorted:
// those within its slips (Levenshtein, "Binary codes capable of correcting
// deletions, insertions, and reversals", 1966), less those that are two slips
// further off than the nearest.
func near[T any](known map[string]T, folded string) []string {
	most := slips(folded)
	distance := make(map[string]int)
	for name := range known {
		if d := utf8.RuneCountInString(name) - utf8.RuneCountInString(folded); d > most || -d > most {
			continue
		}
		if d := levenshtein.ComputeDistance(name, folded); d <= most {
			distance[name] = d
			most = min(most, d+1)
		}
	}
	var out []string
	for name, d := range distance {
		if d <= most {
			out = append(out, name)
		}
	}
	slices.Sort(out)
	return out
}
