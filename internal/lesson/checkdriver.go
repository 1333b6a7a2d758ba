package lesson

import (
	"fmt"

	"loopwright/internal/circuit"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// setClocks makes a clock for each of those who drive, the learner's always.
func (k *checker) setClocks() error {
	drivers := []string{circuit.Learner}
	for _, l := range k.c.Legs {
		drivers = append(drivers, l.Driver)
	}
	for _, d := range drivers {
		if k.clocks[d] != nil {
			continue
		}
		if d != circuit.Learner && d != circuit.Instructor {
			return fmt.Errorf("a leg is driven by %.40q: it is %s or %s", d, circuit.Learner, circuit.Instructor)
		}
		pace, err := paceOf(k.c, d)
		if err != nil {
			return err
		}
		k.clocks[d] = &clock{route.NewWeights(k.n, k.p, pace)}
	}
	return nil
}

// forTheDay checks that the learner is kept off motorways where the car or the
// instructor is not fit for them, and off steep roads where there may be ice,
// and in a nursery circuit turns to the near side only.
func (k *checker) forTheDay() {
	r := k.c.Request
	day := Day{Ice: r.Ice, NearSide: r.NearSide, Approved: r.Approved, DualControls: r.DualControls}
	for i, trail := range k.trails {
		if k.c.Legs[i].Driver != circuit.Learner {
			continue
		}
		where := fmt.Sprintf("leg %d", i+1)
		for _, v := range trail {
			if !day.motorways() && isMotorway(k.n, v.segment.Stretch()) {
				k.tell(MustSuitLearner, "drives on a motorway without an approved instructor and dual controls", where)
			}
			if day.Ice && steep(k.n, v.segment.Stretch()) {
				k.tellf(MustSuitLearner, where, "%s is steep, and may be icy", k.road(v))
			}
			if !day.NearSide || v.turn == roadnet.TurnID(roadnet.None) {
				continue
			}
			j := k.n.JunctionOf(k.n.Tail(v.segment))
			if meets := j != roadnet.JunctionID(roadnet.None) && k.n.Junction(j).Kind != roadnet.NoJunction; meets && farSide(k.p, k.n.TurnAt(v.turn).Angle) {
				k.tellf(MustSuitLearner, where, "turns into %s across the traffic; only %s turns were asked for", k.road(v), nearSide(k.p))
			}
		}
	}
}

// drivers checks that the instructor drives out and home at the most, that they
// change seats where the car stands long enough and only there, and that roads
// are judged and exercises practised on what the learner drives.
func (k *checker) drivers() {
	legs := k.c.Legs
	first, last := len(legs), -1 // of the learner's
	for i, l := range legs {
		if l.Driver == circuit.Learner {
			first, last = min(first, i), i
		}
	}
	if last < 0 {
		k.tell(MustChangeOver, "the learner drives nowhere", "")
		return
	}
	for i, l := range legs {
		where := fmt.Sprintf("leg %d", i+1)
		if l.Driver == circuit.Instructor && i > first && i < last {
			k.tell(MustChangeOver, "the instructor drives between two legs of the learner", where)
		}
		for _, e := range k.c.Examples {
			if l.Driver == circuit.Instructor && e.AtS >= l.AtS && e.AtS < l.AtS+l.DriveS {
				k.tellf(MustChangeOver, where, "the instructor drives past road to judge %d", e.Order)
			}
		}
		if i+1 == len(legs) {
			continue
		}
		h, ok := k.haltAt(i)
		switch changes := l.Driver != legs[i+1].Driver; {
		case !ok:
		case changes && (!h.stop.ChangeOver || h.practice):
			k.tell(MustChangeOver, "another drives on where nobody is told to change over", where)
		case changes && h.stop.Minutes < k.table.ChangeOver.Minutes-slackS/60:
			k.tellf(MustChangeOver, where, "%.1f minutes to change over, %g are meant", h.stop.Minutes, k.table.ChangeOver.Minutes)
		case !changes && h.stop.ChangeOver:
			k.tell(MustChangeOver, "they change over and the same one drives on", where)
		}
	}
}
