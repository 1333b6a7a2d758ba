package handover

import (
	"fmt"
	"html/template"

	"loopwright/internal/circuit"
)

// arrows are the pictures, on a square of 24: bold strokes, told apart by shape.
var arrows = map[arrow]string{
	arrowAhead:      `<path d="M12 22V5M5 11l7-8 7 8"/>`,
	arrowLeft:       `<path d="M17 24V11H4M10 4l-7 7 7 7"/>`,
	arrowRight:      `<path d="M7 24V11H20M14 4l7 7-7 7"/>`,
	arrowBearLeft:   `<path d="M16 22v-7L6 5M6 13V4h9"/>`,
	arrowBearRight:  `<path d="M8 22v-7L18 5M18 13V4H9"/>`,
	arrowRoundabout: `<path d="M12 24v-3M12 3V0"/><circle cx="12" cy="12" r="8.6" stroke-width="2.6"/>`,
	arrowBack:       `<path d="M18 22V9a6 6 0 0 0-12 0v11M1 15l5 6 5-6"/>`,
	arrowStop:       `<path d="M4 4h16v16H4z" fill="currentColor"/>`,
	arrowGo:         `<path d="M6 4l13 8-13 8z" fill="currentColor"/>`,
	arrowRound:      `<path d="M19.5 13a8 8 0 1 1-4-8.5M10 1.5l6.5 3-3 6"/>`,
	arrowSigns:      `<path d="M3 4h18v8H3zM12 12v11"/>`,
	arrowOther:      `<circle cx="12" cy="12" r="3" fill="currentColor"/>`,
}

// arrowPicture is an arrow, with more drawn around it.
func arrowPicture(a arrow, more string) template.HTML {
	return template.HTML(fmt.Sprintf(`<svg class="arrow" viewBox="0 0 24 24" aria-hidden="true" fill="none" stroke="currentColor" stroke-width="3.4" stroke-linejoin="round">%s%s</svg>`, arrows[a], more))
}

// elbow is where an arrow leaves the road that it comes by; ok is false of the
// arrows that have none.
func elbow(a arrow) (x, y int, ok bool) {
	switch a {
	case arrowLeft:
		return 17, 11, true
	case arrowRight:
		return 7, 11, true
	case arrowAhead:
		return 12, 16, true
	}
	return 0, 0, false
}

// movePicture is the arrow of a move with as much of its place as shows at a
// glance: the road that ends, traffic lights, a mini-roundabout as the disc that
// it is, the road that goes on ahead of a turn, and the number of an exit.
func movePicture(m circuit.Move, a arrow) template.HTML {
	if m.Do == circuit.TakeExit && m.Number > 0 && m.Number < 10 {
		return arrowPicture(a, fmt.Sprintf(`<text x="12" y="16.5" font-size="12.6" font-weight="bold" text-anchor="middle" fill="currentColor" stroke="none">%d</text>`, m.Number))
	}
	x, y, ok := elbow(a)
	if !ok {
		return arrowPicture(a, "")
	}
	const thin = `<path d="%s" stroke-width="1.6"/>`
	aside := 5 // to the side that the arrow leaves free
	if a == arrowRight {
		aside = -5
	}
	switch m.At {
	case circuit.EndOfRoad:
		return arrowPicture(a, `<path d="M0 1.3H24" stroke-width="2.6"/>`)
	case circuit.TrafficLights:
		lights := ""
		for _, cy := range []int{2, 7, 12} {
			lights += fmt.Sprintf(`<circle cx="%d" cy="%d" r="2" fill="currentColor" stroke="none"/>`, x+aside, cy)
		}
		return arrowPicture(a, lights)
	case circuit.MiniRoundabout:
		return arrowPicture(a, fmt.Sprintf(`<circle cx="%d" cy="%d" r="4.6" fill="currentColor" stroke="none"/>`, x, y))
	case circuit.Roundabout:
		return arrowPicture(a, fmt.Sprintf(`<circle cx="%d" cy="%d" r="4.6" fill="#fff" stroke-width="2.4"/>`, x, y))
	case circuit.Crossroads:
		return arrowPicture(a, fmt.Sprintf(thin, fmt.Sprintf("M1 %dH23", y)))
	case circuit.WhereUnknown:
		if a == arrowAhead {
			break
		}
		road := fmt.Sprintf("M%d %dV1", x, y)
		for n := 1; n < min(m.Number, 3); n++ { // roads that are passed before
			road += fmt.Sprintf("M%d %dh%d", x, 19+3*(n-1), -aside)
		}
		return arrowPicture(a, fmt.Sprintf(thin, road))
	}
	return arrowPicture(a, "")
}

// pictured says whether the picture of a move shows its place. A place that is
// counted, as the second lights, is to be read.
func pictured(m circuit.Move, a arrow) bool {
	if m.Do == circuit.TakeExit {
		return m.At == circuit.Roundabout
	}
	_, _, drawn := elbow(a)
	switch m.At {
	case circuit.EndOfRoad, circuit.TrafficLights, circuit.MiniRoundabout, circuit.Roundabout, circuit.Crossroads:
		return drawn && m.Number < 2
	}
	return false
}
