package handover

import (
	"errors"
	"fmt"
	"html/template"

	"loopwright/internal/circuit"
	"loopwright/internal/drawing"
)

// learnerCard is what the learner's card shows: a page for each exercise.
type learnerCard struct {
	Title       string
	Pages       []learnerPage
	Attribution string
}

type learnerPage struct {
	Title, About, Vehicle, Rolls string
	Picture                      template.HTML
	Stages                       []drawing.Stage
}

// Room of the diagram on an A4 page with margins of 11 mm.
const diagramWidth, diagramHeight = 188, 150

// LearnerCard makes the card for the learner's knee, when parked: one A4 page
// for each exercise, with a large diagram of it in its stages. It has no road
// but the one it is drawn on, and nothing of the drive. A lesson without an
// exercise has none.
func LearnerCard(c *circuit.Circuit) ([]byte, error) {
	page := learnerCard{Title: lessonTitle(c), Attribution: c.Attribution}
	for i, p := range c.Practices() {
		if i > 0 && p.Exercise == c.Practice.Exercise {
			continue // drawn already
		}
		one := *c
		one.Practice = p.Practice
		d, err := drawing.Exercise(&one, diagramWidth, diagramHeight)
		if err != nil {
			return nil, fmt.Errorf("learner's card: %w", err)
		}
		page.Pages = append(page.Pages, learnerPage{
			Title: exerciseTitle(p.Exercise), About: d.About, Vehicle: d.Vehicle, Rolls: d.Rolls,
			Picture: template.HTML(d.Picture), Stages: d.Stages,
		})
	}
	if len(page.Pages) == 0 {
		return nil, errors.New("learner's card: the lesson has no exercise to draw")
	}
	return written("learnercard.html", "learner's card", page)
}
