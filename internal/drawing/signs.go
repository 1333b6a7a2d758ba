package drawing

import (
	"fmt"
	"math"

	"loopwright/internal/assess"
)

// shape is the outline of a verdict's sign.
type shape uint8

const (
	square shape = iota + 1
	disc
	ring
	diamond
	hollowSquare
)

// sign is how a verdict is drawn: by colour and by shape.
type sign struct {
	shape  shape
	ink    string
	dashes string // of the band along the road
}

// signOf gives each verdict its sign. A square says stop and a round says go,
// filled where it is certain.
func signOf(v assess.Verdict) sign {
	switch v {
	case assess.Unsuitable:
		return sign{square, inkNo, ` stroke-dasharray="1.4 1"`}
	case assess.Suitable:
		return sign{disc, inkYes, ""}
	case assess.Likely:
		return sign{ring, inkYes, ""}
	case assess.Possible:
		return sign{diamond, inkDoubt, ` stroke-dasharray="3 1"`}
	default:
		return sign{hollowSquare, inkQuiet, ` stroke-dasharray="0.5 1"`}
	}
}

// Letter names a road to judge: A, B, C ... by its order from 1.
func Letter(order int) string {
	if order < 1 || order > 26 {
		return fmt.Sprint(order)
	}
	return string(rune('A' + order - 1))
}

// draw puts the sign with a letter in it around a point; r is half its size.
func (s sign) draw(p *pen, at point, r float64, letter string) {
	fill, ink := s.ink, "#fff"
	if s.shape == ring || s.shape == diamond || s.shape == hollowSquare {
		fill, ink = "#fff", s.ink
	}
	switch s.shape {
	case square, hollowSquare:
		p.put(`<rect x="%s" y="%s" width="%s" height="%s"`, number(at.x-0.88*r), number(at.y-0.88*r), number(1.76*r), number(1.76*r))
	case disc, ring:
		p.put(`<circle cx="%s" cy="%s" r="%s"`, number(at.x), number(at.y), number(r))
	case diamond:
		k := 1.3 * r
		p.put(`<path d="M%s %sl%s %sl%s %sl%s %sz"`, number(at.x), number(at.y-k), number(k), number(k), number(-k), number(k), number(-k), number(-k))
	}
	p.put(` fill="%s" stroke="%s" stroke-width="%s"/>`+"\n", fill, s.ink, number(math.Max(0.4, 0.2*r)))
	p.words(upright(at, 0, 0), letter, Points(1.45*r*72/25.4), true, ink, "letter")
}

// Sign is the sign of a verdict with a letter, alone, for a list beside the map.
func Sign(v assess.Verdict, letter string) SVG {
	var p pen
	signOf(v).draw(&p, point{3, 3}, 2.2, letter)
	return wrap(6, 6, "sign", verdictWords(v), p.String())
}

// verdictWords say what the sign means.
func verdictWords(v assess.Verdict) string {
	switch v {
	case assess.Unsuitable:
		return "will not do"
	case assess.Suitable:
		return "would do"
	case assess.Likely:
		return "looks right, check on the day"
	case assess.Possible:
		return "possible"
	default:
		return "not known"
	}
}
