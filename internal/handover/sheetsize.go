package handover

import (
	"math"
	"strings"

	"loopwright/internal/drawing"
)

// fit chooses type and map so that the sheet has two pages: type as large as
// can be and a smaller map before small type. It counts the lines of the two
// columns as they will break. Where even the least does not do, the sheet goes
// on.
func (s *sheet) fit() (size, mapHeight float64) {
	for _, try := range []struct{ from, to, height float64 }{{9.5, 8.5, 128}, {9, 8, 108}, {8.5, 7, 92}} {
		mapHeight = try.height
		for size = try.from; size >= try.to; size -= 0.25 {
			if s.lines(size) <= sheetRoom-2*mapHeight {
				return size, mapHeight
			}
		}
	}
	return 7, mapHeight
}

// sheetRoom is what both columns have on two pages, in millimetres, with the
// map and what goes over both columns: heading, legend, hills and cautions. The
// map takes its height from both.
const sheetRoom = 2 * (242 + 192)

// lines is the height of all the columns' lines, in millimetres.
func (s *sheet) lines(size float64) float64 {
	const column, leading, apart, headings = 86.0, 1.27, 0.85, 6 * 9
	line, total := drawing.Points(size).MM()*leading, float64(headings)
	s.each(func(indent float64, words string) {
		// Lines break at words, some 8 % short of the column's width.
		total += line*math.Max(1, math.Ceil(1.08*printed(words, drawing.Points(size), false)/(column-indent*size/9.5))) + apart
	})
	return total
}

// each visits the paragraphs of the columns, with how far they are set in.
func (s *sheet) each(add func(indent float64, words string)) {
	for _, t := range s.Times {
		add(12, t.What)
	}
	for _, j := range s.Judge {
		add(9, j.Time+" "+j.Road+". "+j.Says+". "+j.Answer)
		add(9, "How we know: "+j.Known)
		add(9, "Then ask: "+j.FollowUp)
	}
	for _, e := range s.Events {
		add(12, e.What)
	}
	for _, at := range s.Practices {
		for _, p := range append([]place{at.Place}, at.Backups...) {
			add(0, p.Heading+": "+p.Where+". "+p.Verdict+". "+p.Way)
			for _, l := range p.Look {
				add(5, l)
			}
		}
		add(0, strings.Join(at.Place.Holds, " "))
	}
	for _, t := range s.Steps {
		add(19.5, t.What)
	}
	for _, t := range s.Back {
		add(7.5, t.What)
	}
}
