package desk

import (
	"errors"
	"math"

	"github.com/paulmach/orb"

	"loopwright/internal/gazetteer"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// Found is where a car stands and which way it faces.
type Found struct {
	Kerb     string    `json:"kerb"`
	Words    string    `json:"words"` // "Mill Lane, facing towards High Street"
	Road     string    `json:"road"`
	At       orb.Point `json:"at"`
	FacesDeg float64   `json:"faces_deg"` // clockwise from north
	Said     string    `json:"said,omitempty"`
	// Turned is the kerb where the car faces the other way; "" where the road
	// is one-way.
	Turned string `json:"turned,omitempty"`
}

// Choice is one of several places that words fit.
type Choice struct {
	Name  string    `json:"name"`
	Place string    `json:"place"` // a PLACE that means just this one
	At    orb.Point `json:"at"`
}

// Find reads a PLACE. Words that fit several places are a fault whose best
// possible is the choices.
func (d *Desk) Find(words string) (*Found, error) {
	return guarded(d, func() (*Found, error) {
		r, err := d.find(words)
		var several *gazetteer.Ambiguous
		if errors.As(err, &several) {
			choices := make([]Choice, 0, len(several.Matches))
			for _, m := range several.Matches {
				choices = append(choices, Choice{m.Name, m.Kerb.String(), m.At})
			}
			return nil, &Fault{Kind: WrongUse, Err: err, BestPossible: choices}
		}
		if err != nil {
			return nil, err
		}
		return d.found(r), nil
	})
}

func (d *Desk) found(r gazetteer.Result) *Found {
	_, heading := d.net.At(r.Position)
	out := &Found{
		Kerb: r.Kerb.String(), Words: gazetteer.Describe(d.net, r.Position), Road: r.Road, At: r.At, Said: r.Said,
		FacesDeg: math.Round(math.Mod(float64(heading/geo.Degree)+360, 360)*10) / 10,
	}
	back := roadnet.Position{Segment: r.Position.Segment.Opposite(), Along: d.net.Length(r.Position.Segment.Stretch()) - r.Position.Along}
	if d.net.Drivable(back.Segment) && d.net.Drivable(r.Position.Segment) {
		out.Turned = d.net.KerbAt(back, r.Side).String()
	}
	return out
}
