package handover

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"

	"loopwright/internal/circuit"
	"loopwright/internal/drawing"
)

//go:embed learnercard.html
var learnerCardText string

var learnerCardPage = template.Must(template.New("learnercard").Parse(learnerCardText))

// learnerCard is what the learner's card shows.
type learnerCard struct {
	Title, About, Vehicle, Rolls string
	Picture                      template.HTML
	Stages                       []drawing.Stage
	Attribution                  string
}

// Room of the diagram on an A4 page with margins of 11 mm.
const diagramWidth, diagramHeight = 188, 150

// LearnerCard makes the card for the learner's knee, when parked: one A4 page
// with a large diagram of the exercise in its stages. It has no road but the
// one it is drawn on, and nothing of the drive.
func LearnerCard(c *circuit.Circuit) ([]byte, error) {
	d, err := drawing.Exercise(c, diagramWidth, diagramHeight)
	if err != nil {
		return nil, fmt.Errorf("learner's card: %w", err)
	}
	page := learnerCard{
		Title: exerciseTitle(c.Practice.Exercise), About: d.About, Vehicle: d.Vehicle, Rolls: d.Rolls,
		Picture: template.HTML(d.Picture), Stages: d.Stages, Attribution: c.Attribution,
	}
	var out bytes.Buffer
	if err := learnerCardPage.Execute(&out, page); err != nil {
		return nil, fmt.Errorf("learner's card: %w", err)
	}
	return out.Bytes(), nil
}
