package handover

import (
	"fmt"
	"html/template"
	"math"
	"slices"
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

// cardWidth is what a line may take of an A5 page with margins of 8 mm; a
// picture takes pictureWidth with its gap, and cells are so far apart.
const (
	cardWidth    = 132.0
	pictureWidth = 11.5
	apart        = 2.0
)

// printed is the room that words need on paper, whatever the font.
func printed(words string, size drawing.Points, heavy bool) float64 {
	return drawing.Width(words, size, heavy) * drawing.Wider(heavy)
}

// cut shortens words to the room that they have on paper.
func cut(words string, size drawing.Points, heavy bool, room float64) string {
	return drawing.Cut(words, size, heavy, room/drawing.Wider(heavy))
}

// cardLine is one line of the card: what is done, a time, or a note.
type cardLine struct {
	Kind   string // do, note, time
	Cells  []cardCell
	Words  string // of a time
	Beside bool   // the landmark beside the action
	turn   *turnTold
	atS    float64
}

// cardCell is one thing to do or to judge: a picture, an action, and where. The
// landmark stands under the action, or beside it where a line is one cell's and
// has room.
type cardCell struct {
	Kind    string // turn, judge, stop, remark
	Picture template.HTML
	Action  string
	Plain   bool // the picture says as much as the action
	Bare    bool // and stands alone: the action is heard, not seen
	Note    string
	Place   string  // that the picture shows: heard, where the note does not have it
	Small   bool    // the note in the least size
	Width   float64 // millimetres
	notes   []string
}

// Unseen is what is to be heard of a cell beside what is seen.
func (c cardCell) Unseen() string {
	if c.Place == "" || strings.HasPrefix(c.Note, c.Place) {
		return ""
	}
	return c.Place
}

// How many things to do one line may hold: with words, and where the pictures of
// plain turns stand alone. Our choice: three are said in one breath, and more
// than four nobody keeps in mind.
const (
	mostCells = 3
	mostBare  = 4
)

func cellOf(kind string, picture template.HTML, action string, notes ...string) cardCell {
	return cardCell{Kind: kind, Picture: picture, Action: cut(action, sizeAction, true, cardWidth-pictureWidth), notes: notes}
}

// remark is a cell with no picture, for a note.
func remark(what string, notes ...string) cardCell {
	return cardCell{Kind: "remark", Action: cut(what, sizeLandmark, true, cardWidth), notes: notes}
}

func doLine(atS float64, cells ...cardCell) cardLine {
	l := cardLine{Kind: "do", Cells: slices.Clone(cells), atS: atS}
	l.lay()
	return l
}

// needs is the width that a cell can't do without.
func (c cardCell) needs() float64 {
	switch {
	case c.Kind == "remark":
		return printed(c.Action, sizeLandmark, true)
	case c.Bare:
		return pictureWidth
	default:
		return pictureWidth + printed(c.Action, sizeAction, true)
	}
}

// picture is the width of its picture.
func (c cardCell) picture() float64 {
	if c.Kind == "remark" {
		return 0
	}
	return pictureWidth
}

// fits says whether the actions of a line do.
func (l cardLine) fits() bool {
	need, most := apart*float64(len(l.Cells)-1), mostCells
	for _, c := range l.Cells {
		need += c.needs()
		if c.Bare {
			most = mostBare
		}
	}
	return need <= cardWidth && len(l.Cells) <= most
}

// bare is the line with the pictures of plain turns alone.
func (l cardLine) bare() cardLine {
	l.Cells = slices.Clone(l.Cells)
	for i := range l.Cells {
		l.Cells[i].Bare = l.Cells[i].Plain
	}
	l.lay()
	return l
}

// lay shares the width of a line among its cells, so that each has room for as
// many of its words as can be: those of the longest are shortened first.
func (l *cardLine) lay() {
	if len(l.Cells) == 1 {
		c := &l.Cells[0]
		c.Width = cardWidth
		c.Note, c.Small = fitted(cardWidth-c.needs()-apart, c.notes...)
		l.Beside = slices.Contains(c.notes, c.Note) || len(c.notes) == 0
		if !l.Beside {
			c.Note, c.Small = fitted(cardWidth-c.picture(), c.notes...)
		}
		return
	}
	room := cardWidth - apart*float64(len(l.Cells)-1)
	try := make([]int, len(l.Cells)) // which of its notes each has
	width := func(i int) float64 {
		c := l.Cells[i]
		if len(c.notes) == 0 {
			return c.needs()
		}
		return max(c.needs(), c.picture()+printed(c.notes[try[i]], sizeLeast, false))
	}
	for {
		sum, widest, most := 0.0, -1, 0.0
		for i, c := range l.Cells {
			sum += width(i)
			if try[i]+1 < len(c.notes) && width(i) > max(most, c.needs()) {
				widest, most = i, width(i)
			}
		}
		if sum <= room || widest < 0 {
			break
		}
		try[widest]++
	}
	l.share(room, width)
	for i := range l.Cells {
		c := &l.Cells[i]
		if len(c.notes) > 0 {
			c.Note, c.Small = fitted(c.Width-c.picture(), c.notes[try[i]:]...)
		}
	}
}

// share gives equal widths where they do, else each cell what it needs and its
// part of what is wanted beyond.
func (l *cardLine) share(room float64, width func(int) float64) {
	even := room / float64(len(l.Cells))
	need, want, equal := 0.0, 0.0, true
	for i, c := range l.Cells {
		equal = equal && width(i) <= even
		need += c.needs()
		want += width(i) - c.needs()
	}
	for i := range l.Cells {
		c := &l.Cells[i]
		switch spare := room - need; {
		case equal:
			c.Width = even
		case want > spare:
			c.Width = c.needs() + spare*(width(i)-c.needs())/want
		default:
			c.Width = width(i) + (spare-want)/float64(len(l.Cells))
		}
	}
}

// Widths of the page are in whole hundredths.
func (c cardCell) Basis() string { return fmt.Sprintf("%.2fmm", math.Floor(c.Width*100)/100) }

// leastNote is the room below which a cut word says nothing.
const leastNote = 20.0

// fitted is the first of some words that has room, in the landmark's size or
// the least; where none has, the last is cut. Less than a few letters is
// nothing.
func fitted(room float64, words ...string) (text string, small bool) {
	for _, w := range words {
		for _, size := range []drawing.Points{sizeLandmark, sizeLeast} {
			if printed(w, size, false) <= room {
				return w, size == sizeLeast
			}
		}
	}
	if room < leastNote || len(words) == 0 {
		return "", false
	}
	return cut(words[len(words)-1], sizeLeast, false, room), true
}

func timeLine(words string) cardLine { return cardLine{Kind: "time", Words: words} }

// noteLines are remarks on one line, or where that has no room for them on one
// each.
func noteLines(cells ...cardCell) []cardLine {
	l := doLine(0, cells...)
	l.Kind = "note"
	if l.fits() || len(cells) == 1 {
		return []cardLine{l}
	}
	var out []cardLine
	for _, c := range cells {
		out = append(out, noteLines(c)...)
	}
	return out
}
