// Package drawing makes the pictures of a lesson as SVG, from a circuit alone:
// the map of the drive, the height profile along it, and the exercise from
// above, with what the car sweeps; and the map of an area that was surveyed.
//
//	circuit.Circuit, its drive --------> Map, Heights
//	circuit.Circuit, its exercise -----> Exercise, Stages
//	roads of an area ------------------> Area
//
// A picture is one svg element to put into a page: a unit of its view box is a
// millimetre on paper, its colours are given so that shapes and words say the
// same, and it asks for nothing from anywhere. Words in it are held to the
// width that they were measured to have in the Go fonts, so that what does not
// overlap here overlaps nowhere, whatever font the reader has.
//
// Not guaranteed: that every road is named. A name is left out where it would
// lie on another, or on the drive.
package drawing

import (
	"fmt"
	"html"
	"math"
	"strconv"
	"strings"
	"unicode"
)

// SVG is one svg element; its text is escaped.
type SVG string

// Ink of the pictures: of our own, calm on white paper, and each with its own
// darkness, so that they stay apart without colour.
const (
	inkText  = "#24292f"
	inkQuiet = "#5a6068" // notes and scales: 6:1 on white
	inkDrive = "#1f4e6b" // the drive
	inkNo    = "#a03021" // will not do
	inkYes   = "#2f6b3a" // would do
	inkDoubt = "#7a5a00" // to be looked at on the day
	inkPlace = "#5b3a78" // where it is practised

	inkBuilding = "#efebe4"
)

// pen writes the inside of a picture.
type pen struct{ strings.Builder }

func (p *pen) put(format string, args ...any) { fmt.Fprintf(&p.Builder, format, args...) }

// number is a length in millimetres to a hundredth, without idle noughts.
func number(v float64) string {
	s := strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64)
	if s == "-0" {
		return "0"
	}
	return s
}

// escaped is text for an element or an attribute. Control characters, and those
// that turn the direction of writing, are no part of a name.
func escaped(s string) string {
	return html.EscapeString(strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) || r == unicode.ReplacementChar {
			return -1
		}
		return r
	}, s))
}

// points is a line as the data of a path.
func points(line []point) string {
	var b strings.Builder
	for i, q := range line {
		b.WriteByte("ML"[min(i, 1)])
		b.WriteString(number(q.x) + " " + number(q.y))
	}
	return b.String()
}

// point is a position on the paper: millimetres right and down.
type point struct{ x, y float64 }

func (a point) add(b point) point     { return point{a.x + b.x, a.y + b.y} }
func (a point) sub(b point) point     { return point{a.x - b.x, a.y - b.y} }
func (a point) times(k float64) point { return point{a.x * k, a.y * k} }
func (a point) dot(b point) float64   { return a.x*b.x + a.y*b.y }
func (a point) length() float64       { return math.Hypot(a.x, a.y) }
func (a point) to(b point) float64    { return b.sub(a).length() }
func (a point) left() point           { return point{a.y, -a.x} } // a quarter turn to the left, as seen
func (a point) unit() point {
	if l := a.length(); l > 0 {
		return a.times(1 / l)
	}
	return point{1, 0}
}

// wrap puts the inside into an svg element with a title for those who hear it.
func wrap(width, height float64, class, title string, inside string) SVG {
	return SVG(fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" class="%s" viewBox="0 0 %s %s" role="img" aria-label="%s" font-family="Go, 'DejaVu Sans', Verdana, sans-serif" fill="none">`+"\n%s</svg>",
		class, number(width), number(height), escaped(title), inside))
}
