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
	Title string
	drawing.Diagram
}

// HTML is the picture of a stage for the page.
func (learnerPage) HTML(s drawing.SVG) template.HTML { return template.HTML(s) }

// Room of the stages on an A4 page with margins of 9 and 11 mm, under the heading
// and over the foot.
const stagesWidth, stagesHeight = 188, 228

// LearnerCard makes the card for the learner's knee, when parked: one A4 page
// for each exercise, with a large picture of each of its stages. It has no road
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
		d, err := drawing.Stages(&one, stagesWidth, stagesHeight)
		if err != nil {
			return nil, fmt.Errorf("learner's card: %w", err)
		}
		page.Pages = append(page.Pages, learnerPage{exerciseTitle(p.Exercise), d})
	}
	if len(page.Pages) == 0 {
		return nil, errors.New("learner's card: the lesson has no exercise to draw")
	}
	return written("learnercard.html", "learner's card", page)
}
