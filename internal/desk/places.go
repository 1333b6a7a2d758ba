package desk

import (
	"cmp"
	"math"
	"slices"
	"time"

	"github.com/paulmach/orb"

	"loopwright/internal/assess"
	"loopwright/internal/gazetteer"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// PlacesRequest asks for the places fit for an exercise.
type PlacesRequest struct {
	Exercise string
	Near     string  // a PLACE
	Within   float64 // minutes' drive
	Now      time.Time
	All      bool // the unsuitable ones too
	Brief    bool // without each place's findings
}

// Places are the answer, best first.
type Places struct {
	Exercise      string     `json:"exercise"`
	Near          string     `json:"near"` // where the drive begins, in words
	Said          string     `json:"said,omitempty"`
	WithinMinutes float64    `json:"within_minutes"`
	DataTimestamp *time.Time `json:"data_timestamp"`
	Places        []Place    `json:"places"`
}

// Place is a window of kerb assessed for one exercise.
type Place struct {
	Kerb     string           `json:"kerb"`
	Road     string           `json:"road"`
	Side     string           `json:"side"`   // of the road, as the car comes
	Facing   string           `json:"facing"` // the way that the car comes: north, north-east ...
	Minutes  float64          `json:"minutes"`
	Verdict  assess.Verdict   `json:"verdict"`
	Chance   float64          `json:"chance"`
	MapFit   float64          `json:"map_fit"`
	NearRim  bool             `json:"near_rim,omitempty"` // of the extract: roads beyond are not seen
	Findings []assess.Finding `json:"findings"`

	Line orb.LineString `json:"-"` // the window, in the direction of travel

	stretch roadnet.StretchID
	unnamed bool
}

// Places finds the places that are not unsuitable within a drive, or all of
// them, best first, and of equals the nearest.
func (d *Desk) Places(r PlacesRequest) (*Places, error) {
	return guarded(d, func() (*Places, error) { return d.places(r) })
}

func (d *Desk) places(r PlacesRequest) (*Places, error) {
	ex, err := d.exercise(r.Exercise)
	if err != nil {
		return nil, err
	}
	from, tree, err := d.drivesFrom(r.Near, r.Within)
	if err != nil {
		return nil, err
	}
	out := &Places{
		Exercise: ex.Name, Near: gazetteer.Describe(d.net, from.Position), Said: from.Said,
		WithinMinutes: r.Within, DataTimestamp: d.DataTimestamp(), Places: []Place{},
	}
	type found struct {
		assess.Place
		ms uint32
	}
	assessor := d.on(r.Now)
	var all []found
	for s := range roadnet.StretchID(d.net.NumStretches()) {
		if !d.reached(tree, s) {
			continue
		}
		for _, p := range assessor.Scan(ex, s) {
			if p.Verdict == assess.Unsuitable && !r.All {
				continue
			}
			if ms, ok := tree.Ms(p.Position); ok {
				all = append(all, found{p, ms})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b found) int {
		return cmp.Or(assess.Better(a.Place, b.Place), cmp.Compare(a.ms, b.ms))
	})
	for _, f := range all {
		p := f.Place
		if !r.Brief {
			p = assessor.At(ex, f.Position, f.Side)
		}
		out.Places = append(out.Places, d.placeRow(ex, p, float64(f.ms)/60000))
	}
	if len(out.Places) == 0 {
		return out, fault(AnswerIsNo, "Give more minutes with --within, or another place.",
			"no road within %g minutes of %s looks fit for %s", r.Within, out.Near, ex.Title)
	}
	return out, nil
}

func (d *Desk) placeRow(ex *assess.Exercise, p assess.Place, minutes float64) Place {
	line := d.net.Line(p.Position.Segment)
	return Place{
		Kerb: d.net.KerbAt(p.Position, p.Side).String(), Road: gazetteer.RoadAt(d.net, p.Position), Side: p.Side.String(), Facing: d.facing(p.Position),
		Minutes: math.Round(minutes*10) / 10, Verdict: p.Verdict, Chance: p.Chance, MapFit: p.MapFit,
		NearRim: d.net.NearRim(p.Position.Segment.Stretch()), Findings: p.Findings,
		Line: part(line, p.From, p.To), stretch: p.Position.Segment.Stretch(),
		unnamed: d.net.NameOf(p.Position.Segment.Stretch()) == 0,
	}
}

// part cuts a line between two distances along it.
func part(line orb.LineString, from, to geo.Metres) orb.LineString {
	plane := geo.PlaneAt(line[0])
	var out orb.LineString
	for _, v := range plane.Line(line).Slice(from, to) {
		out = append(out, plane.From(v))
	}
	return out
}
