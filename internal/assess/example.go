package assess

import (
	"cmp"
	"math"
	"slices"

	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// Suits is the reason of an example that would do.
const Suits = "suits"

// Example is a part of a segment that a learner can judge while it is driven
// along, with its one clear reason.
type Example struct {
	Segment  roadnet.SegmentID
	From, To geo.Metres // along the segment, in the direction of travel
	Verdict  Verdict    // unsuitable, or suitable or likely
	Reason   string     // the criterion that fails, or Suits
	Card     string     // the reason in two or three words
	Clarity  float64    // 0 to 1: how plainly it shows, the rest being fine
	Chance   float64
	MapFit   float64
	Findings []Finding // at the clearest window
}

// Examples gives the roads to judge along a segment: for each reason that
// shows from the driver's seat the clearest part, and the part that would do;
// clearest first. None where a learner's car may not drive through, or where
// the segment is too short.
//
// A part is as long as it takes: at least least_m and least_s of driving, at
// most most_s. Its reason holds, on more than an assumption, over most of its
// windows, while everything else that is known there is more likely right than
// wrong; criteria of one group are one reason.
func (a *Assessor) Examples(ex *Exercise, seg roadnet.SegmentID) []Example {
	if ex.CarPark || !a.net.Drivable(seg) {
		return nil
	}
	s := seg.Stretch()
	rules := &a.table.examples
	if float64(a.net.Length(s)) < rules.Least {
		return nil
	}
	a.load(s)
	shortest, longest := a.exampleLengths(seg)
	if shortest > a.site.length {
		return nil
	}
	rows := a.windows(ex, a.kerb(ex, seg.Forward()))
	if !seg.Forward() {
		slices.Reverse(rows)
		a.rowsFor = nil
	}
	var out []Example
	needs := a.needs[ex]
	for k := range needs {
		if !needs[k].Seen() {
			continue
		}
		part, ok := a.clearest(rows, shortest, longest, func(r *row) float64 { return a.failing(ex, r, k) })
		if ok && part.clarity > 0 {
			out = append(out, a.example(ex, seg, needs[k].Criterion, needs[k].Card, part))
		}
	}
	if ex.Corner && a.place(ex, seg, a.pastCorner(ex, a.kerb(ex, seg.Forward())), false).Verdict < Likely {
		return clearestFirst(out) // a road without its corner would not do
	}
	if part, ok := a.clearest(rows, shortest, longest, func(r *row) float64 { return a.suiting(ex, r) }); ok {
		if e := a.example(ex, seg, Suits, "would do", part); e.Verdict >= Likely {
			out = append(out, e)
		}
	}
	return clearestFirst(out)
}

func clearestFirst(out []Example) []Example {
	slices.SortStableFunc(out, func(x, y Example) int { return cmp.Compare(y.Clarity, x.Clarity) })
	return out
}

// exampleLengths are the least and greatest length of a part, at a speed that
// a learner who looks about would drive.
func (a *Assessor) exampleLengths(seg roadnet.SegmentID) (shortest, longest geo.Metres) {
	rules := &a.table.examples
	v := geo.MetresPerSecond(rules.SpeedKmh) * geo.KilometrePerHour
	direction := 0
	if !seg.Forward() {
		direction = 1
	}
	for i := range a.site.pieces {
		if high := a.site.pieces[i].Attributes.LimitHighDkmh[direction]; high > 0 {
			v = min(v, geo.MetresPerSecond(high)/10*geo.KilometrePerHour)
		}
	}
	return geo.Metres(max(rules.Least, rules.LeastS*float64(v))), geo.Metres(max(rules.Least, rules.MostS*float64(v)))
}

// failing is how plainly a window fails need k and nothing else, 0 to 1.
func (a *Assessor) failing(ex *Exercise, r *row, k int) float64 {
	needs := a.needs[ex]
	if r.evidence[k] == Assumed || r.evidence[k] == EvidenceUnknown || r.chance[k] >= a.table.UnsuitableBelow {
		return 0
	}
	if needs[k].Criterion == "clear-width" && r.evidence[k] == Inferred {
		return 0 // a count of lanes is how a mapper saw it, not a width
	}
	if needs[k].Criterion == "parked" && r.evidence[k] != Measured {
		return 0 // that cars may stand there is no proof that they do
	}
	rest := 1.0
	for q := range needs {
		same := q == k || needs[q].group >= 0 && needs[q].group == needs[k].group
		if same || r.evidence[q] == Assumed {
			continue
		}
		if r.chance[q] < a.table.examples.Rest {
			return 0
		}
		rest *= r.chance[q]
	}
	return rest * a.plainness(&needs[k], r.w)
}

// plainness is how plainly a failure shows: by the table's word, or from 0.3
// where the share of instructors has just come to nothing up to 1 at the value
// that is plain to anybody.
func (a *Assessor) plainness(need *Need, w window) float64 {
	x := a.read(need, w)
	if need.Words != nil {
		return need.Shows[x.word]
	}
	plain := need.Shows["at"]
	none := need.accepts[0].at // where the share becomes 0: the low end, or the high one
	if last := need.accepts[len(need.accepts)-1]; last.share == 0 {
		none = last.at
	}
	if plain == none {
		return 1
	}
	return 0.3 + 0.7*min(max((x.mean-none)/(plain-none), 0), 1)
}

// suiting is how well a window would do, by what is known first and by all that
// matters second; 0 where it is less than likely.
func (a *Assessor) suiting(ex *Exercise, r *row) float64 {
	for k := range r.chance {
		if r.evidence[k] == EvidenceUnknown {
			return 0
		}
	}
	if r.fit < a.table.SuitableFrom {
		return 0
	}
	return r.fit * (0.6 + 0.4*r.product)
}

// part is a run of windows as a part of a segment, along the stretch.
type part struct {
	from, to geo.Metres
	clarity  float64
	best     window // the clearest window
}

// clearest finds the part of the windows with the greatest mean clearness, from
// shortest to longest, over at least the table's share of whose windows it is
// above 0. The windows stand in order, along the stretch or back.
func (a *Assessor) clearest(rows []row, shortest, longest geo.Metres, clear func(*row) float64) (part, bool) {
	values := a.values[:0]
	any := false
	for i := range rows {
		v := clear(&rows[i])
		any = any || v > 0
		values = append(values, v)
	}
	a.values = values
	if !any {
		return part{}, false
	}
	size := rows[0].w.to - rows[0].w.from
	step := geo.Metres(0)
	if len(rows) > 1 {
		step = geo.Metres(math.Abs(float64(rows[1].w.from - rows[0].w.from)))
	}
	// Parts of n windows are size + (n−1) step long. Growing past what is needed
	// is worth it only while the clearness holds.
	fewest := 1
	if step > 0 {
		fewest = 1 + max(0, int(math.Ceil(float64((shortest-size)/step)-1e-9)))
	}
	fewest = min(fewest, len(rows))
	best, found := part{}, false
	for i := 0; i+fewest <= len(rows); i++ {
		sum, held, top := 0.0, 0, i
		for j := i; j < len(rows); j++ {
			if length := size + geo.Metres(j-i)*step; length > longest+1e-9 && j-i+1 > fewest {
				break
			}
			sum += values[j]
			if values[j] > 0 {
				held++
			}
			if values[j] > values[top] {
				top = j
			}
			n := j - i + 1
			if n < fewest || float64(held) < a.table.examples.Share*float64(n) {
				continue
			}
			// A longer part of equal clearness is easier to judge: a hundredth
			// per window settles it without outweighing a clearer one.
			clarity := sum / float64(n) * (1 - 0.2/float64(n+1))
			if clarity > best.clarity+1e-12 {
				p := part{rows[i].w.from, rows[j].w.to, clarity, rows[top].w}
				if step > 0 && rows[0].w.from > rows[len(rows)-1].w.from {
					p.from, p.to = rows[j].w.from, rows[i].w.to
				}
				best, found = p, true
			}
		}
	}
	return best, found
}

func (a *Assessor) example(ex *Exercise, seg roadnet.SegmentID, reason, card string, p part) Example {
	place := a.place(ex, seg, p.best, true)
	e := Example{
		Segment: seg, From: p.from, To: p.to, Verdict: place.Verdict, Reason: reason, Card: card,
		Clarity: rounded(p.clarity), Chance: place.Chance, MapFit: place.MapFit, Findings: place.Findings,
	}
	if !seg.Forward() {
		e.From, e.To = a.site.length-p.to, a.site.length-p.from
	}
	return e
}
