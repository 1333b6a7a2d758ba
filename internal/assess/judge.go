package assess

import (
	"cmp"
	"math"
)

// Judge draws the verdict from findings alone, so that anyone who holds them
// and the table can draw it again.
//
//	chance   that all criteria hold: first those of each group together, then
//	         the groups and the criteria in no group, drawn together with the
//	         table's strictness
//	map_fit  the same with every assumed criterion taken as holding
//
// unsuitable where map_fit is under the table's figure; else unknown where some
// criterion has nothing to assume from (evidence unknown); else suitable,
// likely or possible. Criteria that the exercise does not ask are passed over.
func Judge(findings []Finding, ex *Exercise) (v Verdict, chance, mapFit float64) {
	var j judging
	j.start(ex.table)
	for i := range findings {
		if need := ex.need(findings[i].Criterion); need != nil {
			j.add(need, findings[i].Chance, findings[i].Evidence)
		}
	}
	return j.verdict()
}

// Better orders places best first: by verdict, then by the chance of all that
// matters, then by what the map shows.
func Better(a, b Place) int {
	return cmp.Or(cmp.Compare(b.Verdict, a.Verdict), cmp.Compare(b.Chance, a.Chance), cmp.Compare(b.MapFit, a.MapFit))
}

// judging gathers chances by group.
type judging struct {
	table    *Table
	all, fit []chances    // by group
	alone    [2][]float64 // of the criteria in no group, all and fit
	none     [2]bool      // some chance is 0, and with it that of all; of all and fit
	unknown  bool
}

type chances struct {
	p [mostInGroup]float64
	n int
}

func (c *chances) add(p float64) {
	c.p[c.n] = p
	c.n++
}

func (j *judging) start(t *Table) {
	j.table, j.unknown, j.none = t, false, [2]bool{}
	j.alone[0], j.alone[1] = j.alone[0][:0], j.alone[1][:0]
	if len(j.all) != len(t.Groups) {
		j.all, j.fit = make([]chances, len(t.Groups)), make([]chances, len(t.Groups))
	}
	for i := range j.all {
		j.all[i].n, j.fit[i].n = 0, 0
	}
}

func (j *judging) add(need *Need, p float64, e Evidence) {
	fit := p
	if e == Assumed || e == EvidenceUnknown {
		fit = 1
	}
	if e == EvidenceUnknown {
		j.unknown = true
	}
	j.none[0], j.none[1] = j.none[0] || p == 0, j.none[1] || fit == 0
	if need.group < 0 {
		j.alone[0] = append(j.alone[0], p)
		j.alone[1] = append(j.alone[1], fit)
		return
	}
	j.all[need.group].add(p)
	j.fit[need.group].add(fit)
}

func (j *judging) verdict() (v Verdict, chance, mapFit float64) {
	if !j.none[0] {
		chance = j.drawn(0, j.all)
	}
	if !j.none[1] {
		mapFit = j.drawn(1, j.fit)
	}
	switch {
	case mapFit < j.table.UnsuitableBelow:
		v = Unsuitable
	case j.unknown:
		v = VerdictUnknown
	case chance >= j.table.SuitableFrom:
		v = Suitable
	case mapFit >= j.table.LikelyFrom:
		v = Likely
	default:
		v = Possible
	}
	return v, chance, mapFit
}

// drawn is the chance that all hold, by their groups.
func (j *judging) drawn(which int, groups []chances) float64 {
	alone := j.alone[which]
	for i, g := range j.table.Groups {
		alone = append(alone, together(groups[i].p[:groups[i].n], g.Correlation))
	}
	j.alone[which] = alone
	return rounded(throughout(alone, j.table.Strictness))
}

// rounded keeps four decimals: what is judged is what the file says.
func rounded(p float64) float64 { return math.Round(p*1e4) / 1e4 }
