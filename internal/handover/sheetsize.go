package handover

import (
	"math"

	"loopwright/internal/drawing"
)

// size is the largest type, in points, in which the sheet has two pages: the
// lines of its two columns are counted as they will break. Where even the least
// does not do, the sheet goes on.
func (s *sheet) size() float64 {
	const (
		column  = 86.0            // mm of a column
		room    = 2*118 + 2*196.0 // mm: beside the map's page, and before the hills and cautions
		leading = 1.27
		least   = 7.0
	)
	size := 9.5
	for ; size > least; size -= 0.25 {
		line := drawing.Points(size).MM() * leading
		total := 0.0
		add := func(indent float64, words string) {
			total += line*math.Max(1, math.Ceil(printed(words, drawing.Points(size), false)/(column-indent))) + 0.8
		}
		s.each(add)
		if total+6*9 <= room { // six headings
			break
		}
	}
	return size
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
	for _, p := range append([]place{s.Practice}, s.Backups...) {
		add(0, p.Heading+": "+p.Where+". "+p.Verdict+". "+p.Way)
		for _, l := range p.Look {
			add(5, l)
		}
	}
	holds := ""
	for _, h := range s.Practice.Holds {
		holds += h + " "
	}
	add(0, holds)
	for _, t := range s.Steps {
		add(19.5, t.What)
	}
	for _, t := range s.Back {
		add(7.5, t.What)
	}
}
