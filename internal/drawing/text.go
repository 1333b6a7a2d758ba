package drawing

import (
	"math"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Points are the size of type: 1/72 inch.
type Points float64

// MM is the size in millimetres.
func (p Points) MM() float64 { return float64(p) * 25.4 / 72 }

// face measures text in one of the Go fonts (Bigelow & Holmes, 2016).
type face struct {
	font *sfnt.Font
	mu   sync.Mutex
	buf  sfnt.Buffer
}

func faceOf(ttf []byte) func() *face {
	return sync.OnceValue(func() *face {
		f, err := sfnt.Parse(ttf)
		if err != nil {
			panic("bug in the embedded font: " + err.Error())
		}
		return &face{font: f}
	})
}

var regular, bold = faceOf(goregular.TTF), faceOf(gobold.TTF)

// grid is how many units per em are measured in.
const grid = 2048

// ems is the width of a text in ems. A letter that the font lacks is taken to
// be a full em, as wide as any is.
func (f *face) ems(s string) float64 {
	f.mu.Lock()
	defer f.mu.Unlock()
	sum := fixed.Int26_6(0)
	for _, r := range s {
		advance := fixed.I(grid)
		if g, err := f.font.GlyphIndex(&f.buf, r); err == nil && g != 0 {
			if a, err := f.font.GlyphAdvance(&f.buf, g, fixed.I(grid), font.HintingNone); err == nil {
				advance = a
			}
		}
		sum += advance
	}
	return float64(sum) / 64 / grid
}

// Width is how wide a text is at a size, in millimetres.
func Width(text string, size Points, heavy bool) float64 {
	f := regular()
	if heavy {
		f = bold()
	}
	return f.ems(text) * size.MM()
}

// Cut shortens a text to a width at its last word that fits, and marks that it
// goes on; a first word too long is cut inside.
func Cut(text string, size Points, heavy bool, most float64) string {
	if Width(text, size, heavy) <= most {
		return text
	}
	runes := []rune(text)
	n, space := 0, 0
	for n < len(runes) && Width(string(runes[:n+1])+"…", size, heavy) <= most {
		if runes[n] == ' ' {
			space = n
		}
		n++
	}
	if space > 0 {
		n = space
	}
	return string(runes[:n]) + "…"
}

// words writes one line of text whose middle is at a point, turned by degrees
// clockwise, in the width that was measured. class is for the page's style.
func (p *pen) words(b box, text string, size Points, heavy bool, ink, class string) {
	weight := ""
	if heavy {
		weight = ` font-weight="bold"`
	}
	turn := ""
	if deg := math.Atan2(b.along.y, b.along.x) * 180 / math.Pi; math.Abs(deg) > 0.01 {
		turn = " rotate(" + number(deg) + ")"
	}
	width := Width(text, size, heavy)
	p.put(`<text class="%s" transform="translate(%s %s)%s" x="%s" y="%s" font-size="%s" textLength="%s" lengthAdjust="spacingAndGlyphs"%s fill="%s">%s</text>`+"\n",
		class, number(b.at.x), number(b.at.y), turn, number(-width/2), number(0.35*size.MM()), number(size.MM()), number(width), weight, ink, escaped(text))
}
