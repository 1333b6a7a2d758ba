package handover

import (
	"math"

	"loopwright/internal/circuit"
	"loopwright/internal/drawing"
)

// sheetLook is how a sheet is laid out: its type in points, and its map in
// millimetres, over both columns or, of a drive that is taller than wide, beside
// the times.
type sheetLook struct {
	size, width, height float64
	tall                bool
}

// Sizes of type, in points: our choice. Smaller than the least nobody reads at
// the end of a day.
const leastType, mostType = 9.0, 9.5

// Rooms of the sheet in millimetres: both columns of a page; what goes over them
// in all, heading, legend, hills and cautions; and a tall map.
const (
	pageRoom            = 2 * 276.0
	overRoom            = 2 * 66.0
	tallWidth, tallHigh = 108.0, 140.0
)

// fit chooses type and map so that the sheet has as few pages as the lesson
// should have: for an hour a smaller map and small type before a third page, for
// longer a page more, and never type under the least. It counts the lines of the
// two columns as they will break.
func (s *sheet) fit(c *circuit.Circuit) sheetLook {
	var looks []sheetLook
	wide, high := drawing.Extent(c)
	if high > 1.3*wide {
		looks = []sheetLook{{mostType, tallWidth, tallHigh, true}, {leastType, tallWidth, tallHigh, true}, {leastType, 98, 127, true}, {leastType, sheetWidth, 92, false}, {leastType, sheetWidth, 76, false}}
	} else {
		looks = []sheetLook{{mostType, sheetWidth, 128, false}, {leastType, sheetWidth, 128, false}, {leastType, sheetWidth, 108, false}, {leastType, sheetWidth, 92, false}, {leastType, sheetWidth, 76, false}}
	}
	for pages := 2.0; ; pages++ {
		try := looks
		if pages == 2 && c.Request.Minutes > 60 {
			try = looks[:2]
		}
		for _, l := range try {
			if s.lines(l) <= pages*pageRoom-overRoom-2*l.height {
				return l
			}
		}
	}
}

// lines is the height of all the columns' lines, in millimetres; the times of a
// tall map stand beside it.
func (s *sheet) lines(l sheetLook) float64 {
	const column, leading, apart = 86.0, 1.23, 0.65
	headings := float64(4+2*len(s.Practices)) * 9
	line, total := drawing.Points(l.size).MM()*leading, headings
	s.each(!l.tall, func(indent float64, words string) {
		// Lines break at words, some 8 % short of the column's width.
		total += line*math.Max(1, math.Ceil(1.08*printed(words, drawing.Points(l.size), false)/(column-indent*l.size/mostType))) + apart
	})
	return total
}

// each visits the paragraphs of the columns, with how far they are set in.
func (s *sheet) each(times bool, add func(indent float64, words string)) {
	if times {
		for _, t := range s.Times {
			add(12, t.What)
		}
	}
	for _, j := range s.Judge {
		add(9, j.Time+" "+j.Road+". "+j.Says+". "+j.Answer)
		add(9, "How we know: "+j.Known)
		add(9, "Then ask: "+j.FollowUp)
	}
	for _, t := range s.Events {
		add(12, t.What)
	}
	for _, practice := range s.Practices {
		add(0, practice.Place.Where+". "+practice.Place.Verdict+".")
		for _, l := range practice.Place.Look {
			add(5, l)
		}
		for _, p := range practice.Backups {
			add(0, p.Heading+": "+p.Where+". "+p.Verdict+". "+p.Way+". Look: "+p.Looks())
		}
		holds := ""
		for _, h := range practice.Place.Holds {
			holds += h + " "
		}
		add(0, holds)
	}
	for _, t := range s.Steps {
		add(7.5, t.Time+" "+t.What)
	}
	for _, t := range s.Back {
		add(7.5, t.What)
	}
}
