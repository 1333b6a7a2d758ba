package lesson

import (
	"fmt"
	"math"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// pullUps checks the briefing, the rests and the debrief.
func (k *checker) pullUps() {
	first, begun := math.Inf(1), k.c.Finish.AtS
	for _, e := range k.c.Examples {
		first = min(first, e.AtS)
	}
	for _, e := range k.c.Events {
		if k.c.Request.Kind != circuit.RoadsToJudge {
			first = min(first, e.AtS)
		}
	}
	for _, p := range k.c.Practices() {
		begun = p.AtS // the debrief comes after the last
	}
	if !k.c.Practises() {
		begun = first
	}
	briefed, debriefed := false, false
	for i, s := range k.c.PullUps {
		where := fmt.Sprintf("pull-up %d", i+1)
		switch s.What {
		case "briefing":
			briefed = briefed || s.AtS+s.Minutes*60 <= first+slackS && s.Minutes > 0
		case "debrief":
			debriefed = debriefed || s.AtS > begun && s.Minutes > 0
		case "rest":
		case examined:
			if k.c.Request.Kind != circuit.MockTest {
				k.tellf(MustPullUp, where, "%q is for a mock test", s.What)
			}
		default:
			k.tellf(MustPullUp, where, "%q is no purpose of a pull-up", s.What)
		}
		if i > 0 && s.AtS < k.c.PullUps[i-1].AtS {
			k.tell(MustPullUp, "comes before the one listed before it", where)
		}
		k.standable(s, where)
	}
	atOnce := k.c.Request.Kind == circuit.MockTest || k.c.Request.Kind == circuit.TestDay // briefed at the pick-up
	if !briefed && !atOnce {
		k.tell(MustBrief, "there is no pull-up for the briefing before the first road to judge", "")
	}
	if !debriefed {
		k.tell(MustPullUp, "there is no pull-up for the debrief after the practice", "")
	}
	// Every joint of two legs is a stop, so the longest leg is the longest drive.
	for i, l := range k.c.Legs {
		if l.DriveS > k.table.PullUps.MostS+slackS {
			k.tellf(MustPullUp, fmt.Sprintf("leg %d", i+1), "is %.0f minutes without a stop", l.DriveS/60)
		}
	}
}

// standable checks that nothing mapped forbids standing at a pull-up. The drop-
// off is where the client asked for, so a debrief there is not looked at.
func (k *checker) standable(s circuit.Stop, where string) {
	if k.atDropOff(s) {
		return
	}
	kerb, err := roadnet.ParseKerb(s.Kerb)
	if err != nil {
		k.tell(MustStandAtKerb, err.Error(), where)
		return
	}
	pos, side, err := k.n.LocateKerb(kerb)
	if err != nil {
		k.tell(MustStandAtKerb, err.Error(), where)
		return
	}
	stretch, along := pos.Segment.Stretch(), pos.Along
	if !pos.Segment.Forward() {
		along, side = k.n.Length(stretch)-along, side.Opposite()
	}
	a := k.n.PieceAt(stretch, along).Attributes
	i := 0
	if side == roadnet.Right {
		i = 1
	}
	if a.ParkingBarred[i]&roadnet.NoStopping != 0 {
		k.tell(MustStandAtKerb, "stopping is barred there", where)
	}
	for _, end := range []struct {
		node roadnet.NodeID
		away geo.Metres
	}{{k.n.Tail(stretch.Segment(true)), along}, {k.n.Head(stretch.Segment(true)), k.n.Length(stretch) - along}} {
		j := k.n.JunctionOf(end.node)
		if j == roadnet.JunctionID(roadnet.None) || k.n.Junction(j).Kind == roadnet.NoJunction {
			continue
		}
		if end.away < k.p.JunctionClear-1.5 {
			k.tellf(MustStandAtKerb, where, "stands %.0f m from a junction, %.0f m is the least", end.away, k.p.JunctionClear)
		}
	}
}

// practices reads each place to practise, with its backups, for its exercise.
func (k *checker) practices() {
	first := k.ex
	for i, p := range k.c.Practices() {
		asked := k.c.Request.Exercise
		if i > 0 && k.c.Request.Kind == circuit.TwoExercises {
			asked = k.c.Request.Second
		}
		ex, err := assess.Named(p.Exercise)
		switch {
		case err != nil:
			k.tell(MustFit, err.Error(), "practice place")
			continue
		case asked != p.Exercise && asked != "":
			k.tellf(MustFit, "practice place", "is for %s, asked was %s", p.Exercise, asked)
		}
		k.ex = ex
		k.practice(p.Practice)
		if !k.isSecondRoad(p.Practice) { // which is left out if it is taken
			k.backups(p)
		}
	}
	k.ex = first
}

// leastGoes is how many goes there are at the least: one is all that a mock
// test, a warm-up or a second road has.
func (k *checker) leastGoes(p circuit.Practice) int {
	if k.isSecondRoad(p) || k.c.Request.Kind == circuit.MockTest || k.c.Request.Kind == circuit.TestDay {
		return 1
	}
	return k.table.Goes.Least
}

// practice checks the place, its goes and how the car faces after them.
func (k *checker) practice(p circuit.Practice) {
	const where = "practice place"
	leg := k.practiceLeg(p)
	if leg < 0 {
		k.tell(MustJoin, "no leg ends there in time", where)
		return
	}
	k.fits(p, where)
	if want := sideFor(k.ex, k.p); p.Side != want.String() {
		k.tellf(MustStandAtKerb, where, "is on the %s, the exercise needs the %s", p.Side, want)
	}
	t := k.table.Goes
	if p.Goes < k.leastGoes(p) || p.Goes > t.Most {
		k.tellf(MustGo, where, "%d goes, %d to %d are meant", p.Goes, k.leastGoes(p), t.Most)
	}
	if each := (p.Minutes - k.roundMinutes(p, p.Goes)) / math.Max(float64(p.Goes), 1); each < t.LeastMinutes-0.01 || each > t.MostMinutes+0.01 {
		k.tellf(MustGo, where, "%.1f minutes a go, %g to %g are meant", each, t.LeastMinutes, t.MostMinutes)
	}
	stood := k.trails[leg]
	if len(stood) == 0 {
		return
	}
	k.facesAfter(p, stood[len(stood)-1].segment, where)
	k.late(p, where)
	k.round(p, stood[len(stood)-1], where)
	if leg+1 >= len(k.trails) || len(k.trails[leg+1]) == 0 {
		return
	}
	if v := k.trails[leg+1][0]; k.turnedFrom(v.segment, v.from, p.FacesAfterDeg) > slackFacing {
		k.tellf(MustFace, where, "the car faces %.0f° after its goes, the way home begins another way", p.FacesAfterDeg)
	}
}

// late checks that the cut-short version is one: goes enough, the car as it
// faces after those planned, and the minutes won back.
func (k *checker) late(p circuit.Practice, where string) {
	l := p.Late
	if l == nil {
		return
	}
	if out := p.Goes - l.Goes; l.Goes < k.table.Goes.Least || out < 1 || turnsRound(k.ex) && out%2 == 1 {
		k.tellf(MustGo, where, "when late, %d of the %d goes can't be left out", out, p.Goes)
	} else if won := (p.Minutes-k.roundMinutes(p, p.Goes))*float64(out)/float64(p.Goes) + k.roundMinutes(p, out+1); l.Minutes > won+0.01 {
		k.tellf(MustGo, where, "when late, %g minutes are said to be won back, %g are", l.Minutes, won)
	}
}

// roundMinutes are those of the way round between so many goes.
func (k *checker) roundMinutes(p circuit.Practice, goes int) float64 {
	if p.Round == nil {
		return 0
	}
	return float64(goes-1) * p.Round.DriveS / 60
}

// facesAfter checks that the way the car faces follows from the goes.
func (k *checker) facesAfter(p circuit.Practice, along roadnet.SegmentID, where string) {
	want := geo.Radians(p.FacesDeg) * geo.Degree
	if side, ok := k.w.corner(along); k.ex.Corner && ok {
		want = k.w.leads(side.Opposite()) + 180*geo.Degree
	}
	if turnsRound(k.ex) && p.Goes%2 == 1 {
		want += 180 * geo.Degree
	}
	if d := math.Abs(geo.Turned(want, geo.Radians(p.FacesAfterDeg)*geo.Degree).Degrees()); d > slackFacing {
		k.tellf(MustFace, where, "after %d goes the car faces %.0f°, not %.0f°", p.Goes, want.Normal().Degrees(), p.FacesAfterDeg)
	}
}

// fits checks that the verdict follows from the findings and is good enough to
// practise on.
func (k *checker) fits(p circuit.Practice, where string) {
	if p.Exercise != k.ex.Name {
		k.tellf(MustFit, where, "is for %s, asked was %s", p.Exercise, k.ex.Name)
	}
	if len(p.Findings) == 0 {
		k.tell(MustHaveReason, "has no findings", where)
		return
	}
	verdict, chance, mapFit := assess.Judge(p.Findings, k.ex)
	if verdict != p.Verdict || math.Abs(chance-p.Chance) > 1e-6 || math.Abs(mapFit-p.MapFit) > 1e-6 {
		k.tellf(MustHaveReason, where, "its findings come to %s (%.3f, %.3f), it says %s (%.3f, %.3f)", verdict, chance, mapFit, p.Verdict, p.Chance, p.MapFit)
	}
	if verdict != assess.Suitable && verdict != assess.Likely {
		k.tellf(MustFit, where, "is %s", verdict)
	}
}

// backups checks each backup: it fits, is another place, and the way there is
// legal, short enough and begins as the car stands at the practice place.
func (k *checker) backups(at circuit.Practised) {
	if len(at.Backups) == 0 {
		k.tell(MustBackUp, "there is none", "")
	}
	leg := k.practiceLeg(at.Practice)
	for i, b := range at.Backups {
		where := fmt.Sprintf("backup %d", i+1)
		k.fits(b, where)
		if want := sideFor(k.ex, k.p); b.Side != want.String() {
			k.tellf(MustStandAtKerb, where, "is on the %s, the exercise needs the %s", b.Side, want)
		}
		if geo.Distance(b.At, at.At) < anotherPlace-slackM {
			k.tell(MustBackUp, "is the practice place over again", where)
		}
		if b.Way == nil || len(b.Way.Line) < 2 {
			k.tell(MustBackUp, "has no way there", where)
			continue
		}
		line := b.Way.Line
		if !same(line[0], at.At) || !same(line[len(line)-1], b.At) {
			k.tell(MustBackUp, "the way there does not lead from the practice place to it", where)
			continue
		}
		if leg < 0 || len(k.trails[leg]) == 0 {
			continue
		}
		stood := k.trails[leg][len(k.trails[leg])-1]
		stood.turn = roadnet.TurnID(roadnet.None)
		trail, f := k.w.follow(stood, line)
		if f != nil {
			k.tell(f.must, f.what, fmt.Sprintf("%s, at %s", where, place(line[f.index])))
			continue
		}
		end := trail[len(trail)-1]
		k.facesAfter(b, end.segment, where)
		k.round(b, end, where)
		s := k.driven(k.clocks[circuit.Learner], trail)
		if s > k.table.backupWithin(k.ex)+slackS {
			k.tellf(MustBackUp, where, "is %.0f s away, %.0f s is the most", s, k.table.backupWithin(k.ex))
		}
		if math.Abs(s-b.Way.DriveS) > slackS+slackDrive*s {
			k.tellf(MustKeepTime, where, "is %.0f s away, it says %.0f s", s, b.Way.DriveS)
		}
		for _, v := range trail {
			if v.turn != roadnet.TurnID(roadnet.None) && k.n.TurnAt(v.turn).U && !k.turns {
				k.tell(MustNotTurnBack, "turns back on the way there", where)
			}
		}
	}
}

// atDropOff says whether a stop is made where the last leg ends.
func (k *checker) atDropOff(s circuit.Stop) bool {
	last := k.c.Legs[len(k.c.Legs)-1]
	return same(s.At, k.c.Finish.At) && math.Abs(s.AtS-last.AtS-last.DriveS) <= slackS
}

// home checks the drop-off.
func (k *checker) home() {
	c := k.c
	last := c.Legs[len(c.Legs)-1]
	arrived := last.AtS + last.DriveS
	for _, s := range c.PullUps {
		if s.What == "debrief" && k.atDropOff(s) {
			arrived = s.AtS + s.Minutes*60
		}
	}
	if math.Abs(c.Finish.AtS-arrived) > slackS {
		k.tellf(MustKeepTime, "finish", "is reached at %.0f s, it says %.0f s", arrived, c.Finish.AtS)
	}
	if hand := c.Request.Minutes - max(arrived, c.Finish.AtS)/60; hand < c.Request.InHand-slackS/60 {
		k.tellf(MustBeHome, "finish", "%.1f minutes in hand, %g were asked", hand, c.Request.InHand)
	}
}
