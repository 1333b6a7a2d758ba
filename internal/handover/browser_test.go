package handover_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"loopwright/internal/browsertest"
	"loopwright/internal/circuit"
)

// looked are the lessons whose pages are opened in a browser: the first of each
// kind and of each length.
func looked(t testing.TB) []*circuit.Circuit {
	t.Helper()
	var out []*circuit.Circuit
	seen := map[any]bool{}
	for _, c := range lessonsOf(t) {
		if !seen[c.Request.Minutes] || !seen[c.Request.Kind] {
			seen[c.Request.Minutes], seen[c.Request.Kind] = true, true
			out = append(out, c)
		}
	}
	return out
}

// In a browser, each page asks for nothing but itself, axe-core finds nothing
// serious or critical, and no width makes a page scroll sideways.
func TestPagesInABrowser(t *testing.T) {
	b := browsertest.Start(t)
	for _, c := range looked(t) {
		for _, k := range printedOf(c) {
			page := pages[k]
			t.Run(fmt.Sprintf("%s, %s of %.0f minutes", page.name, c.Request.Kind, c.Request.Minutes), func(t *testing.T) {
				html := made(t, page.make, c)
				p := b.Show(t, []byte(html))
				for _, width := range []int64{360, 800, 1280} {
					p.Resize(width, 900)
					if got := browsertest.Eval[int64](p, `document.scrollingElement.scrollWidth`); got > width {
						t.Errorf("at %d pixels the page is %d wide", width, got)
					}
				}
				if asked := p.Asked(); len(asked) != 1 || !strings.HasPrefix(asked[0], "file:") {
					t.Errorf("the page asks for %v", asked)
				}
				for _, v := range p.Axe() {
					t.Error(v)
				}
			})
		}
	}
}

// As it is laid out, no text of the card is under 14 points and no line breaks.
func TestCardAsItIsLaidOut(t *testing.T) {
	b := browsertest.Start(t)
	for _, c := range looked(t) {
		p := b.Show(t, []byte(made(t, pages[0].make, c)))
		p.Resize(800, 900)
		small := browsertest.Eval[[]string](p, `(() => {
			const out = [], walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT)
			for (let n; n = walk.nextNode(); ) {
				if (!n.data.trim()) continue
				const e = n.parentElement, svg = e.closest("svg")
				let size = parseFloat(getComputedStyle(e).fontSize)
				if (svg) size *= e.getScreenCTM().a
				if (size < 14 / 0.75 - 0.01) out.push(size * 0.75 + " pt: " + n.data)
			}
			return out
		})()`)
		if len(small) > 0 {
			t.Errorf("%s: %s", named(c), strings.Join(small, "; "))
		}
		broken := browsertest.Eval[[]string](p, `[...document.querySelectorAll("li")].filter(l => {
			const box = e => e.getBoundingClientRect(), cells = [...l.querySelectorAll(".cell")].map(box), line = box(l)
			return cells.some(c => c.right > line.right + 0.5 || c.top > cells[0].bottom || c.bottom < cells[0].top) ||
				[l, ...l.querySelectorAll("b:not(.heard), .where")].some(e => (e != l || !cells.length) && box(e).height > 1.6 * parseFloat(getComputedStyle(e).fontSize))
		}).map(l => l.textContent.trim())`)
		if len(broken) > 0 {
			t.Errorf("%s: lines that do not fit: %s", named(c), strings.Join(broken, "; "))
		}
	}
}

// A browser lays the words of the map out in the boxes that they were given:
// measured there, none overlaps another.
func TestNoLabelOverlapsInABrowser(t *testing.T) {
	b := browsertest.Start(t)
	for _, c := range looked(t) {
		p := b.Show(t, []byte(made(t, pages[1].make, c)))
		p.Resize(1280, 900)
		type measured struct {
			Text string
			Box  [8]float64
		}
		labels := browsertest.Eval[[]measured](p, `[...document.querySelectorAll("svg.map text")].map(t => {
			const m = t.getCTM(), w = t.getComputedTextLength(), x = +t.getAttribute("x"), y = +t.getAttribute("y"), s = +t.getAttribute("font-size")
			const at = (x, y) => [m.a * x + m.c * y + m.e, m.b * x + m.d * y + m.f]
			return {Text: t.textContent, Box: [...at(x, y - 0.74 * s), ...at(x + w, y - 0.74 * s), ...at(x + w, y + 0.2 * s), ...at(x, y + 0.2 * s)]}
		})`)
		box := func(m measured) (out [4]corner) {
			for i := range out {
				out[i] = corner{m.Box[2*i], m.Box[2*i+1]}
			}
			return out
		}
		if len(labels) < 20 {
			t.Errorf("%s: only %d words on the map", named(c), len(labels))
		}
		for i, a := range labels {
			for _, o := range labels[:i] {
				if overlap(box(a), box(o)) {
					t.Errorf("%s: %q overlaps %q", named(c), a.Text, o.Text)
				}
			}
		}
	}
}

// An hour's sheet prints on two pages and at most one more each half hour, in no
// type under 9 points; its card on the sides that it says.
func TestEveryLessonPrintsOnItsPaper(t *testing.T) {
	b := browsertest.Start(t)
	for _, c := range lessonsOf(t) {
		for _, k := range printedOf(c) {
			page := pages[k]
			html := made(t, page.make, c)
			want := map[string]int{"card": strings.Count(html, `<div class="side">`), "sheet": 2, "learner-card": strings.Count(html, "<article>")}[page.name]
			most := want
			if page.name == "sheet" {
				most += int(math.Ceil(math.Max(0, c.Request.Minutes-60) / 30))
			}
			if got := browsertest.Pages(b.Show(t, []byte(html)).PDF()); got < want || got > most {
				t.Errorf("%s: the %s has %d pages, want %d to %d", named(c), page.name, got, want, most)
			}
			if page.name != "sheet" {
				continue
			}
			for _, m := range fontSize.FindAllStringSubmatch(strings.ReplaceAll(html, "--type:", "font:"), -1) {
				if v, _ := strconv.ParseFloat(m[1], 64); m[2] == "pt" && v < 9 {
					t.Errorf("%s: the sheet has type of %s points", named(c), m[1])
				}
			}
		}
	}
}
