package survey

import (
	"cmp"
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/extract"
	"loopwright/internal/gazetteer"
	"loopwright/internal/geo"
	"loopwright/internal/lesson"
	"loopwright/internal/notes"
	"loopwright/internal/roadnet"
)

// Report is what an area offers and what is not known of it.
type Report struct {
	Near    string    `json:"near"`
	At      orb.Point `json:"at"`
	Within  float64   `json:"within_minutes"`
	Minutes []float64 `json:"minutes"` // rings; counts hold those nearer too
	Roads   int       `json:"stretches"`
	Offers  []Offer   `json:"exercises"`
	Topics  []Taught  `json:"topics"`
	Unknown []Unknown `json:"unknown"`
	Doubts  []Remark  `json:"contradictions"`
	Worn    []Remark  `json:"worn"`

	Around []circuit.Road `json:"-"` // for the map
}

// Offer is what an area offers for an exercise.
type Offer struct {
	Exercise string `json:"exercise"`
	Title    string `json:"title"`
	Fit      []int  `json:"fit"`
	Possible []int  `json:"possible"`
	NotKnown int    `json:"not_known"` // places with nothing to assume from, as slopes without heights
	Best     []Spot `json:"best"`      // at most twenty, one of a road
}

// Spot is a place.
type Spot struct {
	Road    string         `json:"road"`
	Kerb    string         `json:"kerb"`
	Minutes float64        `json:"minutes"`
	Verdict assess.Verdict `json:"verdict"`
	Line    orb.LineString `json:"-"`
}

// Taught counts where a topic is met.
type Taught struct {
	Topic assess.Topic `json:"topic"`
	Count []int        `json:"count"`
}

// Unknown is what the map does not say of a road.
type Unknown struct {
	Road   string     `json:"road"`
	Length geo.Metres `json:"length_m"`
	Lacks  []string   `json:"lacks"`
}

// Remark is something about a road.
type Remark struct {
	Road string         `json:"road"`
	Kerb string         `json:"kerb"`
	Says string         `json:"says"`
	Line orb.LineString `json:"-"`
}

// mostBest is how many places of an exercise are listed: nobody reads more.
const mostBest = 20

// Look reports on an area; noted is what is noted there, at a time. It gives nil
// once done is closed, and an error only for a fault of the program.
func Look(a *Area, p *country.Profile, assessor *assess.Assessor, noted *notes.Moment, done <-chan struct{}) (*Report, error) {
	at, _ := a.Net.At(a.From)
	r := &Report{Near: gazetteer.Describe(a.Net, a.From), At: at, Within: float64(a.Within) / 60, Roads: len(a.Stretches), Unknown: []Unknown{}, Doubts: []Remark{}, Worn: []Remark{}}
	for m := 5.0; m < r.Within; m += 5 {
		r.Minutes = append(r.Minutes, m)
	}
	r.Minutes = append(r.Minutes, r.Within)
	for _, ex := range assess.Exercises() {
		if stopped(done) {
			return nil, nil
		}
		r.Offers = append(r.Offers, a.offer(r.Minutes, assessor, ex))
	}
	a.topics(r, assessor)
	turn, err := assess.Named("turn-in-the-road")
	if err != nil {
		return nil, err
	}
	a.unknown(r, assessor, turn)
	for _, s := range a.Stretches {
		for _, says := range contradictions(a.Net, p, s) {
			r.Doubts = append(r.Doubts, a.remark(s, says))
		}
		if rest, by := noted.On(s).Rests(0, a.Net.Length(s)); rest > notes.Free {
			r.Worn = append(r.Worn, a.remark(s, by.Said()))
		}
		r.Around = append(r.Around, lesson.Drawn(a.Net, s))
	}
	return r, nil
}

func (a *Area) offer(rings []float64, assessor *assess.Assessor, ex *assess.Exercise) Offer {
	o := Offer{Exercise: ex.Name, Title: ex.Title, Fit: make([]int, len(rings)), Possible: make([]int, len(rings)), Best: []Spot{}}
	type found struct {
		assess.Place
		ms uint32
	}
	var all []found
	for i, s := range a.Stretches {
		for _, p := range assessor.Scan(ex, s) {
			if p.Verdict == assess.VerdictUnknown {
				o.NotKnown++
			}
			if p.Verdict < assess.Possible {
				continue
			}
			counts := o.Fit
			if p.Verdict == assess.Possible {
				counts = o.Possible
			}
			count(counts, rings, a.Ms[i])
			all = append(all, found{p, a.Ms[i]})
		}
	}
	slices.SortStableFunc(all, func(x, y found) int { return cmp.Or(assess.Better(x.Place, y.Place), cmp.Compare(x.ms, y.ms)) })
	seen := map[string]bool{}
	for _, f := range all {
		road := gazetteer.RoadAt(a.Net, f.Position)
		if seen[road] || len(o.Best) == mostBest {
			continue
		}
		seen[road] = true
		o.Best = append(o.Best, Spot{
			Road: road, Kerb: a.Net.KerbAt(f.Position, f.Side).String(), Minutes: float64(f.ms) / 60000, Verdict: f.Verdict,
			Line: a.Net.Line(f.Position.Segment),
		})
	}
	return o
}

func count(counts []int, rings []float64, ms uint32) {
	for k, minutes := range rings {
		if float64(ms) <= minutes*60000 {
			counts[k]++
		}
	}
}

// topics counts the segments and turns of the area that more likely than not
// teach each topic.
func (a *Area) topics(r *Report, assessor *assess.Assessor) {
	counts := map[assess.Topic][]int{}
	for _, topic := range assess.Topics() {
		counts[topic] = make([]int, len(r.Minutes))
	}
	for i, s := range a.Stretches {
		for _, forward := range [2]bool{true, false} {
			seg := s.Segment(forward)
			taught := assessor.TopicsAlong(seg)
			for _, out := range a.Net.Out(a.Net.Head(seg)) {
				taught = append(taught, assessor.TopicsAt(seg, out)...)
			}
			here := map[assess.Topic]bool{}
			for _, t := range taught {
				if t.Chance >= 0.5 && !here[t.Topic] {
					here[t.Topic] = true
					count(counts[t.Topic], r.Minutes, a.Ms[i])
				}
			}
		}
	}
	for _, topic := range assess.Topics() {
		r.Topics = append(r.Topics, Taught{topic, counts[topic]})
	}
}

// lacking are the criteria of the turn in the road that only a visit or a mapper
// tells, in the words of the report.
var lacking = map[string]string{"clear-width": "width", "parked": "parked cars", "kerb": "lines at the kerb", "limit": "speed limit", "surface": "surface", "gradient": "slope", "quiet": "traffic"}

// unknown lists what is only assumed for an exercise, by road, the longest first;
// roads on which nothing could be practised anyway are left out.
func (a *Area) unknown(r *Report, assessor *assess.Assessor, ex *assess.Exercise) {
	at := map[string]int{}
	for _, s := range a.Stretches {
		places := assessor.Places(ex, s)
		if len(places) == 0 || places[0].Verdict == assess.Unsuitable {
			continue
		}
		road := gazetteer.RoadAt(a.Net, places[0].Position)
		i, ok := at[road]
		if !ok {
			i = len(r.Unknown)
			at[road] = i
			r.Unknown = append(r.Unknown, Unknown{Road: road})
		}
		u := &r.Unknown[i]
		u.Length += a.Net.Length(s)
		for _, f := range places[0].Findings {
			word := lacking[f.Criterion]
			if !f.Evidence.Known() && word != "" && !slices.Contains(u.Lacks, word) {
				u.Lacks = append(u.Lacks, word)
			}
		}
	}
	r.Unknown = slices.DeleteFunc(r.Unknown, func(u Unknown) bool { return len(u.Lacks) == 0 })
	slices.SortStableFunc(r.Unknown, func(x, y Unknown) int { return cmp.Compare(y.Length, x.Length) })
}

func (a *Area) remark(s roadnet.StretchID, says string) Remark {
	pos := roadnet.Position{Segment: s.Segment(true), Along: a.Net.Length(s) / 2}
	return Remark{Road: gazetteer.RoadAt(a.Net, pos), Kerb: a.Net.KerbAt(pos, roadnet.Left).String(), Says: says, Line: a.Net.Line(pos.Segment)}
}

// contradictions are tags of a stretch that can't all be true. The figures are
// our choice: plainly impossible, not only odd.
func contradictions(n *roadnet.Network, p *country.Profile, s roadnet.StretchID) (out []string) {
	for _, piece := range n.Pieces(s) {
		at := piece.Attributes
		width := float64(at.WidthCm) / 100
		lanes := max(int(at.Lanes[0]), int(at.Lanes[1])+int(at.Lanes[2]))
		parked := 0.0
		for _, side := range at.Parking {
			if side == extract.ParkingLane {
				parked += 1.8
			}
		}
		add := func(says string) {
			if !slices.Contains(out, says) {
				out = append(out, says)
			}
		}
		switch {
		case at.WidthSource == extract.WidthUnknown:
		case lanes > 1 && width < 2*float64(lanes):
			add(fmt.Sprintf("mapped as %g m wide with %d lanes", width, lanes))
		case parked > 0 && width < parked+2:
			add(fmt.Sprintf("mapped as %g m wide with parked cars that leave no room to drive", width))
		case width > 25:
			add(fmt.Sprintf("mapped as %g m wide", width))
		}
		fast := max(at.LimitHighDkmh[0], at.LimitHighDkmh[1])
		if (at.Class == extract.Residential || at.Class == extract.LivingStreet) && fast > 800 {
			add("mapped as a street of homes with a limit of " + p.OnSigns(float64(fast)/10))
		}
	}
	return out
}
