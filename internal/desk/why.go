package desk

import (
	"time"

	"github.com/paulmach/orb"

	"loopwright/internal/assess"
	"loopwright/internal/gazetteer"
)

// WhyRequest asks what is known of one place.
type WhyRequest struct {
	Exercise string
	At       string // a PLACE
	Now      time.Time
}

// Why is every finding at the place, each with its sentence.
type Why struct {
	Exercise      string           `json:"exercise"`
	Title         string           `json:"title"`
	At            string           `json:"at"`
	Said          string           `json:"said,omitempty"`
	Kerb          string           `json:"kerb"`
	Road          string           `json:"road"`
	Side          string           `json:"side"`
	Verdict       assess.Verdict   `json:"verdict"`
	Chance        float64          `json:"chance"`
	MapFit        float64          `json:"map_fit"`
	NearRim       bool             `json:"near_rim,omitempty"`
	FacesBack     bool             `json:"faces_back"` // after one go the car faces the other way
	DataTimestamp *time.Time       `json:"data_timestamp"`
	Findings      []assess.Finding `json:"findings"`
	Words         []string         `json:"words"`                    // of each finding, in the same order
	LookFor       []string         `json:"look_for"`                 // on the day, the most telling first
	Notes         []string         `json:"notes"`                    // near the place, with whose and when
	Facing        string           `json:"facing"`                   // the way that the car comes: north, north-east ...
	Window        orb.LineString   `json:"window"`                   // of kerb, as the car comes
	Heights       []HeightAt       `json:"height_profile,omitempty"` // of the road around, as the car comes
}

// Why assesses one place for an exercise.
func (d *Desk) Why(r WhyRequest) (*Why, error) {
	return guarded(d, func() (*Why, error) {
		ex, err := d.exercise(r.Exercise)
		if err != nil {
			return nil, err
		}
		at, err := d.find(r.At)
		if err != nil {
			return nil, err
		}
		p := d.on(r.Now).At(ex, at.Position, at.Side)
		out := &Why{
			Exercise: ex.Name, Title: ex.Title, At: gazetteer.Describe(d.net, p.Position), Said: at.Said,
			Kerb: d.net.KerbAt(p.Position, p.Side).String(), Road: gazetteer.RoadAt(d.net, p.Position), Side: p.Side.String(),
			Verdict: p.Verdict, Chance: p.Chance, MapFit: p.MapFit, FacesBack: p.FacesBack,
			Heights: d.heightsAt(p.Position), Facing: d.facing(p.Position), Window: part(d.net.Line(p.Position.Segment), p.From, p.To), LookFor: assess.LookFor(p.Findings), Notes: d.said(p),
			NearRim: d.net.NearRim(p.Position.Segment.Stretch()), DataTimestamp: d.DataTimestamp(), Findings: p.Findings,
		}
		for _, f := range p.Findings {
			out.Words = append(out.Words, assess.Words(f, d.profile))
		}
		return out, nil
	})
}
