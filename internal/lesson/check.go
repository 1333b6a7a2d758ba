package lesson

import (
	"fmt"
	"math"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/roadnet"
)

// Must is something that every circuit keeps.
type Must uint8

const (
	MustUnknown     Must = iota
	MustBeOfThisMap      // made from this extract
	MustBeWhole          // all that a circuit needs is there
	MustJoin             // legs follow one another, end to start
	MustFollowRoads      // the line is driven on the network's own vertices
	MustBeLegal          // every movement, every road
	MustNotTurnBack      // no turn back along a road but at the practice place, or at a turning head once that is taught
	MustNameWays         // the ways listed are the ways driven
	MustKeepTime         // times and lengths add up, the drive at a learner's pace
	MustBrief            // a pull-up before the first road to judge
	MustPullUp           // another about every ten minutes, and one for the debrief
	MustStandAtKerb      // stops on the side of the road that they claim
	MustFace             // the car faces as it came, and as its goes leave it
	MustShow             // roads to judge are driven along, long enough and not too long
	MustJudgeFirst       // roads to judge before the practice place
	MustSpace            // roads to judge apart
	MustCount            // as many as asked, one of them suitable or likely
	MustDiffer           // each unsuitable one for another reason
	MustHaveReason       // verdicts and reasons follow from the findings
	MustFit              // the practice place fits its exercise
	MustGo               // as many goes as their minutes allow
	MustBackUp           // a second place near by, with the way there
	MustBeHome           // at the drop-off with the minutes in hand
	MustSay              // directions in order, in time, and no question over one
	MustSuitLearner      // nothing untaught where the learner drives, at their pace
	MustChangeOver       // who drives is plain, and they change over where the car stands
	MustComeBy           // what was sought, as often as asked, apart, each by what the map says
	MustBeOfItsKind      // what a lesson of its kind must have, and must not
	mustCount
)

// String is the must as a user reads it.
func (m Must) String() string {
	return [...]string{
		"unknown", "made from this map", "whole", "legs join", "follows the roads", "every movement legal", "no turning back",
		"ways named", "times add up", "briefing before the first road to judge", "pull-ups", "stands at the kerb",
		"faces the right way", "roads to judge are seen", "roads to judge before practice", "roads to judge apart",
		"roads to judge as asked", "reasons differ", "verdicts from findings", "practice place fits", "goes", "backup",
		"home in time", "directions", "suits the learner", "changing over", "what was sought", "of its kind",
	}[m]
}

// MarshalText writes the words, for JSON.
func (m Must) MarshalText() ([]byte, error) { return []byte(m.String()), nil }

// Broken is one must that a circuit does not keep.
type Broken struct {
	Must  Must   `json:"must"`
	What  string `json:"what"`
	Where string `json:"where,omitempty"`
}

// String is the sentence that a user reads.
func (b Broken) String() string {
	if b.Where == "" {
		return fmt.Sprintf("%s: %s", b.Must, b.What)
	}
	return fmt.Sprintf("%s: %s: %s", b.Must, b.Where, b.What)
}

// checker is one reading of one circuit.
type checker struct {
	n      *roadnet.Network
	p      *country.Profile
	c      *circuit.Circuit
	ex     *assess.Exercise // of the place that is read; of the first while the rest is
	table  *Table
	clocks map[string]*clock // by who drives
	w      *walker
	trails [][]visit // of each leg; nil where it could not be followed
	broken []Broken
	turns  bool // the learner may turn back at a turning head

	untaught *untaught // nil where everything may come on the drive
}

// Check reads a circuit against the network that it claims to be driven on and
// gives every must that it breaks, in a fixed order; none means that it keeps
// them all. It walks the coordinates itself, takes its own times and draws
// verdicts anew from the findings. It does not judge a road again: that the
// findings are true is not checked here, nor that a better circuit exists.
func Check(n *roadnet.Network, p *country.Profile, c *circuit.Circuit) []Broken {
	ex, err := exerciseOf(c.Request.Kind, c.Request.Exercise)
	if err != nil {
		return []Broken{{MustBeWhole, err.Error(), "request"}}
	}
	k := &checker{n: n, p: p, c: c, ex: ex, table: standard(), clocks: map[string]*clock{}, w: &walker{n: n, left: p.DrivesLeft, shape: map[roadnet.SegmentID]*shape{}}}
	if err := k.setClocks(); err != nil {
		return []Broken{{MustBeWhole, err.Error(), "request"}}
	}
	// Of an excerpt nobody says who drives it, so there it may be anyone.
	if l, err := learnerOf(c.Learner, nil); err == nil {
		k.turns = l.turns || k.cut()
	}
	if k.whole() {
		k.joined()
		k.trails = k.w.readBack(c, k.tell)
		k.legal()
		k.suitsLearner()
		k.drivers()
		k.forTheDay()
		k.timed()
		k.stops()
		if !k.cut() {
			k.pullUps()
		}
		k.practices()
		k.secondRoad()
		k.examples()
		k.counts()
		k.events()
		k.ofItsKind()
		if !k.cut() {
			k.home()
		}
		k.steps()
		k.chooses()
	}
	return k.broken
}

// cut says whether the circuit is an excerpt: briefing, debrief and the way home
// may be left out, and at its ends the car does not stand.
func (k *checker) cut() bool { return k.c.Sent == circuit.ForAnyone }

func (k *checker) tell(m Must, what, where string) {
	k.broken = append(k.broken, Broken{m, what, where})
}

func (k *checker) tellf(m Must, where, format string, args ...any) {
	k.tell(m, fmt.Sprintf(format, args...), where)
}

// whole says whether there is enough to check, and that it is of this map.
func (k *checker) whole() bool {
	about := k.n.About()
	if got, want := k.c.MadeFrom.SHA256, fmt.Sprintf("%x", about.SHA256); got != want {
		k.tellf(MustBeOfThisMap, "", "the circuit was made from %s, the index from %s", k.c.MadeFrom.Extract, about.Extract)
	}
	if k.c.Request.Country != k.p.Code {
		k.tellf(MustBeOfThisMap, "", "the circuit was planned for %q, this is %q", k.c.Request.Country, k.p.Code)
	}
	for _, part := range []struct {
		there bool
		what  string
	}{
		{len(k.c.Legs) >= 2 || k.cut() && len(k.c.Legs) == 1, "legs"},
		{len(k.c.Examples) >= 1 || k.c.Request.Kind != circuit.RoadsToJudge, "roads to judge"},
		{k.c.Practises() || k.c.Request.Exercise == "", "a practice place"},
		{k.c.Second != nil || k.c.Request.Kind != circuit.TwoExercises, "one place for each exercise"},
		{len(k.c.Timeline) >= 1, "a timeline"},
		{len(k.c.Steps) >= 1, "directions"},
		{k.c.Attribution != "", "the attribution of the map"},
		{len(k.c.Cautions) >= 1, "the cautions"},
		{k.c.Request.Minutes > 0, "the lesson's length"},
	} {
		if !part.there {
			k.tellf(MustBeWhole, "", "the circuit has not got %s", part.what)
		}
	}
	for i, l := range k.c.Legs {
		if l.Order != i+1 {
			k.tellf(MustBeWhole, fmt.Sprintf("leg %d", i+1), "its order is %d", l.Order)
		}
	}
	for i, e := range k.c.Examples {
		if e.Order != i+1 {
			k.tellf(MustBeWhole, fmt.Sprintf("road to judge %d", i+1), "its order is %d", e.Order)
		}
	}
	for _, v := range []float64{k.c.DriveS, k.c.LengthM, k.c.Request.Minutes, k.c.Request.InHand} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			k.tell(MustBeWhole, "a number is not finite", "")
		}
	}
	return len(k.c.Legs) >= 1
}
