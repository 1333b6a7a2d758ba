package handover

import (
	"strings"

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

// Rooms of the sheet in millimetres: both columns of a page, and what goes over
// them in all: heading, legend, hills and cautions.
const (
	pageRoom = 2 * 276.0
	overRoom = 2 * 65.0
)

// spare is the room, in millimetres of column, that a look leaves over while a
// tighter one remains: by so much the count of lines has been seen to be short of
// what a browser prints.
const spare = 2 * 8.0

// Ways to lay a sheet out, the one that reads best first: our choice. Large type
// goes before small, then the map shrinks: over both columns to 70 mm, at which a
// town's numbers still part; beside the times to a width that leaves those 80 mm.
// A drive at least 1.3 times as high as wide has its map beside the times, and over
// both columns only where nothing else has room.
const tallFrom = 1.3

var (
	looksWide = []sheetLook{
		{mostType, sheetWidth, 128, false}, {leastType, sheetWidth, 128, false}, {leastType, sheetWidth, 108, false}, {leastType, sheetWidth, 92, false}, {leastType, sheetWidth, 70, false},
	}
	looksTall = []sheetLook{
		{mostType, 108, 140, true}, {leastType, 108, 140, true}, {leastType, 98, 127, true}, {leastType, sheetWidth, 92, false}, {leastType, sheetWidth, 70, false},
	}
)

// How the columns break, in millimetres: the width of one that its words fill, the
// gap between paragraphs, a heading, and how far paragraphs are set in, at the larger
// type: all as sheet.html lays them out.
const (
	columnWidth, between, heading        = 86.0, 0.65, 9.0
	setTime, setSign, setNumber, setLook = 12.0, 9.0, 7.5, 5.0
)

// leading is the distance of lines, in sizes of their type: our choice, closer
// where the type is small and the page full.
func (l sheetLook) leading() float64 {
	if l.size < mostType {
		return 1.17
	}
	return 1.23
}

// fit chooses type and map so that the sheet has as few pages as the lesson
// should have: for an hour a smaller map and small type before a third page, for
// longer a page more, and never type under the least. It counts the lines of the
// two columns as they will break.
func (s *sheet) fit(c *circuit.Circuit) sheetLook {
	looks := looksWide
	if wide, high := drawing.Extent(c); high > tallFrom*wide {
		looks = looksTall
	}
	for pages := 2.0; ; pages++ {
		try := looks
		if pages == 2 && c.Request.Minutes > 60 {
			try = looks[:2]
		}
		for i, l := range try {
			room := pages*pageRoom - overRoom - 2*l.height
			if i < len(try)-1 {
				room -= spare
			}
			if s.lines(l) <= room {
				return l
			}
		}
	}
}

// lines is the height of all the columns' lines, in millimetres; the times of a
// tall map stand beside it.
func (s *sheet) lines(l sheetLook) float64 {
	headings := float64(4+2*len(s.Practices)) * heading
	line, total := drawing.Points(l.size).MM()*l.leading(), headings
	s.each(!l.tall, func(indent float64, words string) {
		total += line*drawing.Lines(words, drawing.Points(l.size), false, columnWidth-indent*l.size/mostType) + between
	})
	return total
}

// each visits the paragraphs of the columns, with how far they are set in.
func (s *sheet) each(times bool, add func(indent float64, words string)) {
	if times {
		for _, t := range s.Times {
			add(setTime, t.What)
		}
	}
	for _, j := range s.Judge {
		add(setSign, j.Time+" "+j.Road+". "+j.Says+". "+j.Answer)
		add(setSign, "How we know: "+j.Known)
		add(setSign, "Then ask: "+j.FollowUp)
	}
	if len(s.Events) > 0 {
		run := make([]string, len(s.Events))
		for i, t := range s.Events {
			run[i] = t.Time + " " + t.What
		}
		add(0, strings.Join(run, " · "))
	}
	for _, practice := range s.Practices {
		add(0, practice.Place.Where+". "+practice.Place.Verdict+".")
		for _, l := range practice.Place.Look {
			add(setLook, l)
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
		add(setNumber, t.Time+" "+t.What)
	}
	for _, t := range s.Back {
		add(setNumber, t.What)
	}
}
