package lesson

import (
	"fmt"
	"math"
	"slices"

	"loopwright/internal/circuit"
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// What a check lets pass. The file holds milliseconds and centimetres; the
// rest is for adding up along a way of one's own.
const (
	slackS      = 1.5  // seconds, in times that must add up
	slackDrive  = 0.02 // share, in a leg's time or length walked again
	slackM      = 2.0  // metres, in a leg's length
	slackFacing = 25.0 // degrees: which of two parts of a line a stop at their vertex lies on
)

// joined checks that the legs' lines follow one another.
func (k *checker) joined() {
	for i := 1; i < len(k.c.Legs); i++ {
		a, b := k.c.Legs[i-1].Line, k.c.Legs[i].Line
		if k.leftInCorner(i - 1) {
			continue // which the walk holds it to
		}
		if len(a) == 0 || len(b) == 0 || !same(a[len(a)-1], b[0]) {
			k.tell(MustJoin, "begins where the one before did not end", fmt.Sprintf("leg %d", i+1))
		}
	}
	first, last := k.c.Legs[0].Line, k.c.Legs[len(k.c.Legs)-1].Line
	if len(first) == 0 || !same(first[0], k.c.Start.At) {
		k.tell(MustJoin, "does not begin at the start", "leg 1")
	}
	if len(last) == 0 || !same(last[len(last)-1], k.c.Finish.At) {
		k.tell(MustJoin, "does not end at the finish", fmt.Sprintf("leg %d", len(k.c.Legs)))
	}
}

// legal checks each road driven and each turn; movements that the network has
// no turn for were told by the walk.
func (k *checker) legal() {
	callers := make([]bool, 0, 64) // of each visit: only for those who call there
	var where []string
	for i, trail := range k.trails {
		at := fmt.Sprintf("leg %d", i+1)
		if trail != nil && !slices.Equal(k.w.ways(trail), once(k.c.Legs[i].Ways)) {
			k.tellf(MustNameWays, at, "ways are %v, driven are %v", k.c.Legs[i].Ways, k.w.ways(trail))
		}
		for _, v := range trail {
			if v.turn != roadnet.TurnID(roadnet.None) && k.n.TurnAt(v.turn).U && !k.turns {
				k.tellf(MustNotTurnBack, at, "turns back at %s", place(k.n.NodeAt(k.n.Tail(v.segment))))
			}
			switch use := k.use(v); use {
			case extract.Through, extract.Destination:
				callers = append(callers, use == extract.Destination)
				where = append(where, at)
			default:
				k.tellf(MustBeLegal, at, "%s is not open to a learner's car", k.road(v))
			}
		}
	}
	// Roads for callers: only in one run from the start and one to the finish.
	from, to := 0, len(callers)
	for from < to && callers[from] {
		from++
	}
	for to > from && callers[to-1] {
		to--
	}
	for i := from; i < to; i++ {
		if callers[i] {
			k.tell(MustBeLegal, "drives through a road that is only for those who call there", where[i])
			break
		}
	}
}

// use is the worst of what is allowed on the pieces that a visit drives.
func (k *checker) use(v visit) extract.Use {
	worst := extract.Through
	length := k.n.Length(v.segment.Stretch())
	for _, p := range k.n.Pieces(v.segment.Stretch()) {
		from, to, way := p.From, p.To, 0
		if !v.segment.Forward() {
			from, to, way = length-p.To, length-p.From, 1
		}
		if min(to, v.to)-max(from, v.from) <= 0 && to > from {
			continue
		}
		switch u := p.Attributes.Use[way]; {
		case u == extract.UseUnknown:
			return u
		case u > worst:
			worst = u
		}
	}
	return worst
}

func (k *checker) road(v visit) string {
	if name := k.n.Name(k.n.NameOf(v.segment.Stretch())); name != "" {
		return name
	}
	return "a road without a name"
}

// seconds is the driving time of a leg from its start to a point on one of its
// visits.
func (k *checker) seconds(c *clock, trail []visit, index int, along geo.Metres) float64 {
	sum := 0.0
	for i, v := range trail[:index+1] {
		to := v.to
		if i == index {
			to = along
		}
		if v.turn != roadnet.TurnID(roadnet.None) {
			sum += c.turn(v.turn)
		}
		sum += c.run(v.segment, v.from, to)
	}
	return sum
}

// driven is the driving time of a whole leg, with the pulling up at its end.
func (k *checker) driven(c *clock, trail []visit) float64 {
	last := trail[len(trail)-1]
	return k.seconds(c, trail, len(trail)-1, last.to) + c.stop(last.segment, last.to)
}

// timed walks each leg with a clock of its own and adds everything up.
func (k *checker) timed() {
	drive, length := 0.0, 0.0
	for i, l := range k.c.Legs {
		where := fmt.Sprintf("leg %d", i+1)
		drive += l.DriveS
		length += l.LengthM
		trail := k.trails[i]
		if trail == nil {
			continue
		}
		metres := 0.0
		for _, v := range trail {
			metres += float64(v.to - v.from)
		}
		if math.Abs(metres-l.LengthM) > slackM+slackDrive*metres {
			k.tellf(MustKeepTime, where, "is %.0f m long, not %.0f m", metres, l.LengthM)
		}
		s := k.driven(k.clocks[l.Driver], trail)
		if _, stands := k.haltAt(i); k.cut() && !stands {
			s = k.seconds(k.clocks[l.Driver], trail, len(trail)-1, trail[len(trail)-1].to)
		}
		if math.Abs(s-l.DriveS) > slackS+slackDrive*s {
			k.tellf(MustKeepTime, where, "takes %.0f s to drive, not %.0f s", s, l.DriveS)
		}
	}
	if math.Abs(drive-k.c.DriveS) > slackS {
		k.tellf(MustKeepTime, "", "the legs' times come to %.0f s, the circuit says %.0f s", drive, k.c.DriveS)
	}
	if math.Abs(length-k.c.LengthM) > slackM {
		k.tellf(MustKeepTime, "", "the legs' lengths come to %.0f m, the circuit says %.0f m", length, k.c.LengthM)
	}
	k.timeline()
}

// timeline checks that rows follow one another from 0 to the lesson's end.
func (k *checker) timeline() {
	end := 0.0
	for i, r := range k.c.Timeline {
		if math.Abs(r.AtS-end) > slackS || r.Minutes < 0 {
			k.tellf(MustKeepTime, fmt.Sprintf("timeline row %d", i+1), "begins at %.0f s, the one before ends at %.0f s", r.AtS, end)
		}
		end = r.AtS + r.Minutes*60
	}
	if math.Abs(end-k.c.Request.Minutes*60) > slackS {
		k.tellf(MustKeepTime, "timeline", "ends at %.0f s of a lesson of %.0f s", end, k.c.Request.Minutes*60)
	}
}

// halt is a stop between two legs.
type halt struct {
	stop     circuit.Stop
	practice bool
}

// haltAt is the stop at the end of a leg.
func (k *checker) haltAt(leg int) (halt, bool) {
	l := k.c.Legs[leg]
	if len(l.Line) == 0 {
		return halt{}, false
	}
	end := l.Line[len(l.Line)-1]
	is := func(s circuit.Stop) bool { return same(s.At, end) && math.Abs(s.AtS-l.AtS-l.DriveS) <= slackS }
	for _, p := range k.c.Practices() {
		if is(p.Stop) {
			return halt{p.Stop, true}, true
		}
	}
	for _, s := range k.c.PullUps {
		if is(s) {
			return halt{s, false}, true
		}
	}
	return halt{}, false
}

// stops checks when each leg begins, and where the car stands and how it faces
// between two of them.
func (k *checker) stops() {
	side := "right"
	if k.p.DrivesLeft {
		side = "left"
	}
	legs := k.c.Legs
	if at := k.c.Start.AtS + k.c.Start.Minutes*60; k.c.Start.AtS != 0 || math.Abs(legs[0].AtS-at) > slackS {
		k.tellf(MustKeepTime, "leg 1", "begins at %.0f s, the start ends at %.0f s", legs[0].AtS, at)
	}
	k.standing(k.c.Start, side, "start", 0, true)
	for i := range legs[:len(legs)-1] {
		h, ok := k.haltAt(i)
		where := fmt.Sprintf("end of leg %d", i+1)
		if !ok {
			k.tell(MustKeepTime, "no stop is planned where one leg ends and the next begins", where)
			continue
		}
		if end := h.stop.AtS + h.stop.Minutes*60; math.Abs(legs[i+1].AtS-end) > slackS {
			k.tellf(MustKeepTime, where, "the next leg begins at %.0f s, the stop ends at %.0f s", legs[i+1].AtS, end)
		}
		if !h.practice {
			k.standing(h.stop, side, where, i, false)
		}
	}
	k.standing(k.c.Finish, side, "finish", len(legs)-1, false)
	for _, p := range k.c.Practices() {
		k.standing(p.Stop, p.Side, "practice place", k.practiceLeg(p.Practice), false)
	}
	for i, s := range k.c.PullUps {
		found := k.atDropOff(s)
		for j := range legs {
			if h, ok := k.haltAt(j); ok && !h.practice && h.stop.AtS == s.AtS {
				found = true
			}
		}
		if !found {
			k.tell(MustKeepTime, "no leg ends here", fmt.Sprintf("pull-up %d", i+1))
		}
	}
}

// standing checks a stop's side and the way the car faces where a leg ends or,
// for the start, begins.
func (k *checker) standing(s circuit.Stop, side, where string, leg int, begins bool) {
	if s.Side != side {
		k.tellf(MustStandAtKerb, where, "stands on the %s, not on the %s", s.Side, side)
	}
	if leg < 0 || len(k.trails[leg]) == 0 {
		return
	}
	trail := k.trails[leg]
	v, at := trail[len(trail)-1], trail[len(trail)-1].to
	if begins {
		v, at = trail[0], trail[0].from
	}
	if d := k.turnedFrom(v.segment, at, s.FacesDeg); d > slackFacing {
		k.tellf(MustFace, where, "faces %.0f°, the drive makes it face another way by %.0f°", s.FacesDeg, d)
	}
	if s.Kerb == "" {
		return
	}
	if want := k.n.KerbAt(roadnet.Position{Segment: v.segment, Along: at}, sideNamed(s.Side)); !k.sameKerb(want.String(), s.Kerb) {
		k.tellf(MustStandAtKerb, where, "the kerb is %s, not %s", want, s.Kerb)
	}
}

// sameKerb allows a metre: names hold whole metres.
func (k *checker) sameKerb(a, b string) bool {
	x, errX := roadnet.ParseKerb(a)
	y, errY := roadnet.ParseKerb(b)
	return errX == nil && errY == nil && x.Way == y.Way && x.Side == y.Side && math.Abs(float64(x.Along-y.Along)) <= 1.5
}

func sideNamed(s string) roadnet.Side {
	for _, side := range []roadnet.Side{roadnet.Left, roadnet.Right} {
		if side.String() == s {
			return side
		}
	}
	return roadnet.SideUnknown
}

// turnedFrom is the angle in degrees between a heading and that of a segment
// about a point, the least over a metre either way.
func (k *checker) turnedFrom(s roadnet.SegmentID, at geo.Metres, facesDeg float64) float64 {
	g := k.w.of(s)
	best := 180.0
	for i := 1; i < len(g.line); i++ {
		if g.along[i] < at-1 || g.along[i-1] > at+1 {
			continue
		}
		h := geo.Heading(g.line[i-1], g.line[i])
		best = min(best, math.Abs(geo.Turned(geo.Radians(facesDeg)*geo.Degree, h).Degrees()))
	}
	return best
}

// practiceLeg is the leg that ends at a practice place, or -1.
func (k *checker) practiceLeg(p circuit.Practice) int {
	for i := range k.c.Legs {
		if h, ok := k.haltAt(i); ok && h.practice && h.stop == p.Stop {
			return i
		}
	}
	return -1
}
