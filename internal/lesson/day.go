package lesson

import (
	"strings"
	"time"

	"loopwright/internal/assess"
	"loopwright/internal/calendar"
	"loopwright/internal/country"
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// Day is what the day, the car and the instructor make of a lesson.
type Day struct {
	Ice          bool // the roads may be icy
	NearSide     bool // the learner turns to the near side only: a nursery circuit
	Approved     bool // the instructor is approved, no trainee
	DualControls bool
}

// motorways says whether the learner may be taken onto motorways: with an
// approved instructor and in a car with dual controls (The Highway Code, rule
// 253, since 2018; from memory). Elsewhere the same is our choice.
func (d Day) motorways() bool { return d.Approved && d.DualControls }

// steepest is the slope, as a share, beyond which an icy road is kept off. Our
// choice: a car that has begun to slide on 5 in 100 does not stop by itself.
const steepest = 0.05

// crossingAngle is from where on a turn is one across the oncoming traffic, and
// no bend of the road. Our choice: 30 degrees.
const crossingAngle = 30 * geo.Degree

// forTheDay are weights on which nothing is open that the day, the car or the
// instructor keep the learner off.
func (pl *planner) forTheDay(w *route.Weights) *route.Weights {
	day := pl.wish.Day
	if !day.motorways() {
		if shut := motorways(pl.n); len(shut) > 0 {
			w = w.Bar(shut...)
		}
	}
	if !day.Ice && !day.NearSide {
		return w
	}
	return w.Keep(func(s roadnet.SegmentID) bool {
		return !day.Ice || !steep(pl.n, s.Stretch())
	}, func(from, to roadnet.SegmentID) bool {
		return !day.NearSide || !crosses(pl.n, pl.p, from, to)
	})
}

// motorways are the stretches that are one, if only in part.
func motorways(n *roadnet.Network) []roadnet.StretchID {
	var out []roadnet.StretchID
	for s := range roadnet.StretchID(n.NumStretches()) {
		if isMotorway(n, s) {
			out = append(out, s)
		}
	}
	return out
}

func isMotorway(n *roadnet.Network, s roadnet.StretchID) bool {
	for _, p := range n.Pieces(s) {
		if p.Attributes.Class == extract.Motorway {
			return true
		}
	}
	return false
}

// steep says whether a stretch is known to climb or fall more than is safe on
// ice, over 100 m of it or over the whole of a shorter one.
func steep(n *roadnet.Network, s roadnet.StretchID) bool {
	p, ok := n.Profile(s)
	if !ok || len(p.Heights) < 2 || p.Step <= 0 {
		return false
	}
	span := min(max(int(100/p.Step), 1), len(p.Heights)-1)
	for i := span; i < len(p.Heights); i++ {
		slope := (p.Heights[i] - p.Heights[i-span]) / (float64(p.Step) * float64(span))
		if slope > steepest || slope < -steepest {
			return true
		}
	}
	return false
}

// crosses says whether a turn at a junction goes across the oncoming traffic.
func crosses(n *roadnet.Network, p *country.Profile, from, to roadnet.SegmentID) bool {
	j := n.JunctionOf(n.Head(from))
	if j == roadnet.JunctionID(roadnet.None) || n.Junction(j).Kind == roadnet.NoJunction {
		return false
	}
	lo, hi := n.TurnRange(roadnet.StateID(from))
	for t := lo; t < hi; t++ {
		if turn := n.TurnAt(t); n.StateSegment(turn.To) == to {
			return turn.U || farSide(p, turn.Angle)
		}
	}
	return false
}

func farSide(p *country.Profile, angle geo.Radians) bool {
	if p.DrivesLeft {
		return angle > crossingAngle
	}
	return angle < -crossingAngle
}

// nearSide is the side to which a nursery circuit turns.
func nearSide(p *country.Profile) string { return drivingSide(p).String() }

// light is that of the middle of the lesson, where the pick-up is.
func (pl *planner) light() calendar.Light {
	return calendar.LightAt(pl.pointOf(pl.wish.From), pl.wish.When.Add(time.Duration(pl.wish.Minutes/2*float64(time.Minute))))
}

// dayRefuses is an answer where the exercise, or the day, alone makes the lesson
// impossible.
func (pl *planner) dayRefuses() error {
	if pl.ex == nil {
		return nil
	}
	wish := strings.ToLower(pl.ex.Title)
	if pl.light() == calendar.Dark && inTheDark(pl.ex) == 0 {
		return &Unmet{Proof: ByRule, Wish: wish, Why: "it is dark at that hour, and the car would stand facing the traffic", Give: []string{"an hour of daylight"}}
	}
	if pl.wish.Ice && (pl.ex.Name == "emergency-stop" || strings.HasPrefix(pl.ex.Name, "hill-start")) {
		return &Unmet{Proof: ByRule, Wish: wish, Why: "the roads may be icy", Give: []string{"another day", "another exercise"}}
	}
	return nil
}

// inTheDark is the share of instructors who would do an exercise in the dark; 1
// where nothing is said of it.
func inTheDark(ex *assess.Exercise) float64 {
	for _, need := range ex.Needs {
		if share, ok := need.Words["dark"]; ok && need.Criterion == "daylight" {
			return share
		}
	}
	return 1
}

// unlit says whether a place is known to have no street lights when they are
// needed.
func (pl *planner) unlit(p *assess.Place) bool {
	along := p.Position.Along
	if !p.Position.Segment.Forward() {
		along = pl.n.Length(p.Position.Segment.Stretch()) - along
	}
	return pl.n.PieceAt(p.Position.Segment.Stretch(), along).Attributes.Lit == extract.No
}

// dayCautions are what to mind on the day that was asked for.
func (pl *planner) dayCautions(zone *time.Location) []string {
	var out []string
	if light := pl.light(); light == calendar.Dark || light == calendar.Twilight {
		sun := calendar.SunOn(pl.pointOf(pl.wish.From), calendar.DateOf(pl.wish.When.In(zone)), zone)
		when := "It is dark for some of this lesson"
		switch {
		case sun.Set.IsZero(): // nor does it rise
		case pl.wish.When.Before(sun.Rise):
			when += ": the sun rises at " + sun.Rise.Format("15:04")
		default:
			when += ": the sun sets at " + sun.Set.Format("15:04")
		}
		out = append(out, when+". Where roads are lit is seldom on the map: practise under a street light, or not there.")
	}
	if pl.wish.Ice {
		out = append(out, "There may be ice. Roads that the map knows to be steep, and country lanes, are left out; which side streets are gritted is not on the map. Turn back if the car slides.")
	}
	return out
}
