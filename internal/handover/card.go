package handover

import (
	"fmt"
	"html/template"
	"math"
	"slices"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/drawing"
	"loopwright/internal/lesson"
)

// cardSides is what the car card shows.
type cardSides struct {
	Title string
	Sides []cardSide
}

type cardSide struct {
	Head   string
	Panels []cardPanel
}

// cardPanel runs from one stop to the next.
type cardPanel struct {
	Heading string // heard, not seen
	Lines   []cardLine
}

// mostLines is how many lines a side holds, its head counted.
const mostLines = 12

// Card makes the car card: A5 pages for the passenger seat, to be read only
// when parked. A panel runs from one stop to the next. It has no address but
// the roads', no name of anybody, and no map.
//
// An hour has two sides, two hours four. Where the directions are too many for
// that, two or three that follow each other closely share a line, and at last a
// panel goes on overleaf; a drive with more than even that can hold has more
// sides, and loses no direction.
func Card(c *circuit.Circuit) ([]byte, error) {
	profile, err := country.ByCode(c.Request.Country)
	if err != nil {
		return nil, fmt.Errorf("card: %w", err)
	}
	sides := sidesOf(panelsOf(c, profile), max(2, int(math.Ceil(c.Request.Minutes/30))))
	page := cardSides{Title: lessonTitle(c)}
	for i, p := range sides {
		head := fmt.Sprintf("%d of %d. Read only when parked.", i+1, len(sides))
		if i == len(sides)-1 {
			head = fmt.Sprintf("%d of %d. Map © OpenStreetMap contributors", i+1, len(sides))
		}
		page.Sides = append(page.Sides, cardSide{head, p})
	}
	return written("card.html", "card", page)
}

// panelsOf lays out the lesson from stop to stop.
func panelsOf(c *circuit.Circuit, profile *country.Profile) []cardPanel {
	hour := func(atS float64) string { return clock(c, atS).Format("15:04") }
	var panels []cardPanel
	now := cardPanel{Heading: "From the start", Lines: firstLines(c, hour)}
	examples := c.Examples
	stops := stopsOf(c)
	judge := func(before float64) {
		for len(examples) > 0 && examples[0].AtS < before {
			now.Lines = append(now.Lines, doLine(examples[0].AtS, judgeCell(examples[0])))
			examples = examples[1:]
		}
	}
	choose := c.Choice
	for i, s := range c.Steps {
		if choose != nil && s.AtS > c.ChosenAtS()-0.5 {
			now.Lines = append(now.Lines, noteLines(remark("You choose", chosen(choose)))...)
			choose = nil
		}
		if s.Kind == "question" {
			continue
		}
		judge(s.AtS)
		if s.Kind == lesson.OwnWay {
			now.Lines = append(now.Lines, noteLines(remark("Say the next at once", "the learner finds the way"))...)
			continue
		}
		for k, m := range movesOf(profile, s) {
			if m.of.Do == circuit.MoveOff {
				continue // every panel begins so
			}
			if m.of.Do != circuit.PullUp {
				if driverAt(c, s.AtS) == circuit.Instructor && !slices.ContainsFunc(now.Lines, func(l cardLine) bool { return l.Kind == "do" }) {
					now.Lines = append(now.Lines, noteLines(remark("You drive"))...)
				}
				l := doLine(s.AtS, turnCell(m))
				l.turn = turnOf(c, s, k, m.of)
				now.Lines = append(now.Lines, l)
				continue
			}
			until := math.Inf(1)
			if i+1 < len(c.Steps) {
				until = c.Steps[i+1].AtS
			}
			judge(until)
			heading := "To the end"
			if len(stops) > 0 {
				stop, there := stops[0].lines(c, profile, m, hour)
				now.Lines = append(now.Lines, stop)
				panels = append(panels, now, cardPanel{"At the " + stops[0].what, there})
				heading = "From the " + stops[0].what
				stops = stops[1:]
			} else {
				panels = append(panels, now)
			}
			now = cardPanel{Heading: heading}
		}
	}
	judge(math.Inf(1))
	for _, s := range stops { // that no direction tells, such as the finish where the debrief was
		stop, there := s.lines(c, profile, inShort(profile, []circuit.Move{{Do: circuit.PullUp, Side: s.Side}})[0], hour)
		if s.what != "finish" {
			now.Lines = append(now.Lines, stop)
		}
		now.Lines = append(now.Lines, there...)
	}
	if len(now.Lines) > 0 {
		panels = append(panels, now)
	}
	for i := range panels {
		panels[i].Lines = folded(panels[i].Lines)
	}
	return panels
}

// driverAt is who drives at a second of the lesson.
func driverAt(c *circuit.Circuit, atS float64) string {
	driver := ""
	for _, l := range c.Legs {
		if l.AtS <= atS+0.5 {
			driver = l.Driver
		}
	}
	return driver
}

func turnCell(m move) cardCell {
	c := cellOf("turn", m.drawn, m.action, m.landmarks()...)
	c.Plain = m.plain
	if m.shown {
		c.Place = m.place
	}
	return c
}

// judgeCell is a road to judge: its letter and sign, an answer of three words
// at most, and the road.
func judgeCell(e circuit.Example) cardCell {
	return cellOf("judge", template.HTML(drawing.Sign(e.Verdict, drawing.Letter(e.Order))), answerOf(e), e.Road)
}

// answerOf is what to hear about a road to judge.
func answerOf(e circuit.Example) string {
	switch e.Verdict {
	case assess.Unsuitable:
		return "No: " + reasonWords(e)
	case assess.Suitable:
		return "Yes"
	case assess.Likely:
		return "Yes: check"
	default:
		return "Perhaps: check"
	}
}

// reasonWords are the card words of a road's reason.
func reasonWords(e circuit.Example) string {
	for _, ex := range assess.Exercises() {
		for _, n := range ex.Needs {
			if n.Criterion == e.Reason {
				return n.Card
			}
		}
	}
	return e.Reason
}
