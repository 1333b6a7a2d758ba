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
	Findings []Finding // at the clearest window; nil until it is Explained
	at       window    // the clearest
	Park     string    // of a car park: its name, "" where it has none
}

// Examples gives the roads to judge along a segment: for each reason that
// shows from the driver's seat the clearest part, and the part that would do;
// clearest first, without their findings. None where a learner's car may not
// drive through, or where the segment is too short.
//
// A part is as long as it takes: at least least_m and least_s of driving, at
// most most_s. Its reason holds, on more than an assumption, over most of its
// windows, while everything else that is known there is more likely right than
// wrong; criteria of one group are one reason. For an exercise that is done
// in a car park, a part goes by the way into one.
func (a *Assessor) Examples(ex *Exercise, seg roadnet.SegmentID) []Example {
	if !a.net.Drivable(seg) {
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
	if ex.CarPark {
		return a.carParksAlong(ex, seg, min((shortest+longest)/2, a.site.length))
	}
	rows := a.windows(ex, a.kerb(ex, seg.Forward()))
	var out []Example
	for k := range a.asked.needs {
		if need := &a.asked.needs[k]; need.Seen() && !a.vain(k) {
			part, ok := a.clearest(rows, seg.Forward(), shortest, longest, func(i int) float64 { return a.failing(i, k) })
			if ok && part.clarity > 0 {
				out = append(out, a.example(ex, seg, need.Criterion, need.Card, part))
			}
		}
	}
	if ex.Corner && a.place(ex, seg, a.pastCorner(ex, a.kerb(ex, seg.Forward())), false).Verdict < Likely {
		return clearestFirst(out) // a road without its corner would not do
	}
	if part, ok := a.clearest(rows, seg.Forward(), shortest, longest, a.suiting); ok {
		if e := a.example(ex, seg, Suits, "would do", part); e.Verdict >= Likely {
			out = append(out, e)
		}
	}
	return clearestFirst(out)
}

// Explained is an example of this exercise with its findings; those of car parks
// come with them.
func (a *Assessor) Explained(ex *Exercise, e Example) Example {
	if e.Findings != nil {
		return e
	}
	a.load(e.Segment.Stretch())
	e.Findings = a.place(ex, e.Segment, e.at, true).Findings
	return e
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

// vain says whether need k, or another one beside it, is the same all along the
// stretch so that no window fails k and nothing else.
func (a *Assessor) vain(k int) bool {
	if a.same&(1<<k) != 0 && !a.fails(0, k) {
		return true
	}
	for _, q := range a.asked.cheapFirst {
		if a.same&(1<<q) != 0 && a.besides(0, k, q) < a.table.examples.Rest {
			return true
		}
	}
	return false
}

// fails says whether need k fails at the i-th window for a reason to show.
func (a *Assessor) fails(i, k int) bool {
	chance, evidence := a.weighed(i, k)
	switch criterion := a.asked.needs[k].Criterion; {
	case !evidence.Known() || chance >= a.table.UnsuitableBelow:
		return false
	case criterion == "clear-width" && evidence == Inferred:
		return false // a count of lanes is how a mapper saw it, not a width
	case criterion == "parked" && evidence != Measured:
		return false // that cars may stand there is no proof that they do
	}
	return true
}

// besides is the chance of need q at the i-th window as far as it speaks against
// taking need k for the one reason: 1 where it is the same reason, or assumed.
func (a *Assessor) besides(i, k, q int) float64 {
	needs := a.asked.needs
	if q == k || needs[q].group >= 0 && needs[q].group == needs[k].group {
		return 1
	}
	chance, evidence := a.weighed(i, q)
	if evidence == Assumed {
		return 1
	}
	return chance
}

// failing is how plainly the i-th window fails need k and nothing else, 0 to 1.
func (a *Assessor) failing(i, k int) float64 {
	for _, q := range a.asked.cheapFirst {
		if q == k && !a.fails(i, k) || a.besides(i, k, q) < a.table.examples.Rest {
			return 0
		}
	}
	rest := 1.0
	for q := range a.asked.needs {
		rest *= a.besides(i, k, q)
	}
	return rest * a.plainness(&a.asked.needs[k], a.rows[i].w)
}

// plainness is how plainly a failure shows: by the table's word, or from 0.3
// where the share of instructors has just come to nothing up to 1 at the value
// that is plain to anybody.
func (a *Assessor) plainness(need *Need, w window) float64 {
	x := a.read(need, w)
	if need.Words != nil {
		return need.Shows[x.word]
	}
	return need.plainly(x.mean)
}

func (n *Need) plainly(value float64) float64 {
	plain := n.Shows["at"]
	none := n.accepts[0].at // where the share becomes 0: the low end, or the high one
	if last := n.accepts[len(n.accepts)-1]; last.share == 0 {
		none = last.at
	}
	if plain == none {
		return 1
	}
	return 0.3 + 0.7*min(max((value-none)/(plain-none), 0), 1)
}

// suiting is how well the i-th window would do, by what is known first and by
// all that matters second; 0 where it is less than likely.
func (a *Assessor) suiting(i int) float64 {
	for _, k := range a.asked.cheapFirst {
		if chance, evidence := a.weighed(i, k); evidence == EvidenceUnknown || evidence != Assumed && chance < a.table.promisingFrom() {
			return 0
		}
	}
	product, fit := a.products(i)
	if fit < a.table.promisingFrom() {
		return 0
	}
	return fit * (0.6 + 0.4*product)
}

// part is a run of windows as a part of a segment, along the stretch.
type part struct {
	from, to geo.Metres
	clarity  float64
	best     window // the clearest window
}

// clearest finds the part of the windows with the greatest mean clearness, from
// shortest to longest, over at least the table's share of whose windows it is
// above 0. The windows are taken as the car comes to them, forward along the
// stretch or back.
func (a *Assessor) clearest(rows []row, forward bool, shortest, longest geo.Metres, clear func(i int) float64) (part, bool) {
	nth := func(i int) int {
		if forward {
			return i
		}
		return len(rows) - 1 - i
	}
	values := a.values[:0]
	any := false
	for i := range rows {
		v := clear(nth(i))
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
		step = geo.Metres(math.Abs(float64(rows[nth(1)].w.from - rows[nth(0)].w.from)))
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
				first, last := &rows[min(nth(i), nth(j))], &rows[max(nth(i), nth(j))]
				best, found = part{first.w.from, last.w.to, clarity, rows[nth(top)].w}, true
			}
		}
	}
	return best, found
}

func (a *Assessor) example(ex *Exercise, seg roadnet.SegmentID, reason, card string, p part) Example {
	place := a.place(ex, seg, p.best, false)
	e := Example{
		Segment: seg, From: p.from, To: p.to, Verdict: place.Verdict, Reason: reason, Card: card,
		Clarity: rounded(p.clarity), Chance: place.Chance, MapFit: place.MapFit, at: p.best,
	}
	if !seg.Forward() {
		e.From, e.To = a.site.length-p.to, a.site.length-p.from
	}
	return e
}
