package lesson

import (
	"slices"

	"loopwright/internal/circuit"
)

// chooses checks that a learner whose roads to judge come in mixed order is asked
// to choose one at the end: after the last of them and before the practice, among
// roads that are driven along from there, the practice road the last.
func (k *checker) chooses() {
	mixed := k.c.Request.Mixed && k.c.Request.Kind == circuit.RoadsToJudge && !k.ex.CarPark
	c := k.c.Choice
	if (c != nil) != mixed && !(c == nil && k.cut()) {
		k.tell(MustSay, "the roads to judge come in mixed order, and no road is asked to be chosen, or the other way round", "")
	}
	if c == nil {
		return
	}
	const where = "you choose"
	i := slices.IndexFunc(k.c.Steps, func(s circuit.Step) bool { return s.Order == c.Step && s.Kind == question })
	if i < 0 || len(c.Roads) == 0 {
		k.tell(MustSay, "no step asks for it, or there is no road to choose", where)
		return
	}
	at, last := k.c.Steps[i].AtS, 0.0
	for _, e := range k.c.Examples {
		last = max(last, e.AtS)
	}
	if at < last-slackS || at > k.c.Practice.AtS+slackS {
		k.tell(MustSay, "is asked before the last road to judge, or after the practice has begun", where)
	}
	final := c.Roads[len(c.Roads)-1]
	if final.Road != k.c.Practice.Road || better(final.Verdict, k.c.Practice.Verdict) != final.Verdict {
		k.tellf(MustSay, where, "ends with %s, %s; the practice is in %s, %s", final.Road, final.Verdict, k.c.Practice.Road, k.c.Practice.Verdict)
	}
	leg := k.practiceLeg(k.c.Practice)
	if leg < 0 {
		return // told elsewhere
	}
	for _, r := range c.Roads {
		driven := slices.ContainsFunc(k.trails[leg], func(v visit) bool { return roadOf(k.n, v.segment) == r.Road })
		if !driven {
			k.tellf(MustSay, where, "%s is not driven along before the practice", r.Road)
		}
	}
}
