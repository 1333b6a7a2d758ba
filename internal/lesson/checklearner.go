package lesson

import (
	"fmt"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/roadnet"
)

// suitsLearner checks that the learner drives at their own pace, and that
// nothing untaught, and nothing to be kept off, comes on what they drive: legs
// and ways to backups. Where there may be ice, country roads are kept off.
func (k *checker) suitsLearner() {
	l, err := learnerOf(k.c.Learner, k.c.Request.Avoid)
	if err != nil {
		k.tell(MustBeWhole, err.Error(), "")
		return
	}
	if at := k.c.Request.Pace; k.c.Learner != nil && at != l.pace.Stage {
		k.tellf(MustSuitLearner, "", "the drive is timed for the pace %q, the learner's is %q", at, l.pace.Stage)
	}
	if k.c.Request.Ice { // no lanes
		l.untaught[assess.CountryRoads] = true
	}
	u := untaughtOn(k.n, k.p, l.untaught)
	if k.untaught = u; u == nil {
		return
	}
	for i, trail := range k.trails {
		if k.c.Legs[i].Driver == circuit.Learner {
			k.taught(u, trail, fmt.Sprintf("leg %d", i+1))
		}
	}
	for _, p := range k.c.Practices() {
		leg := k.practiceLeg(p.Practice)
		if leg < 0 || len(k.trails[leg]) == 0 {
			continue
		}
		for i, b := range p.Backups {
			if b.Way == nil || len(b.Way.Line) < 2 {
				continue // told elsewhere
			}
			at := k.trails[leg][len(k.trails[leg])-1]
			trail, _ := k.w.follow(at, b.Way.Line)
			k.taught(u, trail, fmt.Sprintf("the way to backup %d", i+1))
		}
	}
}

// taught tells of each topic once that is untaught on a drive.
func (k *checker) taught(u *untaught, trail []visit, where string) {
	told := map[assess.Topic]bool{}
	for i, v := range trail {
		found := []assess.Topic{u.along(v.segment)}
		if i > 0 && v.turn != roadnet.TurnID(roadnet.None) {
			found = append(found, u.turning(trail[i-1].segment, v.segment))
		}
		for _, t := range found {
			if t != assess.TopicUnknown && !told[t] {
				told[t] = true
				k.tellf(MustSuitLearner, where, "%s, at %s, not to come on this learner's drive", topicWords(t), k.road(v))
			}
		}
	}
}
