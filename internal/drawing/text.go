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

// advance is the width of a letter in ems. A letter that the font lacks is
// taken to be a full em, as wide as any is.
func (f *face) advance(r rune) float64 {
	f.mu.Lock()
	defer f.mu.Unlock()
	if g, err := f.font.GlyphIndex(&f.buf, r); err == nil && g != 0 {
		if a, err := f.font.GlyphAdvance(&f.buf, g, fixed.I(grid), font.HintingNone); err == nil {
			return float64(a) / 64 / grid
		}
	}
	return 1
}

func faceFor(heavy bool) *face {
	if heavy {
		return bold()
	}
	return regular()
}

// Width is how wide a text is at a size, in millimetres.
func Width(text string, size Points, heavy bool) float64 {
	f, sum := faceFor(heavy), 0.0
	for _, r := range text {
		sum += f.advance(r)
	}
	return sum * size.MM()
}

// Wider is how much wider than Width the words of a page may come out, since a
// reader's font may be: DejaVu Sans, the widest in common use, is by 10 % and its
// bold by 20 %, in short words by 26 %.
func Wider(heavy bool) float64 {
	if heavy {
		return 1.27
	}
	return 1.12
}

// ragged is how much longer than its words a line is, since it breaks between
// them: our choice, seen in columns of a page.
const ragged = 1.08

// Lines is how many lines the words of a page take in a column of a width in
// millimetres, one at the least, in a reader's font.
func Lines(text string, size Points, heavy bool, column float64) float64 {
	return math.Max(1, math.Ceil(ragged*Width(text, size, heavy)*Wider(heavy)/column))
}

// Cut shortens a text to a width at its last word that fits, and marks that it
// goes on; a first word too long is cut inside.
func Cut(text string, size Points, heavy bool, most float64) string {
	const mark = '…'
	f := faceFor(heavy)
	end := f.advance(mark) * size.MM()
	sum, cut, word := 0.0, 0, 0 // bytes of what fits with the mark, and of its whole words
	for i, r := range text {
		if sum+end <= most {
			cut = i
			if r == ' ' {
				word = i
			}
		}
		if sum += f.advance(r) * size.MM(); sum > most {
			if word > 0 {
				cut = word
			}
			return text[:cut] + string(mark)
		}
	}
	return text
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
