package lesson

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// pass is one time that the drive goes along a line.
type pass struct {
	leg      int
	from, to float64 // seconds from the lesson's start
	length   geo.Metres
	stretch  roadnet.StretchID
}

// passes are all times that the drive goes along a line, from its first point
// to its last, on one segment.
func (k *checker) passes(line orb.LineString) []pass {
	var out []pass
	for i, trail := range k.trails {
		for j, v := range trail {
			from, ok := k.alongOf(v, line[0])
			if !ok {
				continue
			}
			to, ok := k.alongOf(v, line[len(line)-1])
			if !ok || to <= from {
				continue
			}
			out = append(out, pass{
				leg:  i,
				from: k.c.Legs[i].AtS + k.seconds(k.clocks[k.c.Legs[i].Driver], trail, j, from), to: k.c.Legs[i].AtS + k.seconds(k.clocks[k.c.Legs[i].Driver], trail, j, to),
				length: to - from, stretch: v.segment.Stretch(),
			})
		}
	}
	return out
}

// alongOf is how far along a visit's segment a point lies, if it is driven
// there, to within half a metre.
func (k *checker) alongOf(v visit, p orb.Point) (geo.Metres, bool) {
	g := k.w.of(v.segment)
	plane := geo.PlaneAt(p)
	at, away, _ := plane.Line(g.line).Nearest(plane.To(p))
	if total := plane.Line(g.line).Length(); total > 0 {
		at *= k.n.Length(v.segment.Stretch()) / total
	}
	return at, away < 0.5 && at >= v.from-0.5 && at <= v.to+0.5
}

// examples checks that each road to judge is driven along as it says, before
// the practice and apart, and that its verdict and reason follow.
func (k *checker) examples() {
	t := k.table.Examples
	end := math.Inf(-1)
	for i, e := range k.c.Examples {
		where := fmt.Sprintf("road to judge %d", i+1)
		if len(e.Line) < 2 {
			k.tell(MustShow, "has no line", where)
			continue
		}
		k.reasoned(e, where)
		seen := k.passes(e.Line)
		best, found := pass{}, false
		for _, p := range seen {
			if !found || math.Abs(p.from-e.AtS) < math.Abs(best.from-e.AtS) {
				best, found = p, true
			}
		}
		switch {
		case !found:
			k.tell(MustShow, "the drive does not go along it", where)
			continue
		case math.Abs(best.from-e.AtS) > slackS+slackDrive*best.from:
			k.tellf(MustKeepTime, where, "is reached at %.0f s, it says %.0f s", best.from, e.AtS)
		}
		if float64(best.length) < t.LeastM-0.5 {
			k.tellf(MustShow, where, "is %.0f m long, %.0f m is the least", best.length, t.LeastM)
		}
		if s := best.to - best.from; s < t.LeastS-0.1 || s > t.MostS+0.1 {
			k.tellf(MustShow, where, "is driven along for %.1f s, %.0f to %.0f s are meant", s, t.LeastS, t.MostS)
		}
		if !k.n.InCore(best.stretch) {
			k.tell(MustShow, "lies where one can't drive through", where)
		}
		if best.to > k.judgedBefore(e)+slackS {
			k.tell(MustJudgeFirst, "comes after the practice place", where)
		}
		if best.from-end < t.ApartS-slackS {
			k.tellf(MustSpace, where, "comes %.0f s after the one before, %.0f s is the least", best.from-end, t.ApartS)
		}
		end = best.to
	}
}

// judgedBefore is when the practice begins that a road to judge is for.
func (k *checker) judgedBefore(e circuit.Example) float64 {
	if k.c.Request.Kind == circuit.TwoExercises && k.c.Second != nil && k.c.ExerciseOf(e) == k.c.Second.Exercise {
		return k.c.Second.AtS
	}
	return k.c.Practice.AtS
}

// reasoned checks a road to judge against its findings.
func (k *checker) reasoned(e circuit.Example, where string) {
	if len(e.Findings) == 0 {
		k.tell(MustHaveReason, "has no findings", where)
		return
	}
	ex, err := assess.Named(k.c.ExerciseOf(e))
	if err != nil {
		k.tell(MustHaveReason, err.Error(), where)
		return
	}
	verdict, chance, _ := assess.Judge(e.Findings, ex)
	if verdict != e.Verdict || math.Abs(chance-e.Chance) > 1e-6 {
		k.tellf(MustHaveReason, where, "its findings come to %s (%.3f), it says %s (%.3f)", verdict, chance, e.Verdict, e.Chance)
	}
	if e.Verdict != assess.Unsuitable {
		if e.Reason != suits {
			k.tellf(MustHaveReason, where, "is %s, with the reason %q", e.Verdict, e.Reason)
		}
		return
	}
	for _, f := range e.Findings {
		if f.Criterion == e.Reason && f.Holds == assess.HoldsNo && f.Evidence != assess.Assumed && f.Evidence != assess.EvidenceUnknown {
			return
		}
	}
	k.tellf(MustHaveReason, where, "no finding that is known says %q", e.Reason)
}

// counts checks the roads to judge against what was asked.
func (k *checker) counts() {
	unsuitable, suitable := 0, 0
	reasons := map[string]int{}
	for i, e := range k.c.Examples {
		switch e.Verdict {
		case assess.Unsuitable:
			unsuitable++
			shown := k.c.ExerciseOf(e) + e.Reason
			if first, again := reasons[shown]; again && !k.admits(sameReason) {
				k.tellf(MustDiffer, fmt.Sprintf("road to judge %d", i+1), "shows %q again, as number %d does", e.Reason, first)
			} else if !again {
				reasons[shown] = i + 1
			}
		case assess.Likely, assess.Suitable:
			suitable++
		default:
			k.tellf(MustCount, fmt.Sprintf("road to judge %d", i+1), "is %s: neither a no nor a yes", e.Verdict)
		}
	}
	if k.c.Request.Kind != circuit.RoadsToJudge {
		return
	}
	if suitable == 0 && !k.cut() {
		k.tell(MustCount, "none is suitable or likely", "")
	}
	if unsuitable != k.c.Request.Unsuitable || suitable != k.c.Request.Suitable {
		k.tellf(MustCount, "", "%d unsuitable and %d suitable, asked were %d and %d", unsuitable, suitable, k.c.Request.Unsuitable, k.c.Request.Suitable)
	}
}

// admits says whether the circuit owns up to something.
func (k *checker) admits(caution string) bool {
	for _, c := range k.c.Cautions {
		if strings.HasPrefix(c, caution) {
			return true
		}
	}
	return false
}
