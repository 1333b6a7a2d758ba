package drawing

import (
	"fmt"
	"math"

	"loopwright/internal/circuit"
)

// Stages draws what is practised as Exercise does, with a picture for each stage,
// all at one scale, for a page of which the stages have so much room in
// millimetres. The road runs up the page, as the learner sees it. The columns, whether
// the words stand below the pictures or beside, and the size of type are chosen so
// that pictures and words are as large as they can be.
func Stages(c *circuit.Circuit, width, height float64) (Diagram, error) {
	s, d, err := sceneOf(c)
	if err != nil {
		return Diagram{}, err
	}
	s.lying = false
	best := s.spread(width, height)
	wide, tall, aside, below := s.size()
	d.Type, d.Columns, d.Beside = best.size, best.columns, best.beside
	for i, a := range s.acts {
		w, h := wide*best.k+aside, tall*best.k+below
		p := &pen{}
		s.panelAt(p, point{}, best.k, w, &layout{width: w, height: h}).act(a)
		title := fmt.Sprintf("Stage %d from above, on a road %.1f metres wide: %s. It is told in words too.", i+1, s.width, a.stage.Title)
		d.Stages[i].Picture, d.Stages[i].Wide = scaled(wrap(w, h, "above", title, p.String()), best.k), w
	}
	return d, nil
}

// spread is a way to lay stages out on a page.
type spread struct {
	columns int
	beside  bool
	size    Points
	k       float64 // millimetres to a metre
}

// Gaps between the stages, and between picture and words, in millimetres; the
// least column of words that reads well; the largest scale, at which a car fills
// a hand's breadth. Our choices.
const (
	stageGap   = 5.0
	wordsGap   = 3.0
	leastWords = 36.0
	mostPerM   = 14.0
)

// Sizes of type of the words, from the largest: our choice.
var stageSizes = []Points{16, 15, 14, 13, 12, 11}

// spread finds the largest layout: the greatest scale times size of type, the
// scale counting more (our choice).
func (s *scene) spread(width, height float64) spread {
	var best spread
	most := 0.0
	for _, size := range stageSizes {
		for columns := 1; columns <= len(s.acts); columns++ {
			for _, beside := range []bool{false, true} {
				l := spread{columns, beside, size, 0}
				l.k = s.scaleOf(l, width, height)
				if worth := math.Pow(l.k, 1.5) * float64(size); worth > most {
					best, most = l, worth
				}
			}
		}
	}
	return best
}

// scaleOf is the greatest scale at which a layout has room, 0 where it has none.
// The larger the pictures, the less room have the words, so it is bisected.
func (s *scene) scaleOf(l spread, width, height float64) float64 {
	wide, _, aside, _ := s.size()
	column := (width - stageGap*float64(l.columns-1)) / float64(l.columns)
	low, high := 0.0, math.Min(mostPerM, (column-aside)/wide)
	for range 10 {
		if l.k = (low + high) / 2; s.hasRoom(l, column, height) {
			low = l.k
		} else {
			high = l.k
		}
	}
	return low
}

// hasRoom says whether a layout has room in columns of a width and a height.
func (s *scene) hasRoom(l spread, column, height float64) bool {
	wide, tall, aside, below := s.size()
	words := column
	if l.beside {
		words -= wide*l.k + aside + wordsGap
	}
	if words < leastWords {
		return false
	}
	sum := 0.0
	for i := 0; i < len(s.acts); i += l.columns {
		row, picture := 0.0, tall*l.k+below
		for _, a := range s.acts[i:min(i+l.columns, len(s.acts))] {
			if told := a.stage.height(l.size, words); l.beside {
				row = math.Max(row, math.Max(picture, told))
			} else {
				row = math.Max(row, picture+told)
			}
		}
		sum += row + stageGap
	}
	return sum <= height
}

// height is that of a stage's words in a column, in millimetres.
func (s Stage) height(size Points, column float64) float64 {
	const leading, apart = 1.3, 0.6
	lines := func(text string, size Points, heavy bool) float64 {
		return Lines(text, size, heavy, column)*leading*size.MM() + apart
	}
	sum := lines(fmt.Sprintf("%d. %s", s.Number, s.Title), size+1, true) + 2
	for _, d := range s.Do {
		sum += lines(d, size, false)
	}
	return sum
}
