package handover

import (
	"fmt"
	"html/template"
	"math"
	"strings"

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
	atS   float64
	moves []move
	road  string // of a road to judge
}

// cardPart is an arrow and its action; of plain turns many to a line the arrow
// alone is seen, and the word is heard.
type cardPart struct {
	Arrow  template.HTML
	Action string
	Bare   bool
}

// bareFrom is how many moves on one line leave no room for the words of plain
// turns.
const bareFrom = 3

// turnLine lays out moves on one line: their actions, and the landmark of the
// last in what room is left.
func turnLine(atS float64, moves ...move) cardLine {
	l := cardLine{Kind: "turn", atS: atS, moves: moves}
	for _, m := range moves {
		p := cardPart{arrowPicture(m.arrow), cut(m.action, sizeAction, true, cardWidth-arrowWidth), false}
		p.Bare = len(moves) >= bareFrom && (m.arrow == arrowLeft || m.arrow == arrowRight || m.arrow == arrowAhead) && !strings.Contains(m.action, " ")
		l.Parts = append(l.Parts, p)
	}
	l.Note, l.Small = fitted(l.room(), false, moves[len(moves)-1].landmarks()...)
	return l
}

// room is what the parts of a line leave of it; less than nothing where they
// do not fit.
func (l cardLine) room() float64 {
	room := cardWidth
	for _, p := range l.Parts {
		room -= arrowWidth + gap
		if !p.Bare {
			room -= printed(p.Action, sizeAction, true)
		}
	}
	return room
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
			both, ok := joined(a, b)
			if !ok {
				continue
			}
			// Pairs are joined first, then a turn with the road to judge that it
			// leads into, then triples; and those before whose landmark is lost.
			cost := b.atS - a.atS + 1000*float64(max(0, len(both.moves)-2))
			if b.Kind == "judge" {
				cost += 500
			}
			if both.Note == "" {
				cost += 100
			}
			if cost < least && both.room() >= 0 {
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

// joined is two lines on one; ok is false where they are not of a kind.
func joined(a, b cardLine) (cardLine, bool) {
	if a.Kind != "turn" {
		return cardLine{}, false
	}
	switch {
	case b.Kind == "judge" && len(a.moves) < bareFrom:
		l := cardLine{Kind: b.Kind, Parts: append(append([]cardPart(nil), a.Parts...), b.Parts...), atS: a.atS, road: b.road}
		l.Note, l.Small = fitted(l.room(), false, b.road)
		return l, true
	case (b.Kind == "turn" || b.Kind == "stop") && len(a.moves)+len(b.moves) <= mostMerged:
		l := turnLine(a.atS, append(append([]move(nil), a.moves...), b.moves...)...)
		l.Kind = b.Kind
		return l, true
	}
	return cardLine{}, false
}

// mostMerged is how many moves one line may hold: as many as a panel should
// have, and more than anybody keeps in mind; our choice for the longest drives.
const mostMerged = 5
