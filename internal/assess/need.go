package assess

import (
	"fmt"
	"math"
)

// inherited completes a row with what the exercise that it is like has: its own
// needs take the place of that one's, and those that only it has come first.
func (r exerciseRow) inherited(rows map[string]exerciseRow) (exerciseRow, error) {
	if r.Like == "" {
		if len(r.Without) > 0 {
			return r, fmt.Errorf("without goes with like: name the exercise that it is like")
		}
		return r, nil
	}
	from, ok := rows[r.Like]
	if !ok {
		return r, fmt.Errorf("like %q: list that exercise above this one", r.Like)
	}
	if r.Window.Value == nil {
		r.Window = from.Window
	}
	if r.Goes.Value == nil {
		r.Goes = from.Goes
	}
	if r.Kerb == "" {
		r.Kerb = from.Kerb
	}
	if r.FacesAfter == "" {
		r.FacesAfter = from.FacesAfter
	}
	own := make(map[string]needRow)
	inherited := make(map[string]bool)
	for _, n := range from.Needs {
		inherited[n.Criterion] = true
	}
	var needs []needRow
	for _, n := range r.Needs {
		if inherited[n.Criterion] {
			own[n.Criterion] = n
		} else {
			needs = append(needs, n)
		}
	}
	left := make(map[string]bool)
	for _, c := range r.Without {
		if !inherited[c] {
			return r, fmt.Errorf("without %q: %s has no such need", c, r.Like)
		}
		left[c] = true
	}
	for _, n := range from.Needs {
		if mine, ok := own[n.Criterion]; ok {
			n = mine
		}
		if !left[n.Criterion] {
			needs = append(needs, n)
		}
	}
	r.Needs = needs
	return r, nil
}

func (row needRow) need(t *Table) (Need, error) {
	c, ok := t.criteria[row.Criterion]
	if !ok {
		return Need{}, fmt.Errorf("not listed under criteria")
	}
	need := Need{
		Criterion: row.Criterion, Unit: c.Unit, Card: c.Card, Limit: row.Limit, Words: row.Words,
		Unmapped: row.Unmapped, Shows: row.Shows, Source: row.Source, group: -1, read: readers[row.Criterion], varies: varies[row.Criterion], sided: sided[row.Criterion], corner: atCorner[row.Criterion],
	}
	if need.Source == "" {
		return need, fmt.Errorf("no source: say where it comes from, or our choice and why")
	}
	for i, g := range t.Groups {
		for _, name := range g.Criteria {
			if name == row.Criterion {
				need.group = i
			}
		}
	}
	numeric := len(row.Accepts) > 0
	if numeric == (len(row.Words) > 0) || numeric != (row.Limit.Min != nil || row.Limit.Max != nil) {
		return need, fmt.Errorf("it takes either accepts with a limit, or words")
	}
	for _, pair := range row.Accepts {
		p, err := readPoint(pair)
		if err != nil {
			return need, err
		}
		if n := len(need.accepts); n > 0 && !p.clear && p.at < need.accepts[n-1].at {
			return need, fmt.Errorf("accepts goes back from %v to %v: points rise", need.accepts[n-1].at, p.at)
		}
		need.accepts = append(need.accepts, p)
	}
	switch row.Kerbs {
	case "both":
		need.bothKerbs = true
	case "own", "":
	default:
		return need, fmt.Errorf("kerbs is %q: own or both", row.Kerbs)
	}
	for _, pair := range row.Cars {
		p, err := readPoint(pair)
		if err != nil {
			return need, err
		}
		need.cars = append(need.cars, p)
	}
	for _, pair := range row.Passing {
		p, err := readPoint(pair)
		if err != nil {
			return need, err
		}
		if !(p.at > 0) {
			return need, fmt.Errorf("passing has %v vehicles an hour: more than none", p.at)
		}
		p.at = math.Log(p.at)
		need.passing = append(need.passing, p)
	}
	for _, shares := range []map[string]float64{row.Words, row.Unmapped} {
		for word, share := range shares {
			if !(share >= 0 && share <= 1) {
				return need, fmt.Errorf("%q has the share %v: 0 to 1", word, share)
			}
		}
	}
	return need, nil
}

func readPoint(pair [2]any) (point, error) {
	var p point
	number := func(v any) (float64, bool) {
		switch x := v.(type) {
		case int:
			return float64(x), true
		case float64:
			return x, true
		}
		return 0, false
	}
	at, ok := number(pair[0])
	if !ok {
		if pair[0] != "junction_clear" {
			return p, fmt.Errorf("accepts has %v: a number or junction_clear", pair[0])
		}
		p.clear = true
	}
	share, ok := number(pair[1])
	if !ok || !(share >= 0 && share <= 1) {
		return p, fmt.Errorf("accepts has the share %v: 0 to 1", pair[1])
	}
	p.at, p.share = at, share
	return p, nil
}
