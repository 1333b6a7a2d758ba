package handover

import (
	"fmt"
	"html/template"
	"math"

	"loopwright/internal/drawing"
)

// Sizes of the car card, in points: what is read at a glance is large, and
// nothing is under 14.
const (
	sizeTime     = drawing.Points(28)
	sizeAction   = drawing.Points(22)
	sizeLandmark = drawing.Points(16)
	sizeLeast    = drawing.Points(14)
)

// cardWidth is what a line may take of an A5 page with margins of 8 mm; arrows
// and signs take arrowWidth, and gap lies between parts.
const (
	cardWidth  = 132.0
	arrowWidth = 12.0
	gap        = 3.0
)

// A reader's font may be wider than the one that is measured in: DejaVu Sans,
// the widest in common use, is by 10 % and its bold by 20 %.
const widerRegular, widerBold = 1.12, 1.22

// printed is the room that words need on paper, whatever the font.
func printed(words string, size drawing.Points, heavy bool) float64 {
	if heavy {
		return drawing.Width(words, size, true) * widerBold
	}
	return drawing.Width(words, size, false) * widerRegular
}

// cut shortens words to the room that they have on paper.
func cut(words string, size drawing.Points, heavy bool, room float64) string {
	if heavy {
		return drawing.Cut(words, size, true, room/widerBold)
	}
	return drawing.Cut(words, size, false, room/widerRegular)
}

// cardLine is one line of the card.
type cardLine struct {
	Kind  string // turn, judge, stop, time, note
	Parts []cardPart
	Note  string // the landmark, or all of a note
	Small bool   // the note in the least size
	Sign  template.HTML
	atS   float64
	moves []move
}

// cardPart is an arrow and its action.
type cardPart struct {
	Arrow  template.HTML
	Action string
}

// turnLine lays out moves on one line: their actions, and the landmark of the
// last in what room is left.
func turnLine(atS float64, moves ...move) cardLine {
	l := cardLine{Kind: "turn", atS: atS, moves: moves}
	room := cardWidth
	for _, m := range moves {
		action := cut(m.action, sizeAction, true, cardWidth-arrowWidth)
		l.Parts = append(l.Parts, cardPart{arrowPicture(m.arrow), action})
		room -= arrowWidth + printed(action, sizeAction, true) + gap
	}
	last := moves[len(moves)-1]
	l.Note, l.Small = fitted(room, false, last.landmarks()...)
	return l
}

// fits says whether the actions of a line have room.
func (l cardLine) fits() bool {
	room := cardWidth
	for _, p := range l.Parts {
		room -= arrowWidth + printed(p.Action, sizeAction, true) + gap
	}
	return room >= 0
}

// leastNote is the room below which a cut word says nothing.
const leastNote = 30.0

// fitted is the first of some words that has room, in the landmark's size or
// the least; where none has, the last is cut. Less than a few letters is
// nothing.
func fitted(room float64, heavy bool, words ...string) (text string, small bool) {
	for _, w := range words {
		for _, size := range []drawing.Points{sizeLandmark, sizeLeast} {
			if printed(w, size, heavy) <= room {
				return w, size == sizeLeast
			}
		}
	}
	if room < leastNote {
		return "", false
	}
	return cut(words[len(words)-1], sizeLeast, heavy, room), true
}

func timeLine(words string) cardLine {
	return cardLine{Kind: "time", Parts: []cardPart{{Action: words}}}
}

// noteLine is a line of small words.
func noteLine(words ...string) cardLine {
	text, small := fitted(cardWidth, true, words...)
	return cardLine{Kind: "note", Note: text, Small: small}
}

// arrows are the pictures, on a square of 24: bold strokes, told apart by shape.
var arrows = map[arrow]string{
	arrowAhead:      `<path d="M12 22V5M5 11l7-8 7 8"/>`,
	arrowLeft:       `<path d="M17 22V11H4M10 4l-7 7 7 7"/>`,
	arrowRight:      `<path d="M7 22V11H20M14 4l7 7-7 7"/>`,
	arrowBearLeft:   `<path d="M16 22v-7L6 5M6 13V4h9"/>`,
	arrowBearRight:  `<path d="M8 22v-7L18 5M18 13V4H9"/>`,
	arrowRoundabout: `<path d="M12 23v-4"/><circle cx="12" cy="12" r="6.5"/><path d="M12 5V1"/>`,
	arrowBack:       `<path d="M18 22V9a6 6 0 0 0-12 0v11M1 15l5 6 5-6"/>`,
	arrowStop:       `<path d="M4 4h16v16H4z" fill="currentColor"/>`,
	arrowGo:         `<path d="M6 4l13 8-13 8z" fill="currentColor"/>`,
	arrowOther:      `<circle cx="12" cy="12" r="3" fill="currentColor"/>`,
}

func arrowPicture(a arrow) template.HTML {
	return template.HTML(fmt.Sprintf(`<svg class="arrow" viewBox="0 0 24 24" aria-hidden="true" fill="none" stroke="currentColor" stroke-width="3.4" stroke-linejoin="round">%s</svg>`, arrows[a]))
}

// merge puts the two neighbouring turn lines together that follow each other
// most closely and have room on one line; false where there are none.
func merge(panels []cardPanel) bool {
	panel, line, least := -1, -1, math.Inf(1)
	var best cardLine
	for i, p := range panels {
		for j := 1; j < len(p.Lines); j++ {
			a, b := p.Lines[j-1], p.Lines[j]
			if a.Kind != "turn" || b.Kind != "turn" && b.Kind != "stop" || len(a.moves)+len(b.moves) > mostMerged {
				continue
			}
			both := turnLine(a.atS, append(append([]move(nil), a.moves...), b.moves...)...)
			both.Kind = b.Kind
			// A pair is joined before a triple is made.
			cost := b.atS - a.atS + 1000*float64(len(both.moves)-2)
			if last := b.moves[len(b.moves)-1]; both.Note == "" && last.landmark() != "" {
				cost += 100 // what is left out may be missed
			}
			if cost < least && both.fits() {
				panel, line, least, best = i, j, cost, both
			}
		}
	}
	if panel < 0 {
		return false
	}
	lines := panels[panel].Lines
	lines[line-1] = best
	panels[panel].Lines = append(lines[:line], lines[line+1:]...)
	return true
}

// mostMerged is how many moves one line may hold: as many as are kept in mind.
const mostMerged = 3
