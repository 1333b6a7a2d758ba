package desk

import (
	"math"

	"loopwright/internal/circuit"
	"loopwright/internal/drawing"
	"loopwright/internal/gazetteer"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// pictureWidth and pictureHeight are what an exercise is drawn to, in
// millimetres: our choice, a column of the page.
const pictureWidth, pictureHeight = 90, 140

// Picture draws an exercise from above at one place: what the car sweeps, on the
// road as wide as it is known to be. It is one svg element.
func (d *Desk) Picture(r WhyRequest) (drawing.SVG, error) {
	return guarded(d, func() (drawing.SVG, error) {
		ex, err := d.exercise(r.Exercise)
		if err != nil {
			return "", err
		}
		at, err := d.find(r.At)
		if err != nil {
			return "", err
		}
		p := d.assess.At(ex, at.Position, at.Side)
		made, err := drawing.Exercise(&circuit.Circuit{
			Request: circuit.Request{Country: d.profile.Code},
			Practice: circuit.Practice{
				Stop:     circuit.Stop{Road: gazetteer.RoadAt(d.net, p.Position), Side: p.Side.String()},
				Exercise: ex.Name, Verdict: p.Verdict, Findings: p.Findings,
			},
		}, pictureWidth, pictureHeight)
		if err != nil {
			return "", &Fault{Kind: AnswerIsNo, Err: err}
		}
		return made.Picture, nil
	})
}

// HeightAt is one height along a road.
type HeightAt struct {
	AlongM  float64 `json:"along_m"` // from the first
	HeightM float64 `json:"height_m"`
}

// around is how far beyond a place its road's heights are shown, to either side:
// our choice, about what a driver sees.
const around geo.Metres = 150

// heightsAt are the heights of the road around a position, in the direction of
// travel; none where they are not known.
func (d *Desk) heightsAt(pos roadnet.Position) []HeightAt {
	stretch := pos.Segment.Stretch()
	profile, ok := d.net.Profile(stretch)
	if !ok {
		return nil
	}
	length, n := d.net.Length(stretch), len(profile.Heights)
	var out []HeightAt
	for i := range n {
		k, along := i, geo.Metres(i)*profile.Step
		if !pos.Segment.Forward() {
			k = n - 1 - i
			along = length - geo.Metres(k)*profile.Step
		}
		if h := profile.Heights[k]; math.Abs(float64(along-pos.Along)) <= float64(around) && !math.IsNaN(h) {
			out = append(out, HeightAt{math.Round(float64(along)*10) / 10, math.Round(h*100) / 100})
		}
	}
	if len(out) < 2 {
		return nil
	}
	first := out[0].AlongM
	for i := range out {
		out[i].AlongM = math.Round((out[i].AlongM-first)*10) / 10
	}
	return out
}
