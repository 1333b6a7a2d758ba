package lesson

import (
	"loopwright/internal/circuit"
	"loopwright/internal/geo"
)

// secondRoad checks the second road of a lesson of one exercise: another road's
// worth away from the first, and near it.
func (k *checker) secondRoad() {
	s := k.c.Second
	if s == nil || k.c.Request.Kind != circuit.RoadsToJudge {
		return
	}
	const where = "second road"
	if geo.Distance(s.At, k.c.Practice.At) < anotherPlace-slackM {
		k.tell(MustFit, "is the practice place over again", where)
	}
	leg, first := k.practiceLeg(*s), k.practiceLeg(k.c.Practice)
	if leg < 0 || leg != first+1 {
		k.tell(MustJoin, "is not where the drive goes from the practice place", where)
		return
	}
	if k.c.Legs[leg].DriveS > k.table.backupWithin(k.ex)+float64(stopS)+slackS {
		k.tellf(MustFit, where, "is %.0f s from the practice place, %.0f s is the most", k.c.Legs[leg].DriveS, k.table.backupWithin(k.ex))
	}
	if k.c.Legs[leg].Driver != circuit.Learner || s.Goes < 1 {
		k.tell(MustGo, "the learner does not drive there, or has no go there", where)
	}
}

// isSecondRoad says whether a place is the second road of one exercise.
func (k *checker) isSecondRoad(p circuit.Practice) bool {
	return k.c.Second != nil && k.c.Request.Kind == circuit.RoadsToJudge && p.Stop == k.c.Second.Stop
}
